#include "solotaxi/report/check_report.hpp"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>
#include <sstream>

#include "report/text_layout.hpp"
#include "sample.hpp"
#include "solotaxi/base/error.hpp"

using namespace solotaxi;
using namespace solotaxi::report;
using namespace solotaxi::report::test;

namespace {

network::Network field() {
  network::Network net = row({4.0, 4.0, 5.0, 5.0}, 100.0);
  network::Runway runway;
  runway.id = "way/77";
  runway.name = "08L/26R";
  runway.designators = {"08L", "26R"};
  runway.front = network::NodeId{0};
  runway.back = network::NodeId{3};
  runway.length_m = 2500.04;
  runway.entries = {{network::NodeId{0}, 0.0, {"A", "B"}}, {network::NodeId{3}, 2500.0, {}}};
  net.runways = {runway};
  net.stands = {{"node/1", "1", network::NodeId{0}, false}, {"node/2", "2", network::NodeId{1}, true}};
  net.holding_points = {{"node/5", "A1", network::NodeId{1}, 0, false}, {"assumed/1", "", network::NodeId{2}, 0, true}};
  add_finding(net.findings, "b-note", Severity::note, "way/1", "A note on a way.", true);
  add_finding(net.findings, "a-serious", Severity::serious, "", "Serious for all.");
  add_finding(net.findings, "c-caution", Severity::caution, "node/7", "Caution at a node.");
  return net;
}

Finding only(const Findings& findings, const std::string& code) {
  Findings found;
  for (const Finding& f : findings)
    if (f.code == code) found.push_back(f);
  REQUIRE(found.size() == 1);
  return found.front();
}

}  // namespace

TEST_CASE("The JSON of a check holds the counts, lengths and findings of its contract") {
  const auto json = nlohmann::json::parse(check_json(field()));
  CHECK(json["aerodrome"] == nlohmann::json{{"name", "Sand Bank"}, {"ident", "XXSB"}});
  CHECK(json["counts"]["centrelines"] == 3);
  CHECK(json["counts"]["segments"] == 3);
  CHECK(json["counts"]["nodes"] == 4);
  CHECK(json["counts"]["movements"] == 4);
  CHECK(json["counts"]["runways"] == 1);
  CHECK(json["counts"]["stands"] == 2);
  CHECK(json["counts"]["holding_positions"] == 2);
  CHECK(json["counts"]["components"] == 1);
  CHECK(json["length_m"]["taxiway"].get<double>() == Approx(300.0).margin(0.1));
  CHECK(json["length_m"]["total"].get<double>() == Approx(300.0).margin(0.1));
  for (const char* kind : {"taxilane", "stand_line", "runway", "connector"}) CHECK(json["length_m"][kind] == 0.0);
  REQUIRE(json["findings"].size() == 3);
}

TEST_CASE("Findings are ordered by severity and a place that is not known is null") {
  const auto json = nlohmann::json::parse(check_json(field()));
  CHECK(json["findings"][0]["code"] == "a-serious");
  CHECK(json["findings"][1]["code"] == "c-caution");
  CHECK(json["findings"][2]["code"] == "b-note");
  CHECK(json["findings"][0]["where"] == nlohmann::json{{"id", ""}, {"lat", nullptr}, {"lon", nullptr}});
  CHECK(json["findings"][2]["where"] == nlohmann::json{{"id", "way/1"}, {"lat", -30.0}, {"lon", -20.0}});
}

TEST_CASE("The text of a check names runways, stands, every finding with its id, cautions and attribution in 80 columns") {
  network::Network net = field();
  net.findings[0].text =
      "滑行道滑行道滑行道滑行道滑行道滑行道滑行道滑行道滑行道滑行道滑行道滑行道滑行道滑行道滑行道滑行道滑行道";
  const std::string text = check_text(net);
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) {
    CAPTURE(line);
    CHECK(display_width(line) <= 80);
  }
  CHECK(text.find("08L/26R: 2,500 m, joined at 2 places by A, B") != std::string::npos);
  CHECK(text.find("2, 1 of them only guessed from gates") != std::string::npos);
  CHECK(text.find("FINDINGS: 1 serious, 1 caution, 1 note") != std::string::npos);
  CHECK(text.find("caution c-caution node/7: Caution at a node.") != std::string::npos);
  CHECK(text.find("OpenStreetMap contributors") != std::string::npos);
}

