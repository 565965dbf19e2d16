// What the availability of an AIXM feature means for an aeroplane that taxis: open, shut, or open up to a wingspan or mass.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "io/xml.hpp"
#include "solotaxi/base/instant.hpp"

namespace solotaxi::io {

/// What the feature is used for; usages of other operations do not count.
enum class Operation { taxiing, parking, take_off, landing };

struct Availability {
  bool closed = false;
  std::optional<double> max_wingspan_m, max_mass_kg;  ///< open up to and with these
  bool in_part = false;                               ///< LIMITED without saying for whom: its parts are told elsewhere
  bool idle = false;                 ///< schedules say that nothing but the normal availability holds at the time
  std::vector<std::string> reasons;  ///< what limits it, in words: "reserved for flight purpose SCHEDULED"
  std::vector<std::string> remarks;  ///< prior permissions, notes
  std::vector<std::string> unknown;  ///< what could not be decided and was taken the cautious way

  [[nodiscard]] bool limits() const { return closed || max_wingspan_m || max_mass_kg; }
};

/// The meaning of all `availability` properties of a time slice at a time.
///
/// An aeroplane here is a land plane with jet engines; its wingspan and mass are left open and become limits; the flight
/// (purpose, status, origin, rules), the weather and everything else is not known. Of the normal availability what is not
/// known does not shut; of anything temporary (LIMITED, CLOSED, a schedule that may hold) it does: closed to all but an
/// unknown few is closed, prohibited for some that this flight may be is closed. What is allowed beside it
/// (OTHER:EXTENDED) opens only where it certainly does. CONDITIONAL limits a temporary availability to those it names.
[[nodiscard]] Availability availability_of(const XmlElement& slice, Operation operation, std::optional<Instant> at);

/// A condition in words: "wingspan above 36 m", "(type LANDPLANE and weight at or above 40 T) or type TILT_WING".
[[nodiscard]] std::string words_of(const XmlElement& condition);

}  // namespace solotaxi::io
