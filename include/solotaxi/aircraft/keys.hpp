// The number keys of an aircraft file: name, member, range and unit. One table for reader, range check and documentation.
#pragma once

#include <span>

#include "solotaxi/aircraft/aircraft.hpp"

namespace solotaxi::aircraft {

struct NumberKey {
  const char* key;
  double Aircraft::* member;
  double least, most;  ///< both allowed
  const char* unit;    ///< "" for a share or a count
};

/// Every key that holds one number, in the order of the members.
[[nodiscard]] std::span<const NumberKey> number_keys();

}  // namespace solotaxi::aircraft
