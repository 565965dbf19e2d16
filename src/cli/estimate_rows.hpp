// Blocks of rows become results: figures counted, lines for the file of single movements, rejects. Each worker has its own
// look-ups, so that several may work at once.
#pragma once

#include <cstdint>
#include <string>

#include "estimate_inputs.hpp"

namespace solotaxi::cli {

/// A block of rows, and what came of it.
struct RowBlock {
  io::CsvBlock rows;
  std::string per_flight, rejects;  ///< lines to be written
  planning::Tally tally;
  std::int64_t count = 0, rejected = 0;
  std::string first_reject;  ///< "row 17 (line 18): …"
};

class RowWorker {
 public:
  /// All must outlive it. `per_flight`: whether lines for the file of single movements are wanted.
  RowWorker(EstimateInputs& inputs, const io::MovementFile& file, bool per_flight)
      : inputs_(inputs), rows_(file), counter_(inputs.estimate()), per_flight_(per_flight) {}
  /// Goes through the rows; anew as long as plans have to be made for them, on all the threads there are.
  void work(RowBlock& block);

 private:
  void read_row(RowBlock& block);
  void reject(RowBlock& block, const std::string& reason) const;
  [[nodiscard]] std::optional<std::size_t> aircraft(std::string_view name);

  EstimateInputs& inputs_;
  io::MovementRows rows_;
  planning::Counter counter_;
  NumberByName aircraft_;
  bool per_flight_;
  bool unmade_ = false;
};

}  // namespace solotaxi::cli
