// Draws the totals of an estimate by hour as SVG: fuel on every engine and as advised, and what that saves beside the
// time-only formula, with the intervals that hold 90 % of the draws. The picture of the README.
//
//   solotaxi estimate … --draws 200 --totals totals.csv && draw_estimate totals.csv OUT.svg
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <exception>
#include <fstream>
#include <iostream>
#include <map>
#include <stdexcept>
#include <string>
#include <vector>

#include "solotaxi/io/csv.hpp"

namespace {

struct Bar {
  double value = 0.0, p5 = 0.0, p95 = 0.0;
};

struct Hour {
  std::string name;
  Bar reference, advised, saving;
  double formula = 0.0;
};

constexpr double kLeft = 60.0, kRight = 780.0;
constexpr const char *kReference = "#8a94a3", *kAdvised = "#1d5fb4", *kFormula = "#b4581d", *kInk = "#2b2f36";

std::vector<Hour> read_hours(const std::string& file) {
  solotaxi::io::CsvReader reader(file);
  std::vector<Hour> out;
  std::map<std::string, std::size_t> column;
  while (reader.next() == solotaxi::io::CsvRow::row) {
    const auto& fields = reader.fields();
    if (column.empty()) {
      for (std::size_t k = 0; k < fields.size(); ++k) column[std::string(fields[k])] = k;
      continue;
    }
    if (fields[column.at("by")] != "hour") continue;
    const auto number = [&](const std::string& name) { return std::stod(std::string(fields.at(column.at(name)))); };
    const auto bar = [&](const std::string& name) {
      return Bar{number(name), number(name + "_p5"), number(name + "_p95")};
    };
    out.push_back({std::string(fields[column.at("name")]), bar("reference_kg"), bar("fuel_kg"), bar("saving_kg"),
                   number("time_only_saving_kg")});
  }
  if (out.empty()) throw std::runtime_error(file + ": no hours; was it written with --draws?");
  return out;
}

/// One panel: a scale from `low` to `high`, with a place for each hour.
class Panel {
 public:
  Panel(double top, double height, double low, double high, std::size_t hours)
      : top_(top), height_(height), low_(low), high_(high), step_((kRight - kLeft) / static_cast<double>(hours)) {}
  [[nodiscard]] std::string frame(const std::string& title, double step, double unit) const {
    std::string out = fmt::format("<text x='{}' y='{:.0f}' font-weight='bold'>{}</text>\n", kLeft, top_ - 12, title);
    for (double v = std::ceil(low_ / step) * step; v <= high_ + 1e-9; v += step)
      out += fmt::format(
          "<path d='M{0:.0f} {1:.1f}H{2:.0f}' stroke='{3}'/><text x='{4:.0f}' y='{5:.1f}' text-anchor='end'>{6:g}</text>\n",
          kLeft, y(v), kRight, std::abs(v) < 1e-9 ? "#9aa1ab" : "#e4e7eb", kLeft - 6, y(v) + 4, v / unit);
    return out;
  }
  /// A bar that takes the share [from, to] of an hour's place.
  [[nodiscard]] std::string bar(std::size_t hour, double from, double to, const Bar& b, const char* colour) const {
    const double left = x(hour, from), width = x(hour, to) - left, middle = left + 0.5 * width;
    const double top = std::min(y(b.value), y(0.0)), bottom = std::max(y(b.value), y(0.0));
    return fmt::format("<rect x='{:.1f}' y='{:.1f}' width='{:.1f}' height='{:.1f}' fill='{}'/>", left, top, width,
                       bottom - top, colour) +
           fmt::format(
               "<path d='M{0:.1f} {1:.1f}V{2:.1f}M{3:.1f} {1:.1f}H{4:.1f}M{3:.1f} {2:.1f}H{4:.1f}' stroke='{5}' "
               "fill='none'/>\n",
               middle, y(b.p5), y(b.p95), middle - 2.5, middle + 2.5, kInk);
  }
  [[nodiscard]] std::string mark(std::size_t hour, double value) const {
    return fmt::format("<path d='M{:.1f} {:.1f}H{:.1f}' stroke='{}' stroke-width='3'/>\n", x(hour, 0.08), y(value),
                       x(hour, 0.92), kFormula);
  }
  [[nodiscard]] std::string names(const std::vector<Hour>& hours) const {
    std::string out;
    for (std::size_t k = 0; k < hours.size(); ++k)
      out += fmt::format("<text x='{:.1f}' y='{:.0f}' text-anchor='middle'>{}</text>", x(k, 0.5), top_ + height_ + 16,
                         hours[k].name);
    return out + "\n";
  }

 private:
  [[nodiscard]] double x(std::size_t hour, double share) const {
    return kLeft + step_ * (static_cast<double>(hour) + share);
  }
  [[nodiscard]] double y(double v) const { return top_ + height_ * (high_ - v) / (high_ - low_); }
  double top_, height_, low_, high_, step_;
};

std::string key(double x, const char* colour, const std::string& text) {
  return fmt::format("<rect x='{:.0f}' y='497' width='12' height='12' fill='{}'/><text x='{:.0f}' y='507'>{}</text>\n", x,
                     colour, x + 18, text);
}

std::string picture(const std::vector<Hour>& hours) {
  constexpr double kTonne = 1000.0;
  double fuel = 0.0, saved = 0.0, lost = 0.0;
  for (const Hour& h : hours) {
    fuel = std::max(fuel, h.reference.p95);
    saved = std::max({saved, h.saving.p95, h.formula});
    lost = std::min(lost, h.saving.p5);
  }
  const double step = saved > 2000.0 ? 1000.0 : 500.0;
  const Panel burnt(40, 190, 0.0, std::ceil(fuel / 2000.0) * 2000.0, hours.size());
  const Panel gained(290, 160, lost < -0.2 * step ? std::floor(lost / step) * step : 0.0, std::ceil(saved / step) * step,
                     hours.size());
  std::string out = fmt::format(
      "<svg xmlns='http://www.w3.org/2000/svg' width='800' height='530' font-family='sans-serif' font-size='12' "
      "fill='{}'>\n"
      "<rect width='800' height='530' fill='white'/>\n",
      kInk);
  out += burnt.frame("Taxi fuel by hour of the day [t]", 2000.0, kTonne);
  out += gained.frame("Saved by taxiing on one engine [t]", step, kTonne);
  for (std::size_t k = 0; k < hours.size(); ++k) {
    out += burnt.bar(k, 0.08, 0.48, hours[k].reference, kReference) + burnt.bar(k, 0.52, 0.92, hours[k].advised, kAdvised);
    out += gained.bar(k, 0.24, 0.76, hours[k].saving, kAdvised) + gained.mark(k, hours[k].formula);
  }
  out += gained.names(hours);
  out += key(60, kReference, "every engine") + key(170, kAdvised, "as advised") +
         key(270, kFormula, "saved by the time-only formula") +
         fmt::format(
             "<path d='M512 497V509M509 497H515M509 509H515' stroke='{}'/><text x='524' y='507'>90 % of the draws</text>\n",
             kInk);
  return out + "</svg>\n";
}

}  // namespace

int main(int argc, char** argv) try {
  if (argc != 3) {
    std::cerr << "usage: draw_estimate TOTALS.csv OUT.svg\n";
    return 2;
  }
  std::ofstream out(argv[2]);
  out << picture(read_hours(argv[1]));
  return out.flush() ? 0 : 3;
} catch (const std::exception& e) {
  std::cerr << "draw_estimate: " << e.what() << '\n';
  return 3;
}
