#include "solotaxi/io/survey_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <fstream>
#include <string>
#include <vector>

#include "solotaxi/base/error.hpp"

namespace solotaxi::io {
namespace {

class Survey final : public terrain::HeightSource {
 public:
  Survey(std::string name, terrain::NoiseModel noise, terrain::VerticalDatum datum, std::vector<terrain::Reading> points)
      : name_(std::move(name)), noise_(noise), datum_(std::move(datum)), points_(std::move(points)) {}
  /// All of them: they are few, and the caller reports those far off.
  [[nodiscard]] terrain::Readings readings(std::span<const LatLon> places, Metres) const override {
    return {points_, std::vector<char>(places.size(), 1)};
  }
  [[nodiscard]] terrain::SourceKind kind() const override { return terrain::SourceKind::survey; }
  [[nodiscard]] std::string name() const override { return name_; }
  [[nodiscard]] terrain::NoiseModel noise() const override { return noise_; }
  [[nodiscard]] Metres spacing_at(LatLon) const override { return Metres{0.0}; }
  [[nodiscard]] terrain::VerticalDatum datum() const override { return datum_; }

 private:
  std::string name_;
  terrain::NoiseModel noise_;
  terrain::VerticalDatum datum_;
  std::vector<terrain::Reading> points_;
};

std::string trimmed(const std::string& text) {
  constexpr const char* kBlank = " \t\r\"";
  const auto first = text.find_first_not_of(kBlank);
  return first == std::string::npos ? "" : text.substr(first, text.find_last_not_of(kBlank) - first + 1);
}

std::vector<std::string> fields_of(const std::string& line) {
  std::vector<std::string> fields;
  std::size_t from = 0;
  for (std::size_t comma = line.find(','); comma != std::string::npos; from = comma + 1, comma = line.find(',', from))
    fields.push_back(trimmed(line.substr(from, comma - from)));
  fields.push_back(trimmed(line.substr(from)));
  return fields;
}

std::optional<double> number_of(const std::string& text) {
  double value = 0.0;
  const char *first = text.data() + (text.starts_with('+') ? 1 : 0), *last = text.data() + text.size();
  const auto [end, fault] = std::from_chars(first, last, value);
  if (fault != std::errc{} || end != last || !std::isfinite(value)) return std::nullopt;
  return value;
}

/// Which field holds what.
struct Columns {
  enum { kLat, kLon, kHeight, kSigma };
  std::array<std::optional<std::size_t>, 4> at{0, 1, 2, 3};
  bool ellipsoid = false;
};

Columns columns_of(const std::vector<std::string>& heading, const Where& where) {
  constexpr std::array<std::array<const char*, 7>, 4> kNames{{{"lat", "latitude", "lat_deg"},
                                                              {"lon", "longitude", "lng", "lon_deg"},
                                                              {"height", "ele", "elevation", "z", "h", "height_m", "ele_m"},
                                                              {"sigma", "sd", "accuracy", "sigma_m"}}};
  Columns columns;
  columns.at.fill(std::nullopt);
  for (std::size_t k = 0; k < heading.size(); ++k) {
    std::string name = heading[k];
    std::transform(name.begin(), name.end(), name.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    if (name == "height_ellipsoid" || name == "ellipsoidal_height") columns.ellipsoid = true, name = "height";
    for (std::size_t c = 0; c < kNames.size(); ++c)
      if (std::any_of(kNames[c].begin(), kNames[c].end(), [&](const char* n) { return n != nullptr && name == n; })) {
        if (columns.at[c])
          throw data_error(fmt::format("two columns of the heading mean the same (\"{}\")", heading[k]), where);
        columns.at[c] = k;
      }
  }
  if (!columns.at[Columns::kLat] || !columns.at[Columns::kLon] || !columns.at[Columns::kHeight])
    throw data_error("the heading names no latitude, longitude or height", where,
                     "columns lat, lon, height and perhaps sigma");
  return columns;
}

terrain::Reading point_of(const std::vector<std::string>& fields, const Columns& columns, const Where& where) {
  constexpr std::array kWords{"latitude", "longitude", "height", "sigma"};
  std::array<double, 4> value{};
  for (std::size_t c = 0; c < columns.at.size(); ++c) {
    const auto at = columns.at[c];
    const bool given = at && *at < fields.size() && !fields[*at].empty();
    if (!given && c == Columns::kSigma) continue;
    if (!given)
      throw data_error(fmt::format("there is no {}", kWords[c]), where, "lines are lat, lon, height and perhaps sigma");
    const auto number = number_of(fields[*at]);
    if (!number) throw data_error(fmt::format("the {} \"{}\" is not a number", kWords[c], fields[*at]), where);
    value[c] = *number;
    if (c == Columns::kSigma && !(value[c] > 0.0))
      throw data_error(fmt::format("the sigma {} is not above 0 m", value[c]), where);
  }
  if (!(std::abs(value[0]) <= 90.0) || !(std::abs(value[1]) <= 180.0))
    throw data_error(fmt::format("the position {}, {} is out of range", value[0], value[1]), where, "latitude comes first");
  if (!(value[2] >= terrain::kLowestGround && value[2] <= terrain::kHighestGround))
    throw data_error(fmt::format("no ground lies at {} m", value[2]), where, "heights are metres");
  return {LatLon::degrees(value[0], value[1]), value[2], value[3]};
}

}  // namespace

std::unique_ptr<terrain::HeightSource> open_survey(const std::filesystem::path& file, const SurveyOptions& options) {
  const double lift = options.offset_m.value_or(0.0);
  if (!std::isfinite(lift)) throw usage_error("the offset of surveyed heights must be a number of metres");
  std::ifstream in(file);
  if (!in) throw data_error("the survey cannot be opened", {file.string(), {}, {}});
  Columns columns;
  std::vector<terrain::Reading> points;
  bool first = true;
  std::string line;
  for (long number = 1; std::getline(in, line); ++number) {
    if (number == 1 && line.starts_with("\xEF\xBB\xBF")) line.erase(0, 3);
    const std::string text = trimmed(line);
    if (text.empty() || text.starts_with('#')) continue;
    const Where where{file.string(), number, {}};
    const std::vector<std::string> fields = fields_of(line);
    const bool heading =
        first && std::none_of(fields.begin(), fields.end(), [](const std::string& f) { return number_of(f); });
    first = false;
    if (heading) {
      columns = columns_of(fields, where);
      continue;
    }
    points.push_back(point_of(fields, columns, where));
    points.back().height_m += lift;
  }
  if (in.bad()) throw data_error("the survey cannot be read to its end", {file.string(), {}, {}});
  if (points.empty()) throw data_error("the survey has no point", {file.string(), {}, {}});
  using Kind = terrain::VerticalDatum::Kind;
  terrain::VerticalDatum datum{columns.ellipsoid ? Kind::ellipsoid : Kind::unstated, "", options.offset_m.has_value()};
  return std::make_unique<Survey>(file.filename().string(), options.noise, std::move(datum), std::move(points));
}

}  // namespace solotaxi::io
