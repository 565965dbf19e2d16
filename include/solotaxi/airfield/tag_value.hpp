// Values of map tags as quantities: lengths, speeds, layers, directions, in the spellings maps use.
//
// Nothing here guesses: text that is not wholly understood gives no value and the caller reports it. No NaN, infinity or
// hexadecimal number is ever accepted. Default units are those of the OpenStreetMap tag documentation: metres for lengths,
// kilometres an hour for speeds; feet, inches, miles and knots are exact by definition.
#pragma once

#include <optional>
#include <span>
#include <string_view>

#include "solotaxi/airfield/airfield.hpp"

namespace solotaxi::airfield {

/// A decimal number alone, blanks around it allowed: "45", "-3.5". Finite, or nothing.
[[nodiscard]] std::optional<double> parse_number(std::string_view text);

/// A length or height: "45", "45.7 m", "150 ft", "30'", "30'6\"", "1.2 km"; without unit metres. May be negative.
[[nodiscard]] std::optional<Metres> parse_length(std::string_view text);

/// A speed: "30" (km/h), "30 km/h", "20 knots", "10 kt", "15 mph", "5 m/s". Above zero, or nothing.
[[nodiscard]] std::optional<MetresPerSecond> parse_speed(std::string_view text);

/// A mass: "50" (tonnes), "50 t", "50000 kg", "110000 lbs". Above zero, or nothing.
[[nodiscard]] std::optional<Kilograms> parse_mass(std::string_view text);

/// A grade in per cent, "1.2" or "-0.5 %", as rise over run; nothing beyond 50 %.
[[nodiscard]] std::optional<double> parse_grade(std::string_view text);

/// A drawing layer: a whole number from -10 to 10.
[[nodiscard]] std::optional<int> parse_layer(std::string_view text);

/// "yes", "true", "1" are forward; "-1", "reverse" backward; "no", "false", "0" and "" no; anything else nothing.
[[nodiscard]] std::optional<OneWay> parse_one_way(std::string_view text);

/// Whether a tag such as bridge or tunnel is set: any value but "", "no", "false" and "0".
[[nodiscard]] bool is_set(std::string_view text);

/// Names of all tags interpretation reads, for schema mappings and for undoing the shortening of names in Shapefiles.
[[nodiscard]] std::span<const std::string_view> tags_read();

}  // namespace solotaxi::airfield
