#include "bench/estimate_bench.hpp"

#include <benchmark/benchmark.h>
#include <ogrsf_frmts.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <memory>
#include <optional>
#include <stdexcept>
#include <string>

#include "bench/fields.hpp"
#include "solotaxi/io/movement_file.hpp"
#include "solotaxi/io/staged_writer.hpp"
#include "solotaxi/planning/estimate.hpp"
#include "solotaxi/report/estimate_report.hpp"
#include "support/counted.hpp"

namespace solotaxi::bench {
namespace {

namespace fs = std::filesystem;

constexpr int kRows = 500000, kStands = 12, kQueues = 6;

/// A file of movements from one row of stands to a runway end, and an estimate whose tables are made. Both loops below
/// look their figures up there, so that rows are what is timed.
class Movements {
 public:
  Movements() {
    std::string name = (fs::temp_directory_path() / "solotaxi-bench-XXXXXX").string();
    if (mkdtemp(name.data()) == nullptr) throw std::runtime_error("no folder for the movements");
    folder_ = name;
    network::Network net = hub_field().net;
    stands_.assign(net.stands.begin(), net.stands.begin() + std::min<std::ptrdiff_t>(kStands, std::ssize(net.stands)));
    runway_ = net.runways.front().designators[0];
    (void)estimate_.add_field("HUB", std::move(net), 101325.0);
    motion::Conditions level;
    level.unknown_grade_sigmas = 0.0;
    (void)estimate_.add_aircraft("T", {}, level);
    std::ofstream out(rows());
    out << "time,field,stand,runway,aircraft,direction,mass_kg,queue_min,taxi_time_min\n";
    for (int k = 0; k < kRows; ++k)
      out << "2026-07-14T" << (k % 14 + 10) << ":05,HUB,stand:#" << stands_[static_cast<std::size_t>(k) % stands_.size()].id
          << ',' << runway_ << ",T,out,60" << k % 10 << "00," << k / 7 % kQueues << ",\n";
    if (!out) throw std::runtime_error("the movements cannot be written");
  }
  ~Movements() {
    std::error_code ignored;
    fs::remove_all(folder_, ignored);
  }
  Movements(const Movements&) = delete;
  Movements& operator=(const Movements&) = delete;
  [[nodiscard]] fs::path rows() const { return folder_ / "movements.csv"; }
  [[nodiscard]] fs::path result(const char* name) const { return folder_ / name; }
  const planning::MovementFigures& add(const io::Movement& m) {
    const planning::MovementFigures* figures = test::counted(
        counter_, {0, 0, m.stand, m.runway, m.departure, m.mass_kg, m.queue_s, m.taxi_time_s, m.hour, m.month});
    if (figures == nullptr) throw std::runtime_error("a movement is refused: " + counter_.refusal());
    return *figures;
  }

