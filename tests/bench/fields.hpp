// The two fields everything is measured on, with the weights of each objective, and seeded sets of questions.
#pragma once

#include <array>
#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "solotaxi/aircraft/aircraft.hpp"
#include "solotaxi/motion/conditions.hpp"
#include "solotaxi/network/network.hpp"
#include "solotaxi/network/shape.hpp"
#include "solotaxi/routing/route.hpp"
#include "solotaxi/routing/search.hpp"

namespace solotaxi::bench {

struct Weights {
  std::vector<routing::Weight> arc, movement;
};

struct Field {
  std::string name;
  network::Network net;
  network::Shape shape;
  std::array<Weights, 3> weights;  ///< by routing::Objective, every engine running
};

/// Drawn by draw_hub, every line a segment.
[[nodiscard]] Field hub_field();
/// The real field, where the shared folder is.
[[nodiscard]] std::optional<std::filesystem::path> lmml_file();
[[nodiscard]] Field lmml_field(const std::filesystem::path& file);
[[nodiscard]] network::Network read_network(const std::filesystem::path& file);

[[nodiscard]] network::Shape shape_of(const network::Network& net, const aircraft::Aircraft& aircraft);

/// From the end of one arc to the end of another.
struct Query {
  std::uint32_t from, to;
};

/// Stand to runway entry and runway entry to stand in turn, as many of each, all with a way.
[[nodiscard]] std::vector<Query> place_queries(const Field& field, const routing::SearchGraph& graph, std::size_t count,
                                               std::uint64_t seed = 1);

}  // namespace solotaxi::bench
