// Three-valued answers: what aeronautical data asks of a flight is not always known [Kleene's strong logic].
#pragma once

#include <algorithm>
#include <cstdint>

namespace solotaxi::io {

enum class Truth : std::uint8_t { no, unknown, yes };

constexpr Truth truth(bool value) { return value ? Truth::yes : Truth::no; }
constexpr Truth both(Truth a, Truth b) { return std::min(a, b); }
constexpr Truth either(Truth a, Truth b) { return std::max(a, b); }
constexpr Truth negated(Truth a) { return a == Truth::yes ? Truth::no : a == Truth::no ? Truth::yes : Truth::unknown; }

}  // namespace solotaxi::io
