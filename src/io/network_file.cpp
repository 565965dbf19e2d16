#include "solotaxi/io/network_file.hpp"

#include <fmt/format.h>
#include <ogrsf_frmts.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <mutex>

#include "io/vector_row.hpp"
#include "solotaxi/base/error.hpp"
#include "solotaxi/network/restore.hpp"

namespace solotaxi::io {
namespace {

using network::LineKind;
using network::Network;
using network::NodeId;
using network::Segment;

/// An end of a line this near to a node is there [m]; as in noding.
constexpr double kSameNode_m = 0.1;
constexpr double kNoHeight = std::numeric_limits<double>::quiet_NaN();

void register_gdal() {
  static std::once_flag once;
  std::call_once(once, [] { GDALAllRegister(); });
}

GDALDatasetUniquePtr open(const std::filesystem::path& file) {
  register_gdal();
  CPLPushErrorHandler(CPLQuietErrorHandler);
  static const char* const drivers[] = {"GPKG", nullptr};
  GDALDatasetUniquePtr data(GDALDataset::Open(file.c_str(), GDAL_OF_VECTOR | GDAL_OF_READONLY, drivers));
  CPLPopErrorHandler();
  return data;
}

class NetworkReading {
 public:
  explicit NetworkReading(const std::filesystem::path& file) : file_(file.string()), data_(open(file)) {
    if (!data_) throw data_error("no GeoPackage that can be read, or damaged", Where{file_, std::nullopt, ""});
  }

  Network run() {
    read_findings();
    read_field();
    read_nodes();
    read_runways();
    read_segments();
    read_profiles();
    read_places();
    leave_out_unused();
    return network::restore_network(std::move(net_));
  }

 private:
  template <typename F>
  void each(const std::string& name, const std::vector<const char*>& columns, F&& take) {
    OGRLayer* layer = data_->GetLayerByName(name.c_str());
    if (layer == nullptr) throw data_error("the layer \"" + name + "\" is missing", Where{file_, std::nullopt, ""});
    for (const char* column : columns)
      if (layer->GetLayerDefn()->GetFieldIndex(column) < 0)
        throw data_error(fmt::format("the layer \"{}\" has no column \"{}\"", name, column),
                         Where{file_, std::nullopt, name});
    const OGRSpatialReference* reference = layer->GetSpatialRef();
    if (reference != nullptr && !reference->IsGeographic())
      throw data_error("the layer \"" + name + "\" is not in WGS 84", Where{file_, std::nullopt, name},
                       "keep the reference system the network was written in, EPSG 4326");
    for (const auto& feature : *layer) {
      const VectorRow row(*feature, file_, name);
      try {
        take(row);
      } catch (const Error& error) {
        throw error.in_file(file_);
      }
    }
  }

  void add_finding(const char* code, Severity severity, const std::string& id, std::string text,
                   std::optional<LatLon> at = std::nullopt) {
    Finding finding = finding_about(code, severity, id, std::move(text));
    if (at) {
      finding.where.lat_deg = at->lat_deg();
      finding.where.lon_deg = at->lon_deg();
      finding.where.has_position = true;
    }
    net_.findings.push_back(std::move(finding));
  }

  void read_field() {
    bool any = false;
    each("field", {"name", "ident", "elevation_m", "centrelines"}, [&](const VectorRow& row) {
      const auto at = row.line();
      if (at.size() != 1) row.refuse("the field's origin is missing", "every field network has one; write it anew");
      any = true;
      net_.frame = LocalFrame(at.front());
      net_.name = row.text("name");
      net_.ident = row.text("ident");
      if (const auto h = row.number("elevation_m")) net_.elevation = Metres{*h};
      net_.centrelines = static_cast<std::size_t>(std::max<std::int64_t>(0, row.whole("centrelines").value_or(0)));
      net_.gradient_wander_per_m = row.number("gradient_wander_per_m").value_or(0.0);
    });
    if (!any) throw data_error("the layer \"field\" is empty", Where{file_, std::nullopt, "field"});
  }

