// An estimate's run: threads, shards, checkpoints. Whatever way it goes, the bytes are the same.
#include <fcntl.h>
#include <spawn.h>
#include <sys/wait.h>

#include <chrono>
#include <csignal>
#include <thread>

#include "cli/progress.hpp"
#include "estimate_case.hpp"

using namespace solotaxi::cli::test;

namespace {

/// All that a run gives.
struct Given {
  std::string out, flights, rejects;
  bool operator==(const Given&) const = default;
};

Given given(const Case& c, const std::string& movements, std::vector<std::string> more) {
  const std::string flights = c.folder / "flights.csv", rejects = c.folder / "rejects.csv";
  more.insert(more.end(), {"--out", flights, "--rejects", rejects, "--reject-share", "5"});
  const Result result = run_program(c.args(movements, more));
  CAPTURE(result.err);
  REQUIRE(result.status == 0);
  return {result.out, contents(flights), contents(rejects)};
}

/// The program as a process of its own, to be killed.
class Process {
 public:
  explicit Process(std::vector<std::string> args) {
    args.insert(args.begin(), SOLOTAXI_PROGRAM);
    std::vector<char*> raw;
    for (std::string& a : args) raw.push_back(a.data());
    raw.push_back(nullptr);
    posix_spawn_file_actions_t quiet;
    posix_spawn_file_actions_init(&quiet);
    for (const int stream : {STDOUT_FILENO, STDERR_FILENO})
      posix_spawn_file_actions_addopen(&quiet, stream, "/dev/null", O_WRONLY, 0);
    const int fault = posix_spawn(&id_, SOLOTAXI_PROGRAM, &quiet, nullptr, raw.data(), environ);
    posix_spawn_file_actions_destroy(&quiet);
    REQUIRE(fault == 0);
  }
  [[nodiscard]] bool runs() {
    int status = 0;
    if (ended_ || ::waitpid(id_, &status, WNOHANG) != id_) return !ended_;
    ended_ = true;
    return false;
  }
  /// The way it ended, as waitpid has it.
  [[nodiscard]] int killed_by(int signal) {
    int status = 0;
    ::kill(id_, signal);
    REQUIRE(::waitpid(id_, &status, 0) == id_);
    return status;
  }

 private:
  pid_t id_ = 0;
  bool ended_ = false;
};

}  // namespace

TEST_CASE("The same bytes come out for any number of threads") {
  const Case c;
  const std::string movements = kHeading + mixed_rows(20000);  // some 1 MB: several blocks
  for (const char* format : {"json", "text"}) {
    const Given one = given(c, movements, {"--threads", "1", "--format", format, "--draws", "20"});
    CHECK(one.flights.size() > 1'000'000);
    CHECK((given(c, movements, {"--threads", "2", "--format", format, "--draws", "20"}) == one));
    CHECK((given(c, movements, {"--threads", "3", "--format", format, "--draws", "20"}) == one));
  }
  CHECK(c.folder.files() == 4);  // map, movements, flights, rejects: no checkpoint is left
}

TEST_CASE("Shards merged are what one run gives, file by file") {
  const Case c;
  const int shards = GENERATE(1, 3, 11);
  const std::string movements = kHeading + mixed_rows(5000);
  for (const char* format : {"json", "text"}) {
    const Given whole = given(c, movements, {"--format", format, "--draws", "20", "--seed", "5"});
    std::vector<std::string> merge{"merge", "--format", format};
    for (int k = shards; k >= 1; --k) {  // in any order
      const std::string part = std::to_string(k), sums = c.folder / "sums-" + part + ".json";
      const Result one =
          run_program(c.args(movements, {"--shard", part + "/" + std::to_string(shards), "--sums", sums, "--out",
                                         c.folder / "f-" + part + ".csv", "--rejects", c.folder / "r-" + part + ".csv",
                                         "--reject-share", "5", "--draws", "20", "--seed", "5"}));
      CAPTURE(one.err);
      REQUIRE(one.status == 0);
      merge.push_back(sums);
    }
    const std::string flights = c.folder / "all.csv", rejects = c.folder / "all-rejects.csv";
    merge.insert(merge.end(), {"--out", flights, "--rejects", rejects});
    const Result merged = run_program(merge);
    CAPTURE(merged.err);
    REQUIRE(merged.status == 0);
    CHECK((Given{merged.out, contents(flights), contents(rejects)} == whole));
  }
}

TEST_CASE("More shards than rows leave some empty, and merge all the same") {
  const Case c;
  const std::string movements = kHeading + kGood + kGood;
  std::vector<std::string> merge{"merge", "--format", "json"};
  for (int k = 1; k <= 9; ++k) {
    const std::string sums = c.folder / std::to_string(k) + ".json";
    REQUIRE(run_program(c.args(movements, {"--shard", std::to_string(k) + "/9", "--sums", sums})).status == 0);
    merge.push_back(sums);
  }
  CHECK(json::parse(run_program(merge).out) == c.run(movements));
}

