// A screen's page in parts: what is on it, values in classes, the map, what the script needs. Not public.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <vector>

#include "measures.hpp"
#include "solotaxi/report/screen_report.hpp"

namespace solotaxi::report {

/// One aircraft's screen of the field as it is, or changed.
struct ScreenCase {
  const AircraftScreen* of = nullptr;
  const planning::Screen* screen = nullptr;
  const network::Network* network = nullptr;
  std::size_t map = 0;  ///< into ScreenMaps::networks
  std::string title;
};

/// Numbers above 0 in four classes, bounds rounded to one digit.
class ScreenScale {
 public:
  /// `most`: the largest number there will be.
  explicit ScreenScale(double most);
  /// 1…4; 0 for what is not above 0.
  [[nodiscard]] int of(double value) const;
  /// "up to 200", "200 to 700", "over 700".
  [[nodiscard]] std::array<std::string, 4> words(const std::string& unit) const;

 private:
  std::array<double, 3> bounds_{};
};

/// A thing the map's lines or stands can be coloured by; classes are letters, "-" for what is not drawn so.
struct ScreenMeasure {
  struct Class {
    char letter;
    std::string words;
  };
  std::string key, title;
  bool stands = false;          ///< of stands, else of segments
  std::vector<Class> classes;   ///< as the legend lists them
  std::vector<std::string> of;  ///< by case: a letter for each segment, or stand, of its network
};

struct ScreenMaps {
  std::vector<ScreenCase> cases;                  ///< the first is shown first
  std::vector<const network::Network*> networks;  ///< as it is, and with new lines where there are any
  std::vector<std::vector<std::uint32_t>> drawn;  ///< by network: segments that some case uses, ascending
  std::vector<ScreenMeasure> measures;            ///< of segments first; the first of either are shown first
};

[[nodiscard]] ScreenMaps screen_maps(const std::vector<AircraftScreen>& screens, const ScreenContext& context,
                                     const Measures& in);
/// The whole field with its segments and stands as the first case and the first measures have them.
[[nodiscard]] std::string screen_map_svg(const ScreenMaps& maps);
/// The signs of a measure's classes, with their words.
[[nodiscard]] std::string screen_legend(const ScreenMeasure& measure, bool shown);
/// What the script needs, escaped for a script element.
[[nodiscard]] std::string screen_data(const ScreenMaps& maps, const Measures& in);

}  // namespace solotaxi::report
