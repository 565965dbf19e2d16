#include "support/phase_boost.hpp"

#include <algorithm>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/r_c_shortest_paths.hpp>
#include <limits>
#include <set>

namespace solotaxi::test {

using namespace planning;

namespace {

constexpr std::size_t kO = index(Phase::one), kS = index(Phase::start), kA = index(Phase::all);

struct Amount {
  double cost = 0.0, start_s = 0.0, all_s = 0.0;
};

/// What happens along an edge, in this order.
struct Edge {
  std::size_t num = 0;
  bool end_start = false;  ///< START's missing seconds are waited
  Amount before;
  enum class Queue : std::uint8_t { none, in_all, in_start } queue = Queue::none;
  double one_s = 0.0;  ///< of the queue, stood in ONE before START begins
  Amount behind;
  bool take_off = false;  ///< the warm-up's missing seconds are waited
};
struct Vertex {
  std::size_t num = 0;
  std::uint32_t state = 0;
};
using Graph = boost::adjacency_list<boost::vecS, boost::vecS, boost::directedS, Vertex, Edge>;

struct Container {
  Amount done;
  friend bool operator==(const Container& a, const Container& b) {
    return a.done.cost == b.done.cost && a.done.start_s == b.done.start_s && a.done.all_s == b.done.all_s;
  }
  friend bool operator<(const Container& a, const Container& b) { return a.done.cost < b.done.cost; }
};

void add(Amount& to, const Amount& more) {
  to.cost += more.cost;
  to.start_s += more.start_s;
  to.all_s += more.all_s;
}

struct Extend {
  const DepartureProblem* p;
  bool operator()(const Graph& graph, Container& now, const Container& old, Graph::edge_descriptor e) const {
    const Edge& edge = graph[e];
    now = old;
    Amount& d = now.done;
    const auto& flow = p->flow_kg_s;
    if (edge.end_start) d.cost += flow[kS] * std::max(0.0, p->start_s - d.start_s);
    add(d, edge.before);
    if (edge.queue != Edge::Queue::none) {
      const double missing = edge.queue == Edge::Queue::in_start ? std::max(0.0, p->start_s - d.start_s) : 0.0;
      const double start_s = std::min(missing, p->queue_s - edge.one_s), all_s = p->queue_s - edge.one_s - start_s;
      d.cost += edge.one_s * (flow[kO] + p->move_kg_s[kO]) + start_s * (flow[kS] + p->move_kg_s[kS]) +
                all_s * (flow[kA] + p->move_kg_s[kA]) + (missing - start_s) * flow[kS];
      d.all_s += all_s;
    }
    add(d, edge.behind);
    // What is done with counts no more: all labels are alike in it.
    if (edge.end_start || edge.queue != Edge::Queue::none) d.start_s = p->start_s;
    if (edge.take_off) {
      d.cost += flow[kA] * std::max(0.0, p->warm_up_s - d.all_s);
      d.start_s = p->start_s;
      d.all_s = p->warm_up_s;
    }
    d.start_s = std::min(d.start_s, p->start_s);
    d.all_s = std::min(d.all_s, p->warm_up_s);
    return true;
  }
};

struct Dominates {
  const DepartureProblem* p;
  Dominance dominance;
  bool operator()(const Container& a, const Container& b) const {
    if (a.done.cost > b.done.cost) return false;
    if (dominance == Dominance::plain) return a.done.start_s >= b.done.start_s && a.done.all_s >= b.done.all_s;
    const double start_rate = p->queue_s > 0.0
                                  ? std::max(p->flow_kg_s[kS], p->flow_kg_s[kS] + p->move_kg_s[kS] - p->move_kg_s[kA])
                                  : p->flow_kg_s[kS];
    const auto waited = [&](const Amount& d) {
      return d.cost + p->flow_kg_s[kA] * (p->warm_up_s - d.all_s) + start_rate * (p->start_s - d.start_s);
    };
    return waited(a.done) <= waited(b.done);
  }
};

}  // namespace

struct PhaseBoost::Parts {
  DepartureProblem problem;
  Dominance dominance;
  std::vector<std::uint32_t> arc_of;
  Graph graph;
  std::size_t source = 0, sink = 0, edges = 0;
  std::vector<Graph::edge_descriptor> way;

  // Layers: a queue at a holding position still to come in ONE, START, ALL; none on the way, the same; behind the queue.
  static constexpr std::size_t kToCome = 0, kNoHold = 3, kBehind = 6, kLayers = 7;

  [[nodiscard]] std::size_t vertex(std::size_t layer, std::uint32_t state) const { return layer * arc_of.size() + state; }
  void join(std::size_t from, std::size_t to, Edge edge) {
    edge.num = edges++;  // num_edges() counts them anew
    add_edge(from, to, edge, graph);
  }
  static Amount driven(const ByPhase& cost, const ByPhase& time, std::size_t phase) {
    return {cost[phase], phase == kS ? time[kS] : 0.0, phase == kA ? time[kA] : 0.0};
  }

