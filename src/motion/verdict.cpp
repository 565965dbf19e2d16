#include "solotaxi/motion/verdict.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace solotaxi::motion {

namespace {
constexpr std::pair<Reason, const char*> kWords[] = {
    {Reason::grade, "grade"},
    {Reason::turn, "turn toward the running engine"},
    {Reason::mass, "mass"},
    {Reason::nose_grip, "nose grip"},
    {Reason::surface, "surface"},
    {Reason::steering, "steering"},
    {Reason::operator_rule, "operator rule"},
    {Reason::unknown_grade, "unknown grade"},
    {Reason::closed, "closed to this aircraft"},
};

/// A place that needs no thrust has room without end.
double room(const PlaceVerdict& place) {
  return std::isnan(place.margin) ? std::numeric_limits<double>::infinity() : place.margin;
}
}  // namespace

const char* to_string(Verdict verdict) {
  switch (verdict) {
    case Verdict::standing:
      return "standing";
    case Verdict::rolling:
      return "rolling";
    case Verdict::carried:
      return "carried";
    case Verdict::all:
      return "all";
    case Verdict::blocked:
      return "blocked";
  }
  return "blocked";
}

std::vector<std::string> words(Reasons reasons) {
  std::vector<std::string> out;
  for (const auto& [reason, word] : kWords)
    if (reasons.has(reason)) out.emplace_back(word);
  return out;
}

PlaceVerdict worse(const PlaceVerdict& a, const PlaceVerdict& b) {
  const bool b_is_worse = b.verdict != a.verdict ? b.verdict > a.verdict : room(b) < room(a);
  PlaceVerdict out = b_is_worse ? b : a;
  if (a.verdict == b.verdict) out.reasons.add(b_is_worse ? a.reasons : b.reasons);
  out.probability = std::min(a.probability, b.probability);
  return out;
}

}  // namespace solotaxi::motion
