// Movements a year by stand, runway end and direction, from a file.
#pragma once

#include <filesystem>
#include <vector>

#include "solotaxi/planning/screen.hpp"

namespace solotaxi::io {

/// Lines "stand,runway,direction,movements": "12,09,out,840". Stand and runway as places name them, without the word before
/// them (12#551504298 picks one of several); direction out or in; movements a year, 0 to 1e7. A first line of these names
/// may stand in any order; empty lines and lines that begin with # are passed over; a byte-order mark and CRLF are taken.
/// Lines on one move add up. Throws Error (data), with the line, for a file that cannot be read, holds nothing, or has a
/// line that is none of these or names nothing on the field.
[[nodiscard]] std::vector<planning::Traffic> read_traffic(const std::filesystem::path& file,
                                                          const network::Network& network);

}  // namespace solotaxi::io
