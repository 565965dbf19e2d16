#include "planning/screen_routes.hpp"

#include <algorithm>
#include <map>
#include <tuple>

#include "planning/route_tree.hpp"

namespace solotaxi::planning {

using network::ArcId;
using network::LineKind;
using routing::Direction;
using routing::Way;

namespace {

constexpr double kMg = 1e6;  // of a kilogram
constexpr double kRounding_kg = 1e-6;

double best_kg(const ScreenPair& p) {
  return p.one ? std::min(p.one->fuel_kg, p.reference->fuel_kg) : p.reference->fuel_kg;
}

/// Arcs at the end of all ways alike, or at their beginning.
std::vector<ArcId> shared(const std::vector<const Way*>& ways, bool at_end) {
  const auto of = [&](const Way& way, std::size_t i) { return at_end ? way.arcs[way.arcs.size() - 1 - i] : way.arcs[i]; };
  std::size_t many = ways.front()->arcs.size();
  for (const Way* way : ways) {
    std::size_t i = 0;
    while (i < std::min(many, way->arcs.size()) && of(*way, i) == of(*ways.front(), i)) ++i;
    many = i;
  }
  const auto& arcs = ways.front()->arcs;
  const auto count = static_cast<std::ptrdiff_t>(many);
  return at_end ? std::vector<ArcId>(arcs.end() - count, arcs.end())
                : std::vector<ArcId>(arcs.begin(), arcs.begin() + count);
}

}  // namespace

std::size_t StandardRoute::with_one() const {
  return static_cast<std::size_t>(
      std::count_if(stands.begin(), stands.end(), [](const StandOnRoute& s) { return !s.running_set.empty(); }));
}

double StandardRoute::extra_kg() const {
  double sum = 0.0;
  for (const StandOnRoute& s : stands) sum += s.movements * s.extra_kg;
  return sum;
}

bool RouteDrawer::counts(std::uint32_t segment) const {
  const LineKind kind = field_->parted().segments[segment].kind;
  return kind == LineKind::taxiway || kind == LineKind::taxilane;
}

double RouteDrawer::lines_m(const std::vector<std::uint8_t>& used) const {
  double out = 0.0;
  for (std::uint32_t s = 0; s < used.size(); ++s)
    if (used[s] != 0 && counts(s)) out += field_->parted().segments[s].length_m;
  return out;
}

void RouteDrawer::look(const std::vector<ScreenAnswer>& answers, const std::vector<std::size_t>& pairs) {
  for (std::size_t i = 0; i < answers.size(); ++i) {
    const ScreenAnswer& answer = answers[i];
    if (!answer.reference) continue;
    const PlannedWay& best =
        answer.one && answer.one->cost_kg < answer.reference->cost_kg ? *answer.one : *answer.reference;
    charge_kg_[pairs[i]] = best.charge_kg;
    for (const ArcId a : best.way.arcs) own_[index(network::segment_of(a))] = 1;
  }
}

std::vector<RouteDrawer::Job> RouteDrawer::jobs(const Screen& screen) const {
  std::map<ScreenMove, std::size_t> pair_of;
  for (std::size_t p = 0; p < screen.pairs.size(); ++p) pair_of[screen.pairs[p].move] = p;
  std::vector<std::size_t> group_of(network_->stands.size());
  for (std::size_t g = 0; g < screen.groups.size(); ++g)
    for (const int s : screen.groups[g].stands) group_of[static_cast<std::size_t>(s)] = g;
  std::map<std::pair<ScreenMove, std::size_t>, Job> found;
  for (std::size_t g = 0; g < field_->groups().size(); ++g) {
    const ScreenField::Group& group = field_->groups()[g];
    for (std::size_t at = 0; at < group.stands.stand.size(); ++at) {
      ScreenMove move = group.end;
      move.stand = group.stands.stand[at];
      const std::size_t p = pair_of.at(move);
      const ScreenPair& pair = screen.pairs[p];
      if (!pair.reference) continue;
      move.stand = 0;
      const std::size_t of = group_of[static_cast<std::size_t>(group.stands.stand[at])];
      Job& job = found[{move, of}];
      job.group = of;
      job.end = move;
      job.movements += pair.movements;
      job.members.push_back({p, g, at, pair.movements, best_kg(pair)});
    }
  }
  std::vector<Job> out;
  for (auto& [key, job] : found) out.push_back(std::move(job));
  return out;
}

void RouteDrawer::draw(Job& job) {
  constexpr double kLeast = 1.0;  // movements a year: lines count though nobody drives
  std::vector<std::uint8_t> count(field_->parted().segments.size(), 0);
  for (std::uint32_t s = 0; s < count.size(); ++s) count[s] = counts(s) ? 1 : 0;
  std::map<std::size_t, DrawWeights> weights;
  for (const Member& m : job.members)
    if (!weights.contains(m.group)) weights.emplace(m.group, DrawWeights(*field_, field_->groups()[m.group]));
  std::vector<std::size_t> order(job.members.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return job.members[a].best_kg > job.members[b].best_kg; });
  std::optional<std::pair<std::size_t, double>> best;  // stands without a way, cost
  for (const bool farthest_first : {true, false}) {
    if (!farthest_first) std::reverse(order.begin(), order.end());
    RouteTree tree(*field_, job.end.direction == Direction::arrival, used_, count);
    std::vector<std::optional<Way>> ways(job.members.size());
    std::size_t without = 0;
    double cost_kg = 0.0;
    for (const std::size_t i : order) {
      const Member& m = job.members[i];
      // All stands are to share the first one's way.
      const double traffic = std::max(kLeast, i == order.front() ? job.movements : m.movements);
      ways[i] = tree.add(weights.at(m.group), field_->groups()[m.group], m.at, kMg * request_->trunk_kg_m / traffic);
      if (ways[i])
        cost_kg += m.movements * tree.last_mg() / kMg;
      else
        ++without;
    }
    const double new_m = tree.new_m();
    const std::pair found{without, cost_kg + request_->trunk_kg_m * new_m};
    if (best && !(found < *best)) continue;
    best = found;
    job.ways = std::move(ways);
    job.new_m = new_m;
  }
  for (const auto& way : job.ways)
    if (way)
      for (const ArcId a : way->arcs) used_[index(network::segment_of(a))] = 1;
}

