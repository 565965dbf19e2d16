#include "solotaxi/io/map_file.hpp"

#include <fstream>

#include "mapping.hpp"
#include "osm_reader.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::io {
namespace {

/// libosmium's name for the format, by ending, else by content; "" for everything GDAL is to read.
std::string osm_format(const std::filesystem::path& file) {
  std::string name = file.filename().string();
  for (char& c : name)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  for (const auto& [ending, format] : {std::pair{".osm", "osm"}, {".osm.gz", "osm.gz"}, {".osm.bz2", "osm.bz2"}, {".pbf", "pbf"}})
    if (name.ends_with(ending)) return format;
  std::string head(400, '\0');
  std::ifstream in(file, std::ios::binary);
  in.read(head.data(), static_cast<std::streamsize>(head.size()));
  head.resize(static_cast<std::size_t>(in.gcount()));
  if (head.size() > 15 && head.substr(4, 11) == "\x0a\x09OSMHeader") return "pbf";
  if (head.find("<osm") != std::string::npos && head.find('<') == head.find_first_not_of(" \t\r\n\xef\xbb\xbf")) return "osm";
  return {};
}

}  // namespace

airfield::RawMap read_map(const std::filesystem::path& file, const std::optional<std::filesystem::path>& mapping_file) {
  const Where where{file.string(), std::nullopt, ""};
  if (!std::filesystem::exists(file)) throw data_error("there is no such map file", where, "check the name");
  const Mapping mapping = mapping_file ? Mapping(*mapping_file) : Mapping();
  airfield::RawMap map;
  if (const std::string format = osm_format(file); !format.empty() && !std::filesystem::is_directory(file))
    map = read_osm(file, format, mapping);
  else
    throw data_error("not a map format that can be read", where);
  const Findings about_mapping = mapping.findings();
  map.findings.insert(map.findings.end(), about_mapping.begin(), about_mapping.end());
  return map;
}

}  // namespace solotaxi::io
