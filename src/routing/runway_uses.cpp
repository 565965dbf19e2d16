// Where the route touches a runway: crossings, line-up, exit and ways along it, each with the holding position before it.
#include <algorithm>
#include <cmath>
#include <limits>

#include "routing/assemble.hpp"

namespace solotaxi::routing {
namespace {

/// The nodes of the way, node i being the tail of arc i, with their chainages.
struct Nodes {
  std::vector<NodeId> id;
  std::vector<double> at_m;
};

Nodes nodes_of(const Telling& t, const Steps& steps) {
  const Network& net = *t.q->net;
  Nodes out;
  for (const Step& s : steps.steps) {
    out.id.push_back(net.tail(s.arc));
    out.at_m.push_back(s.from_m);
  }
  const Step& last = steps.steps.back();
  out.id.push_back(net.head(last.arc));
  out.at_m.push_back(last.from_m + net.segment(last.arc).length_m);
  return out;
}

class RunwayTeller {
 public:
  RunwayTeller(const Telling& t, const Nodes& nodes, int runway, Route& route)
      : t_(t),
        net_(*t.q->net),
        nodes_(nodes),
        runway_(runway),
        r_(net_.runways[static_cast<std::size_t>(runway)]),
        route_(route),
        on_(net_.nodes.size(), 0) {
    for (const network::SegmentId s : r_.segments) on_[index(net_.segment(s).from)] = on_[index(net_.segment(s).to)] = 1;
  }

  void tell() {
    const auto& arcs = t_.way->arcs;
    for (std::size_t i = 0; i < nodes_.id.size(); ++i) {
      if (!on_[index(nodes_.id[i])]) continue;
      std::size_t j = i;
      double length = 0.0;
      for (; j < arcs.size() && net_.segment(arcs[j]).runway == runway_; ++j) length += net_.segment(arcs[j]).length_m;
      run(i, j, length);
      i = j;
    }
  }

 private:
  void run(std::size_t i, std::size_t j, double length) {
    const bool first = i == 0, last = j + 1 == nodes_.id.size();
    const bool lengthwise = length > kCrossingOffset_m;
    using Kind = RunwayUse::Kind;
    if (first && last) return add(Kind::along, i, i, length);
    if (lengthwise) add(Kind::along, i, i, length);
    if (first)
      add(Kind::exit, j, i, lengthwise ? 0.0 : length);
    else if (last)
      add(Kind::line_up, i, i, lengthwise ? 0.0 : length);
    else if (!lengthwise)
      add(Kind::crossing, i, i, length);
  }

  void add(RunwayUse::Kind kind, std::size_t at, std::size_t entered, double length) {
    RunwayUse use;
    use.kind = kind;
    use.runway = r_.name;
    use.at_m = nodes_.at_m[at];
    use.length_m = length;
    use.at = net_.node(nodes_.id[at]).at;
    use.hold_at_m = std::numeric_limits<double>::quiet_NaN();
    if (entered > 0) find_hold(use, entered);
    say(use, nodes_.id[at], entered);
    route_.runway_uses.push_back(std::move(use));
  }

  void find_hold(RunwayUse& use, std::size_t entered) {
    for (std::size_t k = entered; k-- > 0;) {
      if (on_[index(nodes_.id[k])]) return;  // that one belongs to the use before
      const network::HoldingPoint* here = nullptr;
      for (const auto& h : net_.holding_points)
        if (h.node == nodes_.id[k] && h.runway == runway_ && (!here || (here->assumed && !h.assumed))) here = &h;
      if (!here) continue;
      use.hold = here->assumed ? "" : here->ref.empty() ? here->id : here->ref;
      use.hold_assumed = here->assumed;
      use.hold_at_m = nodes_.at_m[k];
      return;
    }
  }

  void say(const RunwayUse& use, NodeId node, std::size_t entered) {
    using Kind = RunwayUse::Kind;
    const auto note = [&](const char* code, Severity severity, const std::string& text) {
      route_.findings.push_back(finding_at(net_, node, code, severity, text));
    };
    const bool along = use.kind == Kind::along;
    if (along)
      note("runway-along", Severity::caution,
           "the route goes " + std::to_string(std::lround(use.length_m)) + " m along runway " + use.runway +
               ": there is no other way");
    if (r_.closed && !along)
      note("closed-runway-crossed", Severity::caution,
           "the route crosses runway " + use.runway + ", which the map shows as closed");
    if (entered == 0 || use.kind == Kind::exit) return;
    const bool said = !route_.runway_uses.empty() && route_.runway_uses.back().kind == Kind::along &&
                      route_.runway_uses.back().at == use.at;  // of the way along that this line-up begins with
    if (said) return;
    if (use.hold_assumed)
      note("assumed-hold", Severity::note,
           "no holding position is mapped before runway " + use.runway + "; one is assumed on the way to it");
    else if (std::isnan(use.hold_at_m))
      note("no-hold", Severity::caution, "the route has no holding position before runway " + use.runway);
  }

  const Telling& t_;
  const Network& net_;
  const Nodes& nodes_;
  int runway_;
  const network::Runway& r_;
  Route& route_;
  std::vector<std::uint8_t> on_;
};

}  // namespace

void add_runway_uses(const Telling& t, const Steps& steps, Route& route) {
  const Nodes nodes = nodes_of(t, steps);
  for (std::size_t r = 0; r < t.q->net->runways.size(); ++r) RunwayTeller(t, nodes, static_cast<int>(r), route).tell();
  std::stable_sort(route.runway_uses.begin(), route.runway_uses.end(),
                   [](const RunwayUse& a, const RunwayUse& b) { return a.at_m < b.at_m; });
}

}  // namespace solotaxi::routing
