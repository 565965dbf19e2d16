#include <fmt/format.h>

#include <algorithm>
#include <ostream>

#include "commands.hpp"
#include "field.hpp"
#include "output.hpp"
#include "report/text_layout.hpp"
#include "solotaxi/base/error.hpp"
#include "solotaxi/io/map_writer.hpp"
#include "solotaxi/io/network_file.hpp"
#include "solotaxi/report/check_report.hpp"

namespace solotaxi::cli {
namespace {

/// Findings that a reader of the new file must know, one a line, most severe first.
std::string told(Findings findings) {
  std::stable_sort(findings.begin(), findings.end(),
                   [](const Finding& a, const Finding& b) { return a.severity > b.severity; });
  std::string text;
  for (const Finding& f : findings)
    text += report::printable(fmt::format("{} {}{}{}: {}", to_string(f.severity), f.code, f.where.id.empty() ? "" : " ",
                                          f.where.id, f.text)) +
            '\n';
  return text;
}

void refuse_network_options(const FieldOptions& field) {
  for (const auto& [name, given] : {std::pair{"--dem", !field.dems.empty()},
                                    {"--survey", !field.surveys.empty()},
                                    {"--height-offset", !field.height_offsets.empty()},
                                    {"--aerodrome", field.aerodrome.has_value()}})
    if (given)
      throw usage_error(std::string(name) + ": the features of a map are written as they are",
                        "--as network builds the network first");
}

}  // namespace

void convert_command(const ConvertOptions& options, std::ostream& out) {
  const bool built = io::is_network_file(options.field.map);
  const bool as_network = options.as.value_or(built ? "network" : "map") == "network";
  std::vector<std::string> endings{".gpkg"};
  if (!as_network) endings.emplace_back(".geojson");
  check_outputs({{"OUT", options.out, endings}}, inputs_of(options.field));
  Outputs outputs;
  if (as_network) {
    const network::Network network = load_network(options.field);
    outputs.add_layers(options.out, report::network_layers(network));
    outputs.release(out, fmt::format("{}: {} segments, {} nodes; what the network has to say is in its layer findings\n",
                                     options.out, network.segments.size(), network.nodes.size()));
    return;
  }
  if (built)
    throw data_error("is a network that was built; the map it was built of cannot be made of it again",
                     Where{options.field.map, std::nullopt, "--as map"}, "convert the map itself");
  refuse_network_options(options.field);
  const airfield::RawMap map = io::read_map(options.field.map, map_options(options.field));
  Findings findings = map.findings;
  const io::FeatureLayer layer = io::map_layer(map, findings);
  if (layer.features.empty())
    throw data_error("there is nothing in it to convert", Where{options.field.map, std::nullopt, ""},
                     "no feature has an aeroway attribute; for another schema give a mapping file");
  outputs.add_layers(options.out, {layer});
  outputs.release(out, fmt::format("{}: {} features\n{}", options.out, layer.features.size(), told(std::move(findings))));
}

}  // namespace solotaxi::cli
