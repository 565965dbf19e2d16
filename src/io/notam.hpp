// Digital NOTAM: temporary changes (TEMPDELTA) of AIXM features, and new temporary features, at one time.
#pragma once

#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "io/aixm_message.hpp"
#include "io/availability.hpp"

namespace solotaxi::io {

/// One temporary change of one feature.
struct NotamChange {
  std::string notam;  ///< "A0012/26", else the event's or the feature's uuid
  std::string text;   ///< of the NOTAM, one line; "" where there is none
  std::string schedule;
  AixmFeature feature;  ///< with this one time slice
  Validity validity;
  bool is_new = false;    ///< a feature of its own (BASELINE), not a change
  bool usable = true;     ///< not of a kind that is only told of (PERMDELTA)
  bool in_force = false;  ///< by its validity; also where that contradicts itself
  bool contradicts = false;  ///< its validity ends before it begins
  [[nodiscard]] const XmlElement& slice() const { return feature.slices.front(); }
};

/// The changes of several files at a time, and what became of each NOTAM.
class Notams {
 public:
  Notams() = default;
  /// Reads the files. Within a file a later correction of a change replaces the earlier. Throws Error (data) with file and
  /// line for what is damaged or no AIXM message, and with the file for one without any event or change.
  Notams(const std::vector<std::filesystem::path>& files, Instant at);

  /// Changes of a feature in force at the time.
  [[nodiscard]] std::vector<const NotamChange*> of(const std::string& uuid) const;
  /// Features of a kind that exist only for the time of a NOTAM in force.
  [[nodiscard]] std::vector<const NotamChange*> new_features(const std::string& kind) const;

  /// Notes what a change did to the map: `effect` such as "taxiway B closed", nothing for "".
  void applied(const NotamChange& change, const std::string& effect, const Availability& availability);
  /// One finding for each NOTAM: applied, not in force, or not applied and why.
  [[nodiscard]] Findings findings() const;

 private:
  struct Outcome {
    std::vector<std::string> effects, unchanged, remarks, unknown;
    std::vector<std::string> in_part;    ///< limited in a part told elsewhere, or nowhere
    std::vector<std::string> unreadable; ///< says nothing that can be applied
    std::vector<std::string> reasons;
  };
  Instant at_{};
  std::vector<NotamChange> changes_;
  std::map<const NotamChange*, Outcome> outcome_;
};

}  // namespace solotaxi::io
