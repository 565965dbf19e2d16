// What an estimate reads before its rows: settings, maps, aircraft.
#pragma once

#include <map>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "estimate_state.hpp"
#include "options.hpp"
#include "solotaxi/io/movement_file.hpp"
#include "solotaxi/planning/estimate.hpp"
#include "solotaxi/report/estimate_report.hpp"

namespace solotaxi::cli {

/// Numbers by name, found without making a text.
struct TextHash {
  using is_transparent = void;
  std::size_t operator()(std::string_view text) const { return std::hash<std::string_view>{}(text); }
};
using NumberByName = std::unordered_map<std::string, std::size_t, TextHash, std::equal_to<>>;

class EstimateInputs {
 public:
  /// Checks files to be written, reads everything but the movements. The options must outlive it.
  explicit EstimateInputs(const EstimateOptions& options);
  [[nodiscard]] planning::Estimate& estimate() { return estimate_; }
  [[nodiscard]] const io::MovementColumns& columns() const { return columns_; }
  [[nodiscard]] const NumberByName& fields() const { return fields_; }
  /// Where draws are asked for, else null.
  [[nodiscard]] const planning::Spreads* spreads() const { return spreads_ ? &*spreads_ : nullptr; }
  /// An aircraft of the fleet, else a built-in one; read when it is first met. Any thread may ask.
  [[nodiscard]] std::optional<std::size_t> aircraft(std::string_view name);
  /// Of everything the result hangs on.
  [[nodiscard]] Digests digests() const;
  /// Of the whole run; rejects are not in it.
  [[nodiscard]] const report::EstimateContext& context() const { return context_; }

 private:
  void read_fields();
  [[nodiscard]] std::size_t add_aircraft(const std::string& name, const aircraft::Aircraft& aircraft, double mass_kg);

  const EstimateOptions& options_;
  io::MovementColumns columns_;
  std::map<std::string, io::FleetEntry> fleet_;
  std::optional<planning::Spreads> spreads_;
  planning::Estimate estimate_;
  NumberByName fields_;
  std::mutex mutex_;  // of what follows
  NumberByName aircraft_;
  report::EstimateContext context_;
};

}  // namespace solotaxi::cli