  void read_nodes() {
    std::map<std::int64_t, network::Node> nodes;
    each("nodes", {"node", "height_m"}, [&](const VectorRow& row) {
      const auto number = row.whole("node");
      const auto at = row.line();
      if (!number) return;  // drawn by hand: lines make their nodes themselves
      if (at.size() != 1) row.refuse("a node without a position");
      network::Node n;
      n.at = at.front();
      n.xy = net_.frame.to_local(n.at);
      n.height_m = row.number("height_m").value_or(kNoHeight);
      n.source_id = row.text("source_id");
      if (!nodes.emplace(*number, std::move(n)).second) row.refuse(fmt::format("node {} occurs twice", *number));
    });
    for (auto& [number, n] : nodes) {
      node_of_[number] = static_cast<std::uint32_t>(net_.nodes.size());
      net_.nodes.push_back(std::move(n));
    }
  }

  void read_runways() {
    each("runways", {"runway", "source_id", "name", "front_node", "back_node", "closed"}, [&](const VectorRow& row) {
      network::Runway r;
      r.id = row.text("source_id");
      r.name = row.text("name");
      r.designators = {row.text("front_designator"), row.text("back_designator")};
      r.front = node_named(row, "front_node");
      r.back = node_named(row, "back_node");
      r.displaced_m = {row.number("front_displaced_m").value_or(0.0), row.number("back_displaced_m").value_or(0.0)};
      r.closed = shut(row, true);
      r.no_take_off = {row.flag("front_no_take_off"), row.flag("back_no_take_off")};
      r.no_landing = {row.flag("front_no_landing"), row.flag("back_no_landing")};
      runway_of_[row.whole("runway").value_or(-1)] = static_cast<int>(net_.runways.size());
      net_.runways.push_back(std::move(r));
    });
  }

  NodeId node_named(const VectorRow& row, const char* column) const {
    const auto number = row.whole(column);
    const auto found = number ? node_of_.find(*number) : node_of_.end();
    if (found == node_of_.end()) row.refuse(std::string(column) + " names no node of the layer nodes");
    return NodeId{found->second};
  }

  template <typename T, std::size_t N>
  T word(const VectorRow& row, const char* column, const std::array<T, N>& values, const char* (*name)(T)) const {
    const std::string text = row.text(column);
    for (const T v : values)
      if (text == name(v)) return v;
    row.refuse(fmt::format("{} \"{}\" is not understood", column, text));
  }

  /// The node a line ends at: the one that is named where the line ends there, else the one that lies there, else a new
  /// one.
  NodeId end_of(const VectorRow& row, const char* column, LatLon at, const std::string& id) {
    const LocalXY xy = net_.frame.to_local(at);
    const auto number = row.whole(column);
    if (const auto named = number ? node_of_.find(*number) : node_of_.end(); named != node_of_.end()) {
      if (distance_m(net_.nodes[named->second].xy, xy) <= kSameNode_m) return NodeId{named->second};
      add_finding("network-end-moved", Severity::caution, id,
                  fmt::format("the line no longer ends at node {}; it is joined where it ends", *number), at);
    }
    for (std::uint32_t n = 0; n < net_.nodes.size(); ++n)
      if (distance_m(net_.nodes[n].xy, xy) <= kSameNode_m) return NodeId{n};
    network::Node n;
    n.at = at;
    n.xy = xy;
    net_.nodes.push_back(std::move(n));
    add_finding("network-node-added", Severity::note, id, "a line ends where there was no node; one is made", at);
    return NodeId{static_cast<std::uint32_t>(net_.nodes.size() - 1)};
  }

  static const char* word_of(network::OneWay way) {
    return way == network::OneWay::no ? "no" : way == network::OneWay::forward ? "forward" : "backward";
  }

  /// A cleared cell says nothing of what was shut before; of a line drawn anew it means open.
  static bool shut(const VectorRow& row, bool was_written) {
    if (was_written && !row.has("closed")) row.refuse("closed is empty", "write 1 where it is closed, else 0");
    return row.flag("closed");
  }

