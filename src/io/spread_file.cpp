#include "solotaxi/io/spread_file.hpp"

#include <fmt/format.h>
#include <toml++/toml.h>

#include <algorithm>
#include <fstream>
#include <sstream>

#include "solotaxi/base/error.hpp"

namespace solotaxi::io {
namespace {

using planning::Spread;
using planning::UncertainKey;

class SpreadReader {
 public:
  explicit SpreadReader(std::string file) : file_(std::move(file)) {}

  [[nodiscard]] planning::Spreads spreads() const {
    planning::Spreads out = planning::usual_spreads();
    const auto keys = planning::uncertain_keys();
    for (const auto& [key, node] : parse()) {
      const std::string name(key.str());
      const auto known = std::find_if(keys.begin(), keys.end(), [&](const UncertainKey& k) { return name == k.key; });
      if (known == keys.end()) {
        std::string names;
        for (const UncertainKey& k : keys) names += (names.empty() ? "" : ", ") + std::string(k.key);
        refuse(node, name, "unknown name", names);
      }
      if (!node.is_table()) refuse(node, name, "a table is expected", "[" + name + "]");
      out[index(known->what)] = spread(*node.as_table(), *known);
    }
    return out;
  }

 private:
  [[noreturn]] void refuse(const toml::node& node, const std::string& key, const std::string& message,
                           const std::string& hint) const {
    throw data_error(message, Where{file_, static_cast<long>(node.source().begin.line), key}, hint);
  }
  [[nodiscard]] toml::table parse() const {
    std::error_code ignored;
    std::ifstream in(file_, std::ios::binary);
    std::ostringstream text;
    text << in.rdbuf();
    if (!in || std::filesystem::is_directory(file_, ignored))
      throw data_error("cannot be read", Where{file_, {}, {}}, "check the path");
    try {
      return toml::parse(text.view());
    } catch (const toml::parse_error& e) {
      throw data_error("is not valid TOML: " + std::string(e.description()),
                       Where{file_, static_cast<long>(e.source().begin.line), {}});
    }
  }
  [[nodiscard]] Spread spread(const toml::table& table, const UncertainKey& known) const {
    Spread out{0.0, 0.0, 0.0, "assumed"};
    for (const auto& [key, node] : table) {
      const std::string name(key.str()), path = std::string(known.key) + "." + name;
      if (name == "source") {
        const auto text = node.value_exact<std::string>();
        if (!text) refuse(node, path, "a text in quotes is expected", "where the values are from");
        out.source = *text;
        continue;
      }
      double* const to = name == "all"        ? &out.all
                         : name == "field"    ? &out.field
                         : name == "aircraft" ? &out.aircraft
                                              : nullptr;
      if (to == nullptr) refuse(node, path, "unknown key", "all, field, aircraft, source");
      const auto value = node.is_number() ? node.value<double>() : std::nullopt;
      if (!value || !(*value >= 0.0 && *value <= known.most))
        refuse(node, path, "must be a number", fmt::format("0 to {} {}", known.most, known.unit));
      *to = *value;
    }
    if (out.all + out.field + out.aircraft > known.most)
      refuse(table, known.key, "its deviations are too large",
             fmt::format("together at most {} {}", known.most, known.unit));
    return out;
  }

  std::string file_;
};

}  // namespace

planning::Spreads read_spreads(const std::filesystem::path& file) { return SpreadReader(file.string()).spreads(); }

}  // namespace solotaxi::io
