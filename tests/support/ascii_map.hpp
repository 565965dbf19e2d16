// Airfields drawn in text, for tests.
//
//   const AsciiMap map(R"(
//       a---b---c---e
//           |
//           d
//       )", {"taxiway A: a b c", "taxiway B: b d; oneway width=15", "runway 09/27: c e", "stand 4: d"});
//   const auto net = network::build_network(map.field());
//   const auto junction = map.node(net, 'b');
//
// Every letter or digit of the drawing is a point; all other characters are ornament. A character is `metres` wide and
// `metres` high, north is up. Points named in several lines are one shared vertex (its ref is 1000 + the character code).
//
// Lines, "KIND NAME: POINTS; OPTIONS" (name and options may be left out):
//   taxiway | taxilane A: a b c        a centreline
//   stand 4: a b                       a stand line and its stand (the stand's position is the last point)
//   stand 4: a                         a stand drawn as a point, gate 4: a the same but approximate
//   runway 09/27: p q                  a runway; designators[0] takes off from p to q
//   hold A1: h                         a holding position of type "runway"
//   height a: 12.5                     the map's height of point a
// A point may be moved by metres east, north, "b@1.5,-2": then it is a vertex of its own, not the drawn one, and "b@0,0"
// lies at the same place with another ref. Options: oneway | oneway=backward, bridge, tunnel, closed, layer=N, width=M,
// wingspan=M, speed=KT, surface=S, id=way/7,
//   type=intermediate (hold), displaced=A,B (runway), ring=W (runway as pavement edge W metres wide; assumed centreline).
// Ids unless given: way/1, way/2 … in order of the list; stands drawn as points and holding positions node/REF.
// Unknown words throw std::invalid_argument: a misspelt scenario must not pass.
//
// Header only: the test programs of the lowest modules link no geodesy.
#pragma once

#include <cctype>
#include <cmath>
#include <map>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

#include "solotaxi/airfield/airfield.hpp"
#include "solotaxi/network/network.hpp"

namespace solotaxi::test {

struct AsciiOptions {
  double metres = 10.0;                            ///< of one character, in both directions
  LatLon origin = LatLon::degrees(-40.0, -120.0);  ///< of the drawing's middle; open ocean
  double turned_deg = 0.0;                         ///< the whole drawing turned clockwise about its middle
  bool mirrored = false;                           ///< east and west exchanged before turning
  std::string name = "Drawn Field", ident = "XDRW";
};

class AsciiMap {
 public:
  AsciiMap(const std::string& drawing, const std::vector<std::string>& lines, AsciiOptions options = {})
      : options_(std::move(options)) {
    field_.name = options_.name;
    field_.ident = options_.ident;
    field_.frame = LocalFrame(options_.origin);
    read_drawing(drawing);
    for (const auto& line : lines) read_line(line);
    for (auto& c : field_.centrelines) set_heights(c.line);
    for (auto& r : field_.runways) set_heights(r.line);
  }

  [[nodiscard]] const airfield::Airfield& field() const { return field_; }
  [[nodiscard]] airfield::Airfield& field() { return field_; }
  [[nodiscard]] LocalXY xy(char point) const { return turn(drawn(point)); }
  [[nodiscard]] LatLon at(char point) const { return field_.frame.to_geodetic(xy(point)); }

  /// The network's node at a drawn point (within 0.1 m); throws std::out_of_range where there is none.
  [[nodiscard]] network::NodeId node(const network::Network& net, char point) const {
    const auto n = find_node(net, point);
    if (!n) throw std::out_of_range(std::string("no node at point ") + point);
    return *n;
  }
  [[nodiscard]] std::optional<network::NodeId> find_node(const network::Network& net, char point) const {
    const LocalXY p = xy(point);
    for (std::uint32_t i = 0; i < net.nodes.size(); ++i)
      if (std::hypot(net.nodes[i].xy.x_m - p.x_m, net.nodes[i].xy.y_m - p.y_m) < 0.1) return network::NodeId{i};
    return std::nullopt;
  }
  /// The arc from the node at `a` straight to the node at `b`, whatever its one-way; throws where there is none.
  [[nodiscard]] network::ArcId arc(const network::Network& net, char a, char b) const {
    const auto na = node(net, a), nb = node(net, b);
    for (std::uint32_t k = 0; k < net.arc_count(); ++k)
      if (net.tail(network::ArcId{k}) == na && net.head(network::ArcId{k}) == nb) return network::ArcId{k};
    throw std::out_of_range(std::string("no arc ") + a + b);
  }

