// Point to point and one to all, ours and Boost.Graph's, on the same questions in the same run.
#include "bench/search_bench.hpp"

#include <benchmark/benchmark.h>

#include <memory>
#include <optional>
#include <stdexcept>
#include <utility>

#include "bench/baseline.hpp"
#include "bench/measure.hpp"

namespace solotaxi::bench {
namespace {

using network::ArcId;
using network::index;
using routing::Objective;
using routing::Terminal;

constexpr std::size_t kQueries = 512, kPasses = 8, kSources = 64;

/// Everything one field and one objective are measured with; made before any clock runs.
struct Setup {
  const Field* field;
  routing::SearchGraph graph;
  routing::ArcSearch search;
  std::vector<Query> queries;
  Baseline nodes, arcs;

  Setup(const Field& f, Objective o) : Setup(f, f.weights[static_cast<std::size_t>(o)]) {}

  [[nodiscard]] std::uint32_t head(std::uint32_t arc) const { return index(field->net.head(ArcId{arc})); }
  std::optional<routing::PathWeight> find(const Query& q) {
    const Terminal seed{ArcId{q.from}, 0}, goal{ArcId{q.to}, 0};
    return search.find({&seed, 1}, {&goal, 1});
  }
  void find_all(const Query& q) {
    const Terminal seed{ArcId{q.from}, 0};
    search.find_all({&seed, 1});
  }

 private:
  Setup(const Field& f, const Weights& w)
      : field(&f),
        graph(f.net, w.arc, w.movement),
        search(graph),
        queries(place_queries(f, graph, kQueries)),
        nodes(Baseline::on_nodes(f.net, w.arc)),
        arcs(Baseline::on_arcs(f.net, w.arc, w.movement)) {
    check_answers();
  }

  /// A wrong answer may be as fast as it likes.
  void check_answers() {
    for (const Query& q : queries)
      if (find(q) != arcs.find(q.from, q.to)) throw std::runtime_error("point to point differs from the line graph");
    for (std::size_t i = 0; i < 4; ++i) {
      find_all(queries[i]);
      arcs.find_all(queries[i].from);
      for (std::uint32_t a = 0; a < graph.arc_count(); ++a)
        if (search.weight(ArcId{a}).value_or(Baseline::kFar) != arcs.label(a))
          throw std::runtime_error("one to all differs from the line graph");
    }
  }
};

template <class Ask>
void add(const std::string& name, std::shared_ptr<Setup> setup, std::size_t count, Ask ask) {
  benchmark::RegisterBenchmark(name.c_str(),
                               [setup, count, ask](benchmark::State& state) {
                                 measure_each(state, count, [&](std::size_t q) { return ask(*setup, setup->queries[q]); });
                               })
      ->Iterations(static_cast<benchmark::IterationCount>(count * kPasses))
      ->UseManualTime()
      ->Unit(benchmark::kMicrosecond);
}

}  // namespace

void add_search_benchmarks(const Field& field) {
  for (const Objective objective : {Objective::distance, Objective::time, Objective::fuel}) {
    const auto setup = std::make_shared<Setup>(field, objective);
    const std::string where = "/" + field.name + "/" + routing::to_string(objective) + "/";
    add("point_to_point" + where + "solotaxi", setup, kQueries, [](Setup& s, const Query& q) { return s.find(q); });
    add("point_to_point" + where + "boost_line_graph", setup, kQueries,
        [](Setup& s, const Query& q) { return s.arcs.find(q.from, q.to); });
    add("point_to_point" + where + "boost_node_graph", setup, kQueries,
        [](Setup& s, const Query& q) { return s.nodes.find(s.head(q.from), s.head(q.to)); });
    add("one_to_all" + where + "solotaxi", setup, kSources, [](Setup& s, const Query& q) {
      s.find_all(q);
      return s.search.weight(ArcId{q.to});
    });
    add("one_to_all" + where + "boost_line_graph", setup, kSources, [](Setup& s, const Query& q) {
      s.arcs.find_all(q.from);
      return s.arcs.label(q.to);
    });
    add("one_to_all" + where + "boost_node_graph", setup, kSources, [](Setup& s, const Query& q) {
      s.nodes.find_all(s.head(q.from));
      return s.nodes.label(s.head(q.to));
    });
  }
}

}  // namespace solotaxi::bench
