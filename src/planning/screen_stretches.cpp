#include "planning/screen_stretches.hpp"

#include <tbb/parallel_for.h>

#include <algorithm>
#include <limits>
#include <set>
#include <tuple>

namespace solotaxi::planning {

using motion::Reason;
using motion::Reasons;
using motion::Verdict;
using network::ArcId;
using network::SegmentId;

/// Arcs of a reference on which one engine would be of use, had it leave to run.
std::vector<std::uint8_t> Stretches::of_use(const ScreenField::Group& group, const PlannedWay& way) const {
  const auto& arcs = way.way.arcs;
  const auto& all = field_->all();
  std::vector<double> ends_s;
  double at_s = 0.0;
  for (std::size_t i = 0; i < arcs.size(); ++i) {
    if (i > 0)
      if (const auto m = routing::movement_index(field_->parted(), arcs[i - 1], arcs[i]))
        at_s += all.movement(*m).cost.time_s;
    at_s += all.arc(arcs[i]).time_s;
    ends_s.push_back(at_s);
  }
  const auto& aircraft = *group.question.aircraft;
  const PlanRequest& plan = request_->plan;
  std::vector<std::uint8_t> out;
  for (const double end_s : ends_s)
    out.push_back(group.end.direction == routing::Direction::arrival
                      ? end_s + plan.since_landing_s > aircraft.cool_down_s
                      : at_s - end_s + plan.queue_s > aircraft.warm_up_s + aircraft.start_s);
  return out;
}

Reasons Stretches::reasons(const PhaseField& field, const routing::Way& way, std::size_t arc) const {
  const ArcId a = way.arcs[arc];
  const motion::CostTable& one = field.one();
  Reasons out;
  const Verdict worst = routing::worst_allowed(field.question());
  const auto add = [&](const motion::PlaceVerdict& place, Verdict allowed) {
    if (place.verdict > allowed) out.add(place.reasons);
  };
  if (field_->rules().arc[index(a)]) out.add(Reason::operator_rule);
  add(one.arc_verdict(a), worst);
  std::optional<std::size_t> m;
  if (arc > 0) m = routing::movement_index(field_->parted(), way.arcs[arc - 1], a);
  if (m) add(one.movement(*m).place, worst);
  if (out.bits != 0) return out;
  // It could be driven, but not started on from rest where that is asked: over the first metres, straight on.
  if (m) add(one.movement(*m).place, Verdict::standing);
  double left_m = field.question().conditions->start_zone_m;
  for (std::size_t i = arc; i < way.arcs.size() && left_m > 0.0; ++i) {
    add(one.start_zone(way.arcs[i], left_m), Verdict::standing);
    left_m -= field_->parted().segment(way.arcs[i]).length_m;
    const std::uint32_t next = field.question().shape.straight_on[index(way.arcs[i])];
    if (next != network::Shape::kNoMovement) add(one.movement(next).place, Verdict::standing);
  }
  if (out.bits == 0 && field_->rules().crossings) out.add(Reason::operator_rule);
  return out;
}

std::vector<Stretches::Forced> Stretches::forced_on(const PhaseField& field, const PlannedWay& way,
                                                    const std::vector<std::uint8_t>& of_use, double& kept_out_m) const {
  std::vector<Forced> out;
  kept_out_m = 0.0;
  for (std::size_t i = 0; i < way.way.arcs.size(); ++i) {
    if (!of_use[i] || !field.one_kept_out(way.way, i)) continue;
    const SegmentId s = field_->original(way.way.arcs[i]);
    kept_out_m += field_->parted().segment(way.way.arcs[i]).length_m;
    const Reasons why = reasons(field, way.way, i);
    const auto known = std::find_if(out.begin(), out.end(), [&](const Forced& f) { return f.segment == s; });
    if (known != out.end())
      known->reasons.add(why);
    else
      out.push_back({s, why});
  }
  return out;
}

std::vector<Stretches::Reference> Stretches::look(const ScreenField::Group& group, const std::vector<ScreenAnswer>& answers,
                                                  const std::vector<std::unique_ptr<PhaseField>>& fields) const {
  std::vector<Reference> out;
  for (std::size_t i = 0; i < answers.size(); ++i) {
    if (!answers[i].reference) continue;
    const PlannedWay& way = *answers[i].reference;
    Reference r;
    r.answer = i;
    for (const ArcId a : way.way.arcs) r.segments.push_back(field_->original(a));
    std::sort(r.segments.begin(), r.segments.end());
    r.segments.erase(std::unique(r.segments.begin(), r.segments.end()), r.segments.end());
    const auto use = of_use(group, way);
    double least_m = std::numeric_limits<double>::infinity();
    for (std::size_t set = 0; set < fields.size(); ++set) {
      if (answers[i].one && set != answers[i].one_set) continue;
      double kept_out_m = 0.0;
      auto forced = forced_on(*fields[set], way, use, kept_out_m);
      if (kept_out_m >= least_m) continue;
      least_m = kept_out_m;
      r.forced = std::move(forced);
    }
    out.push_back(std::move(r));
  }
  return out;
}

void Stretches::take(std::vector<Reference> references, const std::vector<std::size_t>& pairs) {
  for (Reference& r : references) {
    r.pair = pairs[r.answer];
    r.group = pairs_of_.size();
    references_.push_back(std::move(r));
  }
  pairs_of_.push_back(pairs);
}

/// Forced segments that meet under one name, joined.
void Stretches::join(Screen& screen) const {
  const auto name_of = [&](std::size_t s) {
    const auto& segment = network_->segments[s];
    return segment.name.empty() ? segment.source_id : segment.name;
  };
  std::vector<std::vector<std::size_t>> at(network_->nodes.size());
  for (std::size_t s = 0; s < screen.segments.size(); ++s)
    if (screen.segments[s].forced_pairs > 0)
      for (const auto n : {network_->segments[s].from, network_->segments[s].to}) at[index(n)].push_back(s);
  for (std::size_t first = 0; first < screen.segments.size(); ++first) {
    if (screen.segments[first].forced_pairs == 0 || screen.segments[first].stretch) continue;
    ScreenStretch stretch;
    stretch.name = name_of(first);
    std::vector<std::size_t> open{first};
    screen.segments[first].stretch = screen.stretches.size();
    while (!open.empty()) {
      const std::size_t s = open.back();
      open.pop_back();
      stretch.segments.push_back(SegmentId{static_cast<std::uint32_t>(s)});
      stretch.length_m += network_->segments[s].length_m;
      stretch.reasons.add(screen.segments[s].reasons);
      for (const auto n : {network_->segments[s].from, network_->segments[s].to})
        for (const std::size_t other : at[index(n)]) {
          if (screen.segments[other].stretch || name_of(other) != stretch.name) continue;
          screen.segments[other].stretch = screen.stretches.size();
          open.push_back(other);
        }
    }
    std::sort(stretch.segments.begin(), stretch.segments.end());
    screen.stretches.push_back(std::move(stretch));
  }
}

std::vector<std::size_t> Stretches::groups_forced_on(const ScreenStretch& stretch) const {
  std::set<std::size_t> groups;
  for (const Reference& r : references_)
    if (std::any_of(r.forced.begin(), r.forced.end(), [&](const Forced& f) {
          return std::binary_search(stretch.segments.begin(), stretch.segments.end(), f.segment);
        }))
      groups.insert(r.group);
  return {groups.begin(), groups.end()};
}

Barred Stretches::relieved_of(const ScreenStretch& stretch) const {
  Barred relieved = field_->rules();
  relieved.relieved.assign(field_->parted().arc_count(), 0);
  for (std::uint32_t a = 0; a < field_->parted().arc_count(); ++a)
    relieved.relieved[a] =
        std::binary_search(stretch.segments.begin(), stretch.segments.end(), field_->original(ArcId{a})) ? 1 : 0;
  return relieved;
}

void Stretches::search(const Screen& screen, const Barred& relieved, Anew& anew) const {
  const auto answers = field_->solve(field_->groups()[anew.group], relieved);
  for (std::size_t i = 0; i < answers.size(); ++i) {
    const ScreenPair& p = screen.pairs[pairs_of_[anew.group][i]];
    if (!p.reference || !answers[i].reference) continue;
    const double before_kg = p.one ? std::min(p.reference->fuel_kg, p.one->fuel_kg) : p.reference->fuel_kg;
    const double after_kg =
        answers[i].one ? std::min(answers[i].reference->cost_kg, answers[i].one->cost_kg) : answers[i].reference->cost_kg;
    anew.saved_kg.push_back(p.movements * (before_kg - after_kg));
    if (!p.one && answers[i].one) ++anew.gained;
  }
}

/// Searched on all cores, summed in their order.
void Stretches::search_anew(Screen& screen) const {
  const std::size_t many = std::min(request_->mend, screen.stretches.size());
  std::vector<Barred> relieved;
  std::vector<Anew> all;
  for (std::size_t s = 0; s < many; ++s) {
    relieved.push_back(relieved_of(screen.stretches[s]));
    for (const std::size_t g : groups_forced_on(screen.stretches[s])) all.push_back({s, g});
  }
  tbb::parallel_for(std::size_t{0}, all.size(), [&](std::size_t i) { search(screen, relieved[all[i].stretch], all[i]); });
  for (std::size_t s = 0; s < many; ++s) screen.stretches[s].lost_kg = 0.0;
  for (const Anew& anew : all) {
    ScreenStretch& stretch = screen.stretches[anew.stretch];
    for (const double kg : anew.saved_kg) *stretch.lost_kg += kg;
    stretch.pairs_gained += anew.gained;
  }
}

void Stretches::tell(Screen& screen) const {
  screen.segments.assign(network_->segments.size(), {});
  for (const Reference& r : references_) {
    const double movements = screen.pairs[r.pair].movements;
    for (const SegmentId s : r.segments) {
      screen.segments[index(s)].movements += movements;
      ++screen.segments[index(s)].pairs;
    }
    for (const Forced& f : r.forced) {
      ScreenSegment& s = screen.segments[index(f.segment)];
      s.forced_movements += movements;
      ++s.forced_pairs;
      s.reasons.add(f.reasons);
    }
  }
  join(screen);
  for (const Reference& r : references_) {
    std::set<std::size_t> met;
    for (const Forced& f : r.forced) met.insert(*screen.segments[index(f.segment)].stretch);
    for (const std::size_t s : met) {
      screen.stretches[s].forced_movements += screen.pairs[r.pair].movements;
      ++screen.stretches[s].forced_pairs;
    }
  }
  const auto sort = [&](auto&& key) {
    std::stable_sort(screen.stretches.begin(), screen.stretches.end(),
                     [&](const ScreenStretch& a, const ScreenStretch& b) { return key(a) > key(b); });
  };
  sort([](const ScreenStretch& s) { return std::tuple(s.forced_movements, s.forced_pairs); });
  search_anew(screen);
  sort([](const ScreenStretch& s) { return s.lost_kg.value_or(-1.0); });
  for (std::size_t i = 0; i < screen.stretches.size(); ++i)
    for (const SegmentId s : screen.stretches[i].segments) screen.segments[index(s)].stretch = i;
}

}  // namespace solotaxi::planning
