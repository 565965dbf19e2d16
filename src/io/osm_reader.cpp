// g++ 12 takes the user name behind a libosmium object for a read past its end.
#pragma GCC diagnostic ignored "-Wstringop-overread"

#include "osm_reader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <memory>
#include <osmium/area/assembler.hpp>
#include <osmium/builder/osm_object_builder.hpp>
#include <osmium/io/any_compression.hpp>
#include <osmium/io/pbf_input.hpp>
#include <osmium/io/xml_input.hpp>
#include <osmium/osm.hpp>
#include <regex>
#include <set>
#include <unordered_map>

#include "solotaxi/airfield/tag_value.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::io {
namespace {

using airfield::RawFeature;
using airfield::RawVertex;
using Shape = RawFeature::Shape;
using Id = osmium::object_id_type;

/// One object copied out of the file.
struct Kept {
  std::unique_ptr<osmium::memory::Buffer> buffer;
  bool is_feature = false;

  template <typename T>
  [[nodiscard]] T& get() const {
    return buffer->get<T>(0);
  }
};

struct NodeInfo {
  osmium::Location location;
  osmium::object_version_type version = 0;
  bool seen = false, visible = true;
  std::string ele;
};

/// Closed ways of these kinds are lines that come back to their start; of every other kind, areas.
bool is_linear_kind(const std::string& aeroway) {
  for (const char* kind : {"runway", "taxiway", "taxilane", "stopway", "holding_position", "jet_bridge", "arresting_gear"})
    if (aeroway == kind) return true;
  return false;
}

class OsmReading {
 public:
  OsmReading(const std::filesystem::path& file, const std::string& format, const Mapping& mapping)
      : file_(file.string(), format), mapping_(mapping) {
    map_.file = file.string();
  }

  airfield::RawMap run() {
    read_ways_and_relations();
    read_member_ways();
    read_nodes();
    for (const auto& [id, node] : nodes_) add_node(node.get<osmium::Node>());
    for (const auto& [id, way] : ways_)
      if (way.is_feature) add_way(way.get<osmium::Way>());
    for (const auto& [id, relation] : relations_) add_relation(relation.get<osmium::Relation>());
    if (repeated_ > 0)
      add_finding("object-repeated", Severity::note, first_repeated_,
                  fmt::format("objects that are in the file more than once; the newest version counts: {}", repeated_));
    return std::move(map_);
  }

 private:
  template <typename F>
  void each(osmium::osm_entity_bits::type kinds, F&& visit) {
    osmium::io::Reader reader(file_, kinds);
    while (const osmium::memory::Buffer buffer = reader.read())
      for (const auto& object : buffer.select<osmium::OSMObject>()) visit(object);
    reader.close();
  }

  bool is_interesting(const osmium::OSMObject& object) const {
    for (const osmium::Tag& tag : object.tags()) {
      const std::string_view key = tag.key();
      if (key == "aeroway" || key.ends_with(":aeroway") || mapping_.names_kind(key)) return true;
    }
    return false;
  }

  /// Keeps the newest version of an object, or leaves a deleted one marked as such.
  void keep(std::map<Id, Kept>& where, const osmium::OSMObject& object, bool is_feature) {
    Kept& kept = where[object.id()];
    if (kept.buffer) {
      note_repeated(object);
      if (object.version() < kept.get<osmium::OSMObject>().version()) return;
    }
    kept.buffer = std::make_unique<osmium::memory::Buffer>(object.byte_size() + 64, osmium::memory::Buffer::auto_grow::yes);
    kept.buffer->add_item(object);
    kept.buffer->commit();
    kept.is_feature = is_feature;
  }

  void note_repeated(const osmium::OSMObject& object) {
    if (repeated_++ == 0) first_repeated_ = id_of(object);
  }

  void read_ways_and_relations() {
    each(osmium::osm_entity_bits::way | osmium::osm_entity_bits::relation, [&](const osmium::OSMObject& object) {
      auto& kept = object.type() == osmium::item_type::way ? ways_ : relations_;
      // A newer version may have lost its tag, so an object once kept is looked at again.
      const bool interesting = is_interesting(object);
      if (interesting || kept.count(object.id())) keep(kept, object, interesting);
    });
    for (auto it = relations_.begin(); it != relations_.end();)
      it = is_interesting(it->second.get<osmium::Relation>()) && it->second.get<osmium::Relation>().visible()
               ? std::next(it)
               : relations_.erase(it);
  }