TEST_CASE("What is no complete set of shards of one run is not merged") {
  const Case c;
  const auto shard = [&](const std::string& which, const std::string& name, std::vector<std::string> more = {}) {
    const std::string sums = c.folder / name;
    more.insert(more.end(), {"--shard", which, "--sums", sums});
    REQUIRE(run_program(c.args(kHeading + rows(kGood, 10), more)).status == 0);
    return sums;
  };
  const std::string first = shard("1/2", "1.json"), second = shard("2/2", "2.json");
  check_failure(run_program({"merge", first}), 3, {"shard 2 of 2 is missing"});
  check_failure(run_program({"merge", first, first}), 3, {"1.json", "name each shard once"});
  check_failure(run_program({"merge", first, shard("2/3", "3.json")}), 3, {"3.json", "one of 3 shards"});
  check_failure(run_program({"merge", first, shard("2/2", "4.json", {"--oat", "30"})}), 3, {"4.json", "options differs"});
  check_failure(run_program({"merge", first, c.map}), 3, {"field.osm", "no whole state"});
  check_failure(run_program({"merge", first, second, "--out", c.folder / "all.csv"}), 2, {"--out", "no such file"});
  check_failure(run_program({"merge"}), 2, {"SUMS"});
  for (const char* wrong : {"0/3", "4/3", "1", "1/", "a/b", "-1/3"})
    check_failure(run_program(c.args(kHeading + kGood, {"--shard", wrong})), 2, {"--shard"});
}

TEST_CASE("The share of rejects is that of all shards together") {
  const Case c;
  std::vector<std::string> merge{"merge"};
  const std::string movements = kHeading + rows("nonsense\n", 30) + rows(kGood, 200);
  for (int k = 1; k <= 4; ++k) {
    const std::string sums = c.folder / std::to_string(k) + ".json";
    REQUIRE(run_program(c.args(movements, {"--shard", std::to_string(k) + "/4", "--sums", sums})).status == 0);
    merge.push_back(sums);
  }
  check_failure(run_program(merge), 3, {"30 of 230 rows", "row 1 (line 2)"});
}

TEST_CASE("A run that is killed leaves nothing half done, and goes on to the same bytes") {
  const Case c;
  const int signal = GENERATE(SIGKILL, SIGTERM, SIGINT);
  const std::string movements = kHeading + mixed_rows(300000);
  const Given unbroken = given(c, movements, {"--format", "json", "--draws", "20"});
  const std::string flights = c.folder / "f.csv", rejects = c.folder / "r.csv", checkpoint = flights + ".checkpoint";
  const std::vector<std::string> args =
      c.args(movements, {"--out", flights, "--rejects", rejects, "--reject-share", "5", "--draws", "20",
                         "--checkpoint-every", "0", "--threads", "2", "--format", "json"});
  Process process(args);
  while (!fs::exists(checkpoint) && process.runs()) std::this_thread::sleep_for(std::chrono::microseconds(200));
  const int ended = process.killed_by(signal);
  CHECK(((WIFSIGNALED(ended) && WTERMSIG(ended) == signal) || (WIFEXITED(ended) && WEXITSTATUS(ended) == 128 + signal)));
  CHECK(!fs::exists(flights));
  CHECK(!fs::exists(rejects));
  REQUIRE(fs::exists(checkpoint));
  const json kept = json::parse(contents(checkpoint));
  CHECK(kept["place"]["rows"] < 300000);
  std::vector<std::string> resumed = args;
  resumed.emplace_back("--resume");
  const Result rest = run_program(resumed);
  CAPTURE(rest.err);
  REQUIRE(rest.status == 0);
  CHECK((Given{rest.out, contents(flights), contents(rejects)} == unbroken));
  CHECK(!fs::exists(checkpoint));
  CHECK(!fs::exists(flights + ".partial"));
}

TEST_CASE("A checkpoint of another run is refused, and none means the beginning") {
  const Case c;
  const std::string flights = c.folder / "f.csv", checkpoint = flights + ".checkpoint";
  const std::string movements = kHeading + mixed_rows(300000, 1000000);
  const auto args = [&](std::vector<std::string> more) {
    more.insert(more.end(), {"--out", flights, "--checkpoint-every", "0", "--threads", "2"});
    return c.args(movements, more);
  };
  Process process(args({}));
  while (!fs::exists(checkpoint) && process.runs()) std::this_thread::sleep_for(std::chrono::microseconds(200));
  (void)process.killed_by(SIGKILL);
  REQUIRE(fs::exists(checkpoint));
  const auto time = fs::last_write_time(c.folder / "in.csv");
  // The movements' file is written anew by each run here: its time of change is put back where it is not what is tested.
  const auto refused = [&](std::vector<std::string> more, const char* said) {
    more.insert(more.end(), {"--resume"});
    std::vector<std::string> all = args(more);
    fs::last_write_time(c.folder / "in.csv", time);
    check_failure(run_program(all), 3, {"checkpoint", said, "without --resume"});
  };
  refused({"--oat", "30"}, "options differs");
  refused({"--shard", "1/2"}, "shard differs");
  refused({"--rejects", c.folder / "r.csv"}, "files written differs");
  const std::string map = contents(c.map);
  (void)c.folder.write("field.osm", map + "<!-- mended -->");
  refused({}, "field F, map differs");
  (void)c.folder.write("field.osm", map);
  std::vector<std::string> other = args({"--resume"});
  std::string changed = movements;
  changed[changed.size() - 3] = '4';
  (void)c.folder.write("in.csv", changed);
  check_failure(run_program(other), 3, {"checkpoint", "movements"});
  fs::remove(checkpoint);
  const Result anew = run_program(args({"--resume"}));
  CHECK(anew.status == 0);
  check_failure(run_program(c.args(movements, {"--resume"})), 2, {"--resume", "--checkpoint"});
}

