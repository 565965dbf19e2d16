// AIXM 5.1 messages: the features of one file or of a folder of feature files, each with its time slices.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "io/xml.hpp"
#include "solotaxi/base/finding.hpp"
#include "solotaxi/base/instant.hpp"

namespace solotaxi::io {

struct AixmFeature {
  std::string kind;  ///< "GuidanceLine"
  std::string uuid;  ///< gml:identifier, else gml:id; without "urn:uuid:" and "uuid."
  std::string file;
  long line = 0;
  std::vector<XmlElement> slices;  ///< "GuidanceLineTimeSlice"…, as in the file

  /// "GuidanceLine/21230baa-…", the id findings and the map use.
  [[nodiscard]] std::string id() const { return kind + "/" + uuid; }
};

struct AixmMessage {
  std::vector<AixmFeature> features;  ///< in order of files (by name) and within them
  std::vector<std::string> files;
  std::vector<std::string> other_files;  ///< of the folder, not read
};

/// Whether this is an AIXM message, or a folder that holds one.
[[nodiscard]] bool is_aixm(const std::filesystem::path& path);

/// Throws Error (data) with file and line for damaged XML and for a feature that has no identifier.
[[nodiscard]] AixmMessage read_aixm(const std::filesystem::path& path);

/// Why a time slice of a feature is taken or not.
enum class SliceState { valid, not_yet, no_more, none };

struct ChosenSlice {
  const XmlElement* slice = nullptr;  ///< valid, or the latest where no time is asked for
  SliceState state = SliceState::none;
};

/// The BASELINE or SNAPSHOT slice of a feature that holds `at`, of several the one with the highest sequence and correction
/// number; without `at` the one with the highest numbers. Throws Error (data) for a time that cannot be read.
[[nodiscard]] ChosenSlice baseline_of(const AixmFeature& feature, std::optional<Instant> at);

/// A period of validity; an end that is unknown or missing is open.
struct Validity {
  std::optional<Instant> begin, end;
  [[nodiscard]] bool holds(Instant at) const { return (!begin || *begin <= at) && (!end || at < *end); }
};
[[nodiscard]] Validity validity_of(const XmlElement& slice, const std::string& file);

/// The uuid a property links to: xlink:href "urn:uuid:…", "#uuid.…" or "#id"; "" where it has no link or is nil.
[[nodiscard]] std::string link_of(const XmlElement& property);
/// uuids of every property of this name.
[[nodiscard]] std::vector<std::string> links_of(const XmlElement& slice, std::string_view property);

/// A length or height in metres: units M, FT, KM, NM, CM. Nothing where it is missing, nil or not understood (`refused` is
/// then its text and unit).
[[nodiscard]] std::optional<double> metres_of(const XmlElement& parent, std::string_view property, std::string& refused);

}  // namespace solotaxi::io
