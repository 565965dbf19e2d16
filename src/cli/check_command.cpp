#include "commands.hpp"
#include "field.hpp"
#include "output.hpp"
#include "solotaxi/report/check_report.hpp"

namespace solotaxi::cli {

void check_command(const CheckOptions& options, const Loader& load, std::ostream& out) {
  check_outputs(options.output.files, {".txt", ".json", ".csv", ".gpkg", ".geojson"}, inputs_of(options.field));
  network::Network network = *load(options.field);
  if (options.code_letter) {
    const Findings slopes = report::slope_findings(network, options.code_letter->front());
    network.findings.insert(network.findings.end(), slopes.begin(), slopes.end());
  }
  Outputs outputs;
  for (const std::string& file : options.output.files) {
    const std::string ending = ending_of(file);
    if (ending == ".txt")
      outputs.add_text(file, report::check_text(network));
    else if (ending == ".json")
      outputs.add_text(file, report::check_json(network));
    else if (ending == ".csv")
      outputs.add_text(file, report::profile_csv(network));
    else
      outputs.add_layers(file, report::network_layers(network));
  }
  outputs.release(out, options.output.format == "json" ? report::check_json(network) : report::check_text(network));
}

}  // namespace solotaxi::cli
