#include "arrays.hpp"

#include <pybind11/numpy.h>

#include <cstdint>
#include <limits>
#include <vector>

namespace solotaxi::python {

namespace py = pybind11;

namespace {

template <class T>
py::array_t<T> array_of(const std::vector<T>& values) {
  return py::array_t<T>(static_cast<py::ssize_t>(values.size()), values.data());
}

double mean_grade(const network::Segment& s) {
  return (s.profile.back().height_m - s.profile.front().height_m) / s.length_m;
}

}  // namespace

py::dict node_arrays(const network::Network& network) {
  std::vector<double> lat, lon, height_m;
  for (const network::Node& node : network.nodes) {
    lat.push_back(node.at.lat_deg());
    lon.push_back(node.at.lon_deg());
    height_m.push_back(node.height_m);
  }
  py::dict out;
  out["lat"] = array_of(lat);
  out["lon"] = array_of(lon);
  out["height_m"] = array_of(height_m);
  return out;
}

py::dict segment_arrays(const network::Network& network) {
  std::vector<std::uint32_t> from, to;
  std::vector<std::int64_t> first_vertex{0};
  std::vector<double> length_m, grade, vertices;
  std::vector<std::int8_t> one_way;
  py::list name, kind, source_id, closed;
  for (const network::Segment& s : network.segments) {
    from.push_back(network::index(s.from));
    to.push_back(network::index(s.to));
    length_m.push_back(s.length_m);
    grade.push_back(mean_grade(s));
    one_way.push_back(s.one_way == network::OneWay::no ? std::int8_t{0}
                      : s.one_way == network::OneWay::forward ? std::int8_t{1} : std::int8_t{-1});
    closed.append(s.closed);
    name.append(s.name);
    kind.append(std::string(airfield::to_string(s.kind)));
    source_id.append(s.source_id);
    for (const LatLon& p : s.geodetic) vertices.insert(vertices.end(), {p.lat_deg(), p.lon_deg()});
    first_vertex.push_back(static_cast<std::int64_t>(vertices.size() / 2));
  }
  py::dict out;
  out["from"] = array_of(from);
  out["to"] = array_of(to);
  out["length_m"] = array_of(length_m);
  out["grade"] = array_of(grade);
  out["one_way"] = array_of(one_way);
  out["closed"] = closed;
  out["name"] = name;
  out["kind"] = kind;
  out["source_id"] = source_id;
  out["first_vertex"] = array_of(first_vertex);
  out["vertices"] = array_of(vertices).reshape({static_cast<py::ssize_t>(vertices.size() / 2), py::ssize_t{2}});
  return out;
}

}  // namespace solotaxi::python
