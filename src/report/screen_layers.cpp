// The screen as feature layers, and how QGIS is to draw them.
#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <map>

#include "common.hpp"
#include "screen_parts.hpp"

namespace solotaxi::report {
namespace {

using planning::Screen;
using planning::ScreenPair;

constexpr double kNoValue = std::numeric_limits<double>::quiet_NaN();

/// One rule of a style: what it draws, and how.
struct DrawnAs {
  const char *filter, *label, *colour;  ///< an expression of QGIS in XML; red,green,blue
  double size_mm;
};

/// A rule-based style; no feature falls under two of the rules.
std::string style_of(bool lines, const std::vector<DrawnAs>& rules) {
  std::string keys, symbols;
  for (std::size_t i = 0; i < rules.size(); ++i) {
    const DrawnAs& r = rules[i];
    keys += fmt::format("<rule key=\"r{0}\" symbol=\"{0}\" filter=\"{1}\" label=\"{2}\"/>", i, r.filter, r.label);
    symbols += lines ? fmt::format(
                           "<symbol name=\"{}\" type=\"line\" alpha=\"1\"><layer class=\"SimpleLine\" enabled=\"1\">"
                           "<prop k=\"line_color\" v=\"{},255\"/><prop k=\"line_width\" v=\"{}\"/>"
                           "<prop k=\"line_width_unit\" v=\"MM\"/><prop k=\"capstyle\" v=\"round\"/></layer></symbol>",
                           i, r.colour, r.size_mm)
                     : fmt::format(
                           "<symbol name=\"{}\" type=\"marker\" alpha=\"1\"><layer class=\"SimpleMarker\" enabled=\"1\">"
                           "<prop k=\"name\" v=\"circle\"/><prop k=\"color\" v=\"{},255\"/>"
                           "<prop k=\"outline_color\" v=\"255,255,255,255\"/><prop k=\"size\" v=\"{}\"/>"
                           "<prop k=\"size_unit\" v=\"MM\"/></layer></symbol>",
                           i, r.colour, r.size_mm);
  }
  return "<!DOCTYPE qgis PUBLIC 'http://mrcc.com/qgis.dtd' 'SYSTEM'>"
         "<qgis version=\"3.22.0\" styleCategories=\"Symbology\"><renderer-v2 type=\"RuleRenderer\" symbollevels=\"0\">"
         "<rules key=\"all\">" +
         keys + "</rules><symbols>" + symbols + "</symbols></renderer-v2></qgis>";
}

void tell(const ScreenSum& sum, io::Feature& f) {
  f.values.push_back(whole_value(sum.ways));
  f.values.push_back(whole_value(sum.ones));
  f.values.push_back(rounded_value(sum.mean_saving_kg().value_or(kNoValue), 3));
  f.values.push_back(rounded_value(sum.movements, 1));
}

/// Columns of two sums, out and in, behind those of a place.
io::FeatureLayer layer_of_sums(const char* name, const std::vector<std::string>& place) {
  io::FeatureLayer layer{name, "", {"aircraft", "field"}, {}};
  layer.columns.insert(layer.columns.end(), place.begin(), place.end());
  for (const char* column : {"out_ways", "out_with_one", "out_saving_kg", "out_movements", "in_ways", "in_with_one",
                             "in_saving_kg", "in_movements"})
    layer.columns.emplace_back(column);
  type_columns(layer, {"out_saving_kg", "out_movements", "in_saving_kg", "in_movements"}, {});
  return layer;
}

/// Calls `each` with the aircraft, the screen, its network, and "now" or "changed".
template <class Each>
void each_screen(const std::vector<AircraftScreen>& screens, const ScreenContext& context, Each each) {
  for (const AircraftScreen& s : screens) {
    each(s, s.now, network_screened(context, false), "now");
    if (s.changed) each(s, *s.changed, network_screened(context, true), "changed");
  }
}

io::FeatureLayer segments_layer(const std::vector<AircraftScreen>& screens, const ScreenContext& context) {
  io::FeatureLayer layer{"segments",
                         "",
                         {"aircraft", "field", "segment", "name", "source_id", "kind", "length_m", "movements",
                          "forced_share", "pairs", "forced_pairs", "reasons", "stretch", "stretch_lost_kg"},
                         {}};
  type_columns(layer, {"length_m", "movements", "forced_share", "stretch", "stretch_lost_kg"}, {});
  each_screen(screens, context,
              [&](const AircraftScreen& s, const Screen& screen, const network::Network& net, const char* when) {
                for (std::size_t i = 0; i < screen.segments.size(); ++i) {
                  const planning::ScreenSegment& used = screen.segments[i];
                  io::Feature& f = layer.features.emplace_back();
                  f.line = net.segments[i].geodetic;
                  const auto* stretch = used.stretch ? &screen.stretches[*used.stretch] : nullptr;
                  f.values = {text_value(s.aircraft->name),
                              text_value(when),
                              whole_value(i),
                              text_value(net.segments[i].name),
                              text_value(net.segments[i].source_id),
                              text_value(airfield::to_string(net.segments[i].kind)),
                              rounded_value(net.segments[i].length_m, 1),
                              rounded_value(used.movements, 1),
                              rounded_value(used.movements > 0.0 ? used.forced_movements / used.movements : kNoValue, 4),
                              whole_value(used.pairs),
                              whole_value(used.forced_pairs),
                              text_value(fmt::format("{}", fmt::join(motion::words(used.reasons), ", "))),
                              used.stretch ? whole_value(*used.stretch) : io::Value{},
                              rounded_value(stretch != nullptr ? stretch->lost_kg.value_or(kNoValue) : kNoValue, 1)};
                }
              });
  layer.style_qml =
      style_of(true, {{"&quot;stretch_lost_kg&quot; &gt; 0", "forces every engine, fuel lost", "204,51,17", 1.2},
                      {"&quot;forced_pairs&quot; &gt; 0 AND coalesce(&quot;stretch_lost_kg&quot;, 0) &lt;= 0",
                       "forces every engine", "238,119,51", 0.9},
                      {"&quot;forced_pairs&quot; = 0 AND &quot;pairs&quot; &gt; 0", "used", "0,119,187", 0.6},
                      {"&quot;pairs&quot; = 0", "not used", "187,187,187", 0.3}});
  return layer;
}

io::FeatureLayer stands_layer(const std::vector<AircraftScreen>& screens, const ScreenContext& context) {
  io::FeatureLayer layer = layer_of_sums("stands", {"stand", "source_id"});
  each_screen(screens, context,
              [&](const AircraftScreen& s, const Screen& screen, const network::Network& net, const char* when) {
                const auto sums = stand_sums(screen, net.stands.size());
                for (std::size_t i = 0; i < net.stands.size(); ++i) {
                  io::Feature& f = layer.features.emplace_back();
                  f.line.push_back(net.node(net.stands[i].node).at);
                  f.values = {text_value(s.aircraft->name), text_value(when), text_value(net.stands[i].ref),
                              text_value(net.stands[i].id)};
                  for (const ScreenSum& sum : sums[i]) tell(sum, f);
                }
              });
  layer.style_qml =
      style_of(false, {{"&quot;out_ways&quot; + &quot;in_ways&quot; = 0", "no way", "187,187,187", 1.6},
                       {"&quot;out_ways&quot; + &quot;in_ways&quot; &gt; 0 AND &quot;out_with_one&quot; = 0 AND "
                        "&quot;in_with_one&quot; = 0",
                        "no plan on one engine", "204,51,17", 2.2},
                       {"&quot;out_with_one&quot; + &quot;in_with_one&quot; &gt; 0 AND &quot;out_with_one&quot; + "
                        "&quot;in_with_one&quot; &lt; &quot;out_ways&quot; + &quot;in_ways&quot;",
                        "some plans on one engine", "238,119,51", 2.2},
                       {"&quot;out_with_one&quot; + &quot;in_with_one&quot; &gt; 0 AND &quot;out_with_one&quot; + "
                        "&quot;in_with_one&quot; = &quot;out_ways&quot; + &quot;in_ways&quot;",
                        "every plan on one engine", "0,153,136", 2.2}});
  return layer;
}

io::FeatureLayer runways_layer(const std::vector<AircraftScreen>& screens, const ScreenContext& context) {
  io::FeatureLayer layer = layer_of_sums("runways", {"runway", "end"});
  each_screen(screens, context,
              [&](const AircraftScreen& s, const Screen& screen, const network::Network& net, const char* when) {
                std::map<std::pair<int, int>, std::array<ScreenSum, 2>> sums;
                for (const ScreenPair& p : screen.pairs)
                  sums[{p.move.runway, p.move.end}][side_of(p.move.direction)].add(p);
                for (const auto& [end, sum] : sums) {
                  const network::Runway& runway = net.runways[static_cast<std::size_t>(end.first)];
                  io::Feature& f = layer.features.emplace_back();
                  const LatLon front = net.node(runway.front).at, back = net.node(runway.back).at;
                  f.line = end.second == 0 ? std::vector<LatLon>{front, back} : std::vector<LatLon>{back, front};
                  f.values = {text_value(s.aircraft->name), text_value(when), text_value(runway.name),
                              text_value(runway.designators[static_cast<std::size_t>(end.second)])};
                  for (const ScreenSum& side : sum) tell(side, f);
                }
              });
  layer.style_qml = style_of(true, {{"true", "runway", "85,85,85", 1.6}});
  return layer;
}

io::FeatureLayer routes_layer(const std::vector<AircraftScreen>& screens, const ScreenContext& context) {
  io::FeatureLayer layer{"standard_routes",
                         "",
                         {"aircraft", "field", "group", "runway", "direction", "names", "length_m", "new_m", "stands",
                          "stands_with_one", "mean_extra_kg", "extra_kg_a_year"},
                         {}};
  type_columns(layer, {"length_m", "new_m", "mean_extra_kg", "extra_kg_a_year"}, {});
  each_screen(screens, context,
              [&](const AircraftScreen& s, const Screen& screen, const network::Network& net, const char* when) {
                for (const planning::StandardRoute& r : screen.routes) {
                  if (r.line.size() < 2) continue;
                  const auto& runway = net.runways[static_cast<std::size_t>(r.runway)];
                  io::Feature& f = layer.features.emplace_back();
                  f.line = r.line;
                  f.values = {text_value(s.aircraft->name),
                              text_value(when),
                              text_value(screen.groups[r.group].name),
                              text_value(runway.designators[static_cast<std::size_t>(r.end)]),
                              text_value(routing::to_string(r.direction)),
                              text_value(fmt::format("{}", fmt::join(r.names, ", "))),
                              rounded_value(r.length_m, 1),
                              rounded_value(r.new_m, 1),
                              whole_value(r.stands.size()),
                              whole_value(r.with_one()),
                              rounded_value(mean_extra_kg(r).value_or(kNoValue), 3),
                              rounded_value(r.extra_kg(), 1)};
                }
              });
  layer.style_qml =
      style_of(true, {{"&quot;stands_with_one&quot; = &quot;stands&quot;", "every stand on one engine", "0,153,136", 1.0},
                      {"&quot;stands_with_one&quot; &lt; &quot;stands&quot; AND &quot;stands_with_one&quot; &gt; 0",
                       "some stands on one engine", "238,119,51", 1.0},
                      {"&quot;stands_with_one&quot; = 0", "every engine", "204,51,17", 1.0}});
  return layer;
}

}  // namespace

std::vector<io::FeatureLayer> screen_layers(const std::vector<AircraftScreen>& screens, const ScreenContext& context) {
  const network::Network& net = *context.network;
  std::vector<io::FeatureLayer> layers{runways_layer(screens, context), segments_layer(screens, context),
                                       stands_layer(screens, context), findings_layer(screen_findings(screens, context))};
  layers.back().style_qml = style_of(false, {{"true", "finding on the map", "170,51,119", 1.8}});
  if (context.request->standard_routes) layers.insert(layers.begin() + 2, routes_layer(screens, context));
  const std::string thanks = attribution(net, context.map_file);
  for (io::FeatureLayer& layer : layers) layer.description = cautions().front() + (thanks.empty() ? "" : " " + thanks);
  return layers;
}

}  // namespace solotaxi::report
