// Whole fields screened: each pair against its own search, the demo field's bridge, and a real field.
#include "solotaxi/planning/screen.hpp"

#include <catch2/catch.hpp>
#include <filesystem>

#include "field/fields.hpp"
#include "solotaxi/io/change_file.hpp"
#include "unit/planning/screen_single.hpp"

using namespace solotaxi;
using namespace solotaxi::planning;

TEST_CASE("every pair of the demo field has the figures of its own search") {
  const network::Network net = test::demo_field();
  const ScreenRequest request;
  const Screen s = screen(net, {}, {}, request);
  CHECK(test::check_pairs(s, net, {}, {}, request) == 8 * net.stands.size());
}

TEST_CASE("the demo field's bridge made level forces nobody any more, and every other place that forced still does") {
  const network::Network net = test::demo_field();
  ScreenRequest request;
  request.plan.queue_s = 300.0;
  const Screen before = screen(net, {}, {}, request);
  request.changes = io::read_changes(std::filesystem::path(SOLOTAXI_TEST_DATA) / "changes/bridge_flat.toml").changes;
  const Screen after = screen(changed_network(net, request.changes), {}, {}, request);
  REQUIRE(before.segments.size() == after.segments.size());
  std::size_t removed = 0;
  for (std::size_t s = 0; s < net.segments.size(); ++s) {
    CAPTURE(s, net.segments[s].name, net.segments[s].source_id);
    if (net.segments[s].name != "K") {
      // Not pair by pair: some references take other ways once the bridge is level.
      CHECK((after.segments[s].forced_pairs > 0) == (before.segments[s].forced_pairs > 0));
      continue;
    }
    CHECK(after.segments[s].forced_pairs == 0);
    removed += before.segments[s].forced_pairs;
  }
  CHECK(removed > 0);
  // What the search anew says the stretch loses is near what levelling it brings (that changes the reference too).
  REQUIRE(before.stretches.front().name == "K");
  CHECK(*before.stretches.front().lost_kg > 0.0);
  CHECK(after.saving_kg > before.saving_kg);
}

TEST_CASE("a real field is screened, each pair as its own search has it") {
  const auto real = test::real_field("LMML");
  if (!real) return;
  const network::Network& net = *real;
  motion::Conditions level;
  level.unknown_grade_sigmas = 0.0;
  ScreenRequest request;
  request.mend = 2;
  const Screen s = screen(net, {}, level, request);
  CHECK(s.departures.stands > 50);
  CHECK(s.departures.pairs_with_one > 50);
  constexpr std::size_t kEach = 7;  // single searches take long
  CHECK(test::check_pairs(s, net, {}, level, request, kEach) > 50);
  for (const ScreenStretch& stretch : s.stretches)
    if (stretch.lost_kg) CHECK(*stretch.lost_kg >= -1e-6 * s.fuel_kg);
}
