// The verdict of a place for a running set: can these engines start from rest here, keep it rolling, or not at all?
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace solotaxi::motion {

/// In order of severity.
enum class Verdict : std::uint8_t {
  standing,  ///< can be started from rest here on this set
  rolling,   ///< can be kept rolling, not started from rest: do not stop
  carried,   ///< only the speed it arrives with carries it over (simulation only)
  all,       ///< needs every engine
  blocked    ///< not even every engine can, or steering forbids it
};
/// "standing", "rolling", "carried", "all", "blocked".
[[nodiscard]] const char* to_string(Verdict verdict);

/// Why a verdict is not `standing`; a set of these.
enum class Reason : std::uint16_t {
  grade = 1,
  turn = 2,          ///< turn toward the running engine
  mass = 4,
  nose_grip = 8,
  surface = 16,
  steering = 32,
  operator_rule = 64,
  unknown_grade = 128,
  closed = 256,      ///< closed, or too narrow or small for the aircraft
};
struct Reasons {
  std::uint16_t bits = 0;
  void add(Reason r) { bits = static_cast<std::uint16_t>(bits | static_cast<std::uint16_t>(r)); }
  void add(Reasons r) { bits = static_cast<std::uint16_t>(bits | r.bits); }
  [[nodiscard]] bool has(Reason r) const { return (bits & static_cast<std::uint16_t>(r)) != 0; }
  bool operator==(const Reasons&) const = default;
};
/// In words, in a fixed order: "grade", "turn toward the running engine", "mass", "nose grip", "surface", "steering",
/// "operator rule", "unknown grade", "closed to this aircraft".
[[nodiscard]] std::vector<std::string> words(Reasons reasons);

struct PlaceVerdict {
  Verdict verdict = Verdict::standing;
  Reasons reasons;
  double margin = 0.0;       ///< (T_lim - T_need) / T_need; NaN where T_need ≤ 0
  double probability = 1.0;  ///< that the set suffices: Φ((T_lim - T_need) / σ)
};

/// The worse of two places: the more severe verdict, then the smaller margin (none needed counts as the largest); reasons
/// of the worse verdict, joined when equal; the smaller probability.
[[nodiscard]] PlaceVerdict worse(const PlaceVerdict& a, const PlaceVerdict& b);

}  // namespace solotaxi::motion
