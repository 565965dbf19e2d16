// Makes a day of movements on the demo field: data/demo/movements.csv.
//
//   make_demo_movements FOLDER
//
// Everything is invented. Two waves of departures, two of arrivals behind them, queues that grow with them; aircraft of three
// sizes on stands that hold them. The same program gives the same bytes, so a test can tell whether the file is its own.
#include <array>
#include <cmath>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <string>

namespace {

constexpr int kMovements = 1200, kMinutes = 24 * 60;

/// Numbers from 0 to below `most`, the same on every machine.
class Draw {
 public:
  std::uint32_t operator()(std::uint32_t most) {
    state_ = state_ * 6364136223846793005ULL + 1442695040888963407ULL;
    return static_cast<std::uint32_t>(((state_ >> 33U) * most) >> 31U);
  }

 private:
  std::uint64_t state_ = 20260714;
};

struct Kind {
  const char* name;
  std::uint32_t of_hundred;
  std::uint32_t mass_from_kg, mass_range_kg;
};
constexpr std::array<Kind, 2> kKinds{{{"narrow-body-twin", 70, 52000, 20000}, {"regional-twin", 30, 30000, 6000}}};

/// Movements a minute, as shares of the mean: quiet by night, busiest at 7:30 and 17:30.
double demand(double minute) {
  const auto wave = [&](double at, double width) { return std::exp(-0.5 * std::pow((minute - at) / width, 2)); };
  return 0.08 + 1.6 * wave(450, 75) + 1.0 * wave(720, 150) + 1.7 * wave(1050, 90);
}

std::string two(int n) { return (n < 10 ? "0" : "") + std::to_string(n); }

std::string stand_of(Draw& draw, bool regional) {
  if (regional && draw(4) == 0) return "W" + std::to_string(1 + draw(5));
  const std::uint32_t k = draw(38);
  return std::to_string(k < 12 ? 1 + k : k < 24 ? 21 + (k - 12) : 41 + (k - 24));
}

}  // namespace

int main(int argc, char** argv) try {
  if (argc != 2) {
    std::cerr << "usage: make_demo_movements FOLDER\n";
    return 2;
  }
  const std::filesystem::path folder = argv[1];
  std::filesystem::create_directories(folder);
  std::ofstream out(folder / "movements.csv", std::ios::binary);
  out << "time,field,stand,runway,aircraft,direction,mass_kg,queue_min,taxi_time_min\n";
  double whole = 0.0;
  for (int minute = 0; minute < kMinutes; ++minute) whole += demand(minute);
  Draw draw;
  double due = 0.0;
  int made = 0;
  for (int minute = 0; minute < kMinutes; ++minute) {
    due += kMovements * demand(minute) / whole;
    for (; made < std::lround(due) && made < kMovements; ++made) {
      const Kind& kind = draw(100) < kKinds[0].of_hundred ? kKinds[0] : kKinds[1];
      const bool departure = draw(2) == 0;
      const bool east = minute < 14 * 60;  // the wind turns after noon
      const std::string runway = east ? "09" : "27";
      out << "2026-07-14T" << two(minute / 60) << ':' << two(minute % 60) << ",XQTB," << stand_of(draw, &kind != kKinds.data())
          << ',' << runway << ',' << kind.name << ',' << (departure ? "out" : "in") << ',';
      if (draw(20) != 0) out << kind.mass_from_kg + 100 * draw(kind.mass_range_kg / 100);
      out << ',';
      const long queue = departure ? std::lround(6.0 * demand(minute)) + draw(3) : 0;
      if (departure) out << queue;
      out << ',';
      if (draw(4) == 0) out << (departure ? 9 : 4) + queue + draw(4);  // measured to whole minutes
      out << '\n';
    }
  }
  return out && made == kMovements ? 0 : 3;
} catch (const std::exception& e) {
  std::cerr << "make_demo_movements: " << e.what() << '\n';
  return 3;
}
