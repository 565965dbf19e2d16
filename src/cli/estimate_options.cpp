#include "option_kinds.hpp"

namespace solotaxi::cli {

void add_estimate(CLI::App& app, EstimateOptions& options) {
  CLI::App& estimate =
      *app.add_subcommand("estimate", "Add up fuel and emissions of many movements, and what one engine saves");
  estimate.add_option("--movements", options.movements, "CSV file, one row a movement")->required()->type_name("FILE");
  repeated(estimate, "--field", options.fields, "the map of a field that movements name; may be repeated")
      ->required()
      ->type_name("IDENT=MAP");
  repeated(estimate, "--dem", options.dems, "elevation raster of a field, metres; may be repeated")
      ->type_name("IDENT=RASTER");
  estimate
      .add_option("--columns", options.columns, "what columns, directions and areas are called (TOML) if not as documented")
      ->type_name("FILE");
  estimate.add_option("--fleet", options.fleet, "aircraft file and mass of each type that movements name (TOML)")
      ->type_name("FILE");
  estimate
      .add_option("--mass-class", options.mass_class_kg,
                  "masses are rounded to multiples of this before they are computed with, 100 to 50000 kg (2000)")
      ->check(between(100, 50000, "kg"))
      ->type_name("KG");
  add_air(estimate, options.question);
  add_ground(estimate, options.question);
  estimate.add_option("--out", options.per_flight, "also write a row for each movement (.csv)")->type_name("FILE");
  estimate.add_option("--rejects", options.rejects, "write the rows that cannot be used, each with its reason (.csv)")
      ->type_name("FILE");
  estimate
      .add_option("--reject-share", options.reject_share_pct, "fail where more of the rows cannot be used, 0 to 100 % (1)")
      ->check(between(0, 100, "%"))
      ->type_name("PCT");
  estimate.add_option("--format", options.question.output.format, "on standard output: text or json (text)")
      ->check(one_of({"text", "json"}))
      ->type_name("WORD");
}

}  // namespace solotaxi::cli
