#include "stop_signals.hpp"

#include <atomic>

namespace solotaxi::cli {
namespace {

constexpr std::array kSignals{SIGINT, SIGTERM};
std::atomic<int> came_signal{0};
static_assert(std::atomic<int>::is_always_lock_free);

void note(int signal) { came_signal = signal; }

}  // namespace

StopSignals::StopSignals() {
  came_signal = 0;
  struct sigaction noting {};
  noting.sa_handler = note;
  sigemptyset(&noting.sa_mask);
  for (std::size_t k = 0; k < kSignals.size(); ++k) sigaction(kSignals[k], &noting, &before_[k]);
}

StopSignals::~StopSignals() {
  for (std::size_t k = 0; k < kSignals.size(); ++k) sigaction(kSignals[k], &before_[k], nullptr);
}

int StopSignals::came() { return came_signal; }

}  // namespace solotaxi::cli