  Segment segment_of(const VectorRow& row) {
    constexpr std::array kKinds{LineKind::taxiway, LineKind::taxilane, LineKind::stand_line, LineKind::runway,
                                LineKind::connector};
    constexpr std::array kWays{network::OneWay::no, network::OneWay::forward, network::OneWay::backward};
    Segment s;
    s.geodetic = row.line();
    if (s.geodetic.size() < 2) row.refuse("a segment must be a single line of at least two vertices");
    s.kind = row.text("kind").empty() ? LineKind::taxiway : word(row, "kind", kKinds, &airfield::to_string);
    s.one_way = row.text("one_way").empty() ? network::OneWay::no : word(row, "one_way", kWays, &NetworkReading::word_of);
    s.name = row.text("name");
    s.source_id = row.text("source_id");
    if (s.source_id.empty()) s.source_id = "drawn/" + std::to_string(++drawn_);
    s.from = end_of(row, "from_node", s.geodetic.front(), s.source_id);
    s.to = end_of(row, "to_node", s.geodetic.back(), s.source_id);
    s.layer = static_cast<int>(row.whole("drawing_layer").value_or(0));
    s.bridge = row.flag("bridge");
    s.tunnel = row.flag("tunnel");
    s.closed = shut(row, row.has("segment"));
    s.assumed = row.flag("assumed");
    s.surface = row.text("surface");
    if (const auto v = row.positive("width_m")) s.width = Metres{*v};
    if (const auto v = row.positive("wingspan_limit_m")) s.wingspan_limit = Metres{*v};
    if (const auto v = row.positive("mass_limit_kg")) s.mass_limit = Kilograms{*v};
    if (const auto v = row.positive("speed_limit_kt")) s.speed_limit = knots(*v);
    constexpr double kSteepest_pct = 30.0;  // assumed: beyond any pavement for aeroplanes
    if (const auto v = row.number("stated_grade_pct")) {
      if (!(std::abs(*v) <= kSteepest_pct)) row.refuse(fmt::format("stated_grade_pct is {}; -30 to 30 % are allowed", *v));
      s.stated_grade = *v / 100.0;
    }
    if (s.kind == LineKind::runway) {
      const auto runway = runway_of_.find(row.whole("runway").value_or(-1));
      if (runway == runway_of_.end()) row.refuse("a segment of kind runway names no runway of the layer runways");
      s.runway = runway->second;
    }
    return s;
  }

  void read_segments() {
    std::map<std::int64_t, Segment> numbered;
    std::vector<Segment> drawn;
    each("segments", {"segment", "from_node", "to_node", "kind", "one_way", "closed"}, [&](const VectorRow& row) {
      const auto number = row.whole("segment");
      // A line split in a GIS leaves its number on both parts: the second is a new one.
      if (number && numbered.count(*number) == 0)
        numbered.emplace(*number, segment_of(row));
      else
        drawn.push_back(segment_of(row));
    });
    for (auto& [number, s] : numbered) {
      if (number != static_cast<std::int64_t>(net_.segments.size()) && !renumbered_) {
        renumbered_ = true;
        add_finding("network-renumbered", Severity::note, s.source_id, "segments were taken out; those behind move up");
      }
      segment_of_[number] = net_.segments.size();
      net_.segments.push_back(std::move(s));
    }
    for (Segment& s : drawn) net_.segments.push_back(std::move(s));
  }

  void read_profiles() {
    std::map<std::int64_t, std::map<double, std::pair<double, double>>> profiles;
    each("profile", {"segment", "at_m", "height_m", "grade_sd"}, [&](const VectorRow& row) {
      const auto segment = row.whole("segment");
      const auto at = row.number("at_m");
      if (!segment || !at) return;
      profiles[*segment][*at] = {row.number("height_m").value_or(kNoHeight),
                                 row.number("grade_sd").value_or(terrain::kUnknownGradeSd)};
    });
    for (const auto& [number, knots] : profiles) {
      const auto found = segment_of_.find(number);
      if (found == segment_of_.end() || knots.size() < 2) continue;
      Segment& s = net_.segments[found->second];
      for (const auto& [at, knot] : knots) {
        s.profile.push_back({at, knot.first});
        s.grade_sd.push_back(knot.second);
      }
      s.grade_sd.pop_back();
    }
  }

