// What one movement burns and how long it takes, as a function of its queue: for estimates over many movements.
//
// A table belongs to one stand, runway end, direction, aircraft, mass and field. It is filled as it is asked: the plan of a
// queue of whole minutes is made once, by the same searches and drives as make_plan (plan.hpp), and kept as a few numbers.
// Between whole minutes figures are interpolated linearly, within 1.2 kg about the
// queue into which the start moves (one to three minutes) and 0.02 kg behind it, as measured on drawn fields. A queue however short has the
// aircraft stop, which no queue spares it: below a minute the line begins at a queue of one second.
#pragma once

#include <map>
#include <memory>
#include <string>

#include "solotaxi/planning/plan.hpp"

namespace solotaxi::planning {

/// A plan in numbers.
struct PlanFigures {
  double time_s = 0.0, fuel_kg = 0.0;
  double engine_fuel_kg = 0.0;  ///< without the APU's
  double standing_kg_s = 0.0;   ///< engines and APU at a stand-still as the plan ends
  double standing_apu_kg_s = 0.0;
};

struct TaxiFigures {
  PlanFigures advised, reference;  ///< alike where one engine is not advised
  bool one = false;                ///< one engine is advised
};

/// A field made ready for many questions. Immutable; must outlive its tables.
class TaxiField {
 public:
  explicit TaxiField(network::Network network);
  [[nodiscard]] const network::Network& network() const { return network_; }
  [[nodiscard]] const network::Network& parts() const { return parted_.network; }

 private:
  network::Network network_;
  routing::PartedNetwork parted_;
};

class TaxiTable {
 public:
  /// Field and aircraft must outlive the table. The request's queue is not asked, its direction must be told, and neither
  /// of its places may be a position in mid-segment: throws Error (usage). Conditions out of range: as make_plan.
  TaxiTable(const TaxiField& field, const aircraft::Aircraft& aircraft, const motion::Conditions& conditions,
            PlanRequest request);

  /// Why there is no plan: places that do not resolve, or no way; "" where there is one. Asked once, with the first queue.
  [[nodiscard]] const std::string& refusal(double first_queue_s);
  /// Queue of 0…7200 s; arrivals have none (0). Not to be asked where there is a refusal. The first time for a minute it
  /// costs a plan without what make_plan tells around it, else a look-up.
  [[nodiscard]] TaxiFigures at(double queue_s);
  /// Figures of a movement whose reference lasts so long: a departure with the queue that makes up the time. Where that is
  /// less than a stop costs, or the movement is an arrival, the difference to no queue is stood at idle (taken off where
  /// it is negative): of departures at the flows of the phase in which the queue is stood, of arrivals as the way ends.
  [[nodiscard]] TaxiFigures at_taxi_time(double reference_time_s);
  /// Plans made so far.
  [[nodiscard]] std::size_t plans() const { return by_knot_.size(); }

 private:
  [[nodiscard]] const TaxiFigures& at_knot(int knot);
  [[nodiscard]] TaxiFigures solved(double queue_s) const;

  const TaxiField* field_;
  const aircraft::Aircraft* aircraft_;
  motion::Conditions conditions_;
  PlanRequest request_;
  bool asked_ = false;
  std::string refusal_;
  std::map<int, TaxiFigures> by_knot_;
};

/// Taxi fuel on every engine and on fewer by time alone [kg]: F_all = T N f, F_one = T n f + (N - n) f min(T, 5 min), the
/// APU left out, at the databank's idle flow (Zhang, Huang, Liu & Li, Sustainability 2019, 11(21):6110). `time_s` of the
/// whole movement; n engines are kept.
struct TimeOnlyFuel {
  double all_kg = 0.0, one_kg = 0.0;
};
[[nodiscard]] TimeOnlyFuel time_only_fuel(const aircraft::Aircraft& aircraft, int kept, double time_s);

}  // namespace solotaxi::planning
