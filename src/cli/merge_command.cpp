#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <fstream>

#include "commands.hpp"
#include "estimate_state.hpp"
#include "output.hpp"
#include "solotaxi/base/error.hpp"
#include "solotaxi/io/staged_writer.hpp"

namespace solotaxi::cli {
namespace {

namespace fs = std::filesystem;

struct Part {
  std::string file;
  EstimateState state;
};

Digests without_times(Digests digests) {
  std::erase_if(digests, [](const auto& d) { return d.first == kTimeOfChange; });
  return digests;
}

/// In the order of their shards, which must be all of one run.
std::vector<Part> read_parts(const std::vector<std::string>& files) {
  std::vector<Part> parts;
  for (const std::string& file : files) {
    parts.push_back({file, read_state(file)});
    if (!parts.back().state.whole)
      throw data_error("is a checkpoint, not the sums of a whole shard", Where{file, {}, {}},
                       "let that shard end: --resume");
  }
  std::stable_sort(parts.begin(), parts.end(),
                   [](const Part& a, const Part& b) { return a.state.shard.shard < b.state.shard.shard; });
  const Part& first = parts.front();
  for (std::size_t k = 0; k < parts.size(); ++k) {
    const Part& part = parts[k];
    const std::string differs = first_difference(without_times(first.state.hangs_on), without_times(part.state.hangs_on));
    if (!differs.empty())
      throw data_error(fmt::format("is not of the same run as {}: {} differs", first.file, differs),
                       Where{part.file, {}, {}}, "shards are merged that were made alike");
    if (part.state.shard.shards != first.state.shard.shards)
      throw data_error(
          fmt::format("is one of {} shards, {} one of {}", part.state.shard.shards, first.file, first.state.shard.shards),
          Where{part.file, {}, {}});
    if (k > 0 && part.state.shard == parts[k - 1].state.shard)
      throw data_error(fmt::format("is shard {}, as is {}", part.state.shard.shard, parts[k - 1].file),
                       Where{part.file, {}, {}}, "name each shard once");
  }
  for (std::uint64_t shard = 1; shard <= first.state.shard.shards; ++shard)
    if (shard > parts.size() || parts[shard - 1].state.shard.shard != shard)
      throw data_error(fmt::format("shard {} of {} is missing", shard, first.state.shard.shards), {}, "name them all");
  return parts;
}

/// Appends a shard's file, the heading of all but the first left out.
void append_file(io::StagedWriter& to, const Part& part, const std::optional<WrittenFile>& written, const char* option) {
  constexpr std::size_t kPiece = std::size_t{1} << 18U;
  if (!written)
    throw Error(ErrorClass::usage, fmt::format("the shard of {} has written no such file", part.file), {{}, {}, option},
                "its run must have had the same option");
  const fs::path file = fs::path(part.file).parent_path() / written->file;
  std::ifstream in(file, std::ios::binary);
  std::string heading, piece(kPiece, '\0');
  if (!in || fs::file_size(file) != written->bytes || !std::getline(in, heading))
    throw data_error(fmt::format("is not what the shard of {} wrote", part.file), Where{file.string(), {}, {}},
                     "keep a shard's files beside its sums");
  if (to.bytes() == 0) to.write(heading + "\n");
  while (in) {
    in.read(piece.data(), static_cast<std::streamsize>(piece.size()));
    to.write(std::string_view(piece).substr(0, static_cast<std::size_t>(in.gcount())));
  }
}

}  // namespace

void merge_command(const MergeOptions& options, std::ostream& out) {
  std::vector<NamedOutput> names;
  if (options.per_flight) names.push_back({"--out", *options.per_flight, {".csv"}});
  if (options.rejects) names.push_back({"--rejects", *options.rejects, {".csv"}});
  if (options.totals) names.push_back({"--totals", *options.totals, {".csv"}});
  check_outputs(names, options.sums);
  const std::vector<Part> parts = read_parts(options.sums);
  EstimateState all = parts.front().state;
  for (std::size_t k = 1; k < parts.size(); ++k) {
    planning::add(all.totals, parts[k].state.totals);
    if (all.context.first_reject.empty()) all.context.first_reject = parts[k].state.context.first_reject;
  }
  if (all.totals.rows == 0)
    throw data_error("has a heading and no rows", Where{all.context.movements_file, {}, {}},
                     "one row a movement is expected");
  Outputs outputs;
  if (options.rejects) {
    io::StagedWriter writer(*options.rejects);
    for (const Part& part : parts) append_file(writer, part, part.state.rejects, "--rejects");
    outputs.add(writer.finish());
  }
  try {
    check_rejects(all, all.context.movements_file, "the shards' files of rejected rows tell the reasons");
  } catch (const Error&) {
    outputs.release_files();
    throw;
  }
  if (options.per_flight) {
    io::StagedWriter writer(*options.per_flight);
    for (const Part& part : parts) append_file(writer, part, part.state.per_flight, "--out");
    outputs.add(writer.finish());
  }
  const EstimateTold result = told(all, options.output.format);
  if (options.totals) outputs.add_text(*options.totals, result.totals_csv);
  outputs.release(out, result.text);
}

}  // namespace solotaxi::cli
