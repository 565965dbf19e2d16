// Findings: everything the tool repaired, assumed, doubted or left out, with the id of what it concerns.
//
// Nothing is lost silently: whatever a reader or the network builder does not take as it stands becomes a finding.
#pragma once

#include <string>
#include <vector>

namespace solotaxi {

enum class Severity {
  note,     ///< an assumption or repair of no consequence for a route
  caution,  ///< may change a route, its length or a verdict
  serious   ///< a safety matter: hidden runway crossing, closed or missing piece of network
};

struct FindingPlace {
  std::string id;        ///< "way/304772216", "node/57" or empty for the whole field
  double lat_deg = 0.0;  ///< WGS 84; meaningful only with has_position
  double lon_deg = 0.0;
  bool has_position = false;
};

struct Finding {
  std::string code;  ///< kebab-case, stable: "joined-crossing", "runway-ring"
  Severity severity = Severity::note;
  FindingPlace where;
  std::string text;  ///< one sentence for a person
};

using Findings = std::vector<Finding>;

/// A finding about a feature (or, with "", the whole field), without a position.
[[nodiscard]] Finding finding_about(std::string code, Severity severity, std::string id, std::string text);

/// "note", "caution" or "serious".
[[nodiscard]] const char* to_string(Severity severity);

}  // namespace solotaxi