  void read_member_ways() {
    std::map<Id, Kept> members;
    for (const auto& [id, relation] : relations_)
      for (const osmium::RelationMember& member : relation.get<osmium::Relation>().members())
        if (member.type() == osmium::item_type::way && !ways_.count(member.ref())) members[member.ref()];
    if (members.empty()) return;
    each(osmium::osm_entity_bits::way, [&](const osmium::OSMObject& object) {
      if (members.count(object.id())) keep(members, object, false);
    });
    for (auto& [id, way] : members)
      if (way.buffer) ways_.emplace(id, std::move(way));
  }

  void read_nodes() {
    for (const auto& [id, way] : ways_)
      for (const osmium::NodeRef& node : way.get<osmium::Way>().nodes()) {
        NodeInfo& info = places_[node.ref()];
        if (node.location().valid()) info.location = node.location();  // files with positions on ways
      }
    each(osmium::osm_entity_bits::node, [&](const osmium::OSMObject& object) {
      const auto& node = static_cast<const osmium::Node&>(object);
      const osmium::Location at = node.location();
      if (at.is_defined() && !at.valid() && (nodes_.count(node.id()) || places_.count(node.id()) || is_interesting(object)))
        throw data_error(fmt::format("a coordinate is out of range: latitude {}, longitude {}", at.lat_without_check(),
                                     at.lon_without_check()),
                         Where{map_.file, std::nullopt, id_of(object)}, "mend this node in the map");
      if (const auto found = places_.find(node.id()); found != places_.end()) {
        NodeInfo& info = found->second;
        if (info.seen) note_repeated(object);
        if (!info.seen || node.version() >= info.version) {
          info.seen = true;
          info.version = node.version();
          info.visible = node.visible();
          if (node.visible()) info.location = node.location();
          info.ele = node.tags().get_value_by_key("ele", "");
        }
      }
      if (node.tags().empty() && !nodes_.count(node.id())) return;
      if (is_interesting(object) || nodes_.count(node.id())) keep(nodes_, object, true);
    });
    for (auto it = nodes_.begin(); it != nodes_.end();)
      it = is_interesting(it->second.get<osmium::Node>()) ? std::next(it) : nodes_.erase(it);
    for (auto& [id, way] : ways_)
      for (osmium::NodeRef& node : way.get<osmium::Way>().nodes()) node.set_location(places_.at(node.ref()).location);
  }

  static std::string id_of(const osmium::OSMObject& object) {
    return fmt::format("{}/{}", osmium::item_type_to_name(object.type()), object.id());
  }

  Tags tags_of(const osmium::OSMObject& object) const {
    Tags tags;
    for (const osmium::Tag& tag : object.tags()) tags.emplace(tag.key(), tag.value());
    return mapping_.apply(std::move(tags), "");
  }

  void add_finding(const char* code, Severity severity, const std::string& id, std::string text,
                   osmium::Location at = osmium::Location{}) {
    Finding finding = finding_about(code, severity, id, std::move(text));
    if (at.valid()) {
      finding.where.lat_deg = at.lat();
      finding.where.lon_deg = at.lon();
      finding.where.has_position = true;
    }
    map_.findings.push_back(std::move(finding));
  }

  std::optional<double> height(const std::string& ele, Id node, osmium::Location at) {
    if (ele.empty()) return std::nullopt;
    const auto value = airfield::parse_length(ele);
    if (value) return value->value();
    if (refused_heights_.insert(node).second)
      add_finding("tag-not-understood", Severity::note, fmt::format("node/{}", node),
                  "ele=\"" + ele + "\" is not understood and left out", at);
    return std::nullopt;
  }

  RawVertex vertex(const osmium::NodeRef& node) {
    const auto found = places_.find(node.ref());
    const std::string none;
    const std::string& ele = found == places_.end() ? none : found->second.ele;
    return {node.location().lat(), node.location().lon(), height(ele, node.ref(), node.location()), node.ref(), true};
  }