  Parts(std::span<const std::uint32_t> arcs, std::span<const PhaseStep> steps, const DepartureProblem& p, bool with_one,
        Dominance how)
      : problem(p), dominance(how), arc_of(arcs.begin(), arcs.end()), graph(kLayers * arcs.size() + 2) {
    for (std::size_t v = 0; v < num_vertices(graph); ++v) graph[v] = {v, static_cast<std::uint32_t>(v % arcs.size())};
    source = kLayers * arcs.size();
    sink = source + 1;
    for (const PhaseTerminal& t : p.stands)
      for (const std::size_t group : {kToCome, kNoHold}) begin_plan(t, group, with_one);
    for (const PhaseStep& s : steps) {
      drive(s, kToCome);
      if (!s.queue_here) drive(s, kNoHold);
      if (s.queue_here) stand_in_queue(s);
      if (!s.queue_here && s.cost_kg[kA] < kBarred)
        join(vertex(kBehind, s.from), vertex(kBehind, s.to), plain(driven(s.cost_kg, s.time_s, kA)));
    }
    for (const PhaseTerminal& t : p.runway) end_plan(t);
  }

  static Edge plain(const Amount& before) {
    Edge edge;
    edge.before = before;
    return edge;
  }

  void begin_plan(const PhaseTerminal& t, std::size_t group, bool with_one) {
    const auto& flow = problem.flow_kg_s;
    for (std::size_t phase = 0; phase < 3; ++phase) {
      if ((phase == kO) != with_one || !(t.cost_kg[phase] < kBarred)) continue;
      Edge edge = plain(driven(t.cost_kg, t.time_s, phase));
      if (phase == kA) {
        const double all_s = std::max(0.0, problem.push_back_s - problem.start_s);
        add(edge.before, {problem.start_s * flow[kS] + all_s * flow[kA], problem.start_s, all_s});
      } else {
        add(edge.before, {problem.push_back_s * flow[phase], phase == kS ? problem.push_back_s : 0.0, 0.0});
      }
      join(source, vertex(group + phase, t.state), edge);
    }
  }

  void drive(const PhaseStep& s, std::size_t group) {
    for (std::size_t from = 0; from < 3; ++from) {
      for (std::size_t to = from; to < 3; ++to) {
        if (!(s.cost_kg[to] < kBarred) || (from == kO && to != kO && !s.may_begin_start)) continue;
        Edge edge = plain(driven(s.cost_kg, s.time_s, to));
        edge.end_start = from != kA && to == kA;
        join(vertex(group + from, s.from), vertex(group + to, s.to), edge);
      }
    }
  }

  void stand_in_queue(const PhaseStep& s) {
    if (!(s.cost_kg[kA] < kBarred)) return;
    Edge edge;
    edge.behind = driven(s.cost_kg, s.time_s, kA);
    join_queued(edge, kToCome, s.from, vertex(kBehind, s.to), true);
  }

  /// Arrived in each phase; in ONE every second START may begin.
  void join_queued(Edge edge, std::size_t group, std::uint32_t from, std::size_t to, bool may_begin,
                   const ByPhase* stop = nullptr, const ByPhase* stop_s = nullptr) {
    for (std::size_t phase = 0; phase < 3; ++phase) {
      if (stop != nullptr) {
        if (!((*stop)[phase] < kBarred)) continue;
        edge.before = driven(*stop, *stop_s, phase);
      }
      edge.queue = phase == kA ? Edge::Queue::in_all : Edge::Queue::in_start;
      for (edge.one_s = 0.0; edge.one_s <= (phase == kO ? problem.queue_s : 0.0); ++edge.one_s)
        if (phase != kO || may_begin) join(vertex(group + phase, from), to, edge);
    }
  }

  void end_plan(const PhaseTerminal& t) {
    Edge edge;
    edge.take_off = true;
    join_queued(edge, kNoHold, t.state, sink, t.may_begin_start, &t.cost_kg, &t.time_s);
    if (!(t.cost_kg[kA] < kBarred)) return;
    edge = plain(driven(t.cost_kg, t.time_s, kA));
    edge.take_off = true;
    join(vertex(kBehind, t.state), sink, edge);
  }
};

PhaseBoost::PhaseBoost(std::span<const std::uint32_t> arc_of, std::span<const PhaseStep> steps,
                       const DepartureProblem& problem, bool with_one, Dominance dominance)
    : parts_(std::make_unique<Parts>(arc_of, steps, problem, with_one, dominance)) {}
PhaseBoost::~PhaseBoost() = default;

double PhaseBoost::find() {
  Parts& p = *parts_;
  Container found;
  p.way.clear();
  boost::r_c_shortest_paths(p.graph, get(&Vertex::num, p.graph), get(&Edge::num, p.graph), p.source, p.sink, p.way, found,
                            Container{}, Extend{&p.problem}, Dominates{&p.problem, p.dominance},
                            std::allocator<boost::r_c_shortest_paths_label<Graph, Container>>(),
                            boost::default_r_c_shortest_paths_visitor());
  return p.way.empty() ? std::numeric_limits<double>::infinity() : found.done.cost;
}

bool PhaseBoost::repeats() const {
  const Parts& p = *parts_;
  std::set<std::uint32_t> used;
  for (const auto& e : p.way) {
    const std::size_t to = target(e, p.graph);
    if (to != p.sink && !used.insert(p.arc_of[p.graph[to].state]).second) return true;
  }
  return false;
}

}  // namespace solotaxi::test
