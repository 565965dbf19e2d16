#include "io/aixm_reader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "io/aixm_model.hpp"
#include "io/aixm_runways.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::io {
namespace {

using airfield::PlanarLine;
using airfield::RawFeature;
using airfield::RawVertex;
using Shape = RawFeature::Shape;
using Entries = std::vector<const AixmEntry*>;

/// A guidance line that keeps this near to a runway's centreline is its marking [m]; assumed.
constexpr double kOnRunway_m = 2.0;
/// A line linked to several taxiways is shut with one of them where so much of it lies on that one's pavement; assumed.
constexpr double kShareOfOwn = 0.5;

/// What the network has no use for, and needs no finding each.
constexpr const char* kRead[] = {"AirportHeliport", "Runway",         "RunwayDirection", "RunwayCentrelinePoint",
                                 "Taxiway",         "TaxiwayElement", "Apron",           "ApronElement",
                                 "AircraftStand",   "GuidanceLine",   "RunwayElement",   "TaxiHoldingPosition"};

std::string number(double value) { return fmt::format("{:.9g}", value); }

class AixmReading {
 public:
  AixmReading(const AixmMessage& message, std::optional<Instant> at, Notams& notams, airfield::RawMap& map)
      : message_(message), notams_(notams), map_(map), model_(message, at, notams, map) {}

  void run() {
    for (const AixmEntry& e : model_.all("AirportHeliport")) add_aerodrome(e);
    const auto runways = add_aixm_runways(model_, map_);
    for (const AixmEntry& e : model_.all("Apron"))
      model_.availability(e, Operation::taxiing, "apron " + e.slice->value("name"));
    limiting_ = model_.limiting_areas();
    for (const AixmEntry& e : model_.all("AircraftStand")) add_stand(e);
    for (const AixmEntry& e : model_.all("GuidanceLine")) add_line(e, runways);
    for (const AixmEntry& e : model_.all("TaxiHoldingPosition")) add_hold(e);
    for (const char* kind : {"TaxiwayElement", "ApronElement", "RunwayElement"}) add_pavement(kind);
    model_.tell_new_areas();
    report_taxiways();
    report_not_read();
  }

 private:
  void add_aerodrome(const AixmEntry& e) {
    const XmlElement& s = *e.slice;
    RawFeature f{e.id(), Shape::point, {}, {{"aeroway", "aerodrome"}, {"name", s.value("name")}}};
    for (const auto& [tag, property] :
         {std::pair{"icao", "locationIndicatorICAO"}, {"iata", "designatorIATA"}, {"ref", "designator"}})
      if (!s.value(property).empty()) f.tags[tag] = s.value(property);
    if (s.value("type") == "HP") f.tags["aerodrome:type"] = "heliport";
    if (const auto ele = model_.metres(e, s, "fieldElevation")) f.tags["ele"] = number(*ele);
    const AixmGeometry g = model_.geometry(e, "ARP");
    if (g.parts.empty()) {
      model_.add_finding("aixm-without-geometry", Severity::note, e.id(), "the aerodrome has no reference point");
      return;
    }
    f.vertices = {g.parts.front().front()};
    f.vertices.front().height_m.reset();  // of the reference point, often none
    map_.features.push_back(std::move(f));
  }

  /// Closures and limits as tags.
  static void set_limits(RawFeature& f, const Availability& a) {
    if (a.closed) {
      std::vector<std::string> reasons;
      for (const std::string& reason : a.reasons)
        if (std::find(reasons.begin(), reasons.end(), reason) == reasons.end()) reasons.push_back(reason);
      f.tags["closed"] = reasons.empty() ? "not available to jet aeroplanes" : fmt::format("{}", fmt::join(reasons, ", "));
    }
    if (a.max_wingspan_m) f.tags["maxwingspan"] = number(*a.max_wingspan_m);
    if (a.max_mass_kg) f.tags["maxweight"] = number(*a.max_mass_kg) + " kg";
  }

  /// A stand's own limits and those of its pavement.
  Availability stand_limits(const AixmEntry& e) {
    Availability a = model_.availability(e, Operation::parking, "stand " + e.slice->value("designator"));
    for (const std::string& element : links_of(*e.slice, "apronLocation"))
      for (const auto& [area, limits] : limiting_)
        if (area->uuid == element) a = combined(a, limits);
    return a;
  }

