#include "io/availability.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "io/condition.hpp"
#include "io/timesheet.hpp"

namespace solotaxi::io {
namespace {

/// How far beside a threshold an answer is asked for: what is written to the metre and the tonne leaves more room than
/// this.
constexpr double kBesideSpan_m = 0.01, kBesideMass_kg = 1.0;
constexpr double kWidest_m = 1000.0, kHeaviest_kg = 1e7;  ///< beyond every aeroplane

bool is_of(const std::string& said, Operation operation) {
  if (said.empty() || said == "ALL") return true;
  switch (operation) {
    case Operation::taxiing:
      return said == "TAXIING";
    case Operation::parking:
      return said == "PARKING" || said == "TAXIING";
    case Operation::take_off:
      return said == "TAKEOFF";
    case Operation::landing:
      return said == "LANDING";
  }
  return false;
}

/// An operation whose word says whether it is ours.
bool is_known(const std::string& said) {
  for (const char* word : {"", "ALL", "TAXIING", "PARKING", "TAKEOFF", "LANDING", "TOUCHGO", "TRAIN_APPROACH",
                           "ALTN_LANDING", "AIRSHOW", "CROSSING"})
    if (said == word) return true;
  return false;
}

enum class Standing { normal, limited, closed, extended };

/// One availability that holds, or may hold, at the time.
struct Item {
  const XmlElement* element = nullptr;
  Standing kind = Standing::normal;
  Truth now = Truth::yes;
  std::vector<const XmlElement*> usages;
};

class Meaning {
 public:
  Meaning(const XmlElement& slice, Operation operation, std::optional<Instant> at) : operation_(operation), at_(at) {
    for (const XmlElement* property : slice.all("availability"))
      for (const XmlElement& element : property->children) add(element);
  }

  Availability run() {
    out_.idle =
        temporary_ && std::none_of(items_.begin(), items_.end(), [](auto& i) { return i.kind != Standing::normal; });
    for (const Item& item : items_) tell(item);
    add_limits();
    out_.unknown.assign(unknown_.begin(), unknown_.end());
    return std::move(out_);
  }

 private:
  void add(const XmlElement& element) {
    if (element.is_nil()) return;
    Item item;
    item.element = &element;
    const std::string& status = element.value("operationalStatus");
    item.kind = status == "CLOSED"                     ? Standing::closed
                : status.empty() || status == "NORMAL" ? Standing::normal
                : status == "OTHER:EXTENDED"           ? Standing::extended
                                                       : Standing::limited;
    temporary_ = temporary_ || item.kind != Standing::normal;
    std::string why;
    item.now = holds(element, at_, why);
    if (item.now == Truth::no) return;
    if (item.now == Truth::unknown && item.kind != Standing::normal) unknown_.insert(why);
    for (const XmlElement* property : element.all("usage"))
      for (const XmlElement& usage : property->children)
        if (!property->is_nil()) item.usages.push_back(&usage);
    if (item.kind == Standing::limited && status != "LIMITED" && item.usages.empty()) {
      out_.reasons.push_back("its status is " + status);
      item.kind = Standing::closed;  // nobody says for whom it is open
    }
    items_.push_back(std::move(item));
  }

  void tell(const Item& item) {
    if (item.kind == Standing::normal) return;
    if (item.kind == Standing::closed) out_.reasons.emplace_back("closed");
    if (item.kind == Standing::limited && item.usages.empty()) {
      out_.in_part = true;
      out_.reasons.emplace_back("limited in part");
    }
    for (const XmlElement* usage : item.usages) {
      const std::string& type = usage->value("type");
      const XmlElement* selection = usage->child("selection");
      const std::string operation = usage->value("operation");
      out_.reasons.push_back(fmt::format("{} {}{}",
                                         type == "FORBID"        ? "prohibited for"
                                         : type == "RESERV"      ? "closed except for"
                                         : type == "CONDITIONAL" ? "available only to"
                                         : type == "PERMIT"      ? "also allowed for"
                                         : type.empty()          ? "used, nobody says how, by"
                                                                 : type,
                                         selection == nullptr ? "all" : words_of(*selection),
                                         operation.empty() || operation == "ALL" ? "" : ", operation " + operation));
      if (const XmlElement* prior = usage->child("priorPermission"); prior != nullptr && !prior->is_nil())
        out_.remarks.push_back("prior permission " + prior->text + " " + prior->attribute("uom"));
    }
  }

