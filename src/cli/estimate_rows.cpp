#include "estimate_rows.hpp"

#include <fmt/format.h>

#include "commands.hpp"
#include "solotaxi/io/staged_writer.hpp"
#include "stop_signals.hpp"

namespace solotaxi::cli {

void RowWorker::work(RowBlock& block) {
  do {
    if (StopSignals::came() != 0) throw Stopped{StopSignals::came(), {}};
    counter_.make_wanted();
    (void)counter_.take();
    block.per_flight.clear();
    block.rejects.clear();
    block.first_reject.clear();
    block.count = block.rejected = 0;
    unmade_ = false;
    rows_.begin(block.rows);
    while (rows_.next()) read_row(block);
  } while (unmade_);
  block.tally = counter_.take();
}

std::optional<std::size_t> RowWorker::aircraft(std::string_view name) {
  if (const auto known = aircraft_.find(name); known != aircraft_.end()) return known->second;
  const std::optional<std::size_t> found = inputs_.aircraft(name);
  if (found) aircraft_.emplace(std::string(name), *found);
  return found;
}

void RowWorker::reject(RowBlock& block, const std::string& reason) const {
  ++block.rejected;
  if (block.first_reject.empty())
    block.first_reject = fmt::format("row {} (line {}): {}", rows_.number(), rows_.line(), reason);
  std::string& text = block.rejects;
  io::append_fixed(text, static_cast<std::int64_t>(rows_.number()), 0);
  text += ',';
  io::append_fixed(text, static_cast<std::int64_t>(rows_.line()), 0);
  text += ',';
  io::append_csv(text, reason);
  text += '\n';
}

void RowWorker::read_row(RowBlock& block) {
  ++block.count;
  if (!rows_.fault().empty()) return reject(block, rows_.fault());
  const io::Movement& m = rows_.movement();
  const auto field = inputs_.fields().find(m.field);
  if (field == inputs_.fields().end())
    return reject(block, fmt::format("the field \"{:.40}\" is none of --field", m.field));
  const std::optional<std::size_t> kind = aircraft(m.aircraft);
  if (!kind)
    return reject(
        block, fmt::format("the aircraft \"{:.40}\" is neither in the fleet file nor built in", m.aircraft));
  using Answer = planning::Counter::Answer;
  const Answer answer = counter_.count(
      {field->second, *kind, m.stand, m.runway, m.departure, m.mass_kg, m.queue_s, m.taxi_time_s, m.hour, m.month});
  if (answer == Answer::refused) return reject(block, counter_.refusal());
  unmade_ = unmade_ || answer == Answer::unmade;
  if (unmade_ || !per_flight_) return;
  report::append_movement(block.per_flight, {rows_.number(), m.time, m.field, m.stand, m.runway, m.aircraft, m.departure},
                          counter_.figures());
}

}  // namespace solotaxi::cli