  void add_node(const osmium::Node& node) {
    if (!node.visible()) return;
    if (!node.location().valid()) {
      add_finding("node-without-position", Severity::caution, id_of(node), "a node without a valid position is left out");
      return;
    }
    map_.features.push_back(
        {id_of(node),
         Shape::point,
         {{node.location().lat(), node.location().lon(),
           height(node.tags().get_value_by_key("ele", ""), node.id(), node.location()), node.id(), true}},
         tags_of(node)});
  }

  /// Nodes missing from the file cut the way: pieces on either side stay, nothing is drawn across.
  void add_way(const osmium::Way& way) {
    if (!way.visible()) return;
    Tags tags = tags_of(way);
    std::vector<std::vector<RawVertex>> parts(1);
    std::size_t missing = 0;
    for (const osmium::NodeRef& node : way.nodes()) {
      if (node.location().valid()) {
        parts.back().push_back(vertex(node));
        continue;
      }
      ++missing;
      if (!parts.back().empty()) parts.emplace_back();
    }
    const bool closed = way.nodes().size() > 3 && way.is_closed();
    const std::string &aeroway = tags["aeroway"], &area_tag = tags["area"];
    const bool area = closed && area_tag != "no" && (area_tag == "yes" || !is_linear_kind(aeroway));
    if (missing > 0) {
      const auto known =
          std::find_if(way.nodes().begin(), way.nodes().end(), [](const auto& n) { return n.location().valid(); });
      add_finding("way-clipped", Severity::caution, id_of(way),
                  fmt::format("{} of {} nodes of this way, or their positions, are not in the file; {}", missing,
                              way.nodes().size(),
                              area ? "its area is closed across the gap" : "what is left of it is used, cut at the gap"),
                  known == way.nodes().end() ? osmium::Location{} : known->location());
    }
    if (tags["area"].empty()) tags.erase("area");
    if (tags["aeroway"].empty()) tags.erase("aeroway");
    if (area) {
      std::vector<RawVertex> ring;
      for (auto& part : parts) ring.insert(ring.end(), part.begin(), part.end());
      if (!ring.empty() && ring.front().ref != ring.back().ref) ring.push_back(ring.front());
      if (ring.size() > 3)
        map_.features.push_back({id_of(way), Shape::area, std::move(ring), std::move(tags)});
      else
        lost(way);
      return;
    }
    bool any = false;
    // A ring cut once is one line again, from the gap round to the gap.
    if (closed && missing > 0 && parts.size() > 1 && !parts.front().empty() && !parts.back().empty() &&
        parts.front().front().ref == parts.back().back().ref) {
      parts.back().insert(parts.back().end(), parts.front().begin() + 1, parts.front().end());
      parts.erase(parts.begin());
    }
    for (auto& part : parts) {
      if (part.size() < 2) continue;
      any = true;
      map_.features.push_back({id_of(way), Shape::line, std::move(part), tags});
    }
    if (!any) lost(way);
  }

  void lost(const osmium::OSMObject& object) {
    add_finding("object-lost", Severity::caution, id_of(object), "too little of this feature is in the file to use it");
  }