  void add_stand(const AixmEntry& e) {
    const XmlElement& s = *e.slice;
    RawFeature f{e.id(), Shape::point, {}, {{"aeroway", "parking_position"}, {"ref", s.value("designator")}}};
    Availability limits = stand_limits(e);
    AixmGeometry g = model_.geometry(e, "location");
    if (g.parts.empty()) g = model_.geometry(e, "extent");
    if (g.parts.empty()) {
      model_.add_finding("aixm-without-geometry", Severity::caution, e.id(), "the stand has no location, left out");
      return;
    }
    f.shape = g.shape;
    f.vertices = g.parts.front();
    for (RawVertex& v : f.vertices) v.height_is_tag = true;  // published for the stand as a whole
    if (f.shape == Shape::point)
      for (const auto& [area, of_area] : limiting_)
        for (const PlanarLine& ring : area->rings)
          if (airfield::contains(ring, model_.plane(f.vertices).front())) {
            limits = combined(limits, of_area);
            model_.meets(*area);
          }
    set_limits(f, limits);
    map_.features.push_back(std::move(f));
  }

  double share_of(const std::string& taxiway, const PlanarLine& line, bool& has_pavement) const {
    double share = 0.0;
    for (const AixmArea& area : model_.areas()) {
      if (area.owner != taxiway) continue;
      has_pavement = has_pavement || !area.rings.empty();
      for (const PlanarLine& ring : area.rings) share += airfield::share_inside(line, ring);
    }
    return share;
  }

  /// The taxiway whose designator is one of the words of a line's, where the line is linked to none.
  const AixmEntry* taxiway_by_name(const std::string& designator) const {
    std::set<std::string> words{""};
    for (std::size_t from = 0; from <= designator.size();) {
      const std::size_t to = std::min(designator.find_first_of("_- /", from), designator.size());
      words.insert(designator.substr(from, to - from));
      from = to + 1;
    }
    const AixmEntry* found = nullptr;
    for (const AixmEntry& taxiway : model_.all("Taxiway")) {
      const std::string& name = taxiway.slice->value("designator");
      if (name.empty() || words.count(name) == 0) continue;
      if (found != nullptr) return nullptr;
      found = &taxiway;
    }
    return found;
  }

  const Availability& limits_of(const AixmEntry& taxiway) {
    return model_.availability(taxiway, Operation::taxiing, "taxiway " + taxiway.slice->value("designator"));
  }

  /// Name, width and limits of a line from the taxiways it belongs to.
  Availability take_taxiways(const AixmEntry& e, const PlanarLine& line, RawFeature& f) {
    Entries taxiways = model_.linked(e, "connectedTaxiway", "Taxiway");
    const std::string& designator = e.slice->value("designator");
    if (taxiways.empty())
      if (const AixmEntry* named = taxiway_by_name(designator)) {
        taxiways.push_back(named);
        model_.add_finding("aixm-line-by-name", Severity::note, e.id(),
                           fmt::format("line {} is linked to no taxiway; by its name it is taken as one of taxiway {}",
                                       designator, named->slice->value("designator")));
      }
    Availability limits;
    const AixmEntry* best = nullptr;
    double best_share = -1.0;
    std::vector<std::pair<const AixmEntry*, bool>> shuts;
    for (const AixmEntry* taxiway : taxiways) {
      bool pavement = false;
      const double share = share_of(taxiway->feature->uuid, line, pavement);
      if (share > best_share) {
        best = taxiway;
        best_share = share;
      }
      shuts.emplace_back(taxiway, share >= kShareOfOwn || !pavement);
    }
    for (const auto& [taxiway, shut] : shuts) {
      ++lines_of_[taxiway->feature->uuid];
      if (shut || taxiway == best) limits = combined(limits, limits_of(*taxiway));
    }
    if (best == nullptr) return limits;
    f.tags["ref"] = best->slice->value("designator");
    if (const auto width = model_.metres(*best, *best->slice, "width")) f.tags["width"] = number(*width);
    if (best->slice->value("abandoned") == "YES") f.tags["closed"] = "abandoned";
    return limits;
  }

