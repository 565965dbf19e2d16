#include "solotaxi/io/map_file.hpp"

#include <fstream>

#include "io/aixm_reader.hpp"
#include "io/notam.hpp"
#include "mapping.hpp"
#include "osm_reader.hpp"
#include "solotaxi/base/error.hpp"
#include "vector_reader.hpp"

namespace solotaxi::io {
namespace {

/// libosmium's name for the format, by ending, else by content; "" for everything GDAL is to read.
std::string osm_format(const std::filesystem::path& file) {
  std::string name = file.filename().string();
  for (char& c : name)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  for (const auto& [ending, format] :
       {std::pair{".osm", "osm"}, {".osm.gz", "osm.gz"}, {".osm.bz2", "osm.bz2"}, {".pbf", "pbf"}})
    if (name.ends_with(ending)) return format;
  std::string head(400, '\0');
  std::ifstream in(file, std::ios::binary);
  in.read(head.data(), static_cast<std::streamsize>(head.size()));
  head.resize(static_cast<std::size_t>(in.gcount()));
  if (head.size() > 15 && head.substr(4, 11) == "\x0a\x09OSMHeader") return "pbf";
  if (head.find("<osm") != std::string::npos && head.find('<') == head.find_first_not_of(" \t\r\n\xef\xbb\xbf"))
    return "osm";
  return {};
}

/// Length of the UTF-8 character at the front of `text`, 0 where there is none.
std::size_t utf8_length(std::string_view text) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const std::size_t length = byte(0) < 0x80                      ? 1
                             : byte(0) >= 0xc2 && byte(0) < 0xe0 ? 2
                             : (byte(0) & 0xf0) == 0xe0          ? 3
                             : byte(0) >= 0xf0 && byte(0) < 0xf5 ? 4
                                                                 : 0;
  if (length == 0 || length > text.size()) return 0;
  for (std::size_t i = 1; i < length; ++i)
    if ((byte(i) & 0xc0) != 0x80) return 0;
  // Overlong forms, surrogates, beyond Unicode.
  if ((byte(0) == 0xe0 && byte(1) < 0xa0) || (byte(0) == 0xed && byte(1) > 0x9f) || (byte(0) == 0xf0 && byte(1) < 0x90) ||
      (byte(0) == 0xf4 && byte(1) > 0x8f))
    return 0;
  return length;
}

/// Text that is no UTF-8 is read as ISO 8859-1, in which every byte is a letter.
bool recode(std::string& text) {
  bool sound = true;
  for (std::size_t i = 0; i < text.size() && sound;) {
    const std::size_t length = utf8_length(std::string_view(text).substr(i));
    sound = length > 0;
    i += length;
  }
  if (sound) return false;
  std::string out;
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    if (byte < 0x80)
      out += c;
    else
      (out += static_cast<char>(0xc0 | (byte >> 6))) += static_cast<char>(0x80 | (byte & 0x3f));
  }
  text = std::move(out);
  return true;
}

void make_utf8(airfield::RawMap& map) {
  for (airfield::RawFeature& feature : map.features) {
    bool changed = recode(feature.id);
    for (auto& [key, value] : feature.tags) changed |= recode(value);
    if (!changed) continue;
    Finding finding;
    finding.code = "text-not-utf8";
    finding.severity = Severity::note;
    finding.where.id = feature.id;
    finding.text = "text that is not UTF-8 is read as ISO 8859-1";
    map.findings.push_back(std::move(finding));
  }
}

}  // namespace

Findings unused_time_findings(const MapOptions& options) {
  if (!options.at) return {};
  Finding finding;
  finding.code = "time-not-used";
  finding.text = "this map says nothing of times of validity; it is taken as it stands";
  // NOTAMs name features by uuid, which no other format has: each is told as not applied.
  Findings findings = Notams(options.notams, *options.at).findings();
  findings.insert(findings.begin(), std::move(finding));
  return findings;
}

airfield::RawMap read_map(const std::filesystem::path& file, const MapOptions& options) {
  const Where where{file.string(), std::nullopt, ""};
  if (!std::filesystem::exists(file)) throw data_error("there is no such map file", where, "check the name");
  if (!options.notams.empty() && !options.at)
    throw usage_error("NOTAMs need a time for which they are applied", "--at 2026-01-05T06:00Z");
  const Mapping mapping = options.mapping ? Mapping(*options.mapping) : Mapping();
  airfield::RawMap map;
  const std::string format = std::filesystem::is_directory(file) ? "" : osm_format(file);
  if (format.empty() && is_aixm(file)) {
    map = read_aixm_map(file, options.at, options.notams);
  } else {
    map = format.empty() ? read_vector(file, mapping) : read_osm(file, format, mapping);
    const Findings of_time = unused_time_findings(options);
    map.findings.insert(map.findings.end(), of_time.begin(), of_time.end());
  }
  make_utf8(map);
  const Findings about_mapping = mapping.findings();
  map.findings.insert(map.findings.end(), about_mapping.begin(), about_mapping.end());
  return map;
}

}  // namespace solotaxi::io
