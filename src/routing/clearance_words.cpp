// Words for a way: the names it leads over, then whatever pins it down, tried by reading and matching them.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "routing/assigned_match.hpp"
#include "routing/spelling.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::routing {
namespace {

/// Most texts tried for one way.
constexpr int kTries = 20;

class Wording {
 public:
  Wording(const Network& net, const aircraft::Aircraft& aircraft, const motion::Conditions& conditions, const Route& route,
          const AssignedRequest& request)
      : net_(net),
        aircraft_(aircraft),
        conditions_(conditions),
        arcs_(route.arcs),
        lines_(net),
        vocabulary_(make_vocabulary(net)),
        request_(request) {
    name_end(parse_place(route.to), route.direction);
    name_items();
    name_runways(route);
  }

  ClearanceWords write() {
    ClearanceWords out;
    auto got = try_text(out);
    if (!got && !clearance_.backtrack && on_runway()) {
      clearance_.backtrack = true;  // a few metres of runway that are no crossing
      got = try_text(out);
    }
    while (got && *got != arcs_) {
      const std::size_t same = common(*got);
      out.why_not = difference(*got, same);
      if (!pin_down(same, out, got)) return out;
    }
    out.exact = got.has_value();
    if (out.exact) out.why_not.clear();
    return out;
  }

 private:
  /// A turn that may be said, and the arc it leads onto.
  struct SaidTurn {
    std::size_t arc = 0;
    Side side{};
    std::string name;
  };

  std::optional<std::vector<ArcId>> try_text(ClearanceWords& out) {
    ++tries_;
    out.text = to_text(clearance_);
    return matched(out.text, out.why_not);
  }

  /// Says a turn at or soon behind the place where the ways part, so that they part later.
  bool pin_down(std::size_t same, ClearanceWords& out, std::optional<std::vector<ArcId>>& got) {
    const ClearanceWords before = out;
    if (clearance_.items.size() >= kClearanceItems) return false;
    for (const SaidTurn& turn : turns_from(same)) {
      if (tries_ >= kTries) break;
      const std::size_t earlier =
          static_cast<std::size_t>(std::count_if(said_.begin(), said_.end(), [&](std::size_t k) { return k <= turn.arc; }));
      const auto place = clearance_.items.begin() + static_cast<std::ptrdiff_t>(item_after_[turn.arc - 1] + earlier);
      const auto at = clearance_.items.insert(place, {ClearanceItem::Kind::turn, {turn.name, {turn.name}}, turn.side, {}});
      auto now = try_text(out);
      if (now && (*now == arcs_ || common(*now) > same)) {
        said_.push_back(turn.arc);
        got = std::move(now);
        return true;
      }
      clearance_.items.erase(at);
    }
    out = before;
    return false;
  }

  /// Turns of this way from an arc on, at the first few places where it leaves what it was on.
  [[nodiscard]] std::vector<SaidTurn> turns_from(std::size_t first) const {
    constexpr int kPlaces = 3;
    std::vector<SaidTurn> out;
    int places = 0;
    for (std::size_t k = std::max<std::size_t>(first, 1); k < arcs_.size() && places < kPlaces; ++k) {
      if (k > first && lines_.of(network::segment_of(arcs_[k])) == lines_.of(network::segment_of(arcs_[k - 1]))) continue;
      ++places;
      add_turns_at(k, out);
    }
    return out;
  }

  void name_end(const Place& to, Direction direction) {
    ClearanceEnd& end = clearance_.end;
    request_.to = to;
    request_.direction = direction;
    if (to.kind == Place::Kind::stand)
      end = {ClearanceEnd::Kind::stand, {to.name, {to.name}}, "", to.id, {}};
    else if (to.kind == Place::Kind::hold)
      end = {ClearanceEnd::Kind::hold, {to.name, {to.name}}, "", to.id, {}};
    else if (to.kind == Place::Kind::runway)
      end = {ClearanceEnd::Kind::runway, {}, to.name, "", {}};
    if (end.kind == ClearanceEnd::Kind::runway && !to.at.empty() && !lines_.find({to.at}).empty())
      end.at = {to.at, {to.at}};
  }

  /// The names in order. `item_after_[k]`: how many items are named when arc k has been driven.
  void name_items() {
    LineId line = kStartLine;
    for (const ArcId a : arcs_) {
      const auto& own = lines_.of(network::segment_of(a));
      if (!own.empty() && std::find(own.begin(), own.end(), line) == own.end()) {
        line = own.front();
        clearance_.items.push_back(
            {ClearanceItem::Kind::taxiway, {lines_.name(line), {lines_.name(line)}}, Side::left, {}});
      }
      item_after_.push_back(clearance_.items.size());
    }
    if (clearance_.items.size() > kClearanceItems) clearance_.items.resize(kClearanceItems);
  }

