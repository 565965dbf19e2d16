#include "solotaxi/airfield/airfield.hpp"

#include "solotaxi/airfield/raw_map.hpp"
#include "solotaxi/airfield/runway_ref.hpp"

namespace solotaxi::airfield {

const char* to_string(LineKind kind) {
  switch (kind) {
    case LineKind::taxiway:
      return "taxiway";
    case LineKind::taxilane:
      return "taxilane";
    case LineKind::stand_line:
      return "stand_line";
    case LineKind::runway:
      return "runway";
    case LineKind::connector:
      return "connector";
  }
  return "taxiway";
}

std::string Runway::name() const {
  if (designators[0].empty() && designators[1].empty()) return id;
  // The lower number first, as runways are written, whichever way the line is drawn.
  const bool swap = designator_number(designators[1]).value_or(99) < designator_number(designators[0]).value_or(0);
  const std::string &first = designators[swap ? 1 : 0], &second = designators[swap ? 0 : 1];
  if (first.empty() || second.empty()) return first + second;
  return first + "/" + second;
}

const std::string& RawFeature::tag(const std::string& key) const {
  static const std::string none;
  const auto found = tags.find(key);
  return found == tags.end() ? none : found->second;
}

}  // namespace solotaxi::airfield
