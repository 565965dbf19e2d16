// What the attributes of a GDAL feature mean: tags packed in one column, shortened names, ids.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "mapping.hpp"

namespace solotaxi::io {

/// Tags packed in one text: "k"=>"v","k2"=>"v2" (with \" and \\), or a JSON object. Nothing where the text is neither.
[[nodiscard]] std::optional<Tags> parse_packed_tags(std::string_view text);

/// Whether a column holds packed tags in files made from OpenStreetMap data.
[[nodiscard]] bool is_packed_column(std::string_view name);

/// The tag a Shapefile attribute stands for: names there have at most 10 letters and no colons ("maxwingspa", "name_en").
/// The name itself where it stands for no tag that is read.
[[nodiscard]] std::string full_name(const std::string& shapefile_attribute);

/// An OpenStreetMap id out of a feature's attributes, "way/123" or so; "" where there is none. `kind` says what a bare
/// number in osm_id is: "node", "way" or "relation".
[[nodiscard]] std::string osm_id(const Tags& attributes, std::string_view kind);

}  // namespace solotaxi::io