StandardRoute RouteDrawer::told(const Job& job) const {
  const network::Network& net = field_->parted();
  StandardRoute out;
  out.group = job.group;
  out.runway = job.end.runway;
  out.end = job.end.end;
  out.direction = job.end.direction;
  out.new_m = job.new_m;
  std::vector<const Way*> ways;
  for (const auto& way : job.ways)
    if (way) ways.push_back(&*way);
  if (ways.empty()) return out;
  for (const ArcId a : shared(ways, job.end.direction == Direction::departure)) {
    const network::Segment& s = net.segment(a);
    std::vector<LatLon> part = s.geodetic;
    if (!network::is_along(a)) std::reverse(part.begin(), part.end());
    out.line.insert(out.line.end(), part.begin() + (out.line.empty() ? 0 : 1), part.end());
    out.length_m += s.length_m;
    if (const auto id = field_->original(a); out.segments.empty() || out.segments.back() != id) out.segments.push_back(id);
    if (!s.name.empty() && s.kind != LineKind::runway && (out.names.empty() || out.names.back() != s.name))
      out.names.push_back(s.name);
  }
  std::sort(out.segments.begin(), out.segments.end());
  out.segments.erase(std::unique(out.segments.begin(), out.segments.end()), out.segments.end());
  return out;
}

void RouteDrawer::measure(std::vector<Job>& jobs, std::vector<StandardRoute>& routes, const Screen& screen) const {
  for (std::size_t j = 0; j < jobs.size(); ++j) routes[j].stands.resize(jobs[j].members.size());
  const network::Network& net = field_->parted();
  for (std::size_t g = 0; g < field_->groups().size(); ++g) {
    std::vector<std::unique_ptr<PhaseField>> fields;
    for (std::size_t j = 0; j < jobs.size(); ++j)
      for (std::size_t i = 0; i < jobs[j].members.size(); ++i) {
        const Member& m = jobs[j].members[i];
        if (m.group != g) continue;
        StandOnRoute& on = routes[j].stands[i];
        on.stand = screen.pairs[m.pair].move.stand;
        on.movements = m.movements;
        if (!jobs[j].ways[i]) continue;
        const Way& way = *jobs[j].ways[i];
        for (const auto* arcs : {&way.beginning.pushed, &way.arcs})
          for (const ArcId a : *arcs) on.length_m += net.segment(a).length_m;
        if (fields.empty()) fields = field_->fields(field_->groups()[g], field_->rules());
        for (std::size_t set = 0; set < fields.size(); ++set) {
          const PlannedWays plans = fields[set]->plan_on(way, request_->plan.queue_s);
          for (const bool one : {false, true}) {
            const auto& plan = one ? plans.with_one : plans.reference;
            if (!plan || plan->charge_kg > charge_kg_.at(m.pair) + kRounding_kg) continue;
            if (on.fuel_kg && !(plan->cost_kg < *on.fuel_kg)) continue;
            on.fuel_kg = plan->cost_kg;
            on.running_set = one ? aircraft::to_string(*field_->groups()[g].question.aircraft, field_->sets()[set]) : "";
          }
        }
        if (on.fuel_kg) on.extra_kg = *on.fuel_kg - m.best_kg;
      }
  }
}

void RouteDrawer::draw(Screen& screen) {
  screen.groups = stand_groups(*network_);
  used_.assign(field_->parted().segments.size(), 0);
  std::vector<Job> all = jobs(screen);
  std::vector<Job*> order;
  for (Job& job : all) order.push_back(&job);
  std::stable_sort(order.begin(), order.end(), [](const Job* a, const Job* b) { return a->movements > b->movements; });
  for (Job* job : order) draw(*job);
  for (const Job& job : all) screen.routes.push_back(told(job));
  measure(all, screen.routes, screen);
  screen.own_lines_m = lines_m(own_);
  screen.route_lines_m = lines_m(used_);
  std::stable_sort(screen.routes.begin(), screen.routes.end(), [](const StandardRoute& a, const StandardRoute& b) {
    return std::tuple(a.direction, a.runway, a.end, a.group) < std::tuple(b.direction, b.runway, b.end, b.group);
  });
}

}  // namespace solotaxi::planning
