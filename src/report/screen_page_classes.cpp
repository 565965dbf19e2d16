// Segments and stands of a screen in classes, the same for all its cases so that they can be compared.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "common.hpp"
#include "screen_page_parts.hpp"
#include "screen_parts.hpp"

namespace solotaxi::report {
namespace {

using planning::Screen;
using planning::ScreenPair;

constexpr char kNotDrawn = '-';

char digit(int value) { return static_cast<char>('0' + value); }

double one_digit(double value) {
  if (!(value > 0.0)) return 0.0;
  const double power = std::pow(10.0, std::floor(std::log10(value)));
  return std::round(value / power) * power;
}

/// A year's fuel lost is told from here; less is rounding.
constexpr double kNothing_kg = 0.5;

/// By stand, out and in together.
std::vector<ScreenSum> whole_sums(const ScreenCase& c) {
  std::vector<ScreenSum> out(c.network->stands.size());
  for (const ScreenPair& p : c.screen->pairs) out[static_cast<std::size_t>(p.move.stand)].add(p);
  return out;
}

void add_scale(ScreenMeasure& measure, const ScreenScale& scale, const std::string& unit) {
  const auto words = scale.words(unit);
  for (int i = 0; i < 4; ++i) measure.classes.push_back({digit(i + 1), words[static_cast<std::size_t>(i)]});
}

template <class Value>
double largest(const std::vector<ScreenCase>& cases, Value value) {
  double most = 0.0;
  for (const ScreenCase& c : cases)
    for (const planning::ScreenSegment& s : c.screen->segments) most = std::max(most, value(c, s));
  return most;
}

template <class Letter>
void letter_segments(ScreenMeasure& measure, const std::vector<ScreenCase>& cases, Letter letter) {
  for (const ScreenCase& c : cases) {
    std::string& of = measure.of.emplace_back();
    for (const planning::ScreenSegment& s : c.screen->segments) of += s.pairs == 0 ? kNotDrawn : letter(c, s);
  }
}

ScreenMeasure lost(const std::vector<ScreenCase>& cases, const Measures& in) {
  const auto lost_kg = [](const ScreenCase& c, const planning::ScreenSegment& s) {
    return s.stretch ? c.screen->stretches[*s.stretch].lost_kg.value_or(0.0) : 0.0;
  };
  const ToldUnit unit = in.fuel_unit();
  ScreenMeasure out{"lost", "Fuel lost a year", false, {}, {}};
  const ScreenScale scale(unit.factor * largest(cases, lost_kg));
  out.classes = {{'0', "used, one engine will do"}};
  add_scale(out, scale, unit.name + " lost a year by its stretch");
  out.classes.push_back({'z', "forces every engine, mending it alone saves nothing"});
  out.classes.push_back({'q', "forces every engine, loss not searched"});
  letter_segments(out, cases, [&](const ScreenCase& c, const planning::ScreenSegment& s) {
    if (!s.stretch) return '0';
    if (!c.screen->stretches[*s.stretch].lost_kg) return 'q';
    const double kg = lost_kg(c, s);
    return kg < kNothing_kg ? 'z' : digit(scale.of(unit.factor * kg));
  });
  return out;
}

ScreenMeasure share(const std::vector<ScreenCase>& cases) {
  ScreenMeasure out{"share", "Share forced", false, {}, {}};
  out.classes = {{'0', "used, one engine will do"},
                 {'1', "up to 25 % of plans forced to run every engine"},
                 {'2', "25 to 50 %"},
                 {'3', "50 to 75 %"},
                 {'4', "over 75 %"}};
  letter_segments(out, cases, [](const ScreenCase&, const planning::ScreenSegment& s) {
    const double part = s.movements > 0.0 ? s.forced_movements / s.movements
                                          : static_cast<double>(s.forced_pairs) / static_cast<double>(s.pairs);
    constexpr double kClass = 0.25, kRounding = 1e-9;
    return digit(part <= 0.0 ? 0 : std::clamp(static_cast<int>(std::ceil(part / kClass - kRounding)), 1, 4));
  });
  return out;
}

ScreenMeasure use(const std::vector<ScreenCase>& cases) {
  const auto movements = [](const ScreenCase&, const planning::ScreenSegment& s) { return s.movements; };
  ScreenMeasure out{"use", "Use by traffic", false, {}, {}};
  const ScreenScale scale(largest(cases, movements));
  add_scale(out, scale, "movements a year");
  out.classes.push_back({'0', "on a cheapest way, without traffic"});
  letter_segments(out, cases,
                  [&](const ScreenCase&, const planning::ScreenSegment& s) { return digit(scale.of(s.movements)); });
  return out;
}

/// Movements a year that share a route on each segment.
std::vector<double> on_routes(const ScreenCase& c) {
  std::vector<double> out(c.screen->segments.size(), 0.0);
  for (const planning::StandardRoute& r : c.screen->routes)
    for (const auto s : r.segments)
      for (const planning::StandOnRoute& on : r.stands)
        if (on.fuel_kg) out[index(s)] += on.movements;
  return out;
}

ScreenMeasure routes(const std::vector<ScreenCase>& cases) {
  ScreenMeasure out{"routes", "Standard routes", false, {}, {}};
  std::vector<std::vector<double>> movements;
  double most = 0.0;
  for (const ScreenCase& c : cases) {
    movements.push_back(on_routes(c));
    for (const double m : movements.back()) most = std::max(most, m);
  }
  const ScreenScale scale(most);
  add_scale(out, scale, "movements a year on shared parts of standard routes");
  for (const auto& of_case : movements) {
    std::string& of = out.of.emplace_back();
    for (const double m : of_case) of += m > 0.0 ? digit(scale.of(m)) : kNotDrawn;
  }
  return out;
}

ScreenMeasure stand_plans(const std::vector<ScreenCase>& cases) {
  ScreenMeasure out{"plan", "One-engine plan", true, {}, {}};
  out.classes = {
      {'2', "stand: every runway end on one engine, out and in"}, {'1', "some"}, {'0', "none"}, {'n', "no way at all"}};
  for (const ScreenCase& c : cases) {
    std::string& of = out.of.emplace_back();
    for (const ScreenSum& s : whole_sums(c)) of += s.ways == 0 ? 'n' : s.ones == 0 ? '0' : s.ones < s.ways ? '1' : '2';
  }
  return out;
}

ScreenMeasure stand_savings(const std::vector<ScreenCase>& cases, const Measures& in) {
  const ToldUnit unit = in.fuel_unit();
  std::vector<std::vector<ScreenSum>> sums;
  double most = 0.0;
  const auto mean = [&](const ScreenSum& s) { return unit.factor * *s.mean_saving_kg(); };
  for (const ScreenCase& c : cases) {
    sums.push_back(whole_sums(c));
    for (const ScreenSum& s : sums.back())
      if (s.ones > 0) most = std::max(most, mean(s));
  }
  ScreenMeasure out{"saving", "Mean saving", true, {}, {}};
  const ScreenScale scale(most);
  add_scale(out, scale, unit.name + " saved on average, of plans on one engine");
  out.classes.push_back({'z', "on average costs more than it saves"});
  out.classes.push_back({'0', "no plan on one engine"});
  out.classes.push_back({'n', "no way at all"});
  for (const auto& of_case : sums) {
    std::string& of = out.of.emplace_back();
    for (const ScreenSum& s : of_case)
      of += s.ways == 0 ? 'n' : s.ones == 0 ? '0' : mean(s) <= 0.0 ? 'z' : digit(scale.of(mean(s)));
  }
  return out;
}

}  // namespace

ScreenScale::ScreenScale(double most) {
  constexpr std::array<double, 3> kShares{0.1, 0.3, 0.6};  // uses differ by tens: finer below
  for (std::size_t i = 0; i < bounds_.size(); ++i) bounds_[i] = one_digit(kShares[i] * most);
}

int ScreenScale::of(double value) const {
  if (!(value > 0.0)) return 0;
  return 1 + static_cast<int>(std::count_if(bounds_.begin(), bounds_.end(), [&](double b) { return value > b; }));
}

std::array<std::string, 4> ScreenScale::words(const std::string& unit) const {
  const auto told = [](double v) {
    return number(v, std::max(0, v > 0.0 ? -static_cast<int>(std::floor(std::log10(v))) : 0));
  };
  return {"up to " + told(bounds_[0]) + " " + unit, told(bounds_[0]) + " to " + told(bounds_[1]),
          told(bounds_[1]) + " to " + told(bounds_[2]), "over " + told(bounds_[2])};
}

ScreenMaps screen_maps(const std::vector<AircraftScreen>& screens, const ScreenContext& context, const Measures& in) {
  ScreenMaps out;
  out.networks = {context.network};
  const network::Network* changed = &network_screened(context, true);
  if (changed != context.network) out.networks.push_back(changed);
  const bool both = std::any_of(screens.begin(), screens.end(), [](const auto& s) { return s.changed.has_value(); });
  for (const AircraftScreen& s : screens) {
    const std::string name = aircraft_title(s, in);
    out.cases.push_back({&s, &s.now, context.network, 0, both ? name + ", as it is" : name});
    if (s.changed) out.cases.push_back({&s, &*s.changed, changed, out.networks.size() - 1, name + ", changed"});
  }
  for (std::size_t n = 0; n < out.networks.size(); ++n) {
    auto& drawn = out.drawn.emplace_back();
    std::vector<std::uint8_t> shown(out.networks[n]->segments.size(), 0);
    for (const ScreenCase& c : out.cases) {
      if (c.map != n) continue;
      for (std::uint32_t s = 0; s < shown.size(); ++s)
        if (c.screen->segments[s].pairs > 0) shown[s] = 1;
      for (const planning::StandardRoute& r : c.screen->routes)
        for (const auto s : r.segments) shown[index(s)] = 1;
    }
    for (std::uint32_t s = 0; s < shown.size(); ++s)
      if (shown[s] != 0) drawn.push_back(s);
  }
  out.measures = {lost(out.cases, in), share(out.cases), use(out.cases)};
  if (context.request->standard_routes) out.measures.push_back(routes(out.cases));
  out.measures.push_back(stand_plans(out.cases));
  out.measures.push_back(stand_savings(out.cases, in));
  return out;
}

}  // namespace solotaxi::report