 private:
  fs::path folder_;
  std::vector<network::Stand> stands_;
  std::string runway_;
  planning::Estimate estimate_;
  planning::Counter counter_{estimate_};
};

void with_our_reader(Movements& movements) {
  io::MovementFile file(movements.rows(), {});
  io::MovementRows rows(file);
  io::CsvBlock block;
  io::StagedWriter writer(movements.result("ours.csv"));
  std::string text = report::movement_heading();
  while (file.blocks().next(block)) {
    rows.begin(block);
    while (rows.next()) {
      if (!rows.fault().empty()) throw std::runtime_error(rows.fault());
      const io::Movement& m = rows.movement();
      report::append_movement(text, {rows.number(), m.time, m.field, m.stand, m.runway, m.aircraft, m.departure},
                              movements.add(m));
    }
    writer.write(text);
    text.clear();
  }
  writer.finish().commit();
}

/// The same rows through GDAL's CSV driver, in and out; times are taken apart as little as the sums need.
void with_gdal(Movements& movements) {
  GDALAllRegister();
  const fs::path target = movements.result("gdal.csv");
  std::error_code ignored;
  fs::remove(target, ignored);
  const GDALDatasetUniquePtr in(GDALDataset::Open(movements.rows().c_str(), GDAL_OF_VECTOR));
  GDALDriver* driver = GetGDALDriverManager()->GetDriverByName("CSV");
  const GDALDatasetUniquePtr out(driver->Create(target.c_str(), 0, 0, 0, GDT_Unknown, nullptr));
  if (!in || !out) throw std::runtime_error("GDAL cannot open the movements");
  OGRLayer *rows = in->GetLayer(0), *results = out->CreateLayer("movements", nullptr, wkbNone, nullptr);
  const std::string heading = report::movement_heading();
  std::vector<std::string> names;
  for (std::size_t from = 0; from < heading.size();) {
    const std::size_t to = heading.find_first_of(",\n", from);
    names.push_back(heading.substr(from, to - from));
    OGRFieldDefn field(names.back().c_str(), names.size() > 7 && names.back() != "advised" ? OFTReal : OFTString);
    if (results->CreateField(&field) != OGRERR_NONE) throw std::runtime_error("GDAL makes no column");
    from = to + 1;
  }
  int row = 0;
  for (const auto& feature : *rows) {
    io::Movement m;
    m.time = feature->GetFieldAsString(0);
    m.hour = std::atoi(feature->GetFieldAsString(0) + 11);
    m.month = 12 * std::atoi(feature->GetFieldAsString(0)) + std::atoi(feature->GetFieldAsString(0) + 5) - 1;
    m.stand = feature->GetFieldAsString(2);
    m.runway = feature->GetFieldAsString(3);
    m.departure = std::string_view(feature->GetFieldAsString(5)) == "out";
    m.mass_kg = feature->GetFieldAsDouble(6);
    m.queue_s = 60.0 * feature->GetFieldAsDouble(7);
    const planning::Sums& s = movements.add(m).sums;
    OGRFeature result(results->GetLayerDefn());
    result.SetField(0, ++row);
    for (int k = 0; k < 5; ++k) result.SetField(k + 1, feature->GetFieldAsString(k));
    result.SetField(6, feature->GetFieldAsString(5));
    result.SetField(7, *m.mass_kg);
    result.SetField(8, get(s, planning::Sum::one_engine) != 0 ? "one-engine" : "reference");
    const auto set = [&](int at, double value) { result.SetField(at, value); };
    using planning::Sum;
    const double fuel_kg = 1e-6 * static_cast<double>(get(s, Sum::fuel_mg));
    const double reference_kg = 1e-6 * static_cast<double>(get(s, Sum::reference_fuel_mg));
    set(9, 1e-3 * static_cast<double>(get(s, Sum::time_ms)));
    set(10, 1e-3 * static_cast<double>(get(s, Sum::reference_time_ms)));
    set(11, fuel_kg);
    set(12, reference_kg);
    set(13, reference_kg - fuel_kg);
    set(14, 3.16 * fuel_kg);
    set(15, 1e-3 * static_cast<double>(get(s, Sum::hc_mg)));
    set(16, 1e-3 * static_cast<double>(get(s, Sum::co_mg)));
    set(17, 1e-3 * static_cast<double>(get(s, Sum::nox_mg)));
    set(18, 1e-6 * static_cast<double>(get(s, Sum::time_only_all_mg) - get(s, Sum::time_only_one_mg)));
    if (results->CreateFeature(&result) != OGRERR_NONE) throw std::runtime_error("GDAL writes no row");
  }
  if (row != kRows) throw std::runtime_error("GDAL reads other rows");
}

}  // namespace

void add_estimate_benchmarks() {
  const auto movements = std::make_shared<std::optional<Movements>>();  // made by the first that runs
  const auto add = [&](const char* name, void (*loop)(Movements&)) {
    benchmark::RegisterBenchmark(name, [=](benchmark::State& state) {
      if (!*movements) {
        movements->emplace();
        with_our_reader(**movements);  // makes the tables
      }
      for (auto _ : state) loop(**movements);
      state.SetItemsProcessed(state.iterations() * kRows);
    })->Unit(benchmark::kMillisecond);
  };
  add("estimate/500000_movements/solotaxi", with_our_reader);
  add("estimate/500000_movements/gdal_csv", with_gdal);
}

}  // namespace solotaxi::bench
