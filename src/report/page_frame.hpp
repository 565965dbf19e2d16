// What every page has: its frame, a map's frame, sections of words. Not public.
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "page_assets.hpp"
#include "text_layout.hpp"

namespace solotaxi::report {

/// Fills a {{place}} of a frame, by its name.
using FillPlace = std::function<std::string(std::string_view)>;
/// The frame with every {{place}} filled; what is filled in is not looked through again.
[[nodiscard]] std::string filled(std::string_view frame, const FillPlace& part);

/// A page around its main part; all HTML but `title`, `kind` and `field`, which are text.
struct FramedPage {
  std::string title, kind, field;
  std::string sheet;  ///< class of the sheet, with a blank before it
  std::string ends, top, main, foot;
  std::string data;  ///< for the script, as script_json makes it
};
[[nodiscard]] std::string framed(const FramedPage& page, const PageAssets& assets);

/// A map with its north, scale and buttons; `whole`: what the button shows the whole of ("way").
[[nodiscard]] std::string map_in_frame(const std::string& svg, std::string_view whole);

/// Sentences at the top of a page that are not to be missed; "" where there are none.
[[nodiscard]] std::string warnings_html(const std::vector<std::string>& sentences);

/// A section under its heading, on paper too or on the screen only; "" where the body is.
[[nodiscard]] std::string section_html(const std::string& heading, const std::string& body, bool printed);

/// "THE WAY" as a page writes it: "The way".
[[nodiscard]] std::string sentence_case(std::string heading);

}  // namespace solotaxi::report
