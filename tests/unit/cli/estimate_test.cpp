// The estimate command: what it refuses, rejects and writes, on a small drawn field.
#include "estimate_case.hpp"

using namespace solotaxi::cli::test;

TEST_CASE("An estimate's help lists its options within eighty columns") {
  const std::string help = run_program({"estimate", "--help"}).out;
  for (const char* option :
       {"--movements",    "--field",   "--dem",     "--columns",       "--fleet",      "--mass-class",
        "--oat",          "--qnh",     "--surface", "--unknown-grade", "--out",        "--rejects",
        "--reject-share", "--threads", "--shard",   "--sums",          "--checkpoint", "--checkpoint-every",
        "--resume",       "--format"})
    CHECK(help.find(option) != std::string::npos);
  check_width(help);
}

TEST_CASE("Movements as people write them are all read") {
  const Case c;
  const std::string plain = kHeading + kGood;
  const json expected = c.run(plain)["total"];
  CHECK(expected["movements"] == 1);
  for (const std::string& text : {"\xEF\xBB\xBF" + plain, kHeading + "\n" + kGood.substr(0, kGood.size() - 1),
                                  kHeading + "\"2026-07-14 06:05:30.5Z\",\"F\",1,09,narrow-body-twin,out,60000.0,3e0,\r\n",
                                  "remark," + kHeading + "\"two\nlines\"," + kGood})
    CHECK(c.run(text)["total"] == expected);
}

TEST_CASE("Rows may stand in any order of time") {
  const Case c;
  const std::string other = "2025-02-28T23:59,F,1,27,narrow-body-twin,in,,,\n";
  const json forth = c.run(kHeading + kGood + other), back = c.run(kHeading + other + kGood);
  for (const char* key : {"total", "by_hour", "by_month", "by_aircraft", "by_field"}) CHECK(forth[key] == back[key]);
  CHECK(forth["by_month"].size() == 2);
}

TEST_CASE("A row that cannot be used is rejected with its number and reason, and counted") {
  const Case c;
  const std::vector<std::pair<std::string, std::string>> bad{
      {"2026-02-30T06:05,F,1,09,narrow-body-twin,out,,,", "is no time"},
      {"yesterday,F,1,09,narrow-body-twin,out,,,", "is no time"},
      {"2026-07-14T24:00,F,1,09,narrow-body-twin,out,,,", "is no time"},
      {"2026-07-14T06:05,G,1,09,narrow-body-twin,out,,,", "none of --field"},
      {"2026-07-14T06:05,F,9,09,narrow-body-twin,out,,,", "9"},
      {"2026-07-14T06:05,F,1,18,narrow-body-twin,out,,,", "18"},
      {"2026-07-14T06:05,F,1,09,/etc/passwd,out,,,", "neither in the fleet file"},
      {"2026-07-14T06:05,F,1,09,narrow-body-twin,up,,,", "is neither"},
      {"2026-07-14T06:05,F,1,09,narrow-body-twin,out,nan,,", "is no number"},
      {"2026-07-14T06:05,F,1,09,narrow-body-twin,out,inf,,", "is no number"},
      {"2026-07-14T06:05,F,1,09,narrow-body-twin,out,60t,,", "is no number"},
      {"2026-07-14T06:05,F,1,09,narrow-body-twin,out,90000,,", "out of range"},
      {"2026-07-14T06:05,F,1,09,narrow-body-twin,out,,121,", "out of range"},
      {"2026-07-14T06:05,F,1,09,narrow-body-twin,out,,-1,", "out of range"},
      {"2026-07-14T06:05,F,1,27,narrow-body-twin,in,,5,", "no queue"},
      {"2026-07-14T06:05,F,1,09,narrow-body-twin,out,,,0.5", "less than half"},
      {"2026-07-14T06:05,F,1,09,narrow-body-twin,out", "6 fields where the heading has 9"},
      {"2026-07-14T06:05,F,1\"2,09,narrow-body-twin,out,,,", "a quote inside a field"},
      {std::string(10U << 20U, 'x'), "longer than 1 MiB"}};
  for (const auto& [row, reason] : bad) {
    CAPTURE(reason);
    const std::string rejects = c.folder / "rejects.csv";
    const json result = c.run(kHeading + kGood + row + "\n" + kGood, {"--reject-share", "50", "--rejects", rejects});
    CHECK(result["rows"] == 3);
    CHECK(result["rejected"] == 1);
    CHECK(result["total"]["movements"] == 2);
    const std::string said = contents(rejects);
    CHECK(said.find("\n2,3,") != std::string::npos);
    CHECK(said.find(reason) != std::string::npos);
    CHECK(std::count(said.begin(), said.end(), '\n') == 2);
  }
}

TEST_CASE("Over the share of rejects the run fails, and only the file of rejects is there") {
  const Case c;
  const std::string bad = "nonsense\n", out = c.folder / "out.csv", rejects = c.folder / "rejects.csv";
  const std::string one_of_hundred = kHeading + rows(kGood, 99) + bad;
  CHECK(c.run(one_of_hundred, {"--out", out})["rejected"] == 1);
  fs::remove(out);
  check_failure(run_program(c.args(one_of_hundred + bad, {"--out", out, "--rejects", rejects})), 3,
                {"2 of 101 rows", "row 100 (line 101)", "1 fields where the heading has 9"});
  CHECK(!fs::exists(out));
  CHECK(contents(rejects).starts_with("row,line,reason\n100,101,"));
  CHECK(c.folder.files() == 3);  // map, movements, rejects
}

