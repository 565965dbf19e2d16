// Runway designators as maps write them: "05/23", "03-21", "10 / 28", "4R/22L", "X/X", "Runway 09", and which end they
// name.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>

#include "solotaxi/units/quantity.hpp"

namespace solotaxi::airfield {

struct RunwayRef {
  /// As written, blanks removed, upper case; [1] is "" where only one is given, both are "" for "X/X".
  std::array<std::string, 2> designators;
  bool closed = false;   ///< "X/X" or the word "closed"
  bool partial = false;  ///< something else stood beside the one designator understood ("11/62")
};

/// Nothing where the text holds no designator and does not say closed (a name, three designators, "").
[[nodiscard]] std::optional<RunwayRef> parse_runway_ref(std::string_view text);

/// Number of a designator, 1–36, with at most one letter behind it; nothing for any other text.
[[nodiscard]] std::optional<int> designator_number(std::string_view designator);
/// Letter of a designator ("L" of "08L"), or "".
[[nodiscard]] std::string designator_suffix(std::string_view designator);
/// The other end's designator in the same spelling: "08L" → "26R", "4" → "22". "" for text that is no designator.
[[nodiscard]] std::string reciprocal_designator(std::string_view designator);
/// Same runway end, whatever the spelling: "4R", "04R" and "04r".
[[nodiscard]] bool same_designator(std::string_view a, std::string_view b);
/// Both designators valid and 18 apart.
[[nodiscard]] bool is_reciprocal(const RunwayRef& ref);

struct OrientedRef {
  std::array<std::string, 2> designators;  ///< [0] takes off along the azimuth
  bool reversed = false;                   ///< written the other way round
  bool completed = false;                  ///< [0] or [1] is the reciprocal of the only one given
  Radians mismatch;                        ///< between 10 × the number of [0] and the azimuth, 0…π
};

/// Puts each designator on the end it names, by the true azimuth of the line. Numbers are magnetic, so tens of degrees of
/// mismatch may be right in high latitudes; the caller judges `mismatch`.
[[nodiscard]] OrientedRef orient(const RunwayRef& ref, Radians azimuth);

}  // namespace solotaxi::airfield
