// A movement counted with whatever plans it needs.
#pragma once

#include "solotaxi/planning/estimate.hpp"

namespace solotaxi::test {

/// Null where it is refused; counter.refusal() says why.
inline const planning::MovementFigures* counted(planning::Counter& counter, const planning::MovementQuestion& question) {
  using Answer = planning::Counter::Answer;
  Answer answer = counter.count(question);
  for (; answer == Answer::unmade; answer = counter.count(question)) counter.make_wanted();
  return answer == Answer::counted ? &counter.figures() : nullptr;
}

}  // namespace solotaxi::test
