// The profile over chainage: engines, verdicts and places as strips, and a track a quantity, all of one width. Curves
// stretch with the page, words do not; the script only moves the mark.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "page_escape.hpp"
#include "page_subject.hpp"
#include "sections.hpp"

namespace solotaxi::report {
namespace {

constexpr double kWide = 1000.0, kHigh = 100.0;  // of a track's own drawing, whatever its size on the page

struct Curve {
  std::string style;
  const std::vector<double>* at_m = nullptr;
  const std::vector<double>* value = nullptr;
};

struct Scale {
  double low = 0.0, high = 1.0;
  [[nodiscard]] double y(double value) const { return kHigh * (high - value) / (high - low); }
};

/// 1, 2 or 5 times a power of ten, at least `least`.
double round_step(double least) {
  const double power = std::pow(10.0, std::floor(std::log10(least)));
  for (const double times : {1.0, 2.0, 5.0})
    if (times * power >= least * (1.0 - 1e-9)) return times * power;
  return 10.0 * power;
}

/// Round ends that hold everything from low to high, at least `least` apart.
Scale round_scale(double low, double high, double least) {
  if (!(high - low >= least)) high = low + least;
  const double step = round_step((high - low) / 3.0);
  return {std::floor(low / step + 1e-9) * step, std::ceil(high / step - 1e-9) * step};
}

class Profile {
 public:
  Profile(const PageSubject& subject, const DriveColumns& drive, const GroundColumns& ground)
      : s_(subject), drive_(drive), ground_(ground), in_(subject.units) {}

  std::string html() {
    strip("Engines", "engines", phases());
    strip("Verdict", "verdict", verdicts());
    strip("Places", "places", places());
    heights();
    grades();
    thrusts();
    track("speed", "Speed", "kt", 0, {{"line", &drive_.at_m, &drive_.speed_kt}}, 0.0, 10.0);
    const ToldUnit fuel = in_.fuel_unit();
    track("fuel", "Fuel burnt", fuel.name, fuel.decimals, {{"line", &drive_.at_m, &drive_.fuel}}, 0.0, 1.0);
    track("brake", "Brakes", "°C", 0, {{"line", &drive_.at_m, &drive_.brake_c}}, HUGE_VAL, 20.0);
    axis();
    return fmt::format(
        "<div class=\"profile\" id=\"profile\" tabindex=\"0\" role=\"slider\" aria-label=\"Place along the way; arrow keys "
        "move it\" aria-valuemin=\"0\" aria-valuemax=\"{0}\" aria-valuenow=\"0\" aria-valuetext=\"start of the way\" "
        "aria-describedby=\"readout\">{1}</div>",
        short_number(s_.route->length_m, 0), html_);
  }

 private:
  [[nodiscard]] double share(double at_m) const { return s_.route->length_m > 0 ? at_m / s_.route->length_m : 0.0; }
  [[nodiscard]] std::string percent(double at_m) const { return short_number(100.0 * share(at_m), 2) + "%"; }
  [[nodiscard]] std::string x(double at_m) const { return short_number(kWide * share(at_m), 1); }

  void row(const std::string& style, const std::string& name, const std::string& plot) {
    html_ += fmt::format(
        "<div class=\"row {}\"><div class=\"name\">{}</div><svg class=\"plot\" aria-hidden=\"true\">{}<line class=\"mark\" "
        "x1=\"0\" x2=\"0\" y1=\"0\" y2=\"100%\"/></svg></div>",
        style, name, plot);
  }

  void strip(const std::string& name, const std::string& style, const std::string& plot) {
    row("strip " + style, "<b>" + name + "</b>", plot);
  }

  [[nodiscard]] std::string piece(const std::string& style, double from_m, double to_m) const {
    return fmt::format("<rect class=\"{}\" x=\"{}\" width=\"{}\" height=\"100%\"/>", style, percent(from_m),
                       percent(to_m - from_m));
  }

  std::string phases() const {
    std::string svg;
    constexpr double kRoom = 0.04;  // of the width, under which no name finds room; the script looks closer
    for (const PagePhase& phase : s_.phases) {
      svg += piece("phase " + phase.style, phase.from_m, phase.to_m);
      if (share(phase.to_m - phase.from_m) >= kRoom)
        svg += fmt::format("<text x=\"{}\" y=\"50%\" dx=\"6\">{}</text>", percent(phase.from_m), escaped(phase.word));
    }
    return svg;
  }

