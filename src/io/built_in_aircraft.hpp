// The files of data/aircraft, embedded at build time by embed_aircraft.cmake: a library finds no files of its own at run time.
#pragma once

#include <span>
#include <string_view>

namespace solotaxi::io {

struct BuiltInAircraft {
  std::string_view name, toml;
};
[[nodiscard]] std::span<const BuiltInAircraft> built_in_aircraft();

}  // namespace solotaxi::io
