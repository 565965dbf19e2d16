// SIGINT and SIGTERM while a long command runs: noticed, so that it can leave things in order.
#pragma once

#include <array>
#include <csignal>

namespace solotaxi::cli {

class StopSignals {
 public:
  StopSignals();
  ~StopSignals();
  StopSignals(const StopSignals&) = delete;
  StopSignals& operator=(const StopSignals&) = delete;
  /// The signal that came, 0 while none has. Any thread may ask.
  [[nodiscard]] static int came();

 private:
  std::array<struct sigaction, 2> before_{};
};

}  // namespace solotaxi::cli
