// The estimate as a briefing.
#include <fmt/format.h>

#include "common.hpp"
#include "sections.hpp"
#include "solotaxi/report/estimate_report.hpp"

namespace solotaxi::report {
namespace {

using planning::GroupBy;
using planning::Sum;
using planning::Sums;

constexpr double kPerKilogram = 1e6;

double kg(std::int64_t mg) { return static_cast<double>(mg) / kPerKilogram; }
double percent(double part, double whole) { return whole > 0.0 ? 100.0 * part / whole : 0.0; }

double fuel_saving(const Sums& s) { return kg(get(s, Sum::reference_fuel_mg) - get(s, Sum::fuel_mg)); }
double formula_saving(const Sums& s) { return kg(get(s, Sum::time_only_all_mg) - get(s, Sum::time_only_one_mg)); }

class EstimateText {
 public:
  EstimateText(const planning::EstimateTotals& totals, const EstimateContext& context,
               const planning::Uncertainty* uncertainty)
      : totals_(totals), context_(context), uncertainty_(uncertainty), whole_(planning::whole(totals)) {}

  std::string text() {
    head();
    emissions();
    if (uncertainty_ != nullptr) uncertainty();
    group("BY FIELD", GroupBy::field);
    group("BY AIRCRAFT", GroupBy::aircraft);
    group("BY HOUR", GroupBy::hour);
    group("BY MONTH", GroupBy::month);
    bias();
    findings();
    add_cautions(page_, RouteContext{});
    if (!context_.attribution.empty()) page_.blank();
    for (const std::string& thanks : context_.attribution) page_.line("", thanks);
    return page_.text();
  }

 private:
  void head() {
    const double reference = kg(get(whole_, Sum::reference_fuel_mg)), saving = fuel_saving(whole_);
    const std::int64_t movements = get(whole_, Sum::movements), one = get(whole_, Sum::one_engine);
    page_.title("ESTIMATE  " + printable(context_.movements_file));
    page_.line("", "Planning aid, not for navigation.");
    page_.blank();
    page_.item("Movements",
               fmt::format("{} of {} rows; {} rejected", number(static_cast<double>(movements), 0),
                           number(static_cast<double>(totals_.rows), 0), number(static_cast<double>(totals_.rejected), 0)));
    if (!context_.first_reject.empty()) page_.item("", "the first: " + printable(context_.first_reject));
    page_.item("One engine", fmt::format("advised for {} ({:.1f}{}%)", number(static_cast<double>(one), 0),
                                         percent(static_cast<double>(one), static_cast<double>(movements)), kNoBreak));
    page_.item("Saves",
               fmt::format("{} of {} ({:.1f}{}%), CO2 {}", with_unit(saving, 0, "kg"), with_unit(reference, 0, "kg"),
                           percent(saving, reference), kNoBreak, with_unit(saving * kCo2PerFuel, 0, "kg")));
    page_.item("By time", fmt::format("{} of {} ({:.1f}{}%) by the time-only formula, which leaves out grade, thrust above "
                                      "idle and the APU",
                                      with_unit(formula_saving(whole_), 0, "kg"),
                                      with_unit(kg(get(whole_, Sum::time_only_all_mg)), 0, "kg"),
                                      percent(formula_saving(whole_), kg(get(whole_, Sum::time_only_all_mg))), kNoBreak));
    page_.item("Conditions", fmt::format("{}, QNH {}, {} surface; masses in classes of {}",
                                         with_unit(context_.oat_c, 0, "°C"), with_unit(context_.qnh_hpa, 0, "hPa"),
                                         context_.surface, with_unit(context_.mass_class_kg, 0, "kg")));
  }

  void row(const std::string& name, const std::string& a, const std::string& b, const std::string& c, const std::string& d,
           const std::string& e) {
    page_.row({{name, 24}, {a, -10}, {b, -12}, {c, -12}, {d, -8}, {e, -12}});
  }

