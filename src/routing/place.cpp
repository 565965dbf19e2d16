#include "solotaxi/routing/place.hpp"

#include <charconv>
#include <cmath>
#include <string_view>

#include "routing/spelling.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::routing {
namespace {

constexpr const char* kForms =
    "a place is stand:12, runway:08L, runway:08L@A2, hold:A1, node:57 or lat,lon in degrees; #id picks one of several of a "
    "name";

[[noreturn]] void no_place(const std::string& text, const std::string& why) {
  throw usage_error("\"" + text + "\" is no place: " + why, kForms);
}

std::string_view trim(std::string_view s) {
  const auto first = s.find_first_not_of(" \t\r\n");
  if (first == std::string_view::npos) return {};
  return s.substr(first, s.find_last_not_of(" \t\r\n") - first + 1);
}

std::optional<double> number(std::string_view s) {
  s = trim(s);
  if (!s.empty() && s.front() == '+') s.remove_prefix(1);
  double value = 0.0;
  const auto [end, error] = std::from_chars(s.data(), s.data() + s.size(), value);
  if (error != std::errc{} || end != s.data() + s.size()) return std::nullopt;
  return value;
}

void parse_position(Place& place) {
  const auto comma = place.text.find(',');
  if (comma == std::string::npos) no_place(place.text, "neither a kind before a colon nor lat,lon");
  const auto lat = number(std::string_view(place.text).substr(0, comma));
  const auto lon = number(std::string_view(place.text).substr(comma + 1));
  if (!lat || !lon || !std::isfinite(*lat) || !std::isfinite(*lon))
    no_place(place.text, "latitude and longitude are not two numbers");
  if (std::abs(*lat) > 90.0 || std::abs(*lon) > 180.0)
    no_place(place.text, "latitude goes from -90 to 90 and longitude from -180 to 180 degrees, in this order");
  place.kind = Place::Kind::position;
  place.position = LatLon::degrees(*lat, *lon);
}

}  // namespace

Place parse_place(const std::string& text) {
  Place place;
  place.text = std::string(trim(text));
  if (place.text.empty()) no_place(text, "it is empty");
  const auto colon = place.text.find(':');
  if (colon == std::string::npos) {
    parse_position(place);
    return place;
  }
  const std::string kind = folded(place.text.substr(0, colon));
  std::string_view rest = trim(std::string_view(place.text).substr(colon + 1));
  if (kind == "node") {
    const auto [end, error] = std::from_chars(rest.data(), rest.data() + rest.size(), place.node);
    if (rest.empty() || error != std::errc{} || end != rest.data() + rest.size())
      no_place(place.text, "a node is a whole number");
    place.kind = Place::Kind::node;
    place.name = std::string(rest);
    return place;
  }
  if (kind == "stand")
    place.kind = Place::Kind::stand;
  else if (kind == "runway")
    place.kind = Place::Kind::runway;
  else if (kind == "hold")
    place.kind = Place::Kind::hold;
  else
    no_place(place.text, "\"" + kind + "\" is no kind of place");
  if (const auto hash = rest.rfind('#'); hash != std::string_view::npos) {
    place.id = std::string(trim(rest.substr(hash + 1)));
    rest = trim(rest.substr(0, hash));
    if (const auto at = place.id.find('@'); at != std::string::npos && place.kind == Place::Kind::runway) {
      place.at = folded(place.id.substr(at + 1)).empty() ? "" : place.id.substr(at + 1);  // runway:08L#way/7@A2
      place.id.resize(at);
    }
    if (place.id.empty()) no_place(place.text, "no id follows the #");
  }
  if (place.kind == Place::Kind::runway)
    if (const auto at = rest.find('@'); at != std::string_view::npos) {
      place.at = std::string(trim(rest.substr(at + 1)));
      rest = trim(rest.substr(0, at));
      if (place.at.empty()) no_place(place.text, "no taxiway follows the @");
    }
  place.name = std::string(rest);
  if (place.name.empty() && (place.id.empty() || place.kind == Place::Kind::runway))
    no_place(place.text, "no name follows the colon");
  return place;
}

}  // namespace solotaxi::routing
