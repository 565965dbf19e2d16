// Text made fit for HTML: whatever it holds, it stays text.
#pragma once

#include <fmt/format.h>

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <string_view>

namespace solotaxi::report {

/// For element content and quoted attributes: & < > " ' escaped; control characters and what turns the direction of writing
/// replaced (see `printable`).
[[nodiscard]] std::string escaped(std::string_view text);

/// JSON that may stand in a script element: no "<", ">", "&", U+2028 or U+2029 in it.
[[nodiscard]] std::string script_json(const nlohmann::ordered_json& json);

/// A number with as few digits as so many decimals allow: "12.5", "-3", "0".
[[nodiscard]] std::string short_number(double value, int decimals);

}  // namespace solotaxi::report
