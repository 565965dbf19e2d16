// Seconds of the units that queues and hourly flows are told in. Not public.
#pragma once

namespace solotaxi::planning {

inline constexpr double kMinute = 60.0;
inline constexpr double kHour = 3600.0;

}  // namespace solotaxi::planning