 private:
  void read_drawing(const std::string& drawing) {
    std::istringstream in(drawing);
    std::string row;
    double y = 0.0;
    LocalXY low{1e9, 1e9}, high{-1e9, -1e9};
    for (; std::getline(in, row); y -= options_.metres)
      for (std::size_t col = 0; col < row.size(); ++col)
        if (std::isalnum(static_cast<unsigned char>(row[col]))) {
          const LocalXY p{static_cast<double>(col) * options_.metres, y};
          if (!points_.emplace(row[col], p).second) fail("point drawn twice: " + std::string(1, row[col]));
          low = {std::min(low.x_m, p.x_m), std::min(low.y_m, p.y_m)};
          high = {std::max(high.x_m, p.x_m), std::max(high.y_m, p.y_m)};
        }
    if (points_.empty()) fail("no points drawn");
    for (auto& [name, p] : points_) p = p - (low + high) * 0.5;
  }

  void read_line(const std::string& text) {
    const auto colon = text.find(':');
    if (colon == std::string::npos) fail("no colon in: " + text);
    const auto semicolon = text.find(';', colon);
    std::istringstream head(text.substr(0, colon));
    std::istringstream body(text.substr(colon + 1, semicolon == std::string::npos ? semicolon : semicolon - colon - 1));
    std::istringstream tail(semicolon == std::string::npos ? "" : text.substr(semicolon + 1));
    std::string kind, name, word;
    head >> kind;
    std::getline(head >> std::ws, name);
    if (kind == "height") return read_height(name, body);
    std::vector<airfield::Vertex> line;
    while (body >> word) line.push_back(vertex(word));
    std::map<std::string, std::string> options;
    while (tail >> word) {
      const auto equals = word.find('=');
      options[word.substr(0, equals)] = equals == std::string::npos ? "" : word.substr(equals + 1);
    }
    const auto take = [&](const std::string& key, const std::string& otherwise) {
      const auto it = options.find(key);
      if (it == options.end()) return otherwise;
      const auto value = it->second;
      options.erase(it);
      return value;
    };
    const std::string id = take("id", "way/" + std::to_string(++ways_));
    if (kind == "taxiway" || kind == "taxilane" || (kind == "stand" && line.size() > 1)) {
      airfield::Centreline c;
      c.id = id;
      c.kind = kind == "taxiway"    ? airfield::LineKind::taxiway
               : kind == "taxilane" ? airfield::LineKind::taxilane
                                    : airfield::LineKind::stand_line;
      c.name = name;
      c.line = line;
      c.layer = std::stoi(take("layer", "0"));
      c.bridge = take("bridge", "no").empty();
      c.tunnel = take("tunnel", "no").empty();
      c.closed = take("closed", "no").empty();
      const auto way = take("oneway", "no");
      c.one_way = way.empty() ? airfield::OneWay::forward : way == "no" ? airfield::OneWay::no : airfield::OneWay::backward;
      c.surface = take("surface", "");
      if (options.count("width")) c.width = Metres{std::stod(take("width", ""))};
      if (options.count("wingspan")) c.wingspan_limit = Metres{std::stod(take("wingspan", ""))};
      if (options.count("speed")) c.speed_limit = knots(std::stod(take("speed", "")));
      if (kind == "stand")
        field_.stands.push_back({id, name, line.back().at, line.back().ref, field_.centrelines.size(), false});
      field_.centrelines.push_back(std::move(c));
    } else if (kind == "stand" || kind == "gate") {
      one_point(text, line);
      field_.stands.push_back({node_id(line[0]), name, line[0].at, line[0].ref, std::nullopt, kind == "gate"});
    } else if (kind == "hold") {
      one_point(text, line);
      field_.holding_positions.push_back({node_id(line[0]), name, take("type", "runway"), line[0]});
    } else if (kind == "runway") {
      airfield::Runway r;
      r.id = id;
      const auto slash = name.find('/');
      if (slash != std::string::npos) r.designators = {name.substr(0, slash), name.substr(slash + 1)};
      r.line = line;
      r.layer = std::stoi(take("layer", "0"));
      r.closed = take("closed", "no").empty();
      const auto displaced = take("displaced", "0,0");
      r.displaced = {Metres{std::stod(displaced)}, Metres{std::stod(displaced.substr(displaced.find(',') + 1))}};
      if (options.count("width")) r.width = Metres{std::stod(take("width", ""))};
      if (options.count("ring")) make_ring(r, std::stod(take("ring", "")));
      field_.runways.push_back(std::move(r));
    } else {
      fail("unknown kind in: " + text);
    }
    if (!options.empty()) fail("unknown option " + options.begin()->first + " in: " + text);
  }

