#include "solotaxi/io/aircraft_file.hpp"

#include <catch2/catch.hpp>
#include <algorithm>
#include <filesystem>
#include <fstream>
#include <regex>

#include "solotaxi/aircraft/engine.hpp"
#include "solotaxi/aircraft/keys.hpp"
#include "solotaxi/base/error.hpp"
#include "unit/io/scratch_folder.hpp"

using namespace solotaxi;
using namespace solotaxi::io;

namespace {

namespace fs = std::filesystem;

/// A file that lives as long as the object.
class TemporaryFile {
 public:
  explicit TemporaryFile(const std::string& text) : path_(folder_.path / "aircraft.toml") {
    std::ofstream(path_, std::ios::binary) << text;
  }
  [[nodiscard]] const std::filesystem::path& path() const { return path_; }

 private:
  test::ScratchFolder folder_;
  std::filesystem::path path_;
};

Error failure(const std::string& text) {
  const TemporaryFile file(text);
  try {
    (void)read_aircraft(file.path());
  } catch (const Error& e) {
    CHECK(e.where().file == file.path().string());
    return e;
  }
  FAIL("accepted: " << text);
  throw std::logic_error("unreachable");
}

const std::vector<std::string> kNames = {"four-engine", "narrow-body-twin", "regional-twin", "wide-body-twin"};

}  // namespace

TEST_CASE("the narrow-body twin's file holds the default aircraft") {
  const aircraft::Aircraft read = find_aircraft("narrow-body-twin"), built_in;
  for (const auto& k : aircraft::number_keys()) {
    CAPTURE(k.key);
    CHECK(read.*k.member == built_in.*k.member);
  }
  CHECK(read.name == built_in.name);
  CHECK(read.engine_arms_m == built_in.engine_arms_m);
  CHECK(read.may_run_alone == built_in.may_run_alone);
}

TEST_CASE("every built-in aircraft reads, bears its file's name, and states every key with its source") {
  for (const std::string& name : kNames) {
    CAPTURE(name);
    const aircraft::Aircraft a = find_aircraft(name);
    CHECK(a.name == name);
    CHECK(a.engines() == (name == "four-engine" ? 4 : 2));
    std::ifstream in(fs::path(SOLOTAXI_ROOT) / "data/aircraft" / (name + ".toml"));
    std::string text((std::istreambuf_iterator<char>(in)), {});
    for (const auto& k : aircraft::number_keys()) {
      CAPTURE(k.key);
      const std::regex line(std::string("\n") + k.key +
                            " = [^#\n]+#[^\n]*(assumed|databank|Doc 9889|common practice|from memory)");
      CHECK(std::regex_search(text, line));
    }
  }
}

TEST_CASE("every built-in aircraft can roll on the level at its usual mass on each set tried") {
  for (const std::string& name : kNames) {
    CAPTURE(name);
    const aircraft::Aircraft a = find_aircraft(name);
    const aircraft::Engine engine(a, aircraft::Air{});
    for (const auto set : sets_to_try(a))
      CHECK(set.count() * engine.limit_thrust_n() / 1.1 > a.mass_kg * kGravity.value() * 0.015);
  }
}

TEST_CASE("a file's values are taken, whole numbers too, and missing keys keep their defaults") {
  const TemporaryFile file(
      "name = \"β\"\nmass_kg = 61000\nengine_arms_m = [-5, 0.0, 5]\nmay_run_alone = [[2], [1, 3]]\n"
      "[notes]\n2 = \"gear pump\"\n");
  const aircraft::Aircraft a = read_aircraft(file.path());
  CHECK(a.name == "β");
  CHECK(a.mass_kg == 61000.0);
  CHECK(a.engine_arms_m == std::vector<double>{-5, 0, 5});
  CHECK(a.may_run_alone == std::vector<std::vector<int>>{{2}, {1, 3}});
  CHECK(a.notes == std::map<std::string, std::string>{{"2", "gear pump"}});
  CHECK(a.wheelbase_m == aircraft::Aircraft{}.wheelbase_m);
  CHECK(find_aircraft(file.path().string()).name == "β");
}

