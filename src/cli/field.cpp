#include "field.hpp"

#include "solotaxi/airfield/interpret.hpp"
#include "solotaxi/base/error.hpp"
#include "solotaxi/io/map_file.hpp"
#include "solotaxi/io/raster.hpp"
#include "solotaxi/network/build.hpp"

namespace solotaxi::cli {

network::Network load_network(const FieldOptions& options) {
  std::optional<std::filesystem::path> mapping;
  if (options.mapping) mapping = *options.mapping;
  std::vector<std::unique_ptr<terrain::HeightSource>> rasters;
  std::vector<const terrain::HeightSource*> sources;
  for (const std::string& file : options.dems) sources.push_back(rasters.emplace_back(io::open_raster(file)).get());
  try {
    airfield::InterpretOptions interpretation;
    interpretation.aerodrome = options.aerodrome;
    interpretation.access_no_is_closed = options.access_no == "closed";
    const airfield::Airfield field = airfield::interpret(io::read_map(options.map, mapping), interpretation);
    network::BuildOptions build;
    build.snap_m = options.snap_m;
    return network::build_network(field, build, sources);
  } catch (const Error& error) {
    throw error.in_file(options.map);
  }
}

}  // namespace solotaxi::cli
