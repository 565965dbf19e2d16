// Fuel, time and emissions of many movements: each looked up in tables made once, and added up exactly.
//
// Sums are whole numbers (milligrams, milliseconds), so that no order of adding changes them: a movement counts with its
// figures rounded to that. They are kept for each field, aircraft, hour and month, and every total is added up from those.
// Memory grows with the different stands, runway ends, aircraft, mass classes and minutes of queue that are met, and with
// months; not with movements.
//
// Several threads may ask at once, each through a Counter of its own; what they counted is added up in any order.
//
// A measured taxi time is used as TaxiTable::at_taxi_time has it, whatever queue is told.
#pragma once

#include <array>
#include <compare>
#include <cstdint>
#include <deque>
#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <utility>
#include <vector>

#include "solotaxi/planning/taxi_table.hpp"

namespace solotaxi::planning {

/// What is summed: numbers of movements, [ms], [mg].
enum class Sum {
  movements,
  one_engine,  ///< of which one engine is advised
  measured,    ///< of which the taxi time is known
  time_ms,
  reference_time_ms,
  fuel_mg,
  reference_fuel_mg,
  hc_mg,  ///< of engine fuel, by the aircraft's idle indices
  co_mg,
  nox_mg,
  reference_hc_mg,
  reference_co_mg,
  reference_nox_mg,
  time_only_all_mg,  ///< by the time-only formula (taxi_table.hpp)
  time_only_one_mg
};
inline constexpr std::size_t kSums = 15;
using Sums = std::array<std::int64_t, kSums>;
constexpr std::int64_t get(const Sums& s, Sum which) { return s[static_cast<std::size_t>(which)]; }
constexpr std::int64_t& get(Sums& s, Sum which) { return s[static_cast<std::size_t>(which)]; }
void add(Sums& to, const Sums& from);

struct CellKey {
  std::string field, aircraft;
  int hour = 0, month = 0;  ///< 0…23; 12 × year + month - 1
  auto operator<=>(const CellKey&) const = default;
};

/// How far the model's taxi times lie off the measured ones: measured - modelled (reference, with the queue told), in whole
/// seconds, counted.
class Bias {
 public:
  void add(double seconds, std::int64_t times = 1);
  void add(const Bias& other);
  [[nodiscard]] const std::map<int, std::int64_t>& by_second() const { return by_second_; }
  [[nodiscard]] std::int64_t count() const { return count_; }
  [[nodiscard]] double mean_s() const;
  /// The least value that at least this share of the differences does not exceed.
  [[nodiscard]] double quantile_s(double share) const;

 private:
  std::map<int, std::int64_t> by_second_;
  std::int64_t count_ = 0, sum_s_ = 0;
};

/// Parts of a movement: one that lies between two plans counts with both.
inline constexpr std::int64_t kWhole = 65536;

/// Movements that have a plan's figures.
struct PlanWeight {
  std::int64_t queued = 0, unqueued = 0;  ///< in parts of kWhole: as the queue is told, and with a measured taxi time
  std::int64_t stood_ms = 0;              ///< besides, as the plan ends
};
void add(PlanWeight& to, const PlanWeight& from);

/// A plan that movements were looked up in.
struct PlanKey {
  std::string field, stand, runway, aircraft;
  bool departure = false;
  std::int64_t mass_g = 0;
  int minute = 0;  ///< of queue, as TaxiTable has it
  auto operator<=>(const PlanKey&) const = default;
};
struct PlanCount {
  TaxiFigures figures;
  Response advised, reference;
  Errors stalls_at{};
  std::array<double, 3> index_g_kg{};                 ///< HC, CO, NOx
  std::map<std::pair<int, int>, PlanWeight> by_time;  ///< by hour and month
};

struct EstimateTotals {
  std::map<CellKey, Sums> cells;
  std::map<std::string, Bias> bias;    ///< by field, where any time is measured
  std::map<PlanKey, PlanCount> plans;  ///< where spreads are told
  std::int64_t rows = 0, rejected = 0;
};
void add(EstimateTotals& to, const EstimateTotals& from);

/// Totals by something, in its order.
enum class GroupBy { field, aircraft, hour, month };
[[nodiscard]] std::map<std::string, Sums> grouped(const EstimateTotals& totals, GroupBy by);  ///< "06", "2026-07"
[[nodiscard]] Sums whole(const EstimateTotals& totals);
[[nodiscard]] std::string hour_name(int hour);
[[nodiscard]] std::string month_name(int month);

struct MovementQuestion {
  std::size_t field = 0, aircraft = 0;  ///< as add_field and add_aircraft gave them
  std::string_view stand, runway;       ///< "12", "09@A2"
  bool departure = false;
  std::optional<double> mass_kg, queue_s, taxi_time_s;
  int hour = 0, month = 0;
};

struct MovementFigures {
  double mass_kg = 0.0;  ///< as computed with
  Sums sums{};           ///< of this movement
};

/// Sums by numbers of fields, aircraft and tables, as a Counter gathers them.
struct Tally {
  struct PlanTime {
    const void* table = nullptr;
    std::uint64_t when = 0;  // month, hour, minute of queue
    bool operator==(const PlanTime&) const = default;
  };
  struct PlanTimeHash {
    std::size_t operator()(const PlanTime& t) const {
      return std::hash<const void*>{}(t.table) ^ static_cast<std::size_t>(t.when * 0x9E3779B97F4A7C15ULL);
    }
  };
  std::unordered_map<std::uint64_t, Sums> cells;
  std::map<std::size_t, Bias> bias;  ///< by field
  std::unordered_map<PlanTime, PlanWeight, PlanTimeHash> plans;
};
void add(Tally& to, const Tally& from);

/// Fields, aircraft, and the tables made of them so far.
class Estimate {
 public:
  static constexpr double kMassClass_kg = 2000.0;  ///< assumed
  /// Masses told are rounded to multiples of the class [kg, over 0], or to the aircraft's limit where such a multiple lies
  /// beyond it.
  /// With spreads, plans are made with their responses to errors and movements are counted by plan: twice as dear.
  explicit Estimate(double mass_class_kg = kMassClass_kg, std::optional<Spreads> spreads = std::nullopt)
      : mass_class_kg_(mass_class_kg), spreads_(std::move(spreads)) {}

