#include "routing/way_search.hpp"

#include <algorithm>
#include <map>
#include <queue>

namespace solotaxi::routing {
namespace {

class PlainSearch final : public WaySearch {
 public:
  PlainSearch(const Network& net, const Weights& weights) : graph_(net, weights.arc, weights.movement), search_(graph_) {}

  std::optional<std::vector<ArcId>> find(const std::vector<OrderedTerminal>& seeds,
                                         const std::vector<OrderedTerminal>& goals) override {
    if (!search_.find(plain(seeds), plain(goals))) return std::nullopt;
    return search_.path();
  }
  void find_all(const std::vector<OrderedTerminal>& seeds) override { search_.find_all(plain(seeds)); }
  [[nodiscard]] std::optional<OrderedCost> cost(ArcId arc) const override {
    const auto weight = search_.weight(arc);
    if (!weight) return std::nullopt;
    return OrderedCost{0, 0, *weight};
  }
  [[nodiscard]] std::vector<ArcId> path_to(ArcId arc) const override { return search_.path_to(arc); }

 private:
  static std::vector<Terminal> plain(const std::vector<OrderedTerminal>& terminals) {
    std::vector<Terminal> out;
    out.reserve(terminals.size());
    for (const auto& t : terminals) out.push_back({t.arc, t.cost.objective});
    return out;
  }

  SearchGraph graph_;
  ArcSearch search_;
};

/// Dijkstra's search on ordered costs: they add up and never fall, so it is exact for them as for numbers. Used only where
/// a plain search found no way.
class OrderedSearch final : public WaySearch {
 public:
  OrderedSearch(const Network& net, const Weights& weights) : net_(net), weights_(weights) {}

  std::optional<std::vector<ArcId>> find(const std::vector<OrderedTerminal>& seeds,
                                         const std::vector<OrderedTerminal>& goals) override {
    find_all(seeds);
    std::optional<OrderedCost> best;
    ArcId goal{};
    for (const auto& g : goals) {
      const auto& label = labels_[index(g.arc)];
      if (!label) continue;
      const OrderedCost total = *label + g.cost;
      if (best && (*best < total || (*best == total && goal <= g.arc))) continue;
      best = total;
      goal = g.arc;
    }
    if (!best) return std::nullopt;
    return path_to(goal);
  }

  void find_all(const std::vector<OrderedTerminal>& seeds) override {
    labels_.assign(net_.arc_count(), std::nullopt);
    before_.assign(net_.arc_count(), std::nullopt);
    using Entry = std::pair<OrderedCost, ArcId>;
    std::priority_queue<Entry, std::vector<Entry>, std::greater<>> queue;
    const auto improve = [&](ArcId a, const OrderedCost& cost, std::optional<ArcId> before) {
      auto& label = labels_[index(a)];
      if (label && *label <= cost) return;
      label = cost;
      before_[index(a)] = before;
      queue.emplace(cost, a);
    };
    for (const auto& s : seeds) improve(s.arc, s.cost, std::nullopt);
    while (!queue.empty()) {
      const auto [cost, a] = queue.top();
      queue.pop();
      if (cost != *labels_[index(a)]) continue;
      for (std::size_t m = net_.first_movement[index(a)]; m < net_.first_movement[index(a) + 1]; ++m) {
        const ArcId to = net_.movements[m].to;
        if (weights_.movement[m] == kShut || weights_.arc[index(to)] == kShut) continue;
        improve(to, cost + OrderedCost{0, 0, weights_.movement[m]} + weights_.of(to), a);
      }
    }
  }

  [[nodiscard]] std::optional<OrderedCost> cost(ArcId arc) const override { return labels_[index(arc)]; }
  [[nodiscard]] std::vector<ArcId> path_to(ArcId arc) const override {
    std::vector<ArcId> path;
    if (!labels_[index(arc)]) return path;
    for (std::optional<ArcId> a = arc; a; a = before_[index(*a)]) path.push_back(*a);
    std::reverse(path.begin(), path.end());
    return path;
  }

 private:
  const Network& net_;
  const Weights& weights_;
  std::vector<std::optional<OrderedCost>> labels_;
  std::vector<std::optional<ArcId>> before_;
};

/// Ways over places between, layer by layer: the states in which one is reached are the seeds of the next layer.
class LayeredSearch {
 public:
  LayeredSearch(const Question& q, const Attempt& attempt)
      : q_(q),
        attempt_(attempt),
        weights_(make_weights(q, attempt)),
        terminals_(make_terminals(q, attempt, weights_)),
        search_(make_way_search(*q.net, weights_, attempt.ordered())) {}

