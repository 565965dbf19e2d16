// Runs the program without a process, in a folder of its own that goes with the test.
#pragma once

#include <unistd.h>

#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <sstream>
#include <string>
#include <vector>

#include "report/text_layout.hpp"
#include "solotaxi/cli/run.hpp"

namespace solotaxi::cli::test {

namespace fs = std::filesystem;

struct Result {
  int status = 0;
  std::string out, err;
};

inline Result run_program(const std::vector<std::string>& args) {
  std::istringstream in;
  std::ostringstream out, err;
  Result result;
  result.status = run(args, in, out, err);
  result.out = out.str();
  result.err = err.str();
  return result;
}

class Folder {
 public:
  Folder() {
    std::string name = (fs::temp_directory_path() / "solotaxi-cli-XXXXXX").string();
    REQUIRE(mkdtemp(name.data()) != nullptr);
    path_ = name;
  }
  ~Folder() {
    std::error_code ignored;
    fs::remove_all(path_, ignored);
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  [[nodiscard]] std::string operator/(const std::string& name) const { return (path_ / name).string(); }
  [[nodiscard]] std::string write(const std::string& name, const std::string& text) const {
    std::ofstream(path_ / name, std::ios::binary) << text;
    return (path_ / name).string();
  }
  [[nodiscard]] std::ptrdiff_t files() const {
    return std::distance(fs::directory_iterator(path_), fs::directory_iterator());
  }

 private:
  fs::path path_;
};

inline std::string contents(const std::string& file) {
  std::ifstream in(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

/// A failure must be one line that begins with the program's name, with nothing on standard output.
inline void check_failure(const Result& result, int status, const std::vector<std::string>& said) {
  CAPTURE(result.err);
  CHECK(result.status == status);
  CHECK(result.out.empty());
  CHECK(result.err.starts_with("solotaxi: "));
  CHECK(std::count(result.err.begin(), result.err.end(), '\n') == 1);
  for (const std::string& text : said) {
    CAPTURE(text);
    CHECK(result.err.find(text) != std::string::npos);
  }
}

inline void check_width(const std::string& text) {
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) {
    CAPTURE(line);
    CHECK(solotaxi::report::display_width(line) <= 80);
  }
}

inline std::string demo_field() { return SOLOTAXI_ROOT "/data/demo/field.geojson"; }
inline std::string demo_raster() { return SOLOTAXI_ROOT "/data/demo/elevation.tif"; }

/// An OpenStreetMap file of ways; each is drawn through nodes written as "x,y" in hundreds of metres about (-40, -20).
struct MapWay {
  std::string tags;  ///< "aeroway=taxiway;ref=A"
  std::vector<std::pair<double, double>> line;
};

inline std::string osm(const std::vector<MapWay>& ways) {
  std::ostringstream nodes, lines;
  nodes.precision(10);
  std::vector<std::pair<double, double>> known;
  int way_id = 100;
  for (const MapWay& way : ways) {
    lines << "<way id=\"" << way_id++ << "\" version=\"1\">";
    for (const auto& at : way.line) {
      auto found = std::find(known.begin(), known.end(), at);
      if (found == known.end()) {
        known.push_back(at);
        found = known.end() - 1;
        nodes << "<node id=\"" << known.size() << "\" version=\"1\" lat=\"" << -40.0 + at.second * 100.0 / 111034.6
              << "\" lon=\"" << -20.0 + at.first * 100.0 / 85394.0 << "\"/>\n";
      }
      lines << "<nd ref=\"" << (found - known.begin()) + 1 << "\"/>";
    }
    std::istringstream tags(way.tags);
    for (std::string tag; std::getline(tags, tag, ';');)
      lines << "<tag k=\"" << tag.substr(0, tag.find('=')) << "\" v=\"" << tag.substr(tag.find('=') + 1) << "\"/>";
    lines << "</way>\n";
  }
  return "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<osm version=\"0.6\">\n" + nodes.str() + lines.str() + "</osm>\n";
}

/// A runway eastward, a taxiway A beside it with an entry at each end, a stand in the middle.
inline std::vector<MapWay> small_field() {
  return {{"aeroway=runway;ref=09/27", {{0, 0}, {5, 0}, {20, 0}}},
          {"aeroway=taxiway;ref=A1", {{0, 0}, {0, 2}}},
          {"aeroway=taxiway;ref=A", {{0, 2}, {5, 2}, {10, 2}, {20, 2}}},
          {"aeroway=parking_position;ref=1", {{10, 2}, {10, 3}}}};
}

}  // namespace solotaxi::cli::test