  void set_direction_and_speed(const AixmEntry& e, RawFeature& f) {
    const std::string& way = e.slice->value("usageDirection");
    if (way == "FORWARD" || way == "BACKWARD")
      f.tags["oneway"] = way == "FORWARD" ? "yes" : "-1";
    else if (!way.empty() && way != "BOTH")
      model_.add_finding("aixm-value-not-understood", Severity::caution, e.id(),
                         "usageDirection \"" + way + "\" is not understood; the line is taken as open both ways");
    const XmlElement* speed = e.slice->child("maxSpeed");
    if (speed == nullptr || speed->is_nil() || speed->text.empty()) return;
    const std::string& unit = speed->attribute("uom");
    const char* word = unit == "KT"      ? " kt"
                       : unit == "KM_H"  ? " km/h"
                       : unit == "MPH"   ? " mph"
                       : unit == "M_SEC" ? " m/s"
                                         : "";
    if (*word != '\0')
      f.tags["maxspeed"] = speed->text + word;
    else
      model_.add_finding("aixm-value-not-understood", Severity::caution, e.id(),
                         "maxSpeed \"" + speed->text + " " + unit + "\" is not understood and left out");
  }

  void add_line(const AixmEntry& e, const std::vector<PlanarLine>& runways) {
    const AixmGeometry g = model_.geometry(e, "extent");
    if (g.parts.empty() || g.shape != Shape::line) {
      model_.add_finding("aixm-without-geometry", Severity::serious, e.id(), "the guidance line has no curve, left out");
      return;
    }
    const std::string& type = e.slice->value("type");
    for (const auto& row : g.parts) {
      if (row.size() < 2) {
        model_.add_finding("line-without-length", Severity::caution, e.id(), "a line of one position is left out");
        continue;
      }
      const PlanarLine line = model_.plane(row);
      const bool marking = type == "RWY" && std::any_of(runways.begin(), runways.end(), [&](const PlanarLine& runway) {
                             return std::all_of(line.begin(), line.end(), [&](LocalXY p) {
                               return airfield::distance_to_line_m(runway, p) < kOnRunway_m;
                             });
                           });
      if (marking) {
        model_.add_finding("aixm-line-on-runway", Severity::note, e.id(),
                           "a line along the centreline of a runway is the runway's own, left out");
        continue;
      }
      RawFeature f{e.id(), Shape::line, row, {{"aeroway", "taxiway"}}};
      const bool to_stand = type == "GATE_TLANE" ||
                            ((type == "LI_TLANE" || type == "LO_TLANE") && !links_of(*e.slice, "connectedStand").empty());
      if (to_stand) {
        f.tags["aeroway"] = "parking_position";
        f.tags["parking_position"] = "guidance_line";
      } else if (type == "APRON" || type.ends_with("_TLANE")) {
        f.tags["aeroway"] = "taxilane";
      }
      set_direction_and_speed(e, f);
      Availability limits = take_taxiways(e, line, f);
      for (const AixmEntry* stand : model_.linked(e, "connectedStand", "AircraftStand")) {
        if (to_stand) f.tags["ref"] = stand->slice->value("designator");
        limits = combined(limits, stand_limits(*stand));
      }
      if (type == "AIR_TLANE") {
        limits.closed = true;
        limits.reasons.emplace_back("an air taxilane of helicopters");
      }
      add_cut(f, limits);
    }
  }

  /// Cut where limits of the pavement begin and end; what lies outside keeps its own.
  void add_cut(const RawFeature& whole, const Availability& own) {
    std::vector<std::pair<std::vector<RawVertex>, Availability>> pieces{{whole.vertices, own}};
    for (const auto& [area, limits] : limiting_)
      for (const PlanarLine& ring : area->rings) {
        std::vector<std::pair<std::vector<RawVertex>, Availability>> next;
        for (const auto& [row, of_row] : pieces)
          for (CutRow& cut : cut_at_ring(row, ring, model_.frame())) {
            next.emplace_back(std::move(cut.row), cut.inside ? combined(of_row, limits) : of_row);
            if (cut.inside) model_.meets(*area);
          }
        pieces = std::move(next);
      }
    for (auto& [row, limits] : pieces) {
      RawFeature f = whole;
      f.vertices = std::move(row);
      set_limits(f, limits);
      map_.features.push_back(std::move(f));
    }
  }

