#include "support/phase_case.hpp"

#include <algorithm>
#include <utility>

#include "support/random_network.hpp"

namespace solotaxi::test {

using namespace planning;

namespace {

constexpr std::size_t kO = index(Phase::one), kS = index(Phase::start), kA = index(Phase::all);

struct Line {
  std::uint32_t from, to;
  bool along, against;
};

/// How the numbers of one case are drawn.
class Draw {
 public:
  Draw(std::mt19937_64& random, bool plausible, std::int64_t longest_s)
      : random_(random),
        plausible_(plausible),
        ties_(chance(0.4)),
        barred_(chance(0.5) ? 0.0 : 0.25),
        longest_s_(longest_s) {
    flow_ = {number(4), 0.0, number(6)};
    flow_[kS] = flow_[kA] + (chance(0.2) ? 0.0 : number(4));
    if (plausible_) flow_[kO] = std::min(flow_[kO], flow_[kA]);
  }
  bool chance(double share) { return random_unit(random_) < share; }
  std::int64_t whole(std::int64_t low, std::int64_t high) { return random_int(random_, low, high); }
  double seconds(std::int64_t most) { return chance(0.2) ? 0.0 : static_cast<double>(whole(0, most)); }
  double number(std::int64_t most) {
    if (ties_) return static_cast<double>(whole(0, most));
    return chance(0.1) ? 0.0 : static_cast<double>(most) * random_unit(random_);
  }
  [[nodiscard]] const ByPhase& flow() const { return flow_; }

  void cost(ByPhase& cost_kg, ByPhase& time_s) {
    for (std::size_t p = 0; p < 3; ++p) {
      time_s[p] = seconds(longest_s_);
      cost_kg[p] = number(8);
    }
    if (plausible_) {
      time_s[kS] = time_s[kO];
      cost_kg[kO] += flow_[kO] * time_s[kO];
      cost_kg[kS] = cost_kg[kO] + (flow_[kS] - flow_[kO]) * time_s[kS] + flow_[kO] * time_s[kS];
      cost_kg[kA] += flow_[kA] * time_s[kA];
    }
    for (std::size_t p = 0; p < 3; ++p)
      if (chance(barred_ * (p == kA ? 0.3 : 1.0))) cost_kg[p] = kBarred;
  }

 private:
  std::mt19937_64& random_;
  bool plausible_, ties_;
  double barred_;
  std::int64_t longest_s_;
  ByPhase flow_{};
};

/// States and steps of lines between nodes; arcs 2 l and 2 l + 1 are line l along and against.
void add_steps(PhaseCase& c, Draw& draw, const std::vector<Line>& lines, double no_movement, double hold, double no_begin,
               bool layered) {
  const auto arcs = static_cast<std::uint32_t>(2 * lines.size());
  const auto tail = [&](std::uint32_t a) { return a % 2 == 0 ? lines[a / 2].from : lines[a / 2].to; };
  const auto open = [&](std::uint32_t a) { return a % 2 == 0 ? lines[a / 2].along : lines[a / 2].against; };
  // Layers: behind the special arc a way goes on in the second.
  const auto special = static_cast<std::uint32_t>(draw.whole(0, arcs - 1));
  for (std::uint32_t layer = 0; layer < (layered ? 2U : 1U); ++layer)
    for (std::uint32_t a = 0; a < arcs; ++a) c.arc_of.push_back(a);
  for (std::uint32_t a = 0; a < arcs; ++a) {
    for (std::uint32_t b = 0; b < arcs; ++b) {
      if (!open(a) || !open(b) || b == (a ^ 1U) || b == a || tail(a ^ 1U) != tail(b) || draw.chance(no_movement)) continue;
      PhaseStep step;
      step.from = a;
      step.to = b;
      draw.cost(step.cost_kg, step.time_s);
      step.may_begin_start = !draw.chance(no_begin);
      step.queue_here = draw.chance(hold);
      if (layered && b == special) {
        step.to = b + arcs;
        c.steps.push_back(step);
        step.from = a + arcs;
        c.steps.push_back(step);
        continue;
      }
      c.steps.push_back(step);
      if (!layered) continue;
      step.from += arcs;
      step.to += arcs;
      c.steps.push_back(step);
    }
  }
}

PhaseTerminal terminal(Draw& draw, std::uint32_t state, std::uint32_t stand) {
  PhaseTerminal t;
  t.state = state;
  t.stand = stand;
  draw.cost(t.cost_kg, t.time_s);
  t.may_begin_start = !draw.chance(0.3);
  return t;
}

void add_problems(PhaseCase& c, Draw& draw, std::int64_t scale_s, const std::vector<PhaseTerminal>& stands,
                  const std::vector<PhaseTerminal>& runway) {
  DepartureProblem& d = c.departure;
  d.stands = stands;
  d.runway = runway;
  d.flow_kg_s = draw.flow();
  if (draw.chance(0.3)) {
    d.move_kg_s = {draw.number(2), 0.0, draw.number(2)};
    d.move_kg_s[kS] = std::max(0.0, d.move_kg_s[kA] - (d.flow_kg_s[kS] - d.flow_kg_s[kA])) + draw.number(2);
  }
  d.push_back_s = draw.seconds(scale_s);
  d.start_s = draw.seconds(scale_s);
  d.warm_up_s = draw.seconds(2 * scale_s);
  d.queue_s = draw.chance(0.4) ? 0.0 : draw.seconds(2 * scale_s);
  if (draw.chance(0.4)) {  // START carried into a queue, where moving up in START is dear
    d.queue_s = static_cast<double>(draw.whole(1, 2 * scale_s));
    d.start_s = static_cast<double>(draw.whole(2, scale_s));
    d.move_kg_s = {draw.number(6), draw.number(2), 0.0};
    d.move_kg_s[kS] += draw.number(4);
  }
  c.arrival.runway = runway;
  c.arrival.stands = stands;
  c.arrival.cool_down_left_s = draw.seconds(scale_s + scale_s / 2);
  c.arrival.apu_lead_kg = draw.number(2);
}

/// Ways from any terminal without an arc used twice, counted up to `most`, and how many of them end at the other side.
class Counter {
 public:
  Counter(const PhaseCase& c, std::size_t most) : case_(c), most_(most), out_(c.arc_of.size()), used_(c.arc_of.size()) {
    for (const PhaseStep& s : c.steps) out_[s.from].push_back(s.to);
    const auto& d = c.departure;
    for (const PhaseTerminal& t : d.stands) go(t.state, d.runway, departures);
    for (const PhaseTerminal& t : d.runway) go(t.state, d.stands, arrivals);
  }
  std::size_t ways = 0, departures = 0, arrivals = 0;

