#include "solotaxi/io/traffic_file.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <optional>
#include <string>
#include <string_view>

#include "solotaxi/base/error.hpp"
#include "solotaxi/io/csv.hpp"
#include "solotaxi/routing/place.hpp"

namespace solotaxi::io {
namespace {

constexpr double kMost = 1e7;
constexpr std::array kNames{"stand", "runway", "direction", "movements"};
constexpr const char* kForm = "lines are stand,runway,direction,movements, such as 12,09,out,840";
enum { kStand, kRunway, kDirection, kMovements };
using ColumnOrder = std::array<std::size_t, kNames.size()>;

std::string without_blanks(std::string_view text) {
  constexpr const char* kBlank = " \t";
  const auto first = text.find_first_not_of(kBlank);
  return first == std::string_view::npos ? "" : std::string(text.substr(first, text.find_last_not_of(kBlank) - first + 1));
}

std::optional<double> unsigned_number(const std::string& text) {
  double value = 0.0;
  const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (fault != std::errc{} || end != text.data() + text.size() || !std::isfinite(value)) return std::nullopt;
  return value;
}

/// The columns a first line names, or nothing where it is no such line.
std::optional<ColumnOrder> heading(const std::vector<std::string>& fields) {
  ColumnOrder columns{};
  if (fields.size() != kNames.size()) return std::nullopt;
  for (std::size_t n = 0; n < kNames.size(); ++n) {
    const auto at = std::find(fields.begin(), fields.end(), kNames[n]);
    if (at == fields.end()) return std::nullopt;
    columns[n] = static_cast<std::size_t>(at - fields.begin());
  }
  return columns;
}

routing::ResolvedPlace place(const network::Network& network, const std::string& kind, const std::string& name,
                             const Where& where) {
  try {
    return routing::resolve(network, routing::parse_place(kind + ":" + name));
  } catch (const Error& error) {
    throw data_error(error.message(), {where.file, where.line, kind + ":" + name}, error.hint());
  }
}

planning::Traffic row(const network::Network& network, const std::vector<std::string>& fields, const ColumnOrder& columns,
                      const Where& where) {
  if (fields.size() != kNames.size())
    throw data_error("a line of " + std::to_string(fields.size()) + " fields", where, kForm);
  planning::Traffic out;
  const std::string& direction = fields[columns[kDirection]];
  if (direction != "out" && direction != "in")
    throw data_error("\"" + direction + "\" is no direction", where, "out is a departure, in an arrival");
  out.move.direction = direction == "out" ? routing::Direction::departure : routing::Direction::arrival;
  const auto movements = unsigned_number(fields[columns[kMovements]]);
  if (!movements || !(*movements >= 0.0 && *movements <= kMost))
    throw data_error("\"" + fields[columns[kMovements]] + "\" is no number of movements a year", where, "0 to 1e7");
  out.movements = *movements;
  out.move.stand = place(network, "stand", fields[columns[kStand]], where).stand;
  const routing::ResolvedPlace end = place(network, "runway", fields[columns[kRunway]], where);
  if (end.entry) throw data_error("traffic is told by runway end, without an entry", where, "leave @ and what follows out");
  out.move.runway = end.runway;
  out.move.end = end.end;
  return out;
}

}  // namespace

std::vector<planning::Traffic> read_traffic(const std::filesystem::path& file, const network::Network& network) {
  CsvReader reader(file);
  std::vector<planning::Traffic> out;
  ColumnOrder columns{0, 1, 2, 3};
  bool first = true;
  for (auto kind = reader.next(); kind != CsvReader::Row::end; kind = reader.next()) {
    const Where where{file.string(), static_cast<long>(reader.line()), {}};
    if (kind != CsvReader::Row::row)
      throw data_error(kind == CsvReader::Row::damaged ? "a line with a quote out of place" : "a line too long to be one",
                       where, kForm);
    std::vector<std::string> fields;
    for (const std::string_view field : reader.fields()) fields.push_back(without_blanks(field));
    if (fields.front().starts_with('#') || (fields.size() == 1 && fields.front().empty())) continue;
    const bool was_first = first;
    first = false;
    if (was_first)
      if (const auto named = heading(fields)) {
        columns = *named;
        continue;
      }
    out.push_back(row(network, fields, columns, where));
  }
  if (out.empty()) throw data_error("traffic file holds no movements", {file.string(), {}, {}}, kForm);
  return out;
}

}  // namespace solotaxi::io
