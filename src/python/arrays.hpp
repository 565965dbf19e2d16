// The network as arrays of numpy.
#pragma once

#include <pybind11/pybind11.h>

#include "solotaxi/network/network.hpp"

namespace solotaxi::python {

/// "lat", "lon", "height_m" (NaN where unknown).
[[nodiscard]] pybind11::dict node_arrays(const network::Network& network);
/// One entry a segment: "from", "to" (nodes), "length_m", "grade" (rise over run, mean; NaN where unknown), "one_way", "closed",
/// and lists "name", "kind", "source_id"; vertices of segment s are rows first_vertex[s] to first_vertex[s + 1] of "vertices"
/// (lat, lon).
[[nodiscard]] pybind11::dict segment_arrays(const network::Network& network);

}  // namespace solotaxi::python
