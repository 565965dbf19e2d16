// Lines drawn into a map for a screen of what would be.
#include <catch2/catch.hpp>

#include "solotaxi/base/error.hpp"
#include "solotaxi/planning/screen.hpp"
#include "unit/routing/drawn.hpp"

using namespace solotaxi;
using namespace solotaxi::planning;

namespace {

// The way from stand 1 to the runway leads round by c.
constexpr const char* kDrawing = R"(
    s
    |
    a-----------b-----------c
    |     x                 |
    |     |   z             |
    |     y   u             |
    p-----q-----------------r
  )";

network::Network drawn(std::vector<std::string> more) {
  std::vector<std::string> lines{"taxiway A: a b c", "taxiway B: c r", "stand 1: a s", "runway 09/27: q r"};
  lines.insert(lines.end(), more.begin(), more.end());
  return test::Drawn(kDrawing, lines).net;
}

std::string refusal(const network::Network& changed, const std::vector<std::string>& ids) {
  try {
    static_cast<void>(check_new_lines(drawn({}), changed, ids));
  } catch (const Error& error) {
    CHECK(error.error_class() == ErrorClass::data);
    return error.message();
  }
  return "";
}

}  // namespace

TEST_CASE("a new line that shortens the way shortens the plans, pair by pair") {
  const network::Network before = drawn({}), after = drawn({"taxiway Z: a p q; id=new/1"});
  CHECK(check_new_lines(before, after, {"new/1"}).empty());
  ScreenRequest request;
  request.plan.route.landing_roll_m = 100.0;
  const Screen now = screen(before, {}, {}, request), changed = screen(after, {}, {}, request);
  REQUIRE(now.pairs.size() == changed.pairs.size());
  std::size_t shorter = 0;
  for (std::size_t i = 0; i < now.pairs.size(); ++i) {
    CHECK(now.pairs[i].move == changed.pairs[i].move);
    if (!now.pairs[i].reference) continue;
    REQUIRE(changed.pairs[i].reference);
    // A line more takes nothing away.
    CHECK(changed.pairs[i].reference->fuel_kg <= now.pairs[i].reference->fuel_kg + 1e-9);
    if (changed.pairs[i].reference->length_m < now.pairs[i].reference->length_m - 100.0) ++shorter;
  }
  CHECK(shorter > 0);
}

TEST_CASE("an end of a new line that meets nothing is told, with its place") {
  const network::Network after = drawn({"taxiway Z: b z; id=new/1"});
  const Findings found = check_new_lines(drawn({}), after, {"new/1"});
  REQUIRE(found.size() == 1);
  CHECK(found.front().code == "new-line-loose-end");
  CHECK(found.front().where.id == "new/1");
  CHECK(found.front().where.has_position);
}

TEST_CASE("a new line that meets no line of the map is refused, also where it meets another new one") {
  CHECK(refusal(drawn({"taxiway Z: x y; id=new/1"}), {"new/1"}).find("meets no line") != std::string::npos);
  CHECK(
      refusal(drawn({"taxiway Z: x y; id=new/1", "taxiway Y: y u; id=new/2"}), {"new/1", "new/2"}).find("meets no line") !=
      std::string::npos);
  CHECK(refusal(drawn({}), {"new/1"}).find("not in the network") != std::string::npos);
}

TEST_CASE("new lines that change which stands there are cannot be compared") {
  CHECK(refusal(drawn({"stand 2: b z; id=new/1"}), {"new/1"}).find("which stands") != std::string::npos);
}
