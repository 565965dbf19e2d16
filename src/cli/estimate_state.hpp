// How far an estimate is, in whole numbers: a checkpoint that it goes on from, or what a shard gives to be merged. As JSON.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "solotaxi/io/csv.hpp"
#include "solotaxi/planning/estimate.hpp"
#include "solotaxi/report/estimate_report.hpp"

namespace solotaxi::cli {

/// What a result hangs on, and its digest: "field XQTB, map", "4f2a90c1-73112".
using Digests = std::vector<std::pair<std::string, std::string>>;
/// Of the movements' file: copies differ in it, so shards need not agree.
inline constexpr const char* kTimeOfChange = "movements, time of change";

/// Part `shard` of `shards`, from 1.
struct Shard {
  std::uint64_t shard = 1, shards = 1;
  bool operator==(const Shard&) const = default;
};
/// Reads "3/40"; "" is the whole. Throws Error (usage).
[[nodiscard]] Shard parse_shard(const std::string& text);

/// A file written so far.
struct WrittenFile {
  std::string file;  ///< in sums: seen from their own folder
  std::uint64_t bytes = 0;
};

/// How the uncertainty is asked for.
struct DrawsAsked {
  std::size_t draws = 0;
  std::uint64_t seed = 1;
  planning::Spreads spreads;
};

struct EstimateState {
  Digests hangs_on;
  Shard shard;
  bool whole = false;  ///< every row of the shard is in it
  io::CsvPlace place;  ///< gone through so far
  planning::EstimateTotals totals;
  double reject_share_pct = 1.0;
  report::EstimateContext context;  ///< with the first reject
  std::optional<WrittenFile> per_flight, rejects;
  std::optional<DrawsAsked> draws;
};

[[nodiscard]] std::string state_json(const EstimateState& state);
/// Throws Error (data) for a file that cannot be read or is no such state.
[[nodiscard]] EstimateState read_state(const std::string& file);
/// What a whole state comes to, as text or JSON, and as a file of totals.
struct EstimateTold {
  std::string text, totals_csv;
};
[[nodiscard]] EstimateTold told(const EstimateState& state, const std::string& format);

/// What first differs, "" where nothing does.
[[nodiscard]] std::string first_difference(const Digests& a, const Digests& b);
/// Throws Error (data) where more rows are rejected than may be; `file`: the movements. `hint`: what helps.
void check_rejects(const EstimateState& state, const std::string& file, const std::string& hint);

}  // namespace solotaxi::cli
