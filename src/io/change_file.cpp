#include "solotaxi/io/change_file.hpp"

#include <toml++/toml.h>

#include <fstream>
#include <sstream>

#include "solotaxi/base/error.hpp"

namespace solotaxi::io {
namespace {

constexpr const char* kKeys = "keys of a [[change]] are name, max_grade_pct, min_radius_m and closed";

class Reader {
 public:
  explicit Reader(const std::filesystem::path& file) : file_(file.string()) {}

  std::vector<planning::Change> changes(const toml::table& root) const {
    std::vector<planning::Change> out;
    for (const auto& [key, node] : root) {
      if (key.str() == "centreline")
        refuse(node, "centreline", "new centrelines are not read here", "draw them into the map, and screen both maps");
      const toml::array* list = node.as_array();
      if (key.str() != "change" || list == nullptr || !list->is_array_of_tables())
        refuse(node, std::string(key.str()), "only [[change]] is known here", kKeys);
      for (const toml::node& entry : *list) out.push_back(change(*entry.as_table()));
    }
    if (out.empty()) throw data_error("changes nothing", {file_, {}, {}}, kKeys);
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

  std::string file_;
};

}  // namespace

std::vector<planning::Change> read_changes(const std::filesystem::path& file) {
  std::error_code ignored;
  std::ifstream in(file, std::ios::binary);
  std::ostringstream text;
  if (!in || std::filesystem::is_directory(file, ignored) || !(text << in.rdbuf()))
    throw data_error("file of changes cannot be read", {file.string(), {}, {}}, "check the path; it may be empty");
  try {
    return Reader(file).changes(toml::parse(text.view()));
  } catch (const toml::parse_error& e) {
    throw data_error("is not valid TOML: " + std::string(e.description()),
                     {file.string(), static_cast<long>(e.source().begin.line), {}});
  }
}

}  // namespace solotaxi::io