 private:
  void go(std::uint32_t state, const std::vector<PhaseTerminal>& ends, std::size_t& whole) {
    if (++ways > most_) return;
    for (const PhaseTerminal& end : ends) whole += end.state == state ? 1 : 0;
    used_[case_.arc_of[state]] = true;
    for (const std::uint32_t to : out_[state])
      if (!used_[case_.arc_of[to]] && ways <= most_) go(to, ends, whole);
    used_[case_.arc_of[state]] = false;
  }
  const PhaseCase& case_;
  std::size_t most_;
  std::vector<std::vector<std::uint32_t>> out_;
  std::vector<bool> used_;
};

}  // namespace

PhaseCase small_phase_case(std::mt19937_64& random, const PhaseCaseOptions& options) {
  for (;;) {
    Draw draw(random, random_unit(random) < options.plausible, 8);
    PhaseCase c;
    const auto nodes = draw.whole(2, options.most_nodes);
    const auto node = [&] { return static_cast<std::uint32_t>(draw.whole(0, nodes - 1)); };
    std::vector<Line> lines;
    for (auto n = draw.whole(1, options.most_segments); n > 0; --n) {
      const std::uint32_t from = node(), to = node();
      if (from == to) continue;
      const bool along = draw.chance(0.75);
      lines.push_back({from, to, along, !along || draw.chance(0.5)});
    }
    if (lines.empty()) continue;
    const bool layered = draw.chance(0.2);
    add_steps(c, draw, lines, 0.1, draw.chance(0.3) ? 0.0 : 0.3, draw.chance(0.5) ? 0.0 : 0.4, layered);
    const auto arcs = static_cast<std::uint32_t>(2 * lines.size());
    const auto state = [&](bool second) {
      return static_cast<std::uint32_t>(draw.whole(0, arcs - 1)) + (second && layered ? arcs : 0U);
    };
    std::vector<PhaseTerminal> stands, runway;
    for (auto n = draw.whole(1, 3); n > 0; --n)
      stands.push_back(terminal(draw, state(draw.chance(0.3)), static_cast<std::uint32_t>(draw.whole(0, 1))));
    for (auto n = draw.whole(1, 2); n > 0; --n) runway.push_back(terminal(draw, state(true), 0));
    add_problems(c, draw, 8, stands, runway);
    const Counter counter(c, options.most_ways);
    if (counter.ways > options.most_ways) continue;
    if ((counter.departures > 0 && counter.arrivals > 0) || draw.chance(options.any)) return c;
  }
}

PhaseCase medium_phase_case(std::mt19937_64& random, std::uint32_t columns, std::uint32_t rows) {
  Draw draw(random, true, 6);
  PhaseCase c;
  std::vector<Line> lines;
  const auto draw_line = [&](std::uint32_t from, std::uint32_t to) {
    if (draw.chance(0.15)) return;
    const bool along = draw.chance(0.9);
    lines.push_back({from, to, along, !along || draw.chance(0.85)});
  };
  for (std::uint32_t r = 0; r < rows; ++r) {
    for (std::uint32_t k = 0; k < columns; ++k) {
      if (k + 1 < columns) draw_line(r * columns + k, r * columns + k + 1);
      if (r + 1 < rows) draw_line(r * columns + k, (r + 1) * columns + k);
    }
  }
  add_steps(c, draw, lines, 0.05, 0.08, 0.2, false);
  const auto state = [&] {
    return static_cast<std::uint32_t>(draw.whole(0, static_cast<std::int64_t>(c.arc_of.size()) - 1));
  };
  std::vector<PhaseTerminal> stands, runway;
  for (std::uint32_t s = 0; s < 3; ++s) stands.push_back(terminal(draw, state(), s));
  for (int n = 0; n < 2; ++n) runway.push_back(terminal(draw, state(), 0));
  add_problems(c, draw, 12, stands, runway);
  return c;
}

}  // namespace solotaxi::test
