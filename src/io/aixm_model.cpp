#include "io/aixm_model.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "solotaxi/base/error.hpp"
#include "solotaxi/geo/line.hpp"

namespace solotaxi::io {
namespace {

/// Pieces of a cut line shorter than this go with their neighbour [m]; assumed, the accuracy pavement is surveyed to.
constexpr double kSliver_m = 1.0;

const XmlElement* any_position(const XmlElement& element) {
  for (const char* name : {"posList", "pos"})
    if (const XmlElement* found = element.find(name)) return found;
  return nullptr;
}

std::string plural(std::size_t count, const std::string& kind) { return fmt::format("{} {}", count, kind); }

}  // namespace

AixmModel::AixmModel(const AixmMessage& message, std::optional<Instant> at, Notams& notams, airfield::RawMap& map)
    : at_(at), notams_(notams), map_(map) {
  choose_slices(message);
  for (const char* kind : {"GuidanceLine", "RunwayCentrelinePoint", "AircraftStand"})
    for (const AixmEntry& entry : all(kind)) {
      if (any_position(*entry.slice) == nullptr) continue;
      for (const char* property : {"extent", "location"})
        if (const XmlElement* found = entry.slice->child(property); found != nullptr && !found->is_nil()) {
          const AixmGeometry g = aixm_geometry(*found, entry.feature->file);
          if (g.parts.empty()) continue;
          frame_ = LocalFrame(LatLon::degrees(g.parts[0][0].lat_deg, g.parts[0][0].lon_deg));
          add_areas();
          return;
        }
    }
}

void AixmModel::choose_slices(const AixmMessage& message) {
  std::map<std::string, std::size_t> not_valid;
  std::map<std::string, std::string> first_not_valid;
  for (const AixmFeature& feature : message.features) {
    bool permanent = false, temporary = false;
    for (const XmlElement& slice : feature.slices) {
      permanent = permanent || slice.value("interpretation") == "PERMDELTA";
      temporary = temporary || slice.value("interpretation") == "TEMPDELTA";
    }
    if (permanent)
      add_finding("aixm-permanent-change-not-applied", Severity::caution, feature.id(),
                  "permanent changes (PERMDELTA) of this feature are not applied; use data with new baselines");
    if (temporary)
      add_finding("aixm-temporary-change-in-map", Severity::serious, feature.id(),
                  "the map itself holds temporary changes (TEMPDELTA) of this feature; they count only where the file is "
                  "given with --notam");
    const ChosenSlice chosen = baseline_of(feature, at_);
    if (chosen.slice == nullptr) {
      if (chosen.state != SliceState::none) {
        ++not_valid[feature.kind];
        first_not_valid.emplace(feature.kind, feature.id());
      }
      continue;
    }
    by_uuid_[feature.kind].emplace(feature.uuid, by_kind_[feature.kind].size());
    by_kind_[feature.kind].push_back({&feature, chosen.slice});
  }
  for (const auto& [kind, count] : not_valid)
    add_finding("aixm-not-valid", Severity::caution, first_not_valid[kind],
                fmt::format("{} not valid at {}, left out", plural(count, kind), to_string(*at_)));
  if (by_kind_.empty())
    throw data_error(at_ ? "no feature of this data is valid at " + to_string(*at_) : "no feature has a baseline", {},
                     "baseline time slices must hold the time asked for");
}

const std::vector<AixmEntry>& AixmModel::all(const std::string& kind) const {
  static const std::vector<AixmEntry> none;
  const auto found = by_kind_.find(kind);
  return found == by_kind_.end() ? none : found->second;
}

const AixmEntry* AixmModel::find(const std::string& kind, const std::string& uuid) const {
  const auto table = by_uuid_.find(kind);
  if (table == by_uuid_.end()) return nullptr;
  const auto found = table->second.find(uuid);
  return found == table->second.end() ? nullptr : &by_kind_.at(kind)[found->second];
}

void AixmModel::add_areas() {
  for (const auto& [kind, owner] : {std::pair{"TaxiwayElement", "associatedTaxiway"}, {"ApronElement", "associatedApron"}})
    for (const AixmEntry& entry : all(kind)) {
      AixmArea area{entry.feature->uuid, "", {}};
      if (const auto links = links_of(*entry.slice, owner); !links.empty()) area.owner = links.front();
      for (const auto& part : geometry(entry, "extent").parts)
        if (part.size() > 3) area.rings.push_back(plane(part));
      areas_.push_back(std::move(area));
    }
  for (const char* kind : {"TaxiwayElement", "ApronElement"})
    for (const NotamChange* change : notams_.new_features(kind)) {
      const AixmEntry entry{&change->feature, &change->slice()};
      AixmArea area{change->feature.uuid, "", {}};
      for (const auto& part : geometry(entry, "extent").parts)
        if (part.size() > 3) area.rings.push_back(plane(part));
      if (area.rings.empty()) continue;  // told as not applied
      new_areas_.emplace(area.uuid, NewArea{change, availability_of(*entry.slice, Operation::taxiing, at_)});
      areas_.push_back(std::move(area));
    }
}

void AixmModel::meets(const AixmArea& area) {
  if (const auto found = new_areas_.find(area.uuid); found != new_areas_.end()) found->second.met = true;
}

void AixmModel::tell_new_areas() {
  for (const auto& [uuid, area] : new_areas_)
    if (area.met || !area.availability.limits())  // what lies beside everything is told as not applied
      notams_.applied(*area.change,
                      area.availability.closed ? "a part of the pavement closed" : "a part of the pavement limited",
                      area.availability);
}

const Availability& AixmModel::availability(const AixmEntry& entry, Operation operation, const std::string& what) {
  const auto [it, fresh] = availability_.try_emplace({entry.feature->uuid, operation});
  if (!fresh) return it->second;
  const auto changes = notams_.of(entry.feature->uuid);
  if (changes.empty()) {
    it->second = availability_of(*entry.slice, operation, at_);
    return it->second;
  }
  bool first = true;
  for (const NotamChange* change : changes) {
    if (change->slice().child("availability") == nullptr) continue;  // told as not applied
    const Availability a = availability_of(change->slice(), operation, at_);
    // A limit that the baseline has too is no effect of the NOTAM.
    Availability told = a;
    const Availability before = availability_of(*entry.slice, operation, at_);
    told.closed = a.closed && !before.closed;
    if (a.max_wingspan_m == before.max_wingspan_m) told.max_wingspan_m.reset();
    if (a.max_mass_kg == before.max_mass_kg) told.max_mass_kg.reset();
    std::string effect = what;
    if (told.closed) effect += " closed";
    if (told.max_wingspan_m) effect += fmt::format(" open up to a wingspan of {:.6g} m", *told.max_wingspan_m);
    if (told.max_mass_kg) effect += fmt::format(" open up to {:.7g} kg", *told.max_mass_kg);
    if (!told.limits())
      effect += a.in_part ? " limited in part" : before.limits() && !a.limits() ? " open to all" : " as before";
    notams_.applied(*change, effect, told);
    it->second = first ? a : combined(it->second, a);
    first = false;
  }
  if (first) it->second = availability_of(*entry.slice, operation, at_);
  return it->second;
}

std::vector<std::pair<const AixmArea*, Availability>> AixmModel::limiting_areas() {
  std::vector<std::pair<const AixmArea*, Availability>> limiting;
  for (const AixmArea& area : areas_) {
    Availability a;
    if (const auto found = new_areas_.find(area.uuid); found != new_areas_.end()) {
      a = found->second.availability;
    } else {
      for (const char* kind : {"TaxiwayElement", "ApronElement"})
        if (const AixmEntry* entry = find(kind, area.uuid))
          a = combined(a, availability(*entry, Operation::taxiing, "an element of pavement"));
      if (const AixmEntry* apron = find("Apron", area.owner))
        a = combined(a, availability(*apron, Operation::taxiing, "apron " + apron->slice->value("name")));
    }
    if (a.limits() && !area.rings.empty()) limiting.emplace_back(&area, std::move(a));
  }
  return limiting;
}

void AixmModel::add_finding(const char* code, Severity severity, const std::string& id, std::string text) {
  map_.findings.push_back(finding_about(code, severity, id, std::move(text)));
}

std::vector<const AixmEntry*> AixmModel::linked(const AixmEntry& from, std::string_view property, const std::string& kind) {
  std::vector<const AixmEntry*> found;
  for (const std::string& uuid : links_of(*from.slice, property)) {
    const AixmEntry* entry = find(kind, uuid);
    if (entry != nullptr && std::find(found.begin(), found.end(), entry) == found.end()) found.push_back(entry);
    if (entry == nullptr)
      add_finding("aixm-link-missing", Severity::note, from.id(),
                  fmt::format("{} leads to {}/{}, which the data does not hold", property, kind, uuid));
  }
  return found;
}

std::optional<double> AixmModel::metres(const AixmEntry& entry, const XmlElement& parent, std::string_view property) {
  std::string refused;
  const auto value = metres_of(parent, property, refused);
  if (!refused.empty())
    add_finding("aixm-value-not-understood", Severity::caution, entry.id(),
                fmt::format("{} \"{}\" is not understood and left out", property, refused));
  return value;
}

airfield::PlanarLine AixmModel::plane(const std::vector<airfield::RawVertex>& row) const {
  airfield::PlanarLine out;
  for (const auto& v : row) out.push_back(frame_.to_local(LatLon::degrees(v.lat_deg, v.lon_deg)));
  return out;
}

AixmGeometry AixmModel::geometry(const AixmEntry& entry, std::string_view property) {
  const XmlElement* found = entry.slice->child(property);
  if (found == nullptr || found->is_nil()) return {};
  try {
    AixmGeometry g = aixm_geometry(*found, entry.feature->file);
    if (g.curved)
      add_finding("curve-as-chords", Severity::caution, entry.id(),
                  "arcs or splines are taken as straight pieces between their points");
    if (g.has_holes) add_finding("aixm-hole-left-out", Severity::note, entry.id(), "holes in the area are left out");
    return g;
  } catch (const Error& error) {
    throw data_error(error.message() + " (" + entry.id() + ")", error.where(), error.hint());
  }
}

Availability combined(Availability a, const Availability& b) {
  a.closed = a.closed || b.closed;
  const auto stricter = [](std::optional<double>& x, const std::optional<double>& y) {
    if (y && (!x || *y < *x)) x = y;
  };
  stricter(a.max_wingspan_m, b.max_wingspan_m);
  stricter(a.max_mass_kg, b.max_mass_kg);
  a.in_part = a.in_part || b.in_part;
  for (auto [to, from] : {std::pair{&a.reasons, &b.reasons}, {&a.remarks, &b.remarks}, {&a.unknown, &b.unknown}})
    to->insert(to->end(), from->begin(), from->end());
  return a;
}

std::vector<CutRow> cut_at_ring(const std::vector<airfield::RawVertex>& row, const airfield::PlanarLine& ring,
                                const LocalFrame& frame) {
  std::vector<CutRow> pieces;
  std::vector<double> lengths;
  const auto xy = [&](const airfield::RawVertex& v) { return frame.to_local(LatLon::degrees(v.lat_deg, v.lon_deg)); };
  for (std::size_t i = 0; i + 1 < row.size(); ++i) {
    const LocalXY a = xy(row[i]), b = xy(row[i + 1]);
    std::vector<double> cuts{0.0, 1.0};
    for (std::size_t k = 0; k + 1 < ring.size(); ++k) {
      const LocalXY d = b - a, e = ring[k + 1] - ring[k], f = ring[k] - a;
      const double cross = d.x_m * e.y_m - d.y_m * e.x_m;
      if (cross == 0.0) continue;
      const double t = (f.x_m * e.y_m - f.y_m * e.x_m) / cross, u = (f.x_m * d.y_m - f.y_m * d.x_m) / cross;
      if (t > 0.0 && t < 1.0 && u >= 0.0 && u <= 1.0) cuts.push_back(t);
    }
    std::sort(cuts.begin(), cuts.end());
    for (std::size_t k = 0; k + 1 < cuts.size(); ++k) {
      if (cuts[k + 1] <= cuts[k]) continue;
      const bool inside = airfield::contains(ring, a + (b - a) * ((cuts[k] + cuts[k + 1]) / 2.0));
      const auto vertex = [&](double t) {
        if (t == 0.0) return row[i];
        if (t == 1.0) return row[i + 1];
        const LatLon at = frame.to_geodetic(a + (b - a) * t);
        airfield::RawVertex v{at.lat_deg(), at.lon_deg(), std::nullopt, 0, false};
        if (row[i].height_m && row[i + 1].height_m)
          v.height_m = *row[i].height_m + (*row[i + 1].height_m - *row[i].height_m) * t;
        return v;
      };
      const double length = distance_m(a, b) * (cuts[k + 1] - cuts[k]);
      const bool sliver =
          !pieces.empty() && pieces.back().inside != inside && (length < kSliver_m || lengths.back() < kSliver_m);
      if (pieces.empty() || (pieces.back().inside != inside && !sliver)) {
        pieces.push_back({{vertex(cuts[k])}, inside});
        lengths.push_back(0.0);
      } else if (sliver && lengths.back() < kSliver_m) {
        pieces.back().inside = inside;
      }
      pieces.back().row.push_back(vertex(cuts[k + 1]));
      lengths.back() += length;
    }
  }
  // A sliver that took its neighbour's side may have made two pieces of one side.
  std::vector<CutRow> joined;
  for (CutRow& piece : pieces) {
    if (!joined.empty() && joined.back().inside == piece.inside)
      joined.back().row.insert(joined.back().row.end(), piece.row.begin() + 1, piece.row.end());
    else
      joined.push_back(std::move(piece));
  }
  return joined;
}

}  // namespace solotaxi::io
