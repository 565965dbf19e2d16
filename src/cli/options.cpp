#include "options.hpp"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <limits>

#include "option_kinds.hpp"
#include "solotaxi/base/instant.hpp"

namespace solotaxi::cli {
namespace {

constexpr std::size_t kLeftColumns = 30;
constexpr std::size_t kRightColumns = 49;
constexpr const char* kLayerEndings = ".geojson, .gpkg or .kml";

/// Help of 80 columns: descriptions wrapped beside their options.
class Columns : public CLI::Formatter {
 public:
  Columns() { column_width(kLeftColumns); }
  std::string make_option_desc(const CLI::Option* option) const override {
    std::string text, line;
    std::istringstream words(CLI::Formatter::make_option_desc(option));
    for (std::string word; words >> word;) {
      if (!line.empty() && line.size() + 1 + word.size() > kRightColumns) text += line + '\n', line.clear();
      line += (line.empty() ? "" : " ") + word;
    }
    return text + line;
  }
  /// Only what the option takes; the rest is in its description.
  std::string make_option_opts(const CLI::Option* option) const override {
    return option->get_type_size() == 0 ? "" : " " + option->get_type_name();
  }
};

void add_field_options(CLI::App& command, FieldOptions& field) {
  command
      .add_option("MAP", field.map,
                  "map of the field: OSM XML or PBF, AIXM 5.1 (a file or a folder), or any vector file GDAL reads")
      ->required()
      ->type_name("");
  repeated(command, "--dem", field.dems, "elevation raster, metres; may be repeated")->type_name("RASTER");
  command
      .add_option("--dem-sigma", field.dem_sigma_m,
                  "noise of the rasters' heights, 0.05 to 50 m (2); the larger, the gentler short ramps come out")
      ->check(between(0.05, 50, "m"))
      ->type_name("M");
  repeated(command, "--survey", field.surveys,
           "surveyed points, lines of lat, lon, height and perhaps sigma; may be repeated")
      ->type_name("FILE");
  repeated(command, "--height-offset", field.height_offsets,
           "add M metres to the heights of one input, to bring it to the vertical datum of the others; may be repeated")
      ->type_name("FILE=M");
  command.add_option("--mapping", field.mapping, "attribute names of a map with another schema (TOML)")->type_name("FILE");
  CLI::Option* at =
      command.add_option("--at", field.at, "time for which AIXM data and NOTAMs are read, UTC: 2026-01-05T06:00Z")
          ->check(CLI::Validator(
              [](std::string& text) {
                return parse_instant(text) ? "" : "\"" + text + "\" is no date and time such as 2026-01-05T06:00Z";
              },
              "", "time"))
          ->type_name("TIME");
  repeated(command, "--notam", field.notams, "digital NOTAM (AIXM 5.1) to apply at that time; may be repeated")
      ->needs(at)
      ->type_name("FILE");
  command
      .add_option("--aerodrome", field.aerodrome,
                  "which of several aerodromes of the map: ICAO or IATA code, name, or lat,lon")
      ->type_name("ID");
  command.add_option("--snap", field.snap_m, "join ends of lines that miss each other by less, 0 to 20 m (2)")
      ->check(between(0, 20, "m"))
      ->type_name("M");
  command.add_option("--access-no", field.access_no, "lines tagged access=no are open or closed (open)")
      ->check(one_of({"open", "closed"}))
      ->type_name("WORD");
}

void add_output_options(CLI::App& command, OutputOptions& output, const std::string& endings) {
  command.add_option("--format", output.format, "on standard output: text or json (text)")
      ->check(one_of({"text", "json"}))
      ->type_name("WORD");
  repeated(command, "--out", output.files, "also write a file, by its ending " + endings + "; may be repeated")
      ->type_name("FILE");
}

void add_check(CLI::App& app, CheckOptions& options) {
  CLI::App& check = *app.add_subcommand("check", "Say what a map holds, what was built of it, and every doubt about it");
  add_field_options(check, options.field);
  check
      .add_option("--code-letter", options.code_letter,
                  "report slopes over the standard of this aerodrome code letter, A to F")
      ->check(one_of({"A", "B", "C", "D", "E", "F"}))
      ->type_name("LETTER");
  add_output_options(check, options.output, ".txt, .json, .csv (heights and grades), .gpkg or .geojson");
}

void add_convert(CLI::App& app, ConvertOptions& options) {
  CLI::App& convert = *app.add_subcommand("convert", "Write a map, or the network built of it, in another format");
  add_field_options(convert, options.field);
  convert.add_option("OUT", options.out, "file to write: .geojson or .gpkg")->required()->type_name("");
  convert
      .add_option("--as", options.as,
                  "map: the features with OpenStreetMap's tag names (the default); network: what is built of them, to be "
                  "mended in a GIS and read again (.gpkg)")
      ->check(one_of({"map", "network"}))
      ->type_name("WORD");
}

CLI::Option* add_from(CLI::App& command, QuestionOptions& options) {
  return command
      .add_option("--from", options.from, "where from: stand:12, runway:08L, runway:08L@A2, hold:A1, node:57 or lat,lon")
      ->required()
      ->type_name("PLACE");
}

void add_closures(CLI::App& command, QuestionOptions& options) {
  repeated(command, "--close", options.close, "shut a taxiway or node; may be repeated")->type_name("NAME");
  repeated(command, "--avoid", options.avoid, "use only where there is no other way; may be repeated")->type_name("NAME");
}

void add_places(CLI::App& command, QuestionOptions& options) {
  add_from(command, options);
  command.add_option("--to", options.to, "where to, written the same way")->required()->type_name("PLACE");
  repeated(command, "--via", options.via, "pass here in this order, standing for STOP_MIN minutes; may be repeated")
      ->type_name("PLACE[=STOP_MIN]");
  add_closures(command, options);
}

/// Of aircraft, air and ground.
void add_state(CLI::App& command, QuestionOptions& options) {
  command.add_option("--mass", options.mass_kg, "mass, within the aircraft's range (the aircraft file's)")
      ->check(between(1000, 1000000, "kg"))
      ->type_name("KG");
  command
      .add_option("--require", options.require,
                  "the running engines must be able to start from rest everywhere (standing) or keep rolling (rolling)")
      ->check(one_of({"standing", "rolling"}))
      ->type_name("WORD");
  CLI::Option* qnh = add_air(command, options);
  command
      .add_option("--pressure-altitude", options.pressure_altitude_ft,
                  "pressure altitude of the field instead of --qnh, -2000 to 20000 ft")
      ->check(between(-2000, 20000, "ft"))
      ->excludes(qnh)
      ->type_name("FT");
  add_ground(command, options);
  command
      .add_option("--n1-limit", options.n1_limit_pct,
                  "highest fan speed on the ground, from idle to 100 % (the aircraft file's)")
      ->check(between(5, 100, "%"))
      ->type_name("PCT");
}

void add_roll_and_units(CLI::App& command, QuestionOptions& options) {
  command
      .add_option("--landing-roll", options.landing_roll_m,
                  "arrival: least way from the landing threshold to the exit, 0 to 6000 m (1200)")
      ->check(between(0, 6000, "m"))
      ->type_name("M");
  command.add_option("--units", options.units, "of text and page: si, or us: feet, pounds (si)")
      ->check(one_of({"si", "us"}))
      ->type_name("WORD");
}

void add_conditions(CLI::App& command, QuestionOptions& options) {
  command
      .add_option("--aircraft", options.aircraft, "aircraft file, or name of a built-in one (narrow-body-twin)")
      ->type_name("FILE|NAME");
  add_state(command, options);
  command.add_option("--direction", options.direction, "departure or arrival (from the places)")
      ->check(one_of({"departure", "arrival"}))
      ->type_name("WORD");
  add_roll_and_units(command, options);
}

void add_page(
    CLI::App& command, QuestionOptions& options,
    const char* what = "also write a page (.html) with map and profile, for a browser, a tablet or one printed sheet") {
  command.add_option("--html", options.html, what)->type_name("FILE");
}

void add_route(CLI::App& app, RouteOptions& options) {
  CLI::App& route = *app.add_subcommand("route", "Find the way to taxi from one place to another");
  add_places(route, options);
  route.add_option("--objective", options.objective, "least distance, time or fuel (distance)")
      ->check(one_of({"distance", "time", "fuel"}))
      ->type_name("WORD");
  route
      .add_option("--engines", options.engines,
                  "engines that run: all, left or right of a twin, or numbers from the left such as 1,3 (all)")
      ->type_name("SET");
  add_conditions(route, options);
  add_field_options(route, options.field);
  add_output_options(route, options.output, kLayerEndings);
  add_page(route, options);
}

void add_engine_times(CLI::App& plan, PlanOptions& options) {
  plan.add_option("--push-back", options.push_back_s, "time the push back takes, 0 to 3600 s (120)")
      ->check(between(0, 3600, "s"))
      ->type_name("S");
  plan.add_option("--warm-up", options.warm_up_s,
                  "every engine runs so long before take-off, 0 to 1800 s (the aircraft file's)")
      ->check(between(0, 1800, "s"))
      ->type_name("S");
  plan.add_option("--start-time", options.start_s, "an engine's start takes so long, 0 to 600 s (the aircraft file's)")
      ->check(between(0, 600, "s"))
      ->type_name("S");
  plan.add_option("--cool-down", options.cool_down_s,
                  "arrival: no shutdown before so long after the landing roll, 0 to 1800 s (the aircraft file's)")
      ->check(between(0, 1800, "s"))
      ->type_name("S");
  plan.add_option("--since-landing", options.since_landing_s,
                  "arrival: passed already since the end of the landing roll, 0 to 3600 s (0)")
      ->check(between(0, 3600, "s"))
      ->type_name("S");
  plan.add_option("--apu", options.apu, "on, or off: then engines are started by cross-bleed (on)")
      ->check(one_of({"on", "off"}))
      ->type_name("WORD");
}

/// What a plan is asked of engines, queue and rules.
void add_engines(CLI::App& plan, PlanOptions& options) {
  repeated(plan, "--engines", options.engines,
           "try only these running engines: left or right of a twin, or numbers from the left such as 1,3; may be repeated "
           "(the aircraft's)")
      ->type_name("SET");
  plan.add_option("--queue", options.queue_min, "wait before line-up, 0 to 120 min (0)")
      ->check(between(0, 120, "min"))
      ->type_name("MIN");
  plan.add_option("--queue-moves", options.queue_moves_per_min, "moves of 50 m in the queue, 0 to 10 per min (0)")
      ->check(between(0, 10, "per min"))
      ->type_name("N");
  add_engine_times(plan, options);
  repeated(plan, "--rule", options.rules,
           "an operator's rule: all-engines=NAME, all-engines=crossings, all-engines=kind:KIND, min-one-engine-s=S, "
           "may-run-alone=SET or tight=limit; may be repeated")
      ->type_name("RULE");
}

void add_rest_of_plan(CLI::App& plan, PlanOptions& options) {
  plan.add_option("--brake-temp", options.brake_c, "brakes at the start, -60 to 1000 °C (outside air)")
      ->check(between(-60, 1000, "°C"))
      ->type_name("C");
  plan.add_option("--seed", options.seed, "of the draws behind the plan's probability (1)")
      ->check(whole(0, std::numeric_limits<std::uint64_t>::max()))
      ->type_name("N");
  add_conditions(plan, options);
  add_field_options(plan, options.field);
  add_output_options(plan, options.output, kLayerEndings);
  add_page(plan, options);
}

void add_plan(CLI::App& app, PlanOptions& options) {
  CLI::App& plan =
      *app.add_subcommand("plan", "Find the way that burns least fuel, and where engines start and stop on it");
  add_places(plan, options);
  add_engines(plan, options);
  plan.add_option("--alternatives", options.alternatives, "plan so many other ways besides, 0 to 10 (0)")
      ->check(whole(0, 10))
      ->type_name("K");
  add_rest_of_plan(plan, options);
}

void add_preview(CLI::App& app, PreviewOptions& options) {
  CLI::App& preview = *app.add_subcommand("preview", "Plan the route a controller assigned, beside the best free one");
  add_from(preview, options);
  preview
      .add_option("--clearance", options.clearance,
                  "as spoken or written: \"taxi to holding point A1 runway 26 via B, C, hold short of runway 18\"")
      ->required()
      ->type_name("TEXT");
  preview.add_option("--to", options.to, "where the clearance names no end, or to pick one of several of a name")
      ->type_name("PLACE");
  preview.add_option("--hold-short", options.hold_short_min, "stand so long where told to hold short, 0 to 60 min (0.5)")
      ->check(between(0, 60, "min"))
      ->type_name("MIN");
  add_closures(preview, options);
  add_engines(preview, options);
  add_rest_of_plan(preview, options);
}

void add_screen(CLI::App& app, ScreenOptions& options) {
  CLI::App& screen = *app.add_subcommand(
      "screen", "Ask every stand against every runway end, and which segments stop plans on one engine");
  repeated(screen, "--aircraft", options.fleet,
           "aircraft file, or name of a built-in one; may be repeated (narrow-body-twin)")
      ->type_name("FILE|NAME");
  CLI::Option* traffic =
      screen.add_option("--traffic", options.traffic, "movements a year: lines of stand,runway,out or in,movements (CSV)")
          ->type_name("FILE");
  screen
      .add_option("--movements", options.movements,
                  "movements a year, shared alike by all pairs with a way, 1 to 1e7 (100000, assumed)")
      ->check(between(1, 1e7, "a year"))
      ->excludes(traffic)
      ->type_name("N");
  screen
      .add_option("--mend", options.mend,
                  "search anew for so many stretches that force every engine, most movements first, 0 to 50 (5)")
      ->check(whole(0, 50))
      ->type_name("N");
  screen
      .add_option("--what-if", options.what_if,
                  "also screen the field with changed grades, radii, closures and new centrelines (TOML)")
      ->type_name("FILE");
  CLI::Option* routes = screen.add_flag("--standard-routes", options.standard_routes,
                                        "draw a route for every group of stands, runway end and direction, over few lines");
  screen
      .add_option("--trunk-worth", options.trunk_kg_m,
                  "fuel a year [kg] that a metre of line less on standard routes is worth, 0 to 1e6 (10, assumed)")
      ->check(between(0, 1e6, "kg"))
      ->needs(routes)
      ->type_name("KG");
  add_closures(screen, options);
  add_engines(screen, options);
  add_state(screen, options);
  add_roll_and_units(screen, options);
  add_page(screen, options, "also write a page (.html) with a map of the field, for a browser or paper");
  add_field_options(screen, options.field);
  add_output_options(screen, options.output,
                     ".gpkg (with styles for QGIS), .geojson or .kml layers, or .csv, a line a pair");
}

}  // namespace

void AppDeleter::operator()(CLI::App* app) const { delete app; }

std::unique_ptr<CLI::App, AppDeleter> define_options(Options& options, const std::string& version) {
  std::unique_ptr<CLI::App, AppDeleter> app(
      new CLI::App("One-engine taxi routes from open map data. A planning aid, not for navigation.", "solotaxi"));
  app->formatter(std::make_shared<Columns>());
  app->set_version_flag("--version", version);
  app->require_subcommand(1);
  add_check(*app, options.check);
  add_route(*app, options.route);
  add_plan(*app, options.plan);
  add_preview(*app, options.preview);
  add_estimate(*app, options.estimate);
  add_merge(*app, options.merge);
  add_screen(*app, options.screen);
  add_convert(*app, options.convert);
  return app;
}

}  // namespace solotaxi::cli
