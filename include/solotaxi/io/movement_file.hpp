// Movements: a CSV file of one row each, the file that says what its columns are called, and the fleet file.
//
// Columns and their names where no columns file says otherwise:
//   time             2026-07-14T06:05, a blank for the T allowed, seconds, fractions and a zone allowed (not converted)
//   field            name of a field, as --field gives it
//   stand            stand ("12"), or any place but a position: stand:3#551504298, node:57, hold:A1
//   runway           runway end ("09"), with its entry or exit where known ("09@A2")
//   aircraft         name in the fleet file, else of a built-in aircraft
//   direction        out or in
//   mass_kg          may be missing or empty
//   queue_min        wait before line-up, 0…120; may be missing or empty (none)
//   taxi_time_min    measured, from the push back's begin to line-up or from the end of the landing roll to the stand,
//                    0…240; may be missing or empty
// Other columns are passed over.
#pragma once

#include <array>
#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <string_view>

#include "solotaxi/aircraft/aircraft.hpp"
#include "solotaxi/io/csv.hpp"

namespace solotaxi::io {

enum class Column { time, field, stand, runway, aircraft, direction, mass, queue, taxi_time };
inline constexpr std::size_t kColumns = 9;

/// What a columns file (TOML) may say:
///   separator = ";"
///   [columns]      time = "off block", mass = "TOM", …; keys are time, field, stand, runway, aircraft, direction, mass,
///                  queue, taxi_time
///   [directions]   out = "D", in = "A"
///   [places.XQTB]  "north apron" = "stand:24": an area of the field XQTB, and the place that stands for it
struct MovementColumns {
  std::array<std::string, kColumns> names{"time",      "field",   "stand",     "runway",       "aircraft",
                                          "direction", "mass_kg", "queue_min", "taxi_time_min"};
  std::string out = "out", in = "in";
  char separator = ',';
  std::map<std::string, std::map<std::string, std::string>> places;  ///< by field, then name
};
/// Throws Error (data) with file and line for unknown keys and wrong types.
[[nodiscard]] MovementColumns read_columns(const std::filesystem::path& file);

/// An aircraft of the fleet.
struct FleetEntry {
  aircraft::Aircraft aircraft;
  double mass_kg = 0.0;  ///< of movements that tell none: the fleet file's, else the aircraft's own
};
/// A fleet file (TOML): a table for each name the movements use, with `aircraft` (file, seen from the fleet file, or name)
/// and perhaps `mass_kg`. Throws Error (data) with file and line.
[[nodiscard]] std::map<std::string, FleetEntry> read_fleet(const std::filesystem::path& file);

/// One row. Texts are valid until the next.
struct Movement {
  std::string_view time, field, stand, runway, aircraft;
  int hour = 0;   ///< 0…23, as written
  int month = 0;  ///< 12 × year + month - 1
  bool departure = false;
  std::optional<double> mass_kg, queue_s, taxi_time_s;
};

/// A file of movements: its heading read, its rows in blocks.
class MovementFile {
 public:
  /// Reads the heading. Throws Error (data) for an empty file, a column that is needed and missing, or one named twice.
  MovementFile(const std::filesystem::path& file, MovementColumns columns);
  /// Whole rows behind the heading; also where they may be gone on with, and which of them are kept.
  [[nodiscard]] CsvBlocks& blocks() { return blocks_; }

 private:
  friend class MovementRows;
  MovementColumns columns_;
  CsvBlocks blocks_;
  std::array<int, kColumns> at_{};
  std::size_t width_ = 0;
};

/// The movements of a block. Several threads may each have theirs of the same file.
class MovementRows {
 public:
  /// The file must outlive it.
  explicit MovementRows(const MovementFile& file) : file_(&file), csv_(file.columns_.separator) {}
  /// The block must outlive what is asked of its rows.
  void begin(const CsvBlock& block) { csv_.begin(block); }
  /// Goes to the next row; false at the end.
  [[nodiscard]] bool next();
  /// Why the row cannot be read; "" where `movement` has it.
  [[nodiscard]] const std::string& fault() const { return fault_; }
  [[nodiscard]] const Movement& movement() const { return movement_; }
  /// Of the movement in the file, from 1; the heading does not count.
  [[nodiscard]] std::uint64_t number() const { return csv_.rows() - 1; }
  [[nodiscard]] std::uint64_t line() const { return csv_.line(); }

 private:
  void read_row();
  [[nodiscard]] std::string_view field(Column column) const;
  [[nodiscard]] bool read_number(Column column, double least, double most, double factor, std::optional<double>& to);
  const MovementFile* file_;
  CsvRows csv_;
  Movement movement_;
  std::string fault_;
};

}  // namespace solotaxi::io
