// The rows of an estimate: read in order, looked up in blocks on several threads, written in order, so that the number of
// threads changes nothing. Where a checkpoint is kept, a run that was stopped goes on from it.
#pragma once

#include <iosfwd>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <vector>

#include "commands.hpp"
#include "estimate_rows.hpp"
#include "output.hpp"
#include "progress.hpp"
#include "solotaxi/io/staged_writer.hpp"
#include "stop_signals.hpp"

namespace solotaxi::cli {

class EstimateRun {
 public:
  /// Reads settings, fields, the movements' heading and the checkpoint to go on from. `progress` as in estimate_command.
  EstimateRun(const EstimateOptions& options, std::ostream* progress);
  /// Every row. Throws Error (data) where too many are rejected, the file of rejects then being written all the same, and
  /// Stopped.
  void run();
  /// Tells the result, and puts the files in their places once that is out.
  void release(std::ostream& out);

 private:
  void go_on();
  void open(const std::optional<std::string>& name, const std::optional<WrittenFile>& before, const std::string& heading,
            std::optional<io::StagedWriter>& writer) const;
  [[nodiscard]] int threads() const;
  /// Runs work on as many threads as are asked for.
  template <class Work>
  void with_threads(Work work) const;
  void go_through(Progress& progress);
  [[nodiscard]] RowBlock* read();
  void work(RowBlock& block);
  void take(RowBlock& block, Progress& progress);
  void settle();
  void keep_checkpoint();
  void drop_checkpoint();

  const EstimateOptions& options_;
  std::ostream* progress_;
  EstimateInputs inputs_;
  io::MovementFile file_;
  std::optional<std::string> checkpoint_;  // file
  EstimateState state_;
  planning::EstimateTotals before_;  // of the run that is gone on with
  planning::Tally tally_;            // since
  std::optional<io::StagedWriter> per_flight_, rejects_;
  StopSignals signals_;
  std::uint64_t begin_byte_ = 0, end_byte_ = 0;  // of the movements' file; the latter 0 where it is not known
  bool kept_ = false;
  double kept_s_ = 0.0;
  std::mutex mutex_;  // of what follows
  std::vector<std::unique_ptr<RowBlock>> blocks_;
  std::vector<std::unique_ptr<RowWorker>> workers_;
  std::vector<RowBlock*> idle_blocks_;
  std::vector<RowWorker*> idle_workers_;
};

}  // namespace solotaxi::cli
