#include "solotaxi/io/aircraft_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <fstream>
#include <sstream>
#include <toml++/toml.h>

#include "built_in_aircraft.hpp"
#include "solotaxi/aircraft/keys.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::io {

namespace {

using aircraft::Aircraft;

Error at_node(const std::string& key, const toml::node& node, std::string message, std::string hint = {}) {
  return data_error(std::move(message), Where{{}, static_cast<long>(node.source().begin.line), key}, std::move(hint));
}

double read_number(const std::string& key, const toml::node& node) {
  if (!node.is_number()) throw at_node(key, node, "must be a number");
  return *node.value<double>();
}

int read_engine_number(const std::string& key, const toml::node& node) {
  if (!node.is_integer()) throw at_node(key, node, "must hold engine numbers");
  const std::int64_t e = node.as_integer()->get();
  if (e < 1 || e > 4) throw at_node(key, node, "engine " + std::to_string(e) + " is out of range 1 to 4");
  return static_cast<int>(e);
}

const toml::array& read_array(const std::string& key, const toml::node& node, const char* of) {
  if (!node.is_array()) throw at_node(key, node, std::string("must be an array of ") + of);
  return *node.as_array();
}

/// Every key that is not one number. False where the key is unknown.
bool read_other(Aircraft& out, const std::string& key, const toml::node& node) {
  if (key == "name") {
    if (!node.is_string()) throw at_node(key, node, "must be a string");
    out.name = node.as_string()->get();
  } else if (key == "engine_arms_m") {
    out.engine_arms_m.clear();
    for (const toml::node& arm : read_array(key, node, "numbers")) out.engine_arms_m.push_back(read_number(key, arm));
  } else if (key == "may_run_alone") {
    out.may_run_alone.clear();
    for (const toml::node& set : read_array(key, node, "arrays of engine numbers, such as [[1], [2]]")) {
      std::vector<int>& engines = out.may_run_alone.emplace_back();
      for (const toml::node& e : read_array(key, set, "arrays of engine numbers, such as [[1], [2]]"))
        engines.push_back(read_engine_number(key, e));
    }
    if (out.may_run_alone.empty()) throw at_node(key, node, "must name a set, or be left out for the usual sets");
  } else if (key == "notes") {
    if (!node.is_table()) throw at_node(key, node, "must be a table of texts by engine left off");
    for (const auto& [engine, text] : *node.as_table()) {
      if (!text.is_string()) throw at_node("notes." + std::string(engine.str()), text, "must be a string");
      out.notes[std::string(engine.str())] = text.as_string()->get();
    }
  } else {
    return false;
  }
  return true;
}

Aircraft from_table(const toml::table& table) {
  Aircraft out;
  const auto keys = aircraft::number_keys();
  for (const auto& [name, node] : table) {
    const std::string key(name.str());
    const auto number = std::find_if(keys.begin(), keys.end(), [&](const auto& k) { return key == k.key; });
    if (number != keys.end()) {
      out.*number->member = read_number(key, node);
    } else if (!read_other(out, key, node)) {
      throw at_node(key, node, "unknown key", "keys are those of data/aircraft/narrow-body-twin.toml");
    }
  }
  try {
    check_ranges(out);
  } catch (const Error& e) {
    const toml::node* node = table.get(e.where().feature);
    if (node == nullptr) throw;
    throw at_node(e.where().feature, *node, e.message(), e.hint());
  }
  return out;
}

/// `file`: what errors name.
Aircraft from_text(std::string_view text, const std::string& file) {
  try {
    return from_table(toml::parse(text));
  } catch (const toml::parse_error& e) {
    throw data_error("is not valid TOML: " + std::string(e.description()),
                     Where{file, static_cast<long>(e.source().begin.line), {}});
  } catch (const Error& e) {
    throw e.in_file(file);
  }
}

}  // namespace

aircraft::Aircraft read_aircraft(const std::filesystem::path& file) {
  std::error_code ignored;
  std::ifstream in(file, std::ios::binary);
  std::ostringstream text;
  if (!in || std::filesystem::is_directory(file, ignored) || !(text << in.rdbuf()))
    throw data_error("aircraft file cannot be read", Where{file.string(), {}, {}}, "check the path; it may be empty");
  return from_text(text.view(), file.string());
}

std::vector<std::string> aircraft_names() {
  std::vector<std::string> names;
  for (const BuiltInAircraft& a : built_in_aircraft()) names.emplace_back(a.name);
  return names;
}

aircraft::Aircraft find_aircraft(const std::string& name_or_file) {
  namespace fs = std::filesystem;
  const bool plain_name = !name_or_file.empty() && name_or_file.find('/') == std::string::npos;
  std::error_code ignored;
  for (const BuiltInAircraft& a : built_in_aircraft())
    if (a.name == name_or_file) return from_text(a.toml, name_or_file + ".toml");
  const bool is_path =
      !plain_name || fs::path(name_or_file).extension() == ".toml" || fs::is_regular_file(name_or_file, ignored);
  if (is_path && !name_or_file.empty()) return read_aircraft(name_or_file);
  throw usage_error("aircraft \"" + name_or_file + "\" is not known",
                    fmt::format("known: {}; or give the path of a .toml file", fmt::join(aircraft_names(), ", ")));
}

}  // namespace solotaxi::io
