// One aerodrome as its map describes it, checked: centrelines, runways, stands, holding positions. No network yet.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "solotaxi/base/finding.hpp"
#include "solotaxi/geo/geodesic.hpp"

namespace solotaxi::airfield {

enum class LineKind : std::uint8_t { taxiway, taxilane, stand_line, runway, connector };
/// "taxiway", "taxilane", "stand_line", "runway", "connector".
[[nodiscard]] const char* to_string(LineKind kind);

enum class OneWay : std::uint8_t { no, forward, backward };

struct Vertex {
  LatLon at;
  std::optional<Metres> height;  ///< from the map, above its own datum
  std::int64_t ref = 0;          ///< id of the shared node, 0 where unknown (then equal positions are one vertex)
  bool height_is_tag = false;    ///< the height is an `ele` tag, not a third coordinate
};

struct Centreline {
  std::string id;
  LineKind kind = LineKind::taxiway;
  std::string name;  ///< designator; "" where the map gives none
  std::vector<Vertex> line;
  int layer = 0;
  bool bridge = false;
  bool tunnel = false;
  OneWay one_way = OneWay::no;
  bool closed = false;
  std::optional<Metres> width;
  std::optional<Metres> wingspan_limit;
  std::optional<Kilograms> mass_limit;
  std::optional<MetresPerSecond> speed_limit;
  std::optional<double> grade;  ///< stated by the map, rise over run along the line; it counts before any estimate
  std::string surface;
};

struct Runway {
  std::string id;  ///< of its longest piece
  /// designators[0] takes off from line.front() toward line.back(), designators[1] the other way; "" where unknown.
  std::array<std::string, 2> designators;
  std::vector<Vertex> line;  ///< all pavement that may be taxied on, end to end
  /// How far the landing threshold lies in from each end.
  std::array<Metres, 2> displaced{};
  std::optional<Metres> width;
  int layer = 0;
  bool closed = false;
  std::array<bool, 2> no_take_off{};  ///< by designator: nothing takes off that way, though the runway is not closed
  std::array<bool, 2> no_landing{};
  bool assumed_centreline = false;  ///< drawn as its pavement edge; line joins the middles of its two short sides
  std::vector<LatLon> ring;         ///< the pavement edge where the map gives it as a ring, else empty

  /// "05/23", or the id where there are no designators.
  [[nodiscard]] std::string name() const;
};

struct Stand {
  std::string id;
  std::string ref;  ///< not unique; "" where the map gives none
  LatLon at;        ///< for a stand line its last vertex; the network finds the free end
  std::int64_t vertex_ref = 0;
  std::optional<std::size_t> line;  ///< index into Airfield::centrelines of its stand line
  bool approximate = false;         ///< made from a gate because the map has no stands
  bool closed = false;
  std::string apron{};              ///< name of the apron it lies on, "" where the map has none
};

struct HoldingPosition {
  std::string id;
  std::string ref;
  std::string type;  ///< "runway", "ILS", "intermediate" or ""
  Vertex at;
};

struct Airfield {
  std::string name;
  std::string ident;  ///< ICAO code, else IATA, else local `ref`, else ""
  std::optional<Metres> elevation;
  LocalFrame frame;
  std::vector<Centreline> centrelines;  ///< taxiways, taxilanes, stand lines; runways lie apart
  std::vector<Runway> runways;
  std::vector<Stand> stands;
  std::vector<HoldingPosition> holding_positions;
  Findings findings;  ///< the reader's and the interpreter's
};

}  // namespace solotaxi::airfield
