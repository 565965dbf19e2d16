#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "solotaxi/report/check_report.hpp"

namespace solotaxi::report {
namespace {

std::string quoted(const std::string& text) {
  if (text.find_first_of(",\"\r\n") == std::string::npos) return text;
  std::string out = "\"";
  for (const char c : text) out += c == '"' ? "\"\"" : std::string(1, c);
  return out + '"';
}

std::string known(double value, int decimals) {
  return std::isfinite(value) ? fmt::format("{:.{}f}", value, decimals) : "";
}

}  // namespace

std::string profile_csv(const network::Network& network) {
  std::string out = "segment,source_id,name,kind,chainage_m,lat,lon,height_m,grade_pct,grade_sd_pct\n";
  for (std::size_t s = 0; s < network.segments.size(); ++s) {
    const network::Segment& segment = network.segments[s];
    const std::string about =
        fmt::format("{},{},{},{}", s, quoted(segment.source_id), quoted(segment.name), airfield::to_string(segment.kind));
    for (std::size_t k = 0; k < segment.profile.size(); ++k) {
      const network::Knot& knot = segment.profile[k];
      const LatLon at = network::position_at(network, segment, knot.at_m);
      std::string grade, sd;
      if (k + 1 < segment.profile.size()) {
        const network::Knot& next = segment.profile[k + 1];
        grade = known(100.0 * (next.height_m - knot.height_m) / (next.at_m - knot.at_m), 3);
        if (!grade.empty()) sd = known(100.0 * segment.grade_sd[k], 3);
      }
      out += fmt::format("{},{:.2f},{:.7f},{:.7f},{},{},{}\n", about, knot.at_m, at.lat_deg(), at.lon_deg(),
                         known(knot.height_m, 3), grade, sd);
    }
  }
  return out;
}

}  // namespace solotaxi::report