TEST_CASE("A file without rows, without its heading or without a needed column is an error of data") {
  const Case c;
  check_failure(run_program(c.args("")), 3, {"in.csv", "holds nothing"});
  check_failure(run_program(c.args("time,field,stand,runway,aircraft\n")), 3, {"no column \"direction\"", "--columns"});
  check_failure(run_program(c.args("time,time,field,stand,runway,aircraft,direction\n")), 3, {"two columns \"time\""});
  check_failure(run_program(c.args(kHeading + kGood + "\"open\n")), 3, {"in.csv:3", "not closed"});
  check_failure(run_program(c.args(kHeading)), 3, {"no rows"});
}

TEST_CASE("Wrong options are usage errors that name the option") {
  const Case c;
  const std::string text = kHeading + kGood;
  check_failure(run_program(c.args(text, {"--field", "no sign"})), 2, {"--field", "IDENT=FILE"});
  check_failure(run_program(c.args(text, {"--field", "F=" + c.map})), 2, {"--field", "twice"});
  check_failure(run_program(c.args(text, {"--dem", "G=x.tif"})), 2, {"--dem", "no field \"G\""});
  check_failure(run_program(c.args(text, {"--out", c.folder / "in.csv"})), 2, {"--out", "overwritten"});
  check_failure(run_program(c.args(text, {"--checkpoint", c.folder / "in.csv"})), 2, {"--checkpoint", "overwritten"});
  check_failure(run_program(c.args(text, {"--out", c.folder / "o.txt"})), 2, {"--out", ".csv"});
  check_failure(run_program(c.args(text, {"--reject-share", "101"})), 2, {"--reject-share"});
  check_failure(run_program(c.args(text, {"--mass-class", "0"})), 2, {"--mass-class"});
}

TEST_CASE("Columns, directions, areas and the fleet are what their files say") {
  const Case c;
  const std::string columns =
      c.folder.write("columns.toml",
                     "separator = \";\"\n[columns]\ntime = \"off block\"\nmass = \"TOM\"\n"
                     "[directions]\nout = \"D\"\nin = \"A\"\n[places.F]\n\"north apron\" = \"1\"\n");
  const std::string fleet = c.folder.write("fleet.toml", "[T1]\naircraft = \"narrow-body-twin\"\nmass_kg = 60000\n");
  const json expected = c.run(kHeading + kGood);
  const json got = c.run(
      "off block;field;stand;runway;aircraft;direction;TOM;queue_min\n"
      "2026-07-14T06:05;F;north apron;09;T1;D;;3\n",
      {"--columns", columns, "--fleet", fleet});
  CHECK(got["total"] == expected["total"]);
  CHECK(got["by_aircraft"][0]["name"] == "T1");
  const auto fails = [&](const char* option, const std::string& text, const std::vector<std::string>& said) {
    check_failure(run_program(c.args(kHeading + kGood, {option, c.folder.write("bad.toml", text)})), 3, said);
  };
  fails("--columns", "[columns]\nheight = \"h\"\n", {"bad.toml:2", "columns.height", "unknown key"});
  fails("--columns", "separator = \"x\"\n", {"bad.toml:1", "no separator"});
  fails("--columns", "[directions]\nout = \"in\"\n", {"same word"});
  fails("--columns", "[places.G]\nx = \"1\"\n", {"\"G\""});
  fails("--fleet", "[T]\nmass_kg = 1\n", {"bad.toml:1", "aircraft is missing"});
  fails("--fleet", "[T]\naircraft = \"narrow-body-twin\"\nmass_kg = 1\n", {"42000 to 79000"});
  fails("--fleet", "[T]\naircraft = \"none-such\"\n", {"not known"});
  fails("--fleet", "[T\n", {"not valid TOML"});
  fails("--fleet", "", {"names no aircraft"});
}

TEST_CASE("The file of single movements has every row used, and adds up to the totals") {
  const Case c;
  const std::string out = c.folder / "out.csv";
  const json result = c.run(kHeading + kGood + "2026-07-14T07:00,F,1,27,narrow-body-twin,in,,,6.5\n", {"--out", out});
  std::istringstream lines(contents(out));
  std::string line;
  REQUIRE(std::getline(lines, line));
  CHECK(line ==
        "row,time,field,stand,runway,aircraft,direction,mass_kg,advised,time_s,reference_time_s,fuel_kg,reference_kg,"
        "saving_kg,co2_kg,hc_g,co_g,nox_g,time_only_saving_kg");
  double fuel = 0.0, reference = 0.0;
  int count = 0;
  for (; std::getline(lines, line); ++count) {
    std::vector<std::string> fields;
    std::istringstream parts(line);
    for (std::string part; std::getline(parts, part, ',');) fields.push_back(part);
    REQUIRE(fields.size() == 19);
    CHECK(fields[0] == std::to_string(count + 1));
    fuel += std::stod(fields[11]);
    reference += std::stod(fields[12]);
    CHECK(std::stod(fields[14]) == Approx(3.16 * std::stod(fields[11])).margin(0.003));  // [S:CORSIA]
  }
  CHECK(count == 2);
  CHECK(result["total"]["advised"]["fuel_kg"].get<double>() == Approx(fuel).margin(0.002));
  CHECK(result["total"]["reference"]["fuel_kg"].get<double>() == Approx(reference).margin(0.002));
  CHECK(result["bias"][0]["movements"] == 1);
}

TEST_CASE("The estimate as text keeps to eighty columns and says what it leaves out") {
  const Case c;
  const Result result = run_program(c.args(kHeading + kGood + rows("x\n", 1), {"--reject-share", "60"}));
  REQUIRE(result.status == 0);
  check_width(result.out.substr(result.out.find('\n') + 1));  // the first line has the file's path
  for (const char* text :
       {"1 of 2 rows; 1 rejected", "row 2 (line 3)", "time-only formula", "BY HOUR", "CAUTIONS", "not for navigation"})
    CHECK(result.out.find(text) != std::string::npos);
}