  void add_relation(const osmium::Relation& relation) {
    osmium::memory::Buffer reduced(1024, osmium::memory::Buffer::auto_grow::yes);
    std::vector<const osmium::Way*> ways;
    std::size_t missing = 0;
    {
      osmium::builder::RelationBuilder builder(reduced);
      builder.set_id(relation.id());
      osmium::builder::RelationMemberListBuilder members(builder);
      for (const osmium::RelationMember& member : relation.members()) {
        if (member.type() != osmium::item_type::way) continue;
        const auto way = ways_.find(member.ref());
        if (way == ways_.end() || !way->second.get<osmium::Way>().visible()) {
          ++missing;
          continue;
        }
        members.add_member(osmium::item_type::way, member.ref(), member.role());
        ways.push_back(&way->second.get<osmium::Way>());
      }
    }
    reduced.commit();
    osmium::Location at;
    for (const osmium::Way* way : ways)
      for (const osmium::NodeRef& node : way->nodes()) {
        if (!at.valid() && node.location().valid()) at = node.location();
        if (!node.location().valid()) ++missing;
      }
    const std::string type = relation.tags().get_value_by_key("type", "");
    const bool ring_type = type == "multipolygon" || type == "boundary";
    Tags tags = tags_of(relation);
    if (missing > 0)
      add_finding("relation-incomplete", Severity::caution, id_of(relation),
                  fmt::format("{} members or nodes of this relation are not in the file", missing), at);
    const std::size_t before = map_.features.size();
    if (ring_type && !ways.empty()) add_areas(relation, reduced.get<osmium::Relation>(0), ways, tags);
    if (map_.features.size() > before) return;
    if (tags["aeroway"] == "aerodrome" && at.valid()) {
      add_finding("relation-without-area", Severity::caution, id_of(relation),
                  "the area of this aerodrome cannot be put together; it is taken as a point", at);
      map_.features.push_back({id_of(relation), Shape::point, {{at.lat(), at.lon(), std::nullopt, 0}}, std::move(tags)});
      return;
    }
    add_finding("relation-without-area", Severity::caution, id_of(relation),
                ring_type ? "the rings of this relation cannot be put together; it is left out"
                          : "a relation of type \"" + type + "\" has no area; it is left out",
                at);
  }

  void add_areas(const osmium::Relation& relation, const osmium::Relation& reduced,
                 const std::vector<const osmium::Way*>& ways, const Tags& tags) {
    osmium::area::AssemblerConfig config;
    config.create_empty_areas = false;
    osmium::area::Assembler assembler(config);
    osmium::memory::Buffer out(4096, osmium::memory::Buffer::auto_grow::yes);
    if (!assembler(reduced, ways, out)) return;
    for (const auto& area : out.select<osmium::Area>())
      for (const osmium::OuterRing& ring : area.outer_rings()) {
        RawFeature feature{id_of(relation), Shape::area, {}, tags};
        for (const osmium::NodeRef& node : ring) feature.vertices.push_back(vertex(node));
        map_.features.push_back(std::move(feature));
      }
  }

  osmium::io::File file_;
  const Mapping& mapping_;
  airfield::RawMap map_;
  std::map<Id, Kept> nodes_, ways_, relations_;
  std::unordered_map<Id, NodeInfo> places_;
  std::set<Id> refused_heights_;
  std::size_t repeated_ = 0;
  std::string first_repeated_;
};

/// Where a plain XML file holds a coordinate that cannot be read, as libosmium quotes it: "… coordinate: 'x'".
Where place_of_coordinate(const std::filesystem::path& file, const std::string& said) {
  Where where{file.string(), std::nullopt, ""};
  const auto open = said.find('\''), close = said.rfind('\'');
  if (open == close) return where;
  const std::string value = said.substr(open + 1, close - open - 1);
  std::ifstream in(file);
  std::string text;
  for (long line = 1; std::getline(in, text); ++line)
    for (const char* key : {" lat=", " lon="}) {
      const auto at = text.find(key);
      if (at == std::string::npos || text.compare(at + 6, value.size(), value) != 0) continue;
      where.line = line;
      static const std::regex kId(R"( id=["'](-?[0-9]+))");
      if (std::smatch id; std::regex_search(text, id, kId)) where.feature = "node/" + id.str(1);
      return where;
    }
  return where;
}

}  // namespace

airfield::RawMap read_osm(const std::filesystem::path& file, const std::string& format, const Mapping& mapping) try {
  return OsmReading(file, format, mapping).run();
} catch (const Error&) {
  throw;
} catch (const osmium::xml_error& error) {
  const std::optional<long> line = error.line > 0 ? std::optional(static_cast<long>(error.line)) : std::nullopt;
  throw data_error("the file is damaged or no OpenStreetMap file: " + error.error_string, Where{file.string(), line, ""},
                   "fetch or export it again");
} catch (const osmium::invalid_location& error) {
  throw data_error(std::string("a coordinate is no number in degrees: ") + error.what(),
                   place_of_coordinate(file, error.what()), "mend it in the map");
} catch (const std::exception& error) {
  throw data_error(std::string("the file is damaged or no OpenStreetMap file: ") + error.what(),
                   Where{file.string(), std::nullopt, ""}, "fetch or export it again");
}

}  // namespace solotaxi::io
