// Draws the heights and grades of one taxiway of the demo field as SVG, before (the raster interpolated every 10 m) and
// after (the joint estimate with its 95 % band): the picture of the README.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <exception>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <map>
#include <vector>

#include "solotaxi/airfield/interpret.hpp"
#include "solotaxi/geo/line.hpp"
#include "solotaxi/io/map_file.hpp"
#include "solotaxi/io/raster.hpp"
#include "solotaxi/network/build.hpp"

namespace {

using solotaxi::network::Network;

struct Sample {
  double at_m = 0.0, before_m = 0.0, after_m = 0.0, grade_sd = 0.0;  ///< of the piece that begins here
};

/// Knots of all segments of that name from west to east, with the raster's own word at each.
std::vector<Sample> samples(const Network& net, const solotaxi::io::Raster& raster, const std::string& name) {
  std::map<double, Sample> by_x;
  for (const auto& s : net.segments) {
    if (s.name != name) continue;
    const bool east = s.line.back().x_m > s.line.front().x_m;
    const std::vector<double> planar = solotaxi::chainage(s.line);
    for (std::size_t k = 0; k < s.profile.size(); ++k) {
      const auto at = solotaxi::point_along(s.line, s.profile[k].at_m * planar.back() / s.length_m);
      const std::size_t piece = east ? std::min(k, s.grade_sd.size() - 1) : (k == 0 ? 0 : k - 1);
      by_x[at.x_m] = {at.x_m, raster.height_at(net.frame.to_geodetic(at)).value_or(std::nan("")), s.profile[k].height_m,
                      s.grade_sd[piece]};
    }
  }
  std::vector<Sample> out;
  for (const auto& [x, sample] : by_x)
    if (out.empty() || x - out.back().at_m > 1.0) out.push_back(sample);
  for (Sample& s : out) s.at_m -= by_x.begin()->first;
  return out;
}

/// One panel: a frame with a scale, and lines in it.
class Panel {
 public:
  Panel(double top, double height, double to_x, double low, double high)
      : top_(top), height_(height), to_x_(to_x), low_(low), high_(high) {}
  [[nodiscard]] std::string frame(const std::string& title, double step, const char* format) const {
    std::string out = fmt::format("<text x='60' y='{}' font-weight='bold'>{}</text>", top_ - 8, title);
    for (double v = std::ceil(low_ / step) * step; v <= high_ + 1e-9; v += step)
      out += fmt::format("<path d='M60 {0:.1f}H780' stroke='#ddd'/><text x='54' y='{1:.1f}' text-anchor='end'>{2}</text>",
                         y(v), y(v) + 4, fmt::format(fmt::runtime(format), v));
    return out + "\n";
  }
  [[nodiscard]] double x(double at) const { return 60.0 + 720.0 * at / to_x_; }
  [[nodiscard]] double y(double v) const { return top_ + height_ * (high_ - std::clamp(v, low_, high_)) / (high_ - low_); }
  template <class Value>
  [[nodiscard]] std::string points(const std::vector<Sample>& s, Value value, bool back = false) const {
    std::string out;
    for (std::size_t i = 0; i + 1 < s.size(); ++i) {
      const std::size_t k = back ? s.size() - 2 - i : i;
      out += fmt::format("{:.1f},{:.1f} ", x(s[k].at_m), y(value(k)));
    }
    return out;
  }

 private:
  double top_, height_, to_x_, low_, high_;
};

std::string line(const std::string& points, const char* colour, double width) {
  return fmt::format("<polyline points='{}' fill='none' stroke='{}' stroke-width='{}'/>\n", points, colour, width);
}

std::string picture(const std::vector<Sample>& s, const std::string& name) {
  double low = 1e9, high = -1e9;
  for (const Sample& p : s) low = std::min(low, p.before_m), high = std::max(high, p.before_m);
  const Panel heights(40, 150, s.back().at_m, std::floor(low), std::ceil(high)), grades(240, 180, s.back().at_m, -6.0, 6.0);
  const auto grade = [&](auto height) {
    return [&s, height](std::size_t k) { return 100.0 * (height(k + 1) - height(k)) / (s[k + 1].at_m - s[k].at_m); };
  };
  const auto before = [&](std::size_t k) { return s[k].before_m; };
  const auto after = [&](std::size_t k) { return s[k].after_m; };
  const auto grade_after = grade(after);
  std::string out =
      "<svg xmlns='http://www.w3.org/2000/svg' width='800' height='460' font-family='sans-serif' font-size='12'>\n"
      "<rect width='800' height='460' fill='white'/>\n";
  out += heights.frame("Height of taxiway " + name + " [m]", 1.0, "{:.0f}");
  out += line(heights.points(s, before), "#c55", 1) + line(heights.points(s, after), "#04c", 2);
  out += grades.frame("Grade [%]", 2.0, "{:+.0f}");
  out += fmt::format("<polygon points='{}{}' fill='#04c' fill-opacity='0.2'/>\n",
                     grades.points(s, [&](std::size_t k) { return grade_after(k) + 196.0 * s[k].grade_sd; }),
                     grades.points(
                         s, [&](std::size_t k) { return grade_after(k) - 196.0 * s[k].grade_sd; }, true));
  out += line(grades.points(s, grade(before)), "#c55", 1) + line(grades.points(s, grade_after), "#04c", 2);
  out +=
      "<text x='60' y='446' fill='#c55'>raster interpolated every 10 m</text>"
      "<text x='270' y='446' fill='#04c'>joint estimate with its 95 % band</text>";
  out += fmt::format("<text x='780' y='446' text-anchor='end'>0 to {:.0f} m along the taxiway</text>\n</svg>\n",
                     s.back().at_m);
  return out;
}

}  // namespace

int main(int argc, char** argv) try {
  if (argc != 3) {
    std::cerr << "usage: draw_profile DEMO_FOLDER OUT.svg\n";
    return 2;
  }
  const std::filesystem::path demo = argv[1];
  const auto raster = solotaxi::io::open_raster(demo / "elevation.tif");
  const solotaxi::terrain::HeightSource* const sources[] = {raster.get()};
  const Network net = solotaxi::network::build_network(
      solotaxi::airfield::interpret(solotaxi::io::read_map(demo / "field.geojson", {}), {}), {}, sources);
  const std::string name = "A";
  const std::vector<Sample> along = samples(net, *raster, name);
  std::ofstream out(argv[2]);
  out << picture(along, name);
  return out.flush() ? 0 : 3;
} catch (const std::exception& e) {
  std::cerr << "draw_profile: " << e.what() << '\n';
  return 3;
}
