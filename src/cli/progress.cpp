#include "progress.hpp"

#include <fmt/format.h>

#include <chrono>
#include <cmath>
#include <ostream>
#include <utility>

#include "report/text_layout.hpp"

namespace solotaxi::cli {
namespace {

constexpr std::chrono::milliseconds kEvery{500};

/// "0:41", "2:05:00"
std::string clock_text(double seconds) {
  const auto whole = static_cast<long>(std::ceil(seconds));
  const long hours = whole / 3600, minutes = whole / 60 % 60;
  return hours > 0 ? fmt::format("{}:{:02}:{:02}", hours, minutes, whole % 60)
                   : fmt::format("{}:{:02}", minutes, whole % 60);
}

}  // namespace

double now_s() { return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count(); }

std::string progress_line(const ProgressState& s) {
  const double rate = s.seconds > 0.0 ? static_cast<double>(s.rows) / s.seconds : 0.0;
  std::string line = fmt::format("{} rows, {} a second, {} plans made", report::number(static_cast<double>(s.rows), 0),
                                 report::number(rate, 0), report::number(static_cast<double>(s.plans), 0));
  if (s.bytes > 0 && s.bytes_ahead >= s.bytes) {
    const double left = static_cast<double>(s.bytes_ahead - s.bytes) / static_cast<double>(s.bytes);
    line += fmt::format(", {} left", clock_text(s.seconds * left));
  }
  return line;
}

Progress::Progress(std::ostream* to, std::uint64_t bytes_ahead, std::function<std::size_t()> plans)
    : to_(to), bytes_ahead_(bytes_ahead), plans_(std::move(plans)), began_s_(now_s()) {
  if (to_ != nullptr) thread_ = std::thread([this] { tell_on(); });
}

Progress::~Progress() {
  if (to_ == nullptr) return;
  {
    const std::lock_guard lock(mutex_);
    ended_ = true;
  }
  ends_.notify_one();
  thread_.join();
  tell();
  *to_ << '\n' << std::flush;
}

void Progress::tell() const {
  constexpr std::size_t kColumns = 79;  // so that a shorter line leaves nothing of a longer one
  const std::string line = progress_line({now_s() - began_s_, rows_, bytes_, bytes_ahead_, plans_()});
  *to_ << fmt::format("\r{:<{}}", line, kColumns) << std::flush;
}

void Progress::tell_on() {
  std::unique_lock lock(mutex_);
  while (!ends_.wait_for(lock, kEvery, [this] { return ended_; })) tell();
}

}  // namespace solotaxi::cli
