#include "estimate_run.hpp"

#include <fmt/format.h>
#include <tbb/global_control.h>
#include <tbb/info.h>
#include <tbb/parallel_pipeline.h>
#include <tbb/task_arena.h>

#include <algorithm>
#include <chrono>
#include <filesystem>
#include <utility>

#include "solotaxi/base/error.hpp"

namespace solotaxi::cli {
namespace {

namespace fs = std::filesystem;

std::optional<std::string> checkpoint_of(const EstimateOptions& options) {
  if (options.checkpoint) return options.checkpoint;
  if (options.per_flight) return *options.per_flight + ".checkpoint";
  if (options.sums) return *options.sums + ".checkpoint";
  if (options.resume)
    throw Error(ErrorClass::usage, "there is no checkpoint to go on from", {{}, {}, "--resume"},
                "name it with --checkpoint, or the file of single movements with --out");
  return std::nullopt;
}

std::uint64_t size_of(const std::string& file) {
  std::error_code failure;
  const std::uintmax_t size = fs::file_size(file, failure);
  return failure ? 0 : size;
}

/// The first `k` of `n` parts of so many bytes.
std::uint64_t part_of(std::uint64_t size, std::uint64_t k, std::uint64_t n) { return size / n * k + size % n * k / n; }

template <class T>
T* last_of(std::vector<T*>& from) {
  T* const one = from.back();
  from.pop_back();
  return one;
}

}  // namespace

EstimateRun::EstimateRun(const EstimateOptions& options, std::ostream* progress)
    : options_(options),
      progress_(progress),
      inputs_(options),
      file_(options.movements, inputs_.columns()),
      checkpoint_(checkpoint_of(options)) {
  state_.shard = parse_shard(options.shard);
  state_.reject_share_pct = options.reject_share_pct;
  state_.context = inputs_.context();
  if (const planning::Spreads* spreads = inputs_.spreads())
    state_.draws = DrawsAsked{options.draws, options.seed, *spreads};
  state_.place = file_.blocks().place();
  if (checkpoint_ || options.sums) state_.hangs_on = inputs_.digests();
  const std::uint64_t size = size_of(options.movements);
  begin_byte_ = part_of(size, state_.shard.shard - 1, state_.shard.shards);
  end_byte_ = part_of(size, state_.shard.shard, state_.shard.shards);
  if (state_.shard.shards > 1) {
    if (size == 0)
      throw data_error("its size is not known", Where{options.movements, {}, {}},
                       "shards are taken from a file, not a pipe");
    file_.blocks().keep_to(begin_byte_, end_byte_);
  }
  if (options.resume && fs::exists(*checkpoint_)) go_on();
  open(options.per_flight, state_.per_flight, report::movement_heading(), per_flight_);
  open(options.rejects, state_.rejects, "row,line,reason\n", rejects_);
}

void EstimateRun::go_on() {
  EstimateState before = read_state(*checkpoint_);
  std::string differs = first_difference(before.hangs_on, state_.hangs_on);
  if (differs.empty() && !(before.shard == state_.shard)) differs = "shard";
  if (!differs.empty())
    throw data_error("is of another run: " + differs + " differs", Where{*checkpoint_, {}, {}},
                     "begin anew, without --resume");
  before_ = std::move(before.totals);
  state_.place = before.place;
  state_.per_flight = before.per_flight;
  state_.rejects = before.rejects;
  state_.context.first_reject = before.context.first_reject;
  file_.blocks().go_to(state_.place);
  kept_ = true;
}

void EstimateRun::open(const std::optional<std::string>& name, const std::optional<WrittenFile>& before,
                       const std::string& heading, std::optional<io::StagedWriter>& writer) const {
  if (!name) return;
  if (!checkpoint_)
    writer.emplace(*name);
  else
    writer.emplace(*name, before ? before->bytes : 0);
  if (writer->bytes() == 0) writer->write(heading);
  writer->keep(kept_);
}

/// A block to work on, or null at the end.
RowBlock* EstimateRun::read() {
  if (StopSignals::came() != 0) throw Stopped{StopSignals::came(), {}};
  RowBlock* block = nullptr;
  {
    const std::lock_guard lock(mutex_);
    block = last_of(idle_blocks_);
  }
  return file_.blocks().next(block->rows) ? block : nullptr;
}

void EstimateRun::work(RowBlock& block) {
  RowWorker* worker = nullptr;
  {
    const std::lock_guard lock(mutex_);
    if (idle_workers_.empty()) {
      workers_.push_back(std::make_unique<RowWorker>(inputs_, file_, per_flight_.has_value()));
      idle_workers_.push_back(workers_.back().get());
    }
    worker = last_of(idle_workers_);
  }
  worker->work(block);
  const std::lock_guard lock(mutex_);
  idle_workers_.push_back(worker);
}

/// Blocks come here in their order.
void EstimateRun::take(RowBlock& block, Progress& progress) {
  if (per_flight_) per_flight_->write(block.per_flight);
  if (rejects_) rejects_->write(block.rejects);
  planning::add(tally_, block.tally);
  before_.rows += block.count;
  before_.rejected += block.rejected;
  if (state_.context.first_reject.empty()) state_.context.first_reject = block.first_reject;
  state_.place = block.rows.to;
  progress.passed(static_cast<std::uint64_t>(block.count), block.rows.to.byte - block.rows.from.byte);
  if (checkpoint_ && now_s() - kept_s_ >= options_.checkpoint_every_s) keep_checkpoint();
}

int EstimateRun::threads() const {
  return options_.threads > 0 ? static_cast<int>(options_.threads) : tbb::info::default_concurrency();
}

template <class Work>
void EstimateRun::with_threads(Work work) const {
  const tbb::global_control limit(tbb::global_control::max_allowed_parallelism, static_cast<std::size_t>(threads()));
  tbb::task_arena arena(threads());
  arena.execute(work);
}

void EstimateRun::go_through(Progress& progress) {
  const std::size_t on_the_way = threads() == 1 ? 1 : 2 * static_cast<std::size_t>(threads()) + 1;
  for (std::size_t k = 0; k <= on_the_way; ++k) {
    blocks_.push_back(std::make_unique<RowBlock>());
    idle_blocks_.push_back(blocks_.back().get());
  }
  const auto reading =
      tbb::make_filter<void, RowBlock*>(tbb::filter_mode::serial_in_order, [&](tbb::flow_control& control) {
        RowBlock* block = read();
        if (block == nullptr) control.stop();
        return block;
      });
  const auto working = tbb::make_filter<RowBlock*, RowBlock*>(tbb::filter_mode::parallel, [&](RowBlock* block) {
    work(*block);
    return block;
  });
  const auto taking = tbb::make_filter<RowBlock*, void>(tbb::filter_mode::serial_in_order, [&](RowBlock* block) {
    take(*block, progress);
    const std::lock_guard lock(mutex_);
    idle_blocks_.push_back(block);
  });
  with_threads([&] { tbb::parallel_pipeline(on_the_way, reading & working & taking); });
}

void EstimateRun::run() {
  kept_s_ = now_s();
  const std::uint64_t from = std::max(begin_byte_, state_.place.byte);
  try {
    Progress progress(progress_, end_byte_ > from ? end_byte_ - from : 0, [&] { return inputs_.estimate().plans(); });
    go_through(progress);
  } catch (Stopped& stopped) {
    if (checkpoint_) keep_checkpoint();
    stopped.message = fmt::format("stopped after {} rows; {}", before_.rows,
                                  checkpoint_ ? "--resume goes on from there" : "nothing was written");
    throw;
  }
  settle();
  state_.whole = true;
  if (state_.totals.rows == 0 && state_.shard.shards == 1)
    throw data_error("has a heading and no rows", Where{options_.movements, {}, {}}, "one row a movement is expected");
  if (!options_.shard.empty()) return;  // merge looks at the rejects of all
  try {
    check_rejects(state_, options_.movements,
                  rejects_ ? "the reasons are in " + *options_.rejects + "; nothing else was written"
                           : "--rejects FILE tells the reasons, --reject-share PCT allows more");
  } catch (const Error&) {
    if (rejects_) rejects_->finish().commit();
    if (per_flight_) per_flight_->keep(false);
    drop_checkpoint();
    throw;
  }
}

/// The state as it is now.
void EstimateRun::settle() {
  state_.totals = before_;
  planning::add(state_.totals, inputs_.estimate().totals(tally_));
  if (per_flight_) state_.per_flight = {*options_.per_flight, per_flight_->bytes()};
  if (rejects_) state_.rejects = {*options_.rejects, rejects_->bytes()};
}

void EstimateRun::keep_checkpoint() {
  settle();
  io::write_text(*checkpoint_, state_json(state_));
  if (!kept_) {
    if (per_flight_) per_flight_->keep(true);
    if (rejects_) rejects_->keep(true);
  }
  kept_ = true;
  kept_s_ = now_s();
}

void EstimateRun::drop_checkpoint() {
  std::error_code ignored;
  if (kept_) fs::remove(*checkpoint_, ignored);
}

void EstimateRun::release(std::ostream& out) {
  Outputs outputs;
  EstimateTold result;
  with_threads([&] { result = told(state_, options_.question.output.format); });
  if (options_.totals) outputs.add_text(*options_.totals, result.totals_csv);
  if (options_.sums) {
    EstimateState sums = state_;
    const fs::path folder = fs::absolute(*options_.sums).parent_path();
    for (auto* written : {&sums.per_flight, &sums.rejects})
      if (*written) (*written)->file = fs::absolute((*written)->file).lexically_proximate(folder).string();
    outputs.add_text(*options_.sums, state_json(sums));
  }
  if (per_flight_) outputs.add(per_flight_->finish());
  if (rejects_) outputs.add(rejects_->finish());
  outputs.release(out, result.text);
  drop_checkpoint();
}

}  // namespace solotaxi::cli
