#include "solotaxi/io/change_file.hpp"

#include <toml++/toml.h>

#include <algorithm>
#include <fstream>
#include <sstream>

#include "solotaxi/airfield/tag_value.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::io {
namespace {

constexpr const char* kKeys = "keys of a [[change]] are name, max_grade_pct, min_radius_m and closed";
constexpr const char* kLine = "line = [[latitude, longitude], [latitude, longitude, height], …], in degrees and metres";

class ChangeReader {
 public:
  explicit ChangeReader(const std::filesystem::path& file) : file_(file.string()) {}

  ChangeFile all(const toml::table& root) const {
    ChangeFile out;
    for (const auto& [key, node] : root) {
      const toml::array* list = node.as_array();
      const bool line = key.str() == "centreline";
      if ((!line && key.str() != "change") || list == nullptr || !list->is_array_of_tables())
        refuse(node, std::string(key.str()), "only [[change]] and [[centreline]] are known here", kKeys);
      for (const toml::node& entry : *list)
        if (line)
          out.centrelines.push_back(centreline(*entry.as_table(), out.centrelines.size() + 1));
        else
          out.changes.push_back(change(*entry.as_table()));
    }
    if (out.changes.empty() && out.centrelines.empty()) throw data_error("changes nothing", {file_, {}, {}}, kKeys);
    return out;
  }

 private:
  [[noreturn]] void refuse(const toml::node& node, const std::string& key, const std::string& message,
                           const std::string& hint) const {
    throw data_error(message, {file_, static_cast<long>(node.source().begin.line), key}, hint);
  }
  double number(const toml::node& node, const std::string& key, double least, double most, const char* range) const {
    const auto value = node.is_number() ? node.value<double>() : std::nullopt;
    if (!value || !(*value >= least && *value <= most)) refuse(node, key, "must be a number", range);
    return *value;
  }
  planning::Change change(const toml::table& table) const {
    planning::Change out;
    for (const auto& [name, node] : table) {
      const std::string key(name.str());
      if (key == "name" && node.is_string()) {
        out.name = node.as_string()->get();
      } else if (key == "max_grade_pct") {
        out.max_grade_pct = number(node, key, 0.0, 10.0, "from 0 to 10 %");
      } else if (key == "min_radius_m") {
        out.min_radius_m = number(node, key, 5.0, 1000.0, "from 5 to 1000 m");
      } else if (key == "closed" && node.is_boolean()) {
        out.closed = node.as_boolean()->get();
      } else {
        const bool known = key == "name" || key == "closed";
        refuse(node, key, known ? key == "name" ? "must be a text" : "must be true or false" : "unknown key", kKeys);
      }
    }
    if (out.name.empty()) refuse(table, "name", "a change names nothing", kKeys);
    if (!out.max_grade_pct && !out.min_radius_m && !out.closed) refuse(table, out.name, "nothing is changed", kKeys);
    return out;
  }

  airfield::RawVertex vertex(const toml::node& node) const {
    const toml::array* numbers = node.as_array();
    if (numbers == nullptr || (numbers->size() != 2 && numbers->size() != 3)) refuse(node, "line", "is no position", kLine);
    airfield::RawVertex out;
    out.lat_deg = number(*numbers->get(0), "line", -90.0, 90.0, "a latitude from -90 to 90, then a longitude");
    out.lon_deg = number(*numbers->get(1), "line", -180.0, 180.0, "a longitude from -180 to 180, behind the latitude");
    if (numbers->size() == 3)
      out.height_m = number(*numbers->get(2), "line", -500.0, 9000.0, "a height from -500 to 9000 m");
    return out;
  }
  airfield::RawFeature centreline(const toml::table& table, std::size_t count) const {
    airfield::RawFeature out;
    out.id = "new/" + std::to_string(count);
    const auto tags = airfield::tags_read();
    for (const auto& [name, node] : table) {
      const std::string key(name.str());
      if (key == "line") {
        if (!node.is_array()) refuse(node, key, "is no list of positions", kLine);
        for (const toml::node& place : *node.as_array()) out.vertices.push_back(vertex(place));
      } else if (std::find(tags.begin(), tags.end(), key) == tags.end()) {
        refuse(node, key, "unknown key", "a [[centreline]] has a line, and tags as maps have them: aeroway, ref, width …");
      } else if (!node.is_string()) {
        refuse(node, key, "must be a text, as a map's tags are", key + " = \"…\"");
      } else {
        out.tags[key] = node.as_string()->get();
      }
    }
    if (out.vertices.size() < 2) refuse(table, "line", "a new line needs two positions", kLine);
    const std::string& kind = out.tag("aeroway");
    if (kind != "taxiway" && kind != "taxilane")
      refuse(table, "aeroway", "a new line is a taxiway or a taxilane", "aeroway = \"taxiway\" or \"taxilane\"");
    return out;
  }

  std::string file_;
};

}  // namespace

ChangeFile read_changes(const std::filesystem::path& file) {
  std::error_code ignored;
  std::ifstream in(file, std::ios::binary);
  std::ostringstream text;
  if (!in || std::filesystem::is_directory(file, ignored) || !(text << in.rdbuf()))
    throw data_error("file of changes cannot be read", {file.string(), {}, {}}, "check the path; it may be empty");
  try {
    return ChangeReader(file).all(toml::parse(text.view()));
  } catch (const toml::parse_error& e) {
    throw data_error("is not valid TOML: " + std::string(e.description()),
                     {file.string(), static_cast<long>(e.source().begin.line), {}});
  }
}

}  // namespace solotaxi::io
