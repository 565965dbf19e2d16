// Clearances on a field and what becomes of them, in one line each, so that tables of them can be read.
#pragma once

#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "solotaxi/base/error.hpp"
#include "solotaxi/routing/assigned_way.hpp"

namespace solotaxi::test {

struct Cleared {
  std::string from, text;
  std::string outcome = {};
  std::vector<std::string> close = {};
  std::string to = {};
};

/// Names along a way, "-" where there is none, "stand" for stand lines, "rwy 09/27" for a runway.
inline std::string names_along(const network::Network& net, const std::vector<network::ArcId>& arcs) {
  std::string out, last;
  for (const network::ArcId a : arcs) {
    const auto& s = net.segment(a);
    const std::string name = s.kind == network::LineKind::runway
                                 ? "rwy " + net.runways[static_cast<std::size_t>(s.runway)].name
                             : s.kind == network::LineKind::stand_line || s.kind == network::LineKind::connector ? "stand"
                             : s.name.empty()                                                                    ? "-"
                                                                                                                 : s.name;
    if (name != last) out += (out.empty() ? "" : " ") + name;
    last = name;
  }
  return out;
}

inline routing::AssignedRequest request_of(const Cleared& c) {
  routing::AssignedRequest request;
  request.from = routing::parse_place(c.from);
  request.close = c.close;
  if (!c.to.empty()) request.to = routing::parse_place(c.to);
  return request;
}

inline std::variant<routing::AssignedWay, routing::CannotFollow> follow(const network::Network& net, const Cleared& c) {
  motion::Conditions conditions;
  conditions.unknown_grade_sigmas = 0.0;  // ground without heights is taken as level
  return routing::assigned_way(net, {}, conditions, routing::read_clearance(c.text, routing::make_vocabulary(net)),
                               request_of(c));
}

inline routing::AssignedWay way_of(const network::Network& net, const Cleared& c) {
  auto answer = follow(net, c);
  if (const auto* cannot = std::get_if<routing::CannotFollow>(&answer)) FAIL("cannot follow: " << cannot->reason);
  return std::get<routing::AssignedWay>(std::move(answer));
}

inline routing::CannotFollow failure_of(const network::Network& net, const Cleared& c) {
  auto answer = follow(net, c);
  if (const auto* way = std::get_if<routing::AssignedWay>(&answer)) FAIL("followed over " << names_along(net, way->arcs));
  return std::get<routing::CannotFollow>(std::move(answer));
}

/// "A B, 640 m to hold:B1"; "[C] A does not meet C; try: …"; "error: …".
inline std::string outcome_of(const network::Network& net, const Cleared& c) {
  try {
    const auto answer = follow(net, c);
    if (const auto* way = std::get_if<routing::AssignedWay>(&answer)) {
      const auto& to = way->to;
      const std::string name = to.kind == routing::Place::Kind::hold && !to.name.empty() ? "hold:" + to.name : to.text;
      return fmt::format("{}, {:.0f} m to {}", names_along(net, way->arcs), way->length_m, name);
    }
    const auto& cannot = std::get<routing::CannotFollow>(answer);
    return fmt::format("[{}] {}; try: {}", cannot.quoted, cannot.reason, cannot.nearest);
  } catch (const Error& e) {
    return "error: " + e.message();
  }
}

inline void check_table(const network::Network& net, const std::vector<Cleared>& table) {
  for (const Cleared& c : table) {
    INFO(c.from << ": " << c.text);
    CHECK(outcome_of(net, c) == c.outcome);
  }
}

}  // namespace solotaxi::test
