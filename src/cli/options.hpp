// What the commands can be told, and the one place where each option is defined.
//
// `define_options` makes the whole command line as a CLI::App; help, and whatever else describes the options (a manual
// page, shell completion), is made from that object.
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace CLI {
class App;
}

namespace solotaxi::cli {

/// What every command is told about the field.
struct FieldOptions {
  std::string map;
  std::optional<std::string> mapping;
  std::vector<std::string> dems, surveys;
  std::optional<double> dem_sigma_m;        ///< declared noise of every raster
  std::vector<std::string> height_offsets;  ///< FILE=M
  std::optional<std::string> aerodrome;
  double snap_m = 2.0;
  std::vector<std::string> notams;
  std::optional<std::string> at;   ///< time the map and the NOTAMs are read for, ISO 8601
  std::string access_no = "open";  ///< what lines tagged access=no are: "open" or "closed"
};

struct OutputOptions {
  std::string format = "text";  ///< "text" or "json", on standard output
  std::vector<std::string> files;
};

struct CheckOptions {
  FieldOptions field;
  OutputOptions output;
  std::optional<std::string> code_letter;  ///< "A" to "F"
};

/// What a route and a plan are asked alike.
struct QuestionOptions {
  FieldOptions field;
  OutputOptions output;
  std::optional<std::string> html;  ///< file the page is written to
  std::string from, to;
  std::vector<std::string> via, close, avoid;
  std::string aircraft = "narrow-body-twin";
  std::optional<double> mass_kg;
  std::string require = "rolling";
  double oat_c = 15.0;
  double qnh_hpa = 1013.25;
  std::optional<double> pressure_altitude_ft;
  std::string surface = "dry";
  double unknown_grade_pct = 3.0;
  std::optional<double> n1_limit_pct;
  std::optional<std::string> direction;
  double landing_roll_m = 1200.0;
  std::string units = "si";
};

struct RouteOptions : QuestionOptions {
  std::string objective = "distance";
  std::string engines = "all";
};

struct PlanOptions : QuestionOptions {
  std::vector<std::string> engines;  ///< sets tried; empty: the aircraft's
  double queue_min = 0.0, queue_moves_per_min = 0.0;
  std::optional<double> push_back_s, warm_up_s, start_s, cool_down_s;  ///< else the aircraft's and the model's
  double since_landing_s = 0.0;
  std::string apu = "on";
  std::optional<double> brake_c;
  std::vector<std::string> rules;
  std::size_t alternatives = 0;
  std::uint64_t seed = 1;
};

struct PreviewOptions : PlanOptions {
  std::string clearance;
  double hold_short_min = 0.5;
};

struct EstimateOptions {
  QuestionOptions question;  ///< of it the air, the surface, the unknown grade and the format
  std::string movements;
  std::optional<std::string> columns, fleet, per_flight, rejects;
  std::vector<std::string> fields, dems;  ///< IDENT=FILE
  double mass_class_kg = 2000.0;
  double reject_share_pct = 1.0;
  std::size_t threads = 0;  ///< 0: all cores
  std::string shard;        ///< "3/40", or empty: the whole
  std::optional<std::string> sums, checkpoint, totals, spread;
  std::size_t draws = 0;
  std::uint64_t seed = 1;
  double checkpoint_every_s = 10.0;
  bool resume = false;
};

struct MergeOptions {
  std::vector<std::string> sums;
  OutputOptions output;
  std::optional<std::string> per_flight, rejects, totals;
};

/// Without places, brakes and seed.
struct ScreenOptions : PlanOptions {
  std::vector<std::string> fleet;  ///< aircraft; empty: the default one
  std::optional<std::string> traffic, what_if;
  double movements = 100000.0;
  std::size_t mend = 5;
  bool standard_routes = false;
  double trunk_kg_m = 10.0;
};

struct ConvertOptions {
  FieldOptions field;
  std::string out;
  std::optional<std::string> as;  ///< "map" or "network"
};

struct Options {
  CheckOptions check;
  ConvertOptions convert;
  RouteOptions route;
  PlanOptions plan;
  PreviewOptions preview;
  EstimateOptions estimate;
  MergeOptions merge;
  ScreenOptions screen;
};

/// Frees a CLI::App where its type is complete.
struct AppDeleter {
  void operator()(CLI::App* app) const;
};

/// The command line; `version` is what --version prints. Parsing it fills `options`, which must outlive it.
/// Subcommands "check", "route", "plan", "preview", "estimate", "merge", "screen" and "convert".
[[nodiscard]] std::unique_ptr<CLI::App, AppDeleter> define_options(Options& options, const std::string& version);

}  // namespace solotaxi::cli