TEST_CASE("Progress tells rows, rate and the time left") {
  using solotaxi::cli::progress_line;
  CHECK(progress_line({2.0, 3000000, 150, 600, 812}) == "3,000,000 rows, 1,500,000 a second, 812 plans made, 0:06 left");
  CHECK(progress_line({100.0, 1000, 1, 100, 0}) == "1,000 rows, 10 a second, 0 plans made, 2:45:00 left");
  CHECK(progress_line({0.0, 0, 0, 0, 0}) == "0 rows, 0 a second, 0 plans made");
}

TEST_CASE(
    "Draws tell how far totals may lie off, in JSON, text and the file of totals; without spread they say nothing new") {
  const Case c;
  const std::string movements = kHeading + mixed_rows(40, 1000), totals = c.folder / "totals.csv";
  const json plain = c.run(movements);
  CHECK(plain["uncertainty"].is_null());
  CHECK(!plain["total"].contains("uncertainty"));
  std::string none;
  for (const char* what :
       {"rolling_resistance", "mass", "idle_thrust", "fuel_flow", "apu_flow", "warm_up", "queue", "grade"})
    none += std::string("[") + what + "]\nall = 0\n";
  const json zero = c.run(movements, {"--draws", "10", "--spread", c.folder.write("none.toml", none)});
  for (const char* of : {"p5", "median", "p95"}) {
    CHECK(zero["total"]["uncertainty"]["saving_kg"][of] == plain["total"]["saving_kg"]);
    CHECK(zero["total"]["uncertainty"]["advised"]["co2_kg"][of] == plain["total"]["advised"]["co2_kg"]);
  }
  CHECK(zero["total"]["advised"] == plain["total"]["advised"]);
  const json some = c.run(movements, {"--draws", "50", "--totals", totals});
  const json& saving = some["total"]["uncertainty"]["saving_kg"];
  CHECK(saving["p5"] < saving["median"]);
  CHECK(saving["median"] < saving["p95"]);
  CHECK(some["uncertainty"]["effects"].size() == 8);
  const std::string table = contents(totals);
  CHECK(table.starts_with("by,name,movements,one_engine,time_s,"));
  CHECK(table.find("saving_kg_p5,saving_kg_median,saving_kg_p95") != std::string::npos);
  CHECK(table.find("\nhour,10,") != std::string::npos);
  CHECK(table.find("\nmonth,2026-01,") != std::string::npos);
  const Result text = run_program(c.args(movements, {"--draws", "50"}));
  check_width(text.out.substr(text.out.find('\n') + 1));
  for (const char* said : {"UNCERTAINTY", "WHAT MOVES THE SAVING MOST", "rolling resistance", "5 to 95 %"})
    CHECK(text.out.find(said) != std::string::npos);
}

TEST_CASE("Wrong spreads are refused with file, line and key") {
  const Case c;
  const auto fails = [&](const std::string& text, const std::vector<std::string>& said) {
    check_failure(run_program(c.args(kHeading + kGood, {"--draws", "10", "--spread", c.folder.write("s.toml", text)})), 3,
                  said);
  };
  fails("[height]\nall = 1\n", {"s.toml:1", "height", "unknown name", "rolling_resistance"});
  fails("[mass]\nsome = 1\n", {"s.toml:2", "mass.some", "unknown key"});
  fails("[mass]\nall = -0.1\n", {"s.toml:2", "mass.all", "0 to 0.1"});
  fails("[mass]\nall = 0.06\naircraft = 0.06\n", {"s.toml:1", "mass", "too large"});
  fails("mass = 1\n", {"s.toml:1", "mass", "a table"});
  fails("[mass\n", {"not valid TOML"});
  check_failure(run_program(c.args(kHeading + kGood, {"--spread", "s.toml"})), 2, {"--spread", "--draws"});
  check_failure(run_program(c.args(kHeading + kGood, {"--draws", "9"})), 2, {"--draws"});
}
