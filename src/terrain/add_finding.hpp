// Shorthand for the findings of this module, which concern the whole field or begin at a point.
#pragma once

#include <string>
#include <utility>

#include "solotaxi/terrain/heights.hpp"

namespace solotaxi::terrain {

inline void add_finding(Findings& findings, const char* code, Severity severity, const HeightPoint* at, std::string text) {
  Finding finding;
  finding.code = code;
  finding.severity = severity;
  if (at != nullptr) {
    finding.where.lat_deg = at->at.lat_deg();
    finding.where.lon_deg = at->at.lon_deg();
    finding.where.has_position = true;
  }
  finding.text = std::move(text);
  findings.push_back(std::move(finding));
}

}  // namespace solotaxi::terrain