  [[nodiscard]] Truth asked(const XmlElement& usage, const Aeroplane& aeroplane, std::set<std::string>& unknown) const {
    const XmlElement* selection = usage.child("selection");
    return selection == nullptr || selection->is_nil() ? Truth::yes : meets(*selection, aeroplane, at_, unknown);
  }

  /// Whether the usages of one availability let an aeroplane in.
  [[nodiscard]] Truth lets_in(const Item& item, const Aeroplane& aeroplane, std::set<std::string>& unknown) const {
    Truth allowed = Truth::no, forbidden = Truth::no;
    bool selective = false;
    for (const XmlElement* usage : item.usages) {
      const std::string& type = usage->value("type");
      if (type == "FORBID") {
        const std::string operation = usage->value("operation");
        if (is_of(operation, operation_)) {
          forbidden = either(forbidden, asked(*usage, aeroplane, unknown));
        } else if (!is_known(operation) && item.kind != Standing::normal) {
          unknown.insert("whether the operation " + operation + " is this one");
          forbidden = either(forbidden, both(Truth::unknown, asked(*usage, aeroplane, unknown)));
        }
        continue;
      }
      if (type != "RESERV" && type != "CONDITIONAL" && type != "PERMIT" && item.kind != Standing::normal) {
        unknown.insert(type.empty() ? "what a usage without a type means" : "what a usage of type " + type + " means");
        return Truth::unknown;
      }
      // Normally a permission for some flights is no word about the others.
      if (type == "CONDITIONAL" && item.kind == Standing::normal) continue;
      selective = true;
      if (is_of(usage->value("operation"), operation_)) allowed = either(allowed, asked(*usage, aeroplane, unknown));
    }
    return both(selective ? allowed : Truth::yes, negated(forbidden));
  }

  [[nodiscard]] bool open(const Aeroplane& aeroplane) {
    bool normal = true, limited = true, extended = false;
    for (const Item& item : items_) {
      std::set<std::string> doubts;
      if (item.kind == Standing::closed) return false;
      if (item.kind == Standing::normal) normal = normal && lets_in(item, aeroplane, doubts) != Truth::no;
      if (item.kind == Standing::limited && !item.usages.empty()) {
        const Truth in = lets_in(item, aeroplane, doubts);
        if (in == Truth::unknown) unknown_.merge(doubts);
        limited = limited && in == Truth::yes;
      }
      if (item.kind == Standing::extended && item.now == Truth::yes) {
        for (const XmlElement* usage : item.usages)
          extended = extended || (usage->value("type") == "PERMIT" && is_of(usage->value("operation"), operation_) &&
                                  asked(*usage, aeroplane, doubts) == Truth::yes);
        unknown_.merge(doubts);
      }
    }
    return (normal || extended) && limited;
  }

  /// The largest of wingspan and mass up to which it is open throughout.
  void add_limits() {
    Thresholds thresholds;
    for (const Item& item : items_) add_thresholds(*item.element, thresholds);
    const auto samples = [](const std::set<double>& at, double beside, double most) {
      std::set<double> out{beside, most};
      for (const double t : at)
        for (const double v : {t - beside, t, t + beside})
          if (v > 0.0) out.insert(v);
      return std::vector<double>(out.begin(), out.end());
    };
    const auto spans = samples(thresholds.wingspans_m, kBesideSpan_m, kWidest_m);
    const auto masses = samples(thresholds.masses_kg, kBesideMass_kg, kHeaviest_kg);
    // By span: how many masses, from the least on, are let in throughout all spans up to it.
    std::vector<std::size_t> good;
    std::size_t least = masses.size();
    for (const double span : spans) {
      std::size_t n = 0;
      while (n < least && open({span, masses[n]})) ++n;
      least = n;
      good.push_back(n);
    }
    if (good.front() == 0) {
      out_.closed = true;
      return;
    }
    // Any mass with the widest span there is, else any span with the greatest mass, else the widest span at all.
    std::size_t at = spans.size() - 1;
    if (good.back() == 0)
      while (good[at] == 0 || (good.front() == masses.size() && good[at] < masses.size())) --at;
    if (at + 1 < spans.size()) out_.max_wingspan_m = spans[at];
    if (good[at] < masses.size()) out_.max_mass_kg = masses[good[at] - 1];
  }

  Operation operation_;
  std::optional<Instant> at_;
  std::vector<Item> items_;
  std::set<std::string> unknown_;
  bool temporary_ = false;
  Availability out_;
};

}  // namespace

Availability availability_of(const XmlElement& slice, Operation operation, std::optional<Instant> at) {
  return Meaning(slice, operation, at).run();
}

}  // namespace solotaxi::io
