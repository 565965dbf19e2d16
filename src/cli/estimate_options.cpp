#include "option_kinds.hpp"

namespace solotaxi::cli {
namespace {

void add_run(CLI::App& estimate, EstimateOptions& options) {
  estimate.add_option("--threads", options.threads, "threads to work with, 1 to 1024 (all cores); results do not change")
      ->check(whole(1, 1024))
      ->type_name("N");
  estimate
      .add_option("--shard", options.shard,
                  "only part I of N of the rows, for job arrays; write --sums, and join them with solotaxi merge")
      ->type_name("I/N");
  estimate.add_option("--sums", options.sums, "also write exact sums, for solotaxi merge (.json)")->type_name("FILE");
  estimate
      .add_option("--checkpoint", options.checkpoint,
                  "keep there how far the run is (beside the file of --out, else of --sums, with .checkpoint added)")
      ->type_name("FILE");
  estimate.add_option("--checkpoint-every", options.checkpoint_every_s, "keep it so often, 0 to 3600 s (10)")
      ->check(between(0, 3600, "s"))
      ->type_name("S");
  estimate.add_flag("--resume", options.resume, "go on from the checkpoint, where there is one");
}

void add_draws(CLI::App& estimate, EstimateOptions& options) {
  CLI::Option* draws = estimate
                           .add_option("--draws", options.draws,
                                       "also tell how far totals may lie off, from so many draws, 10 to 100000 (none)")
                           ->check(whole(10, 100000))
                           ->type_name("N");
  estimate.add_option("--seed", options.seed, "of the draws (1)")->needs(draws)->type_name("N");
  estimate.add_option("--spread", options.spread, "standard deviations of what is assumed (TOML), else the usual ones")
      ->needs(draws)
      ->type_name("FILE");
}

void add_format(CLI::App& command, OutputOptions& output) {
  command.add_option("--format", output.format, "on standard output: text or json (text)")
      ->check(one_of({"text", "json"}))
      ->type_name("WORD");
}

}  // namespace

void add_merge(CLI::App& app, MergeOptions& options) {
  CLI::App& merge = *app.add_subcommand("merge", "Join the shards of an estimate: exactly what one run would have given");
  merge.add_option("SUMS", options.sums, "files that estimate --shard wrote with --sums, of every shard")
      ->required()
      ->type_name("FILE...");
  merge.add_option("--out", options.per_flight, "also join the shards' files of single movements (.csv)")
      ->type_name("FILE");
  merge.add_option("--totals", options.totals, "also write the totals, a line each (.csv)")->type_name("FILE");
  merge.add_option("--rejects", options.rejects, "also join the shards' files of rejected rows (.csv)")->type_name("FILE");
  add_format(merge, options.output);
}

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
  estimate.add_option("--totals", options.totals, "also write the totals, a line each (.csv)")->type_name("FILE");
  add_draws(estimate, options);
  add_run(estimate, options);
  add_format(estimate, options.question.output);
}

}  // namespace solotaxi::cli
