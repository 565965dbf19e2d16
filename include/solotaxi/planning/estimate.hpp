// Fuel, time and emissions of many movements: each looked up in tables made once, and added up exactly.
//
// Sums are whole numbers (milligrams, milliseconds), so that no order of adding changes them: a movement counts with its
// figures rounded to that. They are kept for each field, aircraft, hour and month, and every total is added up from those.
// Memory grows with the different stands, runway ends, aircraft, mass classes and minutes of queue that are met, and with
// months; not with movements.
//
// A measured taxi time is used as TaxiTable::at_taxi_time has it, whatever queue is told.
#pragma once

#include <array>
#include <compare>
#include <cstdint>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
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
  static constexpr int kMost_s = 14400;
  void add(double seconds);
  [[nodiscard]] std::int64_t count() const { return count_; }
  [[nodiscard]] double mean_s() const;
  /// The least value that at least this share of the differences does not exceed.
  [[nodiscard]] double quantile_s(double share) const;

 private:
  std::map<int, std::int64_t> by_second_;
  std::int64_t count_ = 0, sum_s_ = 0;
};

struct EstimateTotals {
  std::map<CellKey, Sums> cells;
  std::map<std::string, Bias> bias;  ///< by field, where any time is measured
  std::int64_t rows = 0, rejected = 0;
};

/// Totals by something, in its order.
enum class GroupBy { field, aircraft, hour, month };
[[nodiscard]] std::map<std::string, Sums> grouped(const EstimateTotals& totals, GroupBy by);  ///< "06", "2026-07"
[[nodiscard]] Sums whole(const EstimateTotals& totals);

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

class Estimate {
 public:
  static constexpr double kMassClass_kg = 2000.0;  ///< assumed
  /// Masses told are rounded to multiples of the class [kg, over 0], or to the aircraft's limit where such a multiple lies
  /// beyond it.
  explicit Estimate(double mass_class_kg = kMassClass_kg) : mass_class_kg_(mass_class_kg) {}

  /// `places`: names that stand for another place on this field ("north apron": "stand:24").
  std::size_t add_field(const std::string& ident, network::Network network, double pressure_pa,
                        std::map<std::string, std::string> places = {});
  /// `conditions`: with the mass of movements that tell none; the pressure is the field's. Throws Error for values out of
  /// range.
  std::size_t add_aircraft(const std::string& name, const aircraft::Aircraft& aircraft,
                           const motion::Conditions& conditions);

  /// Figures of a movement, which go into the totals; valid until the next. Nothing where it cannot be told, and `refusal`
  /// says why. A look-up, but for the first of its kind. Throws Error (data) when more than 65,535 stands or runways are
  /// named.
  [[nodiscard]] const MovementFigures* add(const MovementQuestion& question, std::string& refusal);

  /// Rows and rejected rows are the caller's to count.
  [[nodiscard]] EstimateTotals totals() const;
  /// Tables and plans made.
  [[nodiscard]] std::size_t tables() const { return tables_.size(); }
  [[nodiscard]] std::size_t plans() const;

 private:
  struct Field {
    std::string ident;
    std::unique_ptr<TaxiField> field;
    double pressure_pa = 0.0;
    std::map<std::string, std::string> places;
    Bias bias;
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
  };
  static std::uint32_t id_of(Ids& ids, std::string_view text);
  Entry make_entry(const MovementQuestion& q, double mass_kg);
  Entry& entry(const MovementQuestion& q, double mass_kg);
  [[nodiscard]] std::optional<double> mass_of(const MovementQuestion& q, std::string& refusal) const;
  Sums& cell(const MovementQuestion& q);

  double mass_class_kg_;
  std::vector<Field> fields_;
  std::vector<Kind> kinds_;
  Ids stands_, runways_;
  std::unordered_map<TableKey, Entry, TableHash> tables_;
  std::unordered_map<std::uint64_t, Sums> cells_;
  MovementFigures figures_;
};

}  // namespace solotaxi::planning