  std::string verdicts() const {
    std::string svg;
    const double overlap_m = s_.route->length_m * 1e-3;  // no hair of paper between neighbours
    for (const routing::Leg& leg : s_.route->legs)
      svg += piece(std::string("verdict ") + (leg.push_back ? "push" : motion::to_string(leg.place.verdict)), leg.from_m,
                   std::min(leg.from_m + leg.length_m + overlap_m, s_.route->length_m));
    return svg;
  }

  /// A sign for every hold, runway, engine event and turn toward the running engine.
  std::string places() const {
    std::string svg;
    for (const PagePlace& place : s_.places) {
      if (place.mark == "away" || place.mark == "turn") continue;
      svg +=
          fmt::format("<svg class=\"sign {}\" x=\"{}\" y=\"50%\" overflow=\"visible\">{}</svg>", escaped(place.mark),
                      percent(place.at_m),
                      place.mark == "hold" || place.mark == "stop" ? "<path d=\"M-3-8V8M3-8V8\"/>"
                      : place.mark == "toward"                     ? "<path d=\"M-7 6L0-7L7 6Z\"/>"
                      : place.mark == "engine"                     ? "<path d=\"M0-8L8 0L0 8L-8 0Z\"/>"
                      : place.mark == "crossing" || place.mark == "along" || place.mark == "line-up" || place.mark == "exit"
                          ? "<rect x=\"-6\" y=\"-6\" width=\"12\" height=\"12\"/>"
                          : "<circle r=\"5\"/>");
    }
    return svg;
  }

  [[nodiscard]] std::string curve(const Curve& c, const Scale& scale) const {
    std::string path;
    bool pen_down = false;
    for (std::size_t i = 0; i < c.at_m->size(); ++i) {
      const double value = (*c.value)[i];
      if (!std::isfinite(value)) {
        pen_down = false;
        continue;
      }
      path += fmt::format("{}{} {}", pen_down ? "L" : "M", x((*c.at_m)[i]), short_number(scale.y(value), 1));
      pen_down = true;
    }
    return path.empty() ? "" : fmt::format("<path class=\"{}\" d=\"{}\"/>", c.style, path);
  }

  void drawn(const std::string& key, const std::string& name, const std::string& unit, int decimals, const Scale& scale,
             const std::string& curves, const std::string& more) {
    const bool zero = scale.low < 0.0 && scale.high > 0.0;
    std::string plot = fmt::format(
        "<line class=\"edge\" x2=\"100%\" y1=\"100%\" y2=\"100%\"/>{}<svg viewBox=\"0 0 {} {}\" width=\"100%\" "
        "height=\"100%\" preserveAspectRatio=\"none\">{}</svg>{}",
        zero ? fmt::format("<line class=\"zero\" x2=\"100%\" y1=\"{0}%\" y2=\"{0}%\"/>", short_number(scale.y(0.0), 1))
             : "",
        kWide, kHigh, curves, more);
    const int shown = scale.high - scale.low < 5.0 ? std::max(1, decimals) : 0;
    plot += fmt::format(
        "<text class=\"most\" x=\"4\" y=\"14\">{}</text><text class=\"least\" x=\"4\" y=\"100%\" dy=\"-5\">{}</text>",
        number(scale.high, shown), number(scale.low, shown));
    row("track " + key,
        fmt::format("<b>{}</b> <span>{}</span><output class=\"now\" data-key=\"{}\"></output>", name, unit, key), plot);
  }

  /// `zero`: a value the scale shall hold besides.
  void track(const std::string& key, const std::string& name, const std::string& unit, int decimals,
             const std::vector<Curve>& curves, double zero, double least) {
    double low = zero, high = zero == HUGE_VAL ? -HUGE_VAL : zero;
    for (const Curve& c : curves)
      for (const double v : *c.value)
        if (std::isfinite(v)) low = std::min(low, v), high = std::max(high, v);
    if (low > high) return absent(key, name, unit);
    const Scale scale = round_scale(low, high, least);
    std::string paths;
    for (const Curve& c : curves) paths += curve(c, scale);
    drawn(key, name, unit, decimals, scale, paths, "");
  }

