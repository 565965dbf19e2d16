// Instants of universal time, as aeronautical data and the command line write them.
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <string_view>

namespace solotaxi {

/// UTC, to the second.
using Instant = std::chrono::sys_seconds;

/// ISO 8601 with a date, a time and, behind them, nothing or Z for UTC or an offset: "2026-01-05T06:00:00Z",
/// "2026-01-05T06:00", "2026-01-05 06:00Z", "2026-01-05T07:00:00+01:00", "2026-01-05" (midnight). Fractions of a second are
/// left off; 24:00 is the next midnight. Nothing for any other text.
[[nodiscard]] std::optional<Instant> parse_instant(std::string_view text);

/// "2026-01-05T06:00Z"; seconds where there are any.
[[nodiscard]] std::string to_string(Instant instant);

}  // namespace solotaxi