TEST_CASE("a fault in an aircraft file is a data error that names file, line and key") {
  struct Case {
    const char* text;
    long line;
    const char* key;
  };
  const Case cases[] = {
      {"mass_kg = 60000\nmas_kg = 1\n", 2, "mas_kg"},
      {"\n\nmass_kg = \"60 t\"\n", 3, "mass_kg"},
      {"wheelbase_m = 0\n", 1, "wheelbase_m"},
      {"wheelbase_m = nan\n", 1, "wheelbase_m"},
      {"wheelbase_m = inf\n", 1, "wheelbase_m"},
      {"name = \"x\"\nmass_kg = 90000\n", 2, "mass_kg"},
      {"name = 3\n", 1, "name"},
      {"engine_arms_m = [5, -5]\n", 1, "engine_arms_m"},
      {"engine_arms_m = [\"a\", 5]\n", 1, "engine_arms_m"},
      {"engine_arms_m = 5\n", 1, "engine_arms_m"},
      {"may_run_alone = [1, 2]\n", 1, "may_run_alone"},
      {"may_run_alone = [[1.5]]\n", 1, "may_run_alone"},
      {"may_run_alone = []\n", 1, "may_run_alone"},
      {"may_run_alone = [[3]]\n", 1, "may_run_alone"},
      {"[notes]\n1 = 2\n", 2, "notes.1"},
      {"[notes]\n7 = \"x\"\n", 1, "notes"},
      {"notes = \"x\"\n", 1, "notes"},
      {"[engine]\nidle_n1_pct = 20\n", 1, "engine"},
  };
  for (const Case& c : cases) {
    CAPTURE(c.text);
    const Error e = failure(c.text);
    CHECK(e.error_class() == ErrorClass::data);
    CHECK(e.where().line == c.line);
    CHECK(e.where().feature == c.key);
  }
}

TEST_CASE("a damaged aircraft file is a data error with its line") {
  CHECK(failure("name = \"x\"\nmass_kg = = 3\n").where().line == 2);
  CHECK(failure("mass_kg = 60000\nmass_kg = 60000\n").where().line == 2);
  CHECK(failure("name = \"\xff\xfe\"\n").error_class() == ErrorClass::data);
}

TEST_CASE("a missing aircraft file is a data error, an unknown name a usage error with the names there are") {
  CHECK_THROWS_AS(read_aircraft("/nowhere/x.toml"), Error);
  CHECK_THROWS_AS(read_aircraft(fs::temp_directory_path()), Error);
  for (const char* name : {"narow-body-twin", ""}) try {
      (void)find_aircraft(name);
      FAIL("accepted");
    } catch (const Error& e) {
      CHECK(e.error_class() == ErrorClass::usage);
      for (const std::string& known : kNames) CHECK(e.hint().find(known) != std::string::npos);
    }
}

TEST_CASE("the built-in aircraft are the files of data/aircraft, value for value") {
  std::vector<std::string> files;
  for (const auto& entry : fs::directory_iterator(fs::path(SOLOTAXI_ROOT) / "data/aircraft"))
    files.push_back(entry.path().stem().string());
  std::sort(files.begin(), files.end());
  CHECK(aircraft_names() == files);
  for (const std::string& name : files) {
    CAPTURE(name);
    const aircraft::Aircraft built_in = find_aircraft(name);
    const aircraft::Aircraft read = read_aircraft(fs::path(SOLOTAXI_ROOT) / "data/aircraft" / (name + ".toml"));
    for (const auto& k : aircraft::number_keys()) CHECK(built_in.*k.member == read.*k.member);
    CHECK(built_in.may_run_alone == read.may_run_alone);
    CHECK(built_in.engine_arms_m == read.engine_arms_m);
    CHECK(built_in.notes == read.notes);
  }
}
