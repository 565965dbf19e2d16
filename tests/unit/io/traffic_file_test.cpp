#include "solotaxi/io/traffic_file.hpp"

#include <catch2/catch.hpp>
#include <fstream>

#include "solotaxi/base/error.hpp"
#include "unit/io/scratch_folder.hpp"
#include "unit/routing/drawn.hpp"

using namespace solotaxi;
using routing::Direction;

namespace {

struct Written {
  test::ScratchFolder folder;
  std::filesystem::path file = folder.path / "traffic.csv";
  explicit Written(const std::string& text) { std::ofstream(file, std::ios::binary) << text; }
};

std::string traffic_refusal(const std::string& text) {
  const Written written(text);
  try {
    static_cast<void>(io::read_traffic(written.file, test::two_ways().net));
  } catch (const Error& error) {
    CHECK(error.error_class() == ErrorClass::data);
    return error.one_line();
  }
  return "";
}

}  // namespace

TEST_CASE("traffic is read by the columns' names, whatever their order, with BOM, CRLF, blanks and notes") {
  const auto net = test::two_ways().net;
  const Written written(
      "\xEF\xBB\xBFmovements,direction,runway,stand\r\n# last year\r\n\r\n 12.5 ,in,27,2\r\n3,out,9,1\r\n");
  const auto rows = io::read_traffic(written.file, net);
  REQUIRE(rows.size() == 2);
  CHECK(rows[0].movements == 12.5);
  CHECK(rows[0].move.direction == Direction::arrival);
  CHECK(net.stands[static_cast<std::size_t>(rows[0].move.stand)].ref == "2");
  CHECK(rows[0].move.end == 1);
  CHECK(rows[1].move == planning::ScreenMove{rows[1].move.stand, 0, 0, Direction::departure});
}

TEST_CASE("a line of traffic that means nothing is one error that names the line") {
  CHECK(traffic_refusal("1,09,out,5\n1,09,up,5\n").find(":2") != std::string::npos);
  CHECK(traffic_refusal("1,09,out,-1\n").find("0 to 1e7") != std::string::npos);
  CHECK(traffic_refusal("1,09,out,nan\n").find("no number") != std::string::npos);
  CHECK(traffic_refusal("1,09,out\n").find("3 fields") != std::string::npos);
  CHECK(traffic_refusal("99,09,out,5\n").find("99") != std::string::npos);
  CHECK(traffic_refusal("1,18,out,5\n").find("18") != std::string::npos);
  CHECK(traffic_refusal("\n# nothing\n").find("no movements") != std::string::npos);
  CHECK_THROWS_AS(io::read_traffic("/nowhere/traffic.csv", test::two_ways().net), Error);
}
