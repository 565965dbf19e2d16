// What every report shares: titles, attribution, order of findings, rounding for JSON.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

#include "solotaxi/network/network.hpp"
#include "solotaxi/report/route_report.hpp"

namespace solotaxi::report {

struct ToldUnit;

/// "Name (IDENT)", either alone, or "unnamed aerodrome".
[[nodiscard]] std::string aerodrome_title(const network::Network& network);

/// The line OpenStreetMap's licence asks for, or "" where the map did not come from there.
[[nodiscard]] std::string attribution(const network::Network& network, const std::string& map_file);

/// Most severe first, then by code; otherwise as found. Exact repeats are left out.
[[nodiscard]] Findings in_order(Findings findings);

/// The route's own findings, and those of the network that concern what it drives on or are serious for the whole field.
[[nodiscard]] Findings route_findings(const routing::Route& route, const RouteContext& context);

/// Number of findings of one severity.
[[nodiscard]] std::size_t count(const Findings& findings, Severity severity);

/// Rounded to so many decimals, null where it is not finite.
[[nodiscard]] nlohmann::ordered_json rounded(double value, int decimals);
/// The same as a value of a feature.
[[nodiscard]] io::Value rounded_value(double value, int decimals);
[[nodiscard]] io::Value text_value(std::string value);
[[nodiscard]] io::Value flag_value(bool value);
[[nodiscard]] io::Value whole_value(std::size_t value);
/// Says of columns that they hold numbers, true or false, or text, even where no feature has a value.
void type_columns(io::FeatureLayer& layer, const std::vector<std::string>& numbers, const std::vector<std::string>& flags);
/// A unit as the script of a page takes it.
[[nodiscard]] nlohmann::ordered_json unit_json(const ToldUnit& unit);
[[nodiscard]] nlohmann::ordered_json findings_json(const Findings& findings);
[[nodiscard]] io::FeatureLayer findings_layer(const Findings& findings);
/// JSON as a file: two blanks of indent, a line break at the end, bytes that are not UTF-8 replaced by U+FFFD.
[[nodiscard]] std::string printed(const nlohmann::ordered_json& json);

/// "Taxiway A", "Unnamed taxilane", "Runway 05/23", "Stand line 12", "Connector (not drawn in the map)".
[[nodiscard]] std::string way_title(airfield::LineKind kind, const std::string& name);

/// Kilograms of CO2 from a kilogram of jet fuel [ICAO Annex 16 Volume IV, CORSIA: 3.16].
inline constexpr double kCo2PerFuel = 3.16;

}  // namespace solotaxi::report