  void add_hold(const AixmEntry& e) {
    const AixmGeometry g = model_.geometry(e, "location");
    if (g.parts.empty()) {
      model_.add_finding("aixm-without-geometry", Severity::caution, e.id(),
                         "the holding position has no location, left out");
      return;
    }
    RawFeature f{e.id(), Shape::point, {g.parts.front().front()}, {{"aeroway", "holding_position"}}};
    const std::string& category = e.slice->value("landingCategory");
    const bool intermediate = category.find("INTERMEDIATE") != std::string::npos;
    if (!intermediate && !links_of(*e.slice, "protectedRunway").empty())
      f.tags["holding_position:type"] = category.find("II") != std::string::npos ? "ILS" : "runway";
    else
      f.tags["holding_position:type"] = "intermediate";
    if (!e.slice->value("designator").empty()) f.tags["ref"] = e.slice->value("designator");
    if (const std::string& status = e.slice->value("status"); !status.empty() && status != "NORMAL")
      model_.add_finding("aixm-status", Severity::caution, e.id(), "the status of this holding position is " + status);
    map_.features.push_back(std::move(f));
  }

  void add_pavement(const char* kind) {
    for (const AixmEntry& e : model_.all(kind))
      for (const auto& ring : model_.geometry(e, "extent").parts) {
        const bool apron = std::string_view(kind) == "ApronElement";
        RawFeature f{e.id(), Shape::area, ring, {}};
        f.tags[apron ? "aeroway" : "area:aeroway"] = apron ? "apron" : *kind == 'T' ? "taxiway" : "runway";
        map_.features.push_back(std::move(f));
      }
  }

  /// Taxiways without any line: a NOTAM about one has nothing to act on but its pavement.
  void report_taxiways() {
    for (const AixmEntry& taxiway : model_.all("Taxiway")) {
      if (lines_of_[taxiway.feature->uuid] > 0) continue;
      limits_of(taxiway);
      const bool changed = !notams_.of(taxiway.feature->uuid).empty();
      model_.add_finding("aixm-taxiway-without-line", changed ? Severity::serious : Severity::note, taxiway.id(),
                         fmt::format("no guidance line belongs to taxiway {}{}", taxiway.slice->value("designator"),
                                     changed ? "; a NOTAM in force about it shuts nothing in the network" : ""));
    }
  }

  void report_not_read() {
    std::map<std::string, std::size_t> kinds;
    for (const AixmFeature& f : message_.features)
      if (std::find(std::begin(kRead), std::end(kRead), f.kind) == std::end(kRead)) ++kinds[f.kind];
    for (const auto& [kind, count] : kinds)
      model_.add_finding("aixm-not-read", Severity::note, kind, fmt::format("{} {} in the data, not read", count, kind));
    for (const std::string& file : message_.other_files)
      model_.add_finding("aixm-not-read", Severity::note, file, "a file that is no AIXM message, not read");
  }

  const AixmMessage& message_;
  Notams& notams_;
  airfield::RawMap& map_;
  AixmModel model_;
  std::vector<std::pair<const AixmArea*, Availability>> limiting_;
  std::map<std::string, std::size_t> lines_of_;
};

}  // namespace

airfield::RawMap read_aixm_map(const std::filesystem::path& path, std::optional<Instant> at,
                               const std::vector<std::filesystem::path>& notam_files) try {
  airfield::RawMap map;
  map.file = path.string();
  const AixmMessage message = read_aixm(path);
  Notams notams = at ? Notams(notam_files, *at) : Notams();
  AixmReading(message, at, notams, map).run();
  const Findings of_notams = notams.findings();
  map.findings.insert(map.findings.begin(), of_notams.begin(), of_notams.end());  // what was shut is read first
  return map;
} catch (const Error& error) {
  throw error.in_file(path.string());
}

}  // namespace solotaxi::io
