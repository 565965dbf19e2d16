#pragma once

#include <filesystem>

#include "bench/fields.hpp"

namespace solotaxi::bench {

/// From the map file to the network.
void add_map_benchmark(const std::string& name, const std::filesystem::path& file);
/// From the hub's drawn lines to the network.
void add_hub_build_benchmark();
/// Shape, and cost tables for every engine and for each of a twin alone.
void add_cost_benchmarks(const Field& field);
/// A whole question between a stand and a runway, with the report's legs and turns, network at hand.
void add_route_benchmarks(const Field& field);

}  // namespace solotaxi::bench
