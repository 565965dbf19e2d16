#include "commands.hpp"
#include "estimate_run.hpp"

namespace solotaxi::cli {

void estimate_command(const EstimateOptions& options, std::ostream& out, std::ostream* progress) {
  EstimateRun run(options, progress);
  run.run();
  run.release(out);
}

}  // namespace solotaxi::cli