  void read_height(const std::string& name, std::istringstream& body) {
    double h = 0.0;
    if (name.size() != 1 || !(body >> h)) fail("height of what: " + name);
    static_cast<void>(drawn(name[0]));
    heights_[1000 + name[0]] = Metres{h};
  }

  void set_heights(std::vector<airfield::Vertex>& line) const {
    for (auto& v : line)
      if (const auto it = heights_.find(v.ref); it != heights_.end()) v.height = it->second;
  }

  /// The pavement edge of a runway drawn by its centreline.
  void make_ring(airfield::Runway& r, double width) const {
    const LocalXY a = field_.frame.to_local(r.line.front().at), b = field_.frame.to_local(r.line.back().at);
    const LocalXY along = (b - a) * (1.0 / std::hypot(b.x_m - a.x_m, b.y_m - a.y_m));
    const LocalXY side{along.y_m * width / 2, -along.x_m * width / 2};
    for (const LocalXY p : {a - side, b - side, b + side, a + side, a - side})
      r.ring.push_back(field_.frame.to_geodetic(p));
    r.width = Metres{width};
    r.assumed_centreline = true;
    for (auto& v : r.line) v.ref = 0;
  }

  airfield::Vertex vertex(const std::string& word) {
    if (word.size() == 1) return {at(word[0]), std::nullopt, 1000 + word[0]};
    const auto comma = word.find(',');
    if (word[1] != '@' || comma == std::string::npos) fail("unknown point: " + word);
    const LocalXY by{std::stod(word.substr(2)), std::stod(word.substr(comma + 1))};
    // The same words name the same vertex.
    const auto ref = moved_.emplace(word, 2000 + static_cast<std::int64_t>(moved_.size())).first->second;
    return {field_.frame.to_geodetic(turn(drawn(word[0]) + by)), std::nullopt, ref};
  }

  [[nodiscard]] LocalXY drawn(char point) const {
    const auto it = points_.find(point);
    if (it == points_.end()) fail(std::string("point not drawn: ") + point);
    return it->second;
  }

  [[nodiscard]] LocalXY turn(LocalXY p) const {
    if (options_.mirrored) p.x_m = -p.x_m;
    const double a = Radians::degrees(options_.turned_deg).value();
    return {p.x_m * std::cos(a) + p.y_m * std::sin(a), p.y_m * std::cos(a) - p.x_m * std::sin(a)};
  }

  static std::string node_id(const airfield::Vertex& v) { return "node/" + std::to_string(v.ref); }
  static void one_point(const std::string& text, const std::vector<airfield::Vertex>& line) {
    if (line.size() != 1) fail("one point expected in: " + text);
  }
  [[noreturn]] static void fail(const std::string& what) { throw std::invalid_argument("ASCII map: " + what); }

  AsciiOptions options_;
  airfield::Airfield field_;
  std::map<char, LocalXY> points_;
  std::map<std::string, std::int64_t> moved_;
  std::map<std::int64_t, Metres> heights_;
  int ways_ = 0;
};

}  // namespace solotaxi::test
