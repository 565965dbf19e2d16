// A question asked again with one value changed. Shared by the parts of make_plan; not public.
#pragma once

#include <functional>
#include <vector>

#include "planning/solver.hpp"

namespace solotaxi::planning {

/// Reference - plan with ONE, driven; 0 where either is missing.
[[nodiscard]] double saving_of(const Solution& solution);

/// The same question with one value changed.
class Variation {
 public:
  using Change = std::function<void(aircraft::Aircraft&, motion::Conditions&)>;
  struct Answer {
    std::optional<double> saving_kg;  ///< nothing where no plan with ONE is left
    motion::Verdict verdict{};        ///< of the way of a plan given, where it drives on few engines
  };

  /// All must outlive the variation.
  Variation(const network::Network& net, const aircraft::Aircraft& aircraft, const motion::Conditions& conditions,
            const PlanRequest& request, const routing::Way* only)
      : net_(net), aircraft_(aircraft), conditions_(conditions), request_(request), only_(only) {}

  [[nodiscard]] Solution solution(const Change& change) const;
  [[nodiscard]] Answer answer(const Change& change, const DrivenPlan& shown) const;

 private:
  template <class Ask>
  auto with(const Change& change, Ask ask) const;

  const network::Network& net_;
  const aircraft::Aircraft& aircraft_;
  const motion::Conditions& conditions_;
  const PlanRequest& request_;
  const routing::Way* only_;
};

/// What the saving and the verdict of the way shown become with each value at its low and high end.
[[nodiscard]] std::vector<Sensitivity> sensitivity_of(const Variation& vary, const DrivenPlan& shown,
                                                      const aircraft::Aircraft& aircraft,
                                                      const motion::Conditions& conditions, bool arrival);

}  // namespace solotaxi::planning
