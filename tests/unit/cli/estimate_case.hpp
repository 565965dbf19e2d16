// Movements on a small drawn field, and the command run over them.
#pragma once

#include <nlohmann/json.hpp>

#include "fixture.hpp"

namespace solotaxi::cli::test {

using nlohmann::json;

inline const std::string kHeading = "time,field,stand,runway,aircraft,direction,mass_kg,queue_min,taxi_time_min\n";
inline const std::string kGood = "2026-07-14T06:05,F,1,09,narrow-body-twin,out,60000,3,\n";

struct Case {
  Folder folder;
  std::string map = folder.write("field.osm", osm(small_field()));
  [[nodiscard]] std::vector<std::string> args(const std::string& movements, std::vector<std::string> more = {}) const {
    std::vector<std::string> all{
        "estimate", "--movements", folder.write("in.csv", movements), "--field", "F=" + map, "--unknown-grade", "0"};
    all.insert(all.end(), more.begin(), more.end());
    return all;
  }
  [[nodiscard]] json run(const std::string& movements, std::vector<std::string> more = {}) const {
    more.insert(more.end(), {"--format", "json"});
    const Result result = run_program(args(movements, more));
    CAPTURE(result.err);
    REQUIRE(result.status == 0);
    CHECK(result.err.empty());
    return json::parse(result.out);
  }
};

inline std::string rows(const std::string& row, int count) {
  std::string text;
  for (int k = 0; k < count; ++k) text += row;
  return text;
}

/// Rows of many kinds, one in so many of them not usable.
inline std::string mixed_rows(int count, int bad_of = 50) {
  std::string text;
  for (int k = 0; k < count; ++k) {
    const std::string hour = std::to_string(10 + k % 13), month = std::to_string(1 + k / 500 % 9);
    text += "2026-0" + month + "-14T" + hour + ":05,F,";
    if (k % bad_of == bad_of - 1)
      text +=
          k % 3 == 0 ? "\"a \"\"stand\"\"\nthat is none\",09,narrow-body-twin,out,,,\n" : "1,09,narrow-body-twin,up,,,\n";
    else if (k % 4 == 0)
      text += "1,27,narrow-body-twin,in,,,\n";
    else if (k % 4 == 1)
      text += "\"1\",09,narrow-body-twin,out,58100," + std::to_string(k % 3) + ",\n";
    else if (k % 4 == 2)
      text += "1,09,regional-twin,out,," + std::to_string(k % 2) + ".5,\n";
    else
      text += "1,09,narrow-body-twin,out,60000,3,1" + std::to_string(k % 3) + "\n";
  }
  return text;
}

}  // namespace solotaxi::cli::test
