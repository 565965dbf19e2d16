#include "solotaxi/motion/verdict.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <limits>

using namespace solotaxi::motion;

namespace {
PlaceVerdict place(Verdict v, double margin, double probability, std::initializer_list<Reason> reasons = {}) {
  PlaceVerdict out{v, {}, margin, probability};
  for (const Reason r : reasons) out.reasons.add(r);
  return out;
}
const double kNone = std::numeric_limits<double>::quiet_NaN();
}  // namespace

TEST_CASE("verdicts and reasons have the words of the trade") {
  CHECK(std::string(to_string(Verdict::standing)) == "standing");
  CHECK(std::string(to_string(Verdict::carried)) == "carried");
  CHECK(std::string(to_string(Verdict::blocked)) == "blocked");
  Reasons r;
  CHECK(words(r).empty());
  r.add(Reason::closed);
  r.add(Reason::turn);
  r.add(Reason::grade);
  CHECK(words(r) == std::vector<std::string>{"grade", "turn toward the running engine", "closed to this aircraft"});
}

TEST_CASE("the worse of two places has the more severe verdict and its reasons alone") {
  const auto a = place(Verdict::rolling, -0.5, 0.4, {Reason::grade});
  const auto b = place(Verdict::all, 0.5, 0.9, {Reason::nose_grip});
  for (const PlaceVerdict& w : {worse(a, b), worse(b, a)}) {
    CHECK(w.verdict == Verdict::all);
    CHECK(words(w.reasons) == std::vector<std::string>{"nose grip"});
    CHECK(w.margin == 0.5);
    CHECK(w.probability == 0.4);
  }
}

TEST_CASE("of equal verdicts the smaller margin counts and the reasons join") {
  const auto a = place(Verdict::rolling, 0.2, 0.9, {Reason::grade}), b = place(Verdict::rolling, 0.3, 0.8, {Reason::mass});
  for (const PlaceVerdict& w : {worse(a, b), worse(b, a)}) {
    CHECK(w.margin == 0.2);
    CHECK(w.probability == 0.8);
    CHECK(words(w.reasons) == std::vector<std::string>{"grade", "mass"});
  }
  const auto downhill = place(Verdict::standing, kNone, 1.0), level = place(Verdict::standing, 0.3, 0.9);
  CHECK(worse(downhill, level).margin == 0.3);
  CHECK(worse(level, downhill).margin == 0.3);
  CHECK(std::isnan(worse(downhill, downhill).margin));
}