  /// `places`: names that stand for another place on this field ("north apron": "stand:24"). Before anything is counted.
  std::size_t add_field(const std::string& ident, network::Network network, double pressure_pa,
                        std::map<std::string, std::string> places = {});
  /// `conditions`: with the mass of movements that tell none; the pressure is the field's. At any time. Throws Error for
  /// values out of range.
  std::size_t add_aircraft(const std::string& name, const aircraft::Aircraft& aircraft,
                           const motion::Conditions& conditions);

  /// Rows and rejected rows are the caller's to count.
  [[nodiscard]] EstimateTotals totals(const Tally& tally) const;
  /// Tables and plans made.
  [[nodiscard]] std::size_t tables() const;
  [[nodiscard]] std::size_t plans() const;

 private:
  friend class Counter;
  struct Field {
    std::string ident;
    std::unique_ptr<TaxiField> field;
    double pressure_pa = 0.0;
    std::map<std::string, std::string> places;
  };
  struct Kind {
    std::string name;
    std::unique_ptr<aircraft::Aircraft> aircraft;
    motion::Conditions conditions;
    int kept = 1;  // engines, of the first set that is tried
  };
  struct TextHash {
    using is_transparent = void;
    std::size_t operator()(std::string_view text) const { return std::hash<std::string_view>{}(text); }
  };
  using Ids = std::unordered_map<std::string, std::uint32_t, TextHash, std::equal_to<>>;
  struct TableKey {
    std::uint64_t where = 0;  // field, stand, runway, direction
    std::uint64_t what = 0;   // aircraft, mass in grams
    bool operator==(const TableKey&) const = default;
  };
  struct TableHash {
    std::size_t operator()(const TableKey& k) const {
      return static_cast<std::size_t>((k.where * 0x9E3779B97F4A7C15ULL) ^ (k.what * 0xC2B2AE3D27D4EB4FULL));
    }
  };
  struct Entry {
    std::unique_ptr<TaxiTable> table;  // none: refused
    std::string refusal;
    PlanKey key;  // without its minute
    const aircraft::Aircraft* aircraft = nullptr;
  };
  [[nodiscard]] const Entry* entry_of(const Tally::PlanTime& t) const { return static_cast<const Entry*>(t.table); }
  std::uint32_t id_of(Ids& ids, std::string_view text);
  Entry make_entry(const MovementQuestion& q, double mass_kg) const;
  Entry& entry(const MovementQuestion& q, const TableKey& key, double mass_kg);
  [[nodiscard]] const Kind& kind(std::size_t number) const;

  double mass_class_kg_;
  std::optional<Spreads> spreads_;
  std::vector<Field> fields_;
  mutable std::mutex mutex_;  // of what follows; entries and kinds stay where they are
  std::deque<Kind> kinds_;
  Ids stands_, runways_;
  std::unordered_map<TableKey, Entry, TableHash> tables_;
};

/// One thread's look-ups and sums.
class Counter {
 public:
  /// The estimate must outlive it.
  explicit Counter(Estimate& estimate) : estimate_(&estimate) {}

  enum class Answer {
    counted,  ///< `figures` has them, and they went into the tally
    refused,  ///< `refusal` says why it cannot be told
    unmade    ///< plans have to be made first (make_wanted); nothing was counted
  };
  /// A look-up. Throws Error (data) when more than 65,535 stands or runways are named.
  [[nodiscard]] Answer count(const MovementQuestion& question);
  /// Of the movement last counted.
  [[nodiscard]] const MovementFigures& figures() const { return figures_; }
  [[nodiscard]] const std::string& refusal() const { return refusal_; }
  /// Makes plans that were missing, on all the threads there are; no more than take a few seconds.
  void make_wanted();
  /// What was counted since it was last taken.
  [[nodiscard]] Tally take();

 private:
  using Ids = Estimate::Ids;
  [[nodiscard]] std::uint32_t id_of(Ids& known, Ids& all, std::string_view text);
  [[nodiscard]] const Estimate::Kind& kind(std::size_t number);
  [[nodiscard]] Estimate::Entry& entry(const MovementQuestion& q, double mass_kg);
  [[nodiscard]] std::optional<double> mass_of(const MovementQuestion& q);
  [[nodiscard]] Sums& cell(const MovementQuestion& q);
  void set_sums(const MovementQuestion& q, const TaxiFigures& f, bool measured);
  void count_plans(const MovementQuestion& q, const Estimate::Entry& entry, const TaxiTable::Found& found);

  Estimate* estimate_;
  // What was looked up before, so that threads need not wait for each other.
  Ids stands_, runways_;
  std::vector<const Estimate::Kind*> kinds_;
  std::unordered_map<Estimate::TableKey, Estimate::Entry*, Estimate::TableHash> tables_;
  WantedPlans wanted_;
  MovementFigures figures_;
  std::string refusal_;
  Tally tally_;
  std::uint64_t cell_key_ = 0;
  Sums* cell_ = nullptr;
};

}  // namespace solotaxi::planning
