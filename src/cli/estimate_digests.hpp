// Digests of what an estimate's result hangs on: so that a checkpoint or a shard of something else is not taken for its
// own.
#pragma once

#include <map>
#include <string>
#include <utility>
#include <vector>

#include "estimate_state.hpp"
#include "options.hpp"
#include "solotaxi/io/movement_file.hpp"

namespace solotaxi::cli {

/// `files`: what each is and where, movements aside. Of files over 1 MiB the movements' digest takes samples, with their
/// size and time of change. Every other file is digested in whole, with its siblings of the same stem (.shx, .dbf); so are
/// the built-in aircraft. Throws Error (data) for a file that cannot be read.
[[nodiscard]] Digests digests_of(const EstimateOptions& options,
                                 const std::vector<std::pair<std::string, std::string>>& files,
                                 const std::map<std::string, io::FleetEntry>& fleet);

}  // namespace solotaxi::cli
