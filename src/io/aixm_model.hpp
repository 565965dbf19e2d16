// The features of an AIXM message that a taxi network is made of, at one time: linked, with their limits.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "airfield/planar.hpp"
#include "io/aixm_geometry.hpp"
#include "io/aixm_message.hpp"
#include "io/availability.hpp"
#include "io/notam.hpp"

namespace solotaxi::io {

/// A feature with the time slice that counts.
struct AixmEntry {
  const AixmFeature* feature = nullptr;
  const XmlElement* slice = nullptr;
  [[nodiscard]] std::string id() const { return feature->id(); }
};

/// Pavement: an element of a taxiway or apron.
struct AixmArea {
  std::string uuid, owner;  ///< of the element; of the taxiway or apron it belongs to, or ""
  std::vector<airfield::PlanarLine> rings;
};

class AixmModel {
 public:
  /// All must outlive the model. Throws Error (data) where no feature of the message is valid at the time.
  AixmModel(const AixmMessage& message, std::optional<Instant> at, Notams& notams, airfield::RawMap& map);

  [[nodiscard]] const std::vector<AixmEntry>& all(const std::string& kind) const;
  /// nullptr where the message has no such feature of that kind.
  [[nodiscard]] const AixmEntry* find(const std::string& kind, const std::string& uuid) const;
  [[nodiscard]] const LocalFrame& frame() const { return frame_; }
  [[nodiscard]] const std::vector<AixmArea>& areas() const { return areas_; }

  /// What limits a feature: its own availability, or that of the NOTAMs in force instead. `what` names it in findings.
  const Availability& availability(const AixmEntry& entry, Operation operation, const std::string& what);
  /// Of the pavement: its own and its apron's; nothing for one that is not limited.
  [[nodiscard]] std::vector<std::pair<const AixmArea*, Availability>> limiting_areas();
  /// A line or a stand lies on an area that limits it.
  void meets(const AixmArea& area);
  /// What became of pavement that exists only by NOTAM; to be called when all lines and stands are read.
  void tell_new_areas();

  void add_finding(const char* code, Severity severity, const std::string& id, std::string text);
  /// Links of a property to features of a kind; those that lead nowhere become findings.
  [[nodiscard]] std::vector<const AixmEntry*> linked(const AixmEntry& from, std::string_view property,
                                                     const std::string& kind);
  /// metres_of with a finding for a value that is not understood.
  [[nodiscard]] std::optional<double> metres(const AixmEntry& entry, const XmlElement& parent, std::string_view property);
  [[nodiscard]] airfield::PlanarLine plane(const std::vector<airfield::RawVertex>& row) const;
  [[nodiscard]] AixmGeometry geometry(const AixmEntry& entry, std::string_view property);

 private:
  void choose_slices(const AixmMessage& message);
  void add_areas();

  std::optional<Instant> at_;
  Notams& notams_;
  airfield::RawMap& map_;
  std::map<std::string, std::vector<AixmEntry>> by_kind_;
  std::map<std::string, std::map<std::string, std::size_t>> by_uuid_;
  std::map<std::pair<std::string, Operation>, Availability> availability_;
  std::vector<AixmArea> areas_;
  struct NewArea {
    const NotamChange* change = nullptr;
    Availability availability;
    bool met = false;  ///< by a line or a stand
  };
  std::map<std::string, NewArea> new_areas_;  ///< elements that exist only by NOTAM
  LocalFrame frame_;
};

/// The stricter of two.
[[nodiscard]] Availability combined(Availability a, const Availability& b);

/// Cuts a row of vertices where it enters and leaves a ring; pieces under 1 m go with their neighbour.
struct CutRow {
  std::vector<airfield::RawVertex> row;
  bool inside = false;
};
[[nodiscard]] std::vector<CutRow> cut_at_ring(const std::vector<airfield::RawVertex>& row, const airfield::PlanarLine& ring,
                                              const LocalFrame& frame);

}  // namespace solotaxi::io