  void emissions() {
    page_.heading("FUEL AND EMISSIONS (KG)");
    row("", "", "advised", "reference", "", "saved");
    const auto line = [&](const char* name, Sum advised, Sum reference, double factor) {
      const double a = factor * kg(get(whole_, advised)), r = factor * kg(get(whole_, reference));
      row(name, "", number(a, 1), number(r, 1), fmt::format("{:.1f}{}%", percent(r - a, r), kNoBreak), number(r - a, 1));
    };
    line("Fuel", Sum::fuel_mg, Sum::reference_fuel_mg, 1.0);
    line("CO2", Sum::fuel_mg, Sum::reference_fuel_mg, kCo2PerFuel);
    line("HC", Sum::hc_mg, Sum::reference_hc_mg, 1.0);
    line("CO", Sum::co_mg, Sum::reference_co_mg, 1.0);
    line("NOx", Sum::nox_mg, Sum::reference_nox_mg, 1.0);
    page_.line("  ", "HC, CO and NOx are those of the main engines, at their idle indices.");
  }

  void uncertainty() {
    using planning::Total;
    const planning::Uncertainty& u = *uncertainty_;
    page_.heading("UNCERTAINTY (KG)");
    const auto line = [&](const std::string& name, const planning::Interval& i) {
      row(name, "", number(i.p5, 0), number(i.median, 0), "", number(i.p95, 0));
    };
    row("", "", "5 %", "median", "", "95 %");
    line("Fuel, advised", get(u.whole, Total::fuel_kg));
    line("Fuel, reference", get(u.whole, Total::reference_fuel_kg));
    line("Saved", get(u.whole, Total::saving_kg));
    page_.heading("WHAT MOVES THE SAVING MOST (KG SAVED, ONE ERROR ALONE)");
    row("", "", "5 %", "median", "", "95 %");
    for (const planning::Effect& e : u.effects) line(planning::uncertain_keys()[index(e.what)].name, e.saving_kg);
    page_.line("  ",
               fmt::format("{} draws, seed {}. Ways and phases stay as planned; the start is set anew. Errors of single "
                           "movements, which average out, and of the map are left out.",
                           number(static_cast<double>(u.draws), 0), u.seed));
  }

  /// "12 to 15", or nothing.
  [[nodiscard]] std::string saving_interval(GroupBy by, const std::string& name) const {
    if (uncertainty_ == nullptr) return "";
    const planning::Interval& i = get(uncertainty_->groups.at(by).at(name), planning::Total::saving_kg);
    return fmt::format("{} to {}", number(i.p5, 0), number(i.p95, 0));
  }

  void group(const char* heading, GroupBy by) {
    page_.heading(heading);
    row("", "movements", "fuel kg", "saved kg", "", "by time kg");
    for (const auto& [name, s] : planning::grouped(totals_, by)) {
      row(printable(name), number(static_cast<double>(get(s, Sum::movements)), 0), number(kg(get(s, Sum::fuel_mg)), 0),
          number(fuel_saving(s), 0),
          fmt::format("{:.1f}{}%", percent(fuel_saving(s), kg(get(s, Sum::reference_fuel_mg))), kNoBreak),
          number(formula_saving(s), 0));
      if (uncertainty_ != nullptr) page_.row({{"", 24}, {"5 to 95 %", -22}, {saving_interval(by, name), -20}});
    }
  }

  void findings() {
    if (context_.findings.empty()) return;
    page_.heading("WORTH KNOWING");
    for (const Finding& f : in_order(context_.findings))
      page_.line("  - ", fmt::format("{}, {}: {}", to_string(f.severity), printable(f.where.id), f.text));
  }

  void bias() {
    if (totals_.bias.empty()) return;
    page_.heading("MEASURED LESS MODELLED TAXI TIME (S)");
    row("", "movements", "mean", "median", "", "5 to 95 %");
    for (const auto& [field, b] : totals_.bias)
      row(printable(field), number(static_cast<double>(b.count()), 0), number(b.mean_s(), 1), number(b.quantile_s(0.5), 0),
          "", fmt::format("{} to {}", number(b.quantile_s(0.05), 0), number(b.quantile_s(0.95), 0)));
  }

  const planning::EstimateTotals& totals_;
  const EstimateContext& context_;
  const planning::Uncertainty* uncertainty_;
  Sums whole_;
  Page page_;
};

}  // namespace

std::string estimate_text(const planning::EstimateTotals& totals, const EstimateContext& context,
                          const planning::Uncertainty* uncertainty) {
  return EstimateText(totals, context, uncertainty).text();
}

}  // namespace solotaxi::report