TEST_CASE("A map that is not OpenStreetMap's carries no attribution to it") {
  network::Network net = field();
  for (auto& s : net.segments) s.source_id = "taxiways/1";
  CHECK(check_text(net).find("OpenStreetMap") == std::string::npos);
  CHECK(nlohmann::json::parse(check_json(net))["attribution"].is_null());
}

TEST_CASE("The layers of a network hold every segment, node, place and finding") {
  const auto layers = network_layers(field());
  REQUIRE(layers.size() == 7);
  CHECK(layers[0].features.size() == 3);
  CHECK(layers[0].features[1].height_m == std::vector<double>{4.0, 5.0});
  CHECK(layers[1].features.size() == 4);
  CHECK(layers[2].features.size() == 2 + 2 + 2 + 2);
  CHECK(layers[3].name == "runways");
  CHECK(layers[3].features.size() == field().runways.size());
  CHECK(layers[4].name == "profile");
  CHECK(layers[5].name == "field");
  CHECK(layers[5].features.size() == 1);
  CHECK(layers[6].features.size() == 3);
}

TEST_CASE(
    "A taxiway of 2 % is over the standard of code letters C to F, 1.5 %, and within that of A and B, 3 % [S:ANNEX14]") {
  const network::Network net = row({0.0, 2.0, 4.0, 6.0}, 100.0);
  CHECK(slope_findings(net, 'A').empty());
  CHECK(slope_findings(net, 'B').empty());
  for (const char letter : {'C', 'D', 'E', 'F'}) {
    const Findings findings = slope_findings(net, letter);
    REQUIRE(findings.size() == 3);
    for (const Finding& f : findings) {
      CHECK(f.code == "slope-over-standard");
      CHECK(f.severity == Severity::caution);
      CHECK(f.where.has_position);
    }
    CHECK(findings[0].where.id == "way/1");
    CHECK(findings[0].text.find("2.0 ± 0.1 % steep") != std::string::npos);
  }
  CHECK(slope_findings(row({0.0, 3.5}, 100.0), 'A').size() == 1);
}

TEST_CASE("An excess smaller than one standard deviation is a note that it is uncertain") {
  const network::Network net = row({0.0, 1.8}, 100.0, 0.005);
  const Finding f = only(slope_findings(net, 'C'), "slope-over-standard-uncertain");
  CHECK(f.severity == Severity::note);
  CHECK(f.text.find("too uncertain to tell") != std::string::npos);
}

TEST_CASE("Grade may change by 1 % per 30 m for code C to F and per 25 m for A and B, also across nodes [S:ANNEX14]") {
  // 1.1 % of change between two pieces of 30 m whose middles are 30 m apart: over 1 % per 30 m.
  const network::Network sharp = row({0.0, 0.0, 0.33}, 30.0);
  const Finding f = only(slope_findings(sharp, 'C'), "slope-change-over-standard-uncertain");  // excess 0.1 %, sd 0.14 %
  CHECK(f.where.id == "way/1");
  CHECK(only(slope_findings(row({0.0, 0.0, 0.40}, 30.0), 'C'), "slope-change-over-standard").severity == Severity::caution);
  CHECK(slope_findings(row({0.0, 0.0, 0.27}, 30.0), 'C').empty());
  // The same change of 1.1 % over 30 m is 0.92 % per 25 m: within the standard of A and B.
  CHECK(slope_findings(sharp, 'B').empty());
}

TEST_CASE("Unknown heights give no slope findings") {
  CHECK(slope_findings(row({kNaN, 5.0, 50.0}, 100.0), 'C').size() == 1);
}

TEST_CASE("A code letter beyond F is a usage error") { CHECK_THROWS_AS(slope_findings(row({0.0, 0.0}, 10.0), 'G'), Error); }
