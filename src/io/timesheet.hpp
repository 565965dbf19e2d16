// Schedules of AIXM: whether a timeInterval holds a given time.
#pragma once

#include <optional>
#include <string>

#include "io/truth.hpp"
#include "io/xml.hpp"
#include "solotaxi/base/instant.hpp"

namespace solotaxi::io {

/// Whether the timeInterval properties of an element (Timesheets; those with excluded=YES taken off the others) hold a
/// time: yes where it has none. Weekdays, periods over several days, dates without a year, and UTC with an offset are told
/// exactly. Unknown are holidays and working days, sunrise and sunset, and, where times shift with daylight saving, the
/// hour at either end; and everything where no time is asked for. `why` gets what made it unknown.
[[nodiscard]] Truth holds(const XmlElement& element, std::optional<Instant> at, std::string& why);

}  // namespace solotaxi::io