  std::optional<Way> run() {
    std::map<ArcId, Start> starts;
    for (const Seed& s : terminals_.seeds) offer(starts, s.arcs.back(), {s.cost, s.beginning, s.arcs, {}});
    for (std::size_t v = 0; v < q_.via.size(); ++v) {
      if (starts.empty()) return std::nullopt;
      search_->find_all(as_terminals(starts));
      starts = pass(v, starts);
    }
    if (starts.empty()) return std::nullopt;
    std::map<ArcId, Goal> goals;
    for (const Goal& g : terminals_.goals) {
      const auto [it, fresh] = goals.try_emplace(g.arc, g);
      if (!fresh && g.cost < it->second.cost) it->second = g;
    }
    std::vector<OrderedTerminal> ends;
    for (const auto& [arc, g] : goals) ends.push_back({arc, g.cost});
    if (ends.empty()) return std::nullopt;
    const auto path = search_->find(as_terminals(starts), ends);
    if (!path) return std::nullopt;
    const Start whole = extended(starts.at(path->front()), *path, {});
    return Way{terminals_.beginnings[whole.beginning], whole.arcs, whole.via_after, goals.at(path->back()).turn_round};
  }

 private:
  /// A state at the start of a layer with the way that led to it.
  struct Start {
    OrderedCost cost;
    std::size_t beginning = 0;
    std::vector<ArcId> arcs;  ///< the last is the state's
    std::vector<std::size_t> via_after;
  };

  static void offer(std::map<ArcId, Start>& starts, ArcId arc, Start start) {
    const auto it = starts.find(arc);
    if (it == starts.end())
      starts.emplace(arc, std::move(start));
    else if (start.cost < it->second.cost)
      it->second = std::move(start);
  }
  static std::vector<OrderedTerminal> as_terminals(const std::map<ArcId, Start>& starts) {
    std::vector<OrderedTerminal> out;
    for (const auto& [arc, s] : starts) out.push_back({arc, s.cost});
    return out;
  }
  /// A start with the way found from its arc on.
  static Start extended(Start start, const std::vector<ArcId>& path, OrderedCost cost) {
    start.arcs.insert(start.arcs.end(), path.begin() + 1, path.end());
    start.cost = cost;
    return start;
  }

  std::map<ArcId, Start> pass(std::size_t v, const std::map<ArcId, Start>& starts) {
    std::map<ArcId, Start> next;
    const bool stops = q_.request->via[v].stop_min > 0.0;
    for (std::uint32_t i = 0; i < q_.net->arc_count(); ++i) {
      const ArcId a{i};
      if (q_.net->head(a) != q_.via[v].node) continue;
      const auto cost = search_->cost(a);
      if (!cost) continue;
      const auto path = search_->path_to(a);
      Start here = extended(starts.at(path.front()), path, *cost);
      here.via_after.push_back(here.arcs.size());
      if (stops)
        stand_and_go(v, here, next);
      else
        offer(next, a, std::move(here));
    }
    return next;
  }

  void stand_and_go(std::size_t v, const Start& here, std::map<ArcId, Start>& next) {
    const ArcId a = here.arcs.back();
    const double seconds = q_.request->via[v].stop_min * 60.0;
    const Cost standing = attempt_.table->stop(a) + Cost{seconds, seconds * attempt_.table->standing_flow_kg_s()};
    for (std::size_t m = q_.net->first_movement[index(a)]; m < q_.net->first_movement[index(a) + 1]; ++m) {
      const ArcId to = q_.net->movements[m].to;
      if (weights_.movement[m] == kShut || weights_.arc[index(to)] == kShut || q_.net->movements[m].turn_round) continue;
      if (attempt_.stop_places && (attempt_.table->movement(m).place.verdict > Verdict::standing ||
                                   zone_verdict(q_, *attempt_.table, to, q_.conditions->start_zone_m) > Verdict::standing))
        continue;
      const OrderedCost extra{0, 0, units(q_.request->objective, 0.0, standing + attempt_.table->start_from_rest(to))};
      Start on = here;
      on.arcs.push_back(to);
      on.cost = here.cost + extra + OrderedCost{0, 0, weights_.movement[m]} + weights_.of(to);
      offer(next, to, std::move(on));
    }
  }

  const Question& q_;
  const Attempt& attempt_;
  Weights weights_;
  Terminals terminals_;
  std::unique_ptr<WaySearch> search_;
};

}  // namespace

std::unique_ptr<WaySearch> make_way_search(const Network& net, const Weights& weights, bool ordered) {
  if (ordered) return std::make_unique<OrderedSearch>(net, weights);
  return std::make_unique<PlainSearch>(net, weights);
}

std::optional<Way> find_way(const Question& q, const Attempt& attempt) { return LayeredSearch(q, attempt).run(); }

}  // namespace solotaxi::routing
