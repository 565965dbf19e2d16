// From the options of a question to what the library is asked: aircraft, conditions, places. Shared by route and plan.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "options.hpp"
#include "solotaxi/aircraft/aircraft.hpp"
#include "solotaxi/base/error.hpp"
#include "solotaxi/base/finding.hpp"
#include "solotaxi/motion/conditions.hpp"
#include "solotaxi/network/network.hpp"
#include "solotaxi/report/route_report.hpp"
#include "solotaxi/routing/route.hpp"

namespace solotaxi::cli {

/// Runs `work`; an Error of usage it throws is told to concern the option.
template <class Work>
auto for_option(const char* option, Work work) {
  try {
    return work();
  } catch (const Error& error) {
    if (error.error_class() != ErrorClass::usage || !error.where().feature.empty()) throw;
    throw Error(error.error_class(), error.message(), {error.where().file, error.where().line, option}, error.hint());
  }
}

/// Checks the names of output files (see check_outputs).
void check_outputs_of(const QuestionOptions& options);

/// Closures and landing roll.
[[nodiscard]] routing::RouteRequest field_request_of(const QuestionOptions& options);
/// Places (the end where it is told), closures, direction; the objective is not asked.
[[nodiscard]] routing::RouteRequest request_of(const QuestionOptions& options);
[[nodiscard]] aircraft::Aircraft aircraft_of(const QuestionOptions& options);
/// All but the pressure, which needs the field.
[[nodiscard]] motion::Conditions conditions_of(const QuestionOptions& options, const aircraft::Aircraft& aircraft);
/// Air pressure at the field [Pa], from the pressure altitude or QNH and elevation; findings where the latter is guessed.
[[nodiscard]] double pressure_pa(const QuestionOptions& options, const network::Network& network, Findings& findings);
[[nodiscard]] report::Units units_of(const QuestionOptions& options);

/// Runs `work`; an Error it throws without a file is told to concern the map.
template <class Work>
auto about_map(const QuestionOptions& options, Work work) {
  try {
    return work();
  } catch (const Error& error) {
    throw error.in_file(options.field.map);
  }
}

[[nodiscard]] Error no_route(const QuestionOptions& options, const routing::NoRoute& none);

}  // namespace solotaxi::cli
