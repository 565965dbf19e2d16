// Comparing names as people write them.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace solotaxi::routing {

/// ASCII letters made lower case, blanks at both ends taken off; other scripts stay as they are.
[[nodiscard]] std::string folded(std::string_view text);
/// Whether `name` is `wanted`, or one of its parts between semicolons is, without regard to case.
[[nodiscard]] bool names_match(std::string_view name, std::string_view wanted);
/// Insertions, deletions, exchanges and swaps of neighbouring characters that turn one text into the other.
[[nodiscard]] std::size_t edit_distance(std::string_view a, std::string_view b);
/// Up to `most` of the names, nearest in spelling first, equals in order; each once.
[[nodiscard]] std::vector<std::string> nearest_spellings(std::span<const std::string> names, std::string_view wanted,
                                                         std::size_t most = 5);
/// "a, b, c" with up to `most` of them, then "… (n in all)".
[[nodiscard]] std::string listed(std::span<const std::string> words, std::size_t most = 12);
/// "08L" for "8l": upper case, two digits. Anything that is no runway designator comes back folded to upper case.
[[nodiscard]] std::string designator(std::string_view text);
/// Whether a map id ("way/551504298") is meant by "551504298" or "way/551504298".
[[nodiscard]] bool id_matches(std::string_view id, std::string_view wanted);
/// "551504298" of "way/551504298".
[[nodiscard]] std::string bare_id(std::string_view id);

}  // namespace solotaxi::routing