  void absent(const std::string& key, const std::string& name, const std::string& unit) {
    row("track " + key, fmt::format("<b>{}</b> <span>{}</span>", name, unit),
        piece("unknown", 0.0, s_.route->length_m) + "<text x=\"50%\" y=\"50%\" class=\"none\">not known</text>");
  }

  void heights() {
    const ToldUnit unit = in_.length_unit();
    track("height", "Height", unit.name, unit.name == "m" ? 1 : 0, {{"line", &ground_.at_m, &ground_.height}}, HUGE_VAL,
          4.0 * unit.factor);
  }

  void grades() {
    double low = 0.0, high = 0.0;
    bool known = false;
    for (const routing::GradeRun& run : ground_.grades)
      if (std::isfinite(run.grade)) {
        known = true;
        low = std::min(low, 100.0 * (run.grade - run.grade_sd)), high = std::max(high, 100.0 * (run.grade + run.grade_sd));
      }
    if (!known) return absent("grade", "Grade", "% up");
    const Scale scale = round_scale(low, high, 2.0);
    std::string band, line, unknown;
    for (const routing::GradeRun& run : ground_.grades) {
      const std::string from = x(run.from_m), to = x(run.from_m + run.length_m);
      if (!std::isfinite(run.grade)) {
        unknown += piece("unknown", run.from_m, run.from_m + run.length_m);
        continue;
      }
      const auto y = [&](double sds) { return short_number(scale.y(100.0 * (run.grade + sds * run.grade_sd)), 1); };
      band += fmt::format("M{0} {2}H{1}V{3}H{0}Z", from, to, y(1.0), y(-1.0));
      line += fmt::format("{}{} {}H{}", line.empty() ? "M" : "L", from, y(0.0), to);
    }
    drawn("grade", "Grade", "% up", 1, scale,
          fmt::format("<path class=\"spread\" d=\"{}\"/><path class=\"line\" d=\"{}\"/>", band, line), unknown);
  }

  void thrusts() {
    const ToldUnit unit = in_.thrust_unit();
    double most = 0.0, needed = 0.0, low = 0.0;
    bool impossible = false;
    for (std::size_t i = 0; i < drive_.at_m.size(); ++i) {
      most = std::max(most, drive_.available[i]);
      if (!std::isfinite(drive_.needed[i])) {
        impossible = true;
        continue;
      }
      needed = std::max(needed, drive_.needed[i]);
      low = std::min(low, drive_.needed[i]);
    }
    constexpr double kMostShown = 2.5;  // times the thrust available: what lies above is told, not drawn
    const bool above = impossible || needed > kMostShown * most;
    const Scale scale = round_scale(low, std::max(most, std::min(needed, kMostShown * most)), 1.0);
    const std::string curves =
        curve({"available", &drive_.at_m, &drive_.available}, scale) + curve({"line", &drive_.at_m, &drive_.needed}, scale);
    drawn("thrust", "Thrust", unit.name, unit.decimals, scale, curves,
          above ? "<text class=\"none\" x=\"50%\" y=\"16\">need goes above this scale</text>" : "");
  }

  void axis() {
    const ToldUnit unit = in_.length_unit();
    const double length = s_.route->length_m * unit.factor;
    const double step = round_step(std::max(length, 1.0) / 8.0);
    std::string svg;
    int i = 0;
    for (double at = 0.0; at <= length * 0.97; at += step, ++i)
      svg += fmt::format("<g class=\"{}\"><line x1=\"{}\" x2=\"{}\" y2=\"6\"/><text x=\"{}\" y=\"22\" {}>{}</text></g>",
                         i % 2 == 0 ? "even" : "odd", percent(at / unit.factor), percent(at / unit.factor),
                         percent(at / unit.factor), i == 0 ? "" : "text-anchor=\"middle\"", number(at, 0));
    row("axis", fmt::format("<b>Along the way</b> <span>{}</span>", unit.name), svg);
  }

  const PageSubject& s_;
  const DriveColumns& drive_;
  const GroundColumns& ground_;
  Measures in_;
  std::string html_;
};

}  // namespace

std::string profile_html(const PageSubject& subject, const DriveColumns& drive, const GroundColumns& ground) {
  return Profile(subject, drive, ground).html();
}

}  // namespace solotaxi::report