  void read_places() {
    each("places", {"kind", "name", "source_id", "node"}, [&](const VectorRow& row) {
      const std::string kind = row.text("kind");
      if (kind != "stand" && kind != "holding_position") return;
      const auto number = row.whole("node");
      const auto found = number ? node_of_.find(*number) : node_of_.end();
      if (found == node_of_.end()) {
        add_finding("network-place-lost", Severity::caution, row.text("source_id"),
                    fmt::format("{} \"{}\" names no node of the layer nodes and is left out", kind, row.text("name")));
        return;
      }
      const NodeId node{found->second};
      if (kind == "stand") {
        net_.stands.push_back(
            {row.text("source_id"), row.text("name"), node, row.flag("assumed"), row.flag("closed"), row.text("apron")});
        return;
      }
      const auto runway = runway_of_.find(row.whole("runway").value_or(-1));
      net_.holding_points.push_back({row.text("source_id"), row.text("name"), node,
                                     runway == runway_of_.end() ? -1 : runway->second, row.flag("assumed")});
    });
  }

  /// Nodes no line ends at any more go, with the places on them.
  void leave_out_unused() {
    std::vector<std::uint32_t> now(net_.nodes.size(), 0);
    for (const Segment& s : net_.segments) now[index(s.from)] = now[index(s.to)] = 1;
    if (std::find(now.begin(), now.end(), 0U) == now.end()) return;
    constexpr std::uint32_t kGone = 0xFFFFFFFF;
    std::vector<network::Node> kept;
    for (std::uint32_t n = 0; n < now.size(); ++n) {
      if (now[n] == 0) {
        add_finding("network-node-unused", Severity::note, net_.nodes[n].source_id, "no line ends at this node; left out",
                    net_.nodes[n].at);
        now[n] = kGone;
        continue;
      }
      now[n] = static_cast<std::uint32_t>(kept.size());
      kept.push_back(std::move(net_.nodes[n]));
    }
    net_.nodes = std::move(kept);
    const auto move = [&](NodeId& node) { node = NodeId{now[index(node)]}; };
    for (Segment& s : net_.segments) {
      move(s.from);
      move(s.to);
    }
    const auto lost = [&](const auto& place) {
      if (now[index(place.node)] != kGone) return false;
      add_finding("network-place-lost", Severity::caution, place.id,
                  "no line leads to " + (place.ref.empty() ? "a place" : place.ref) + " any more; it is left out");
      return true;
    };
    std::erase_if(net_.stands, lost);
    std::erase_if(net_.holding_points, lost);
    for (auto& stand : net_.stands) move(stand.node);
    for (auto& hold : net_.holding_points) move(hold.node);
    for (auto& r : net_.runways) {
      if (now[index(r.front)] == kGone || now[index(r.back)] == kGone)
        throw data_error("runway " + r.name + " has lost an end", Where{file_, std::nullopt, r.id});
      move(r.front);
      move(r.back);
    }
  }

  void read_findings() {
    each("findings", {"code", "severity", "source_id", "text"}, [&](const VectorRow& row) {
      const std::string severity = row.text("severity");
      const auto at = row.line();
      add_finding(row.text("code").c_str(),
                  severity == "serious"   ? Severity::serious
                  : severity == "caution" ? Severity::caution
                                          : Severity::note,
                  row.text("source_id"), row.text("text"), at.size() == 1 ? std::optional(at.front()) : std::nullopt);
    });
  }

  std::string file_;
  GDALDatasetUniquePtr data_;
  Network net_;
  std::map<std::int64_t, std::uint32_t> node_of_;
  std::map<std::int64_t, int> runway_of_;
  std::map<std::int64_t, std::size_t> segment_of_;
  std::size_t drawn_ = 0;
  bool renumbered_ = false;
};

}  // namespace

bool is_network_file(const std::filesystem::path& file) {
  std::error_code ignored;
  if (!std::filesystem::is_regular_file(file, ignored)) return false;
  const GDALDatasetUniquePtr data = open(file);
  if (!data) return false;
  for (const char* layer : {"segments", "nodes", "places", "runways", "profile", "field"})
    if (data->GetLayerByName(layer) == nullptr) return false;
  return true;
}

Network read_network(const std::filesystem::path& file) try {
  return NetworkReading(file).run();
} catch (const Error& error) {
  throw error.in_file(file.string());
}

}  // namespace solotaxi::io
