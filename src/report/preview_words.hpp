// What the reports of a preview share.
#pragma once

#include <string>
#include <vector>

#include "measures.hpp"
#include "solotaxi/report/preview_report.hpp"

namespace solotaxi::report {

/// What is said of a place to hold short at: "HOLD SHORT of runway 18 at C1".
[[nodiscard]] std::vector<WayNote> stop_notes(const planning::Preview& preview);
/// Designators of a route in order: "M, F, A"; "unnamed ways" where none has a name.
[[nodiscard]] std::string by_words(const routing::Route& route);
/// "1,240 m, 4 min 10 s, 52.0 kg on the left engine, by B, C".
[[nodiscard]] std::string way_words(const planning::Plan& plan, const Measures& in);
/// What the assigned route takes more or less than the free one: "is 320 m longer, takes 41 s more and burns 6.2 kg
/// more"; "" for the same way.
[[nodiscard]] std::string difference_words(const planning::Preview& preview, const Measures& in);

}  // namespace solotaxi::report
