// What one movement burns and how long it takes, as a function of its queue: for estimates over many movements.
//
// A table belongs to one stand, runway end, direction, aircraft, mass and field. It is filled as it is asked: the plan of a
// queue of whole minutes is made once, by the same searches and drives as make_plan (plan.hpp), and kept as a few numbers.
// Between whole minutes figures are interpolated linearly, within 1.2 kg about the
// queue into which the start moves (one to three minutes) and 0.02 kg behind it, as measured on drawn fields. A queue
// however short has the aircraft stop, which no queue spares it: below a minute the line begins at a queue of one second.
//
// Several threads may ask a table and have plans made at once; what is found hangs on the question alone.
#pragma once

#include <array>
#include <atomic>
#include <compare>
#include <memory>
#include <string>
#include <vector>

#include "solotaxi/planning/plan.hpp"
#include "solotaxi/planning/response.hpp"

namespace solotaxi::planning {

/// A plan in numbers.
struct PlanFigures {
  double time_s = 0.0, fuel_kg = 0.0;
  double engine_fuel_kg = 0.0;  ///< without the APU's
  double standing_kg_s = 0.0;   ///< engines and APU at a stand-still as the plan ends
  double standing_apu_kg_s = 0.0;
  [[nodiscard]] PlanParts parts() const {
    return {time_s, engine_fuel_kg, fuel_kg - engine_fuel_kg, standing_kg_s - standing_apu_kg_s, standing_apu_kg_s};
  }
};

struct TaxiFigures {
  PlanFigures advised, reference;  ///< alike where one engine is not advised
  bool one = false;                ///< one engine is advised
};

/// What a table keeps of a plan.
struct KeptPlan {
  TaxiFigures figures;
  Response advised, reference;  ///< where spreads are told; else nothing changes them
  Errors stalls_at{};           ///< errors that alone make the advised plan stall; 0: none
  std::string refusal;              ///< why there is none, or ""
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

class TaxiTable;

/// A plan that was asked for and is not made yet.
struct WantedPlan {
  TaxiTable* table = nullptr;
  int minute = 0;  ///< of queue; TaxiTable::kShortest: one second
  auto operator<=>(const WantedPlan&) const = default;
};
using WantedPlans = std::vector<WantedPlan>;

/// Makes what is wanted, each once, on all the threads there are (of the TBB arena this is called in), and empties the
/// list. What other threads are at is waited for. Some 10 ms of one core for each.
void make_plans(WantedPlans& wanted);

class TaxiTable {
 public:
  static constexpr int kShortest = -1;

  /// Field and aircraft must outlive the table. The request's queue is not asked, its direction must be told, and neither
  /// of its places may be a position in mid-segment: throws Error (usage). Conditions out of range: as make_plan.
  /// `spreads`: plans are also driven with errors, for their responses; twice as dear, or null.
  TaxiTable(const TaxiField& field, const aircraft::Aircraft& aircraft, const motion::Conditions& conditions,
            PlanRequest request, const Spreads* spreads = nullptr);
  ~TaxiTable();
  TaxiTable(const TaxiTable&) = delete;
  TaxiTable& operator=(const TaxiTable&) = delete;

  /// What a look-up gives: figures, with the plans they lie between, or why there is no plan (places that do not resolve,
  /// no way).
  struct Found {
    const std::string* refusal = nullptr;
    TaxiFigures figures;
    int low = 0, high = 0;    ///< minutes
    double high_share = 0.0;  ///< of the plan at `high`
    double stood_s = 0.0;     ///< besides, at a stand-still as the plan ends
  };

  /// Queue of 0…7200 s; arrivals have none (0). False where plans have to be made first: they are added to `wanted`.
  [[nodiscard]] bool look_up(double queue_s, Found& to, WantedPlans& wanted);
  /// The same for a movement whose reference lasts so long: a departure with the queue that makes up the time. Where that
  /// is less than a stop costs, or the movement is an arrival, the difference to no queue is stood at idle (taken off where
  /// it is negative): of departures at the flows of the phase in which the queue is stood, of arrivals as the way ends.
  [[nodiscard]] bool look_up_taxi_time(double reference_time_s, Found& to, WantedPlans& wanted);

  /// Why there is no plan with such a queue, "" where there is one; makes what is missing, as do the following, which are
  /// not to be asked where there is a refusal.
  [[nodiscard]] std::string refusal(double queue_s);
  [[nodiscard]] TaxiFigures at(double queue_s);
  [[nodiscard]] TaxiFigures at_taxi_time(double reference_time_s);

  /// Makes a plan; false where another thread has begun to.
  bool make(int minute);
  [[nodiscard]] bool is_made(int minute) const { return kept(minute) != nullptr; }
  /// A plan that is made, else null.
  [[nodiscard]] const KeptPlan* kept(int minute) const {
    return slots_[static_cast<std::size_t>(minute - kShortest)].kept.load(std::memory_order_acquire);
  }
  /// Plans made so far.
  [[nodiscard]] std::size_t plans() const;

 private:
  struct Slot {
    std::atomic<const KeptPlan*> kept{nullptr};
    std::atomic<bool> begun{false};
  };
  static constexpr std::size_t kSlots = 123;  // kShortest, 0…121 minutes
  [[nodiscard]] const KeptPlan* kept(int minute, WantedPlans& wanted);
  [[nodiscard]] KeptPlan solved(double queue_s) const;

  const TaxiField* field_;
  const aircraft::Aircraft* aircraft_;
  motion::Conditions conditions_;
  PlanRequest request_;
  const Spreads* spreads_;
  std::array<Slot, kSlots> slots_;
};

/// Taxi fuel on every engine and on fewer by time alone [kg]: F_all = T N f, F_one = T n f + (N - n) f min(T, 5 min), the
/// APU left out, at the databank's idle flow (Zhang, Huang, Liu & Li, Sustainability 2019, 11(21):6110). `time_s` of the
/// whole movement; n engines are kept.
struct TimeOnlyFuel {
  double all_kg = 0.0, one_kg = 0.0;
};
[[nodiscard]] TimeOnlyFuel time_only_fuel(const aircraft::Aircraft& aircraft, int kept, double time_s);

}  // namespace solotaxi::planning