  void name_runways(const Route& route) {
    for (const RunwayUse& use : route.runway_uses) {
      if (use.kind == RunwayUse::Kind::along) clearance_.backtrack = true;
      if (use.kind != RunwayUse::Kind::crossing || clearance_.bindings.size() == kClearanceBindings) continue;
      for (const auto& r : net_.runways) {
        if (r.name != use.runway) continue;
        const std::string& name = r.designators[0].empty() ? r.designators[1] : r.designators[0];
        if (!name.empty()) clearance_.bindings.push_back({ClearanceBinding::Kind::cross_runway, {name, {name}}, {}});
        break;
      }
    }
  }

  std::optional<std::vector<ArcId>> matched(const std::string& text, std::string& why) const {
    try {
      const auto answer = assigned_way(net_, aircraft_, conditions_, read_clearance(text, vocabulary_), request_);
      if (const auto* way = std::get_if<AssignedWay>(&answer)) return way->arcs;
      why = std::get<CannotFollow>(answer).reason;
    } catch (const Error& e) {
      why = e.one_line();
    }
    return std::nullopt;
  }

  [[nodiscard]] bool on_runway() const {
    return std::any_of(arcs_.begin(), arcs_.end(), [&](ArcId a) { return net_.segment(a).kind == LineKind::runway; });
  }

  [[nodiscard]] std::size_t common(const std::vector<ArcId>& other) const {
    std::size_t k = 0;
    while (k < arcs_.size() && k < other.size() && arcs_[k] == other[k]) ++k;
    return k;
  }

  [[nodiscard]] double length_m(const std::vector<ArcId>& arcs, std::size_t from) const {
    double sum = 0.0;
    for (std::size_t k = from; k < arcs.size(); ++k) sum += net_.segment(arcs[k]).length_m;
    return sum;
  }

  [[nodiscard]] std::string difference(const std::vector<ArcId>& other, std::size_t same) const {
    const double longer = length_m(arcs_, same) - length_m(other, same);
    return fmt::format("the words mean a way that parts from this one {:.0f} m along and is {:.0f} m shorter",
                       length_m(arcs_, 0) - length_m(arcs_, same), longer);
  }

  /// The turn into arc k over the unnamed pieces behind it, at each taxiway of the junction.
  void add_turns_at(std::size_t first, std::vector<SaidTurn>& out) const {
    double angle = 0.0, pieces_m = 0.0;
    std::vector<std::string> names;
    for (std::size_t k = first; k < arcs_.size(); ++k) {
      for (const Movement& m : net_.movements_from(arcs_[k - 1]))
        if (m.to == arcs_[k]) angle += static_cast<double>(m.angle_rad);
      note_landmarks(net_.tail(arcs_[k]), k, names);
      const auto& s = net_.segment(arcs_[k]);
      if (!lines_.of(network::segment_of(arcs_[k])).empty() || s.kind == LineKind::runway) break;
      pieces_m += s.length_m;
      if (pieces_m > kJunctionPieces_m) break;
      angle += turned_rad(s, network::is_along(arcs_[k]));
    }
    if (std::abs(angle) < kLeastTurn_rad) return;
    for (const std::string& name : names) out.push_back({first, angle > 0.0 ? Side::right : Side::left, name});
  }

  /// Names of the taxiways at a junction's node, that driven next first.
  void note_landmarks(NodeId node, std::size_t k, std::vector<std::string>& names) const {
    const auto add = [&](const std::string& name) {
      if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(name);
    };
    for (std::size_t j = k; j < arcs_.size(); ++j) {
      const auto& own = lines_.of(network::segment_of(arcs_[j]));
      if (own.empty()) continue;
      add(lines_.name(own.front()));
      break;
    }
    for (const std::string& name : taxiways_at(net_, node))
      for (const LineId l : lines_.find({name})) add(lines_.name(l));
  }

  const Network& net_;
  const aircraft::Aircraft& aircraft_;
  const motion::Conditions& conditions_;
  const std::vector<ArcId>& arcs_;
  Lines lines_;
  Vocabulary vocabulary_;
  AssignedRequest request_;
  Clearance clearance_;
  std::vector<std::size_t> item_after_;
  std::vector<std::size_t> said_;  ///< arcs that turns said lead onto
  int tries_ = 0;
};

}  // namespace

ClearanceWords clearance_words(const network::Network& network, const aircraft::Aircraft& aircraft,
                               const motion::Conditions& conditions, const Route& route, const AssignedRequest& request) {
  return Wording(network, aircraft, conditions, route, request).write();
}

}  // namespace solotaxi::routing
