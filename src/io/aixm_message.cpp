#include "io/aixm_message.hpp"

#include <algorithm>
#include <set>
#include <tuple>

#include "solotaxi/airfield/tag_value.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::io {
namespace {

constexpr const char* kRoot = "AIXMBasicMessage";

bool is_xml_name(const std::filesystem::path& file) {
  std::string ending = file.extension().string();
  for (char& c : ending)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  return ending == ".xml" || ending == ".gml" || ending == ".aixm";
}

bool is_message(const std::filesystem::path& file) {
  const auto root = xml_root(file);
  return root && *root == kRoot;
}

std::string without_prefix(std::string text) {
  for (const std::string_view prefix : {"#", "urn:uuid:", "urn.uuid.", "uuid.", "gml:"})
    if (text.starts_with(prefix)) text.erase(0, prefix.size());
  return text;
}

std::vector<std::filesystem::path> xml_files(const std::filesystem::path& folder) {
  std::vector<std::filesystem::path> files;
  for (const auto& entry : std::filesystem::directory_iterator(folder))
    if (entry.is_regular_file() && is_xml_name(entry.path())) files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  return files;
}

Instant instant_of(const XmlElement& element, const std::string& file) {
  const auto at = parse_instant(element.text);
  if (!at)
    throw data_error("\"" + element.text + "\" is no date and time", Where{file, element.line, element.name},
                     "times are written like 2026-01-05T06:00:00Z");
  return *at;
}

long number_of(const XmlElement& slice, std::string_view property) {
  const auto value = airfield::parse_number(slice.value(property));
  return value && *value >= 0 && *value < 1e9 ? static_cast<long>(*value) : 0;
}

void read_file(const std::filesystem::path& file, AixmMessage& message) {
  message.files.push_back(file.string());
  read_xml_members(file, [&](const std::string& /*member*/, XmlElement&& element) {
    AixmFeature feature;
    feature.kind = element.name;
    feature.file = file.string();
    feature.line = element.line;
    feature.uuid = without_prefix(element.value("identifier"));
    if (feature.uuid.empty()) feature.uuid = without_prefix(element.attribute("id"));
    for (XmlElement& property : element.children)
      if (property.name == "timeSlice")
        for (XmlElement& slice : property.children) feature.slices.push_back(std::move(slice));
    if (feature.slices.empty()) return;  // bounding boxes, metadata of the message
    if (feature.uuid.empty())
      throw data_error("a " + feature.kind + " has neither gml:identifier nor gml:id",
                       Where{file.string(), element.line, feature.kind});
    message.features.push_back(std::move(feature));
  });
}

}  // namespace

bool is_aixm(const std::filesystem::path& path) {
  std::error_code ignored;
  if (!std::filesystem::is_directory(path, ignored)) return is_message(path);
  const auto files = xml_files(path);
  return std::any_of(files.begin(), files.end(), is_message);
}

AixmMessage read_aixm(const std::filesystem::path& path) {
  AixmMessage message;
  if (!std::filesystem::is_directory(path)) {
    read_file(path, message);
    return message;
  }
  for (const auto& file : xml_files(path)) {
    // A file whose root cannot be read is damaged; that of another format is passed over.
    const auto root = xml_root(file);
    if (!root || *root == kRoot)
      read_file(file, message);
    else
      message.other_files.push_back(file.filename().string());
  }
  return message;
}

Validity validity_of(const XmlElement& slice, const std::string& file) {
  Validity validity;
  const XmlElement* time = slice.child("validTime");
  if (time == nullptr) return validity;
  const auto position = [&](const char* name) -> std::optional<Instant> {
    const XmlElement* found = time->find(name);
    return found == nullptr || found->text.empty() ? std::nullopt : std::optional(instant_of(*found, file));
  };
  validity.begin = position("beginPosition");
  validity.end = position("endPosition");
  if (const auto moment = position("timePosition")) {  // a snapshot is true then; nobody says for how long
    validity.begin = moment;
    validity.end = std::nullopt;
  }
  return validity;
}

ChosenSlice baseline_of(const AixmFeature& feature, std::optional<Instant> at) {
  ChosenSlice chosen;
  std::tuple<long, long> best{-1, -1};
  for (const XmlElement& slice : feature.slices) {
    const std::string& kind = slice.value("interpretation");
    if (kind != "BASELINE" && kind != "SNAPSHOT" && !kind.empty()) continue;
    const Validity validity = validity_of(slice, feature.file);
    if (at && !validity.holds(*at)) {
      if (chosen.slice == nullptr)
        chosen.state = validity.begin && *at < *validity.begin ? SliceState::not_yet : SliceState::no_more;
      continue;
    }
    const std::tuple number{number_of(slice, "sequenceNumber"), number_of(slice, "correctionNumber")};
    if (chosen.slice != nullptr && number <= best) continue;
    chosen = {&slice, SliceState::valid};
    best = number;
  }
  return chosen;
}

std::string link_of(const XmlElement& property) {
  return property.is_nil() ? std::string() : without_prefix(property.attribute("href"));
}

std::vector<std::string> links_of(const XmlElement& slice, std::string_view property) {
  std::vector<std::string> links;
  for (const XmlElement* found : slice.all(property))
    if (std::string link = link_of(*found); !link.empty()) links.push_back(std::move(link));
  return links;
}

std::optional<double> metres_of(const XmlElement& parent, std::string_view property, std::string& refused) {
  const XmlElement* found = parent.child(property);
  if (found == nullptr || found->is_nil() || found->text.empty()) return std::nullopt;
  const std::string& unit = found->attribute("uom");
  if (const auto value = airfield::parse_number(found->text)) {
    if (unit == "M" || unit.empty()) return value;
    if (unit == "FT") return *value * 0.3048;  // exact by definition
    if (unit == "KM") return *value * 1000.0;
    if (unit == "CM") return *value * 0.01;
    if (unit == "NM") return *value * 1852.0;
  }
  refused = found->text + (unit.empty() ? "" : " " + unit);
  return std::nullopt;
}

}  // namespace solotaxi::io
