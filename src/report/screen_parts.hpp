// What the reports of a screen say alike, in parts. Not public.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "measures.hpp"
#include "solotaxi/report/screen_report.hpp"
#include "text_layout.hpp"

namespace solotaxi::report {

inline constexpr const char* kNoneForces = "No segment forces every engine where one would be of use.";

/// The network a screen as it is, or changed, is of.
[[nodiscard]] inline const network::Network& network_screened(const ScreenContext& context, bool changed) {
  return changed && context.changed_network != nullptr ? *context.changed_network : *context.network;
}

/// Pairs of one stand or runway end: how many have a way, how many of them a plan on one engine, and what it saves.
struct ScreenSum {
  std::size_t ways = 0, ones = 0;
  double saving_kg = 0.0, movements = 0.0;
  void add(const planning::ScreenPair& pair);
  [[nodiscard]] std::optional<double> mean_saving_kg() const;
};
/// By stand: its departures, its arrivals.
[[nodiscard]] std::vector<std::array<ScreenSum, 2>> stand_sums(const planning::Screen& screen, std::size_t stands);
/// Pairs of either direction in an array of two.
[[nodiscard]] constexpr std::size_t side_of(routing::Direction direction) {
  return direction == routing::Direction::arrival ? 1 : 0;
}

/// A line that is new in the changed network.
struct NewLine {
  std::string id, name;
  airfield::LineKind kind{};
  double length_m = 0.0;
};
[[nodiscard]] std::vector<NewLine> new_lines(const ScreenContext& context);

/// Fuel a stretch loses in a year.
[[nodiscard]] std::string lost_words(const planning::ScreenStretch& stretch, const Measures& in);
/// "Narrow-body twin, 60,000 kg".
[[nodiscard]] std::string aircraft_title(const AircraftScreen& screen, const Measures& in);

/// "out, 09", "in, 27".
[[nodiscard]] std::string route_end_words(const planning::StandardRoute& route, const network::Network& network);
/// Over the stands that can follow it.
[[nodiscard]] std::optional<double> mean_extra_kg(const planning::StandardRoute& route);
/// What all standard routes come to.
[[nodiscard]] std::string routes_words(const planning::Screen& screen, const Measures& in);

/// What was asked, traffic, conditions, rules, changes.
void add_asked(Page& page, const std::vector<AircraftScreen>& screens, const ScreenContext& context, const Measures& in);
/// Shares and sums, of the field as it is and changed side by side.
void add_summary(Page& page, const AircraftScreen& screen, const Measures& in);
/// What the words mean, and the findings.
void add_reading(Page& page, const std::vector<AircraftScreen>& screens, const ScreenContext& context, const Measures& in);

}  // namespace solotaxi::report
