// One line on a terminal that says how far a long run is; nothing anywhere else.
#pragma once

#include <atomic>
#include <condition_variable>
#include <cstdint>
#include <functional>
#include <iosfwd>
#include <mutex>
#include <string>
#include <thread>

namespace solotaxi::cli {

/// Seconds of a clock that only goes on.
[[nodiscard]] double now_s();

struct ProgressState {
  double seconds = 0.0;           ///< since the run began
  std::uint64_t rows = 0;         ///< since then
  std::uint64_t bytes = 0;        ///< of the input, since then
  std::uint64_t bytes_ahead = 0;  ///< of the input; 0 where it is not known
  std::size_t plans = 0;
};
/// "1,234,567 rows, 1,480,000 a second, 812 plans made, 0:41 left"
[[nodiscard]] std::string progress_line(const ProgressState& state);

class Progress {
 public:
  /// Tells every half second on `to` until it ends; null: nothing is told. `plans` is asked from another thread.
  Progress(std::ostream* to, std::uint64_t bytes_ahead, std::function<std::size_t()> plans);
  ~Progress();
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;
  void passed(std::uint64_t rows, std::uint64_t bytes) {
    rows_ += rows;
    bytes_ += bytes;
  }

 private:
  void tell() const;
  void tell_on();
  std::ostream* to_;
  std::uint64_t bytes_ahead_;
  std::function<std::size_t()> plans_;
  double began_s_;
  std::atomic<std::uint64_t> rows_{0}, bytes_{0};
  std::mutex mutex_;
  std::condition_variable ends_;
  bool ended_ = false;
  std::thread thread_;
};

}  // namespace solotaxi::cli
