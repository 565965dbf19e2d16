// The fixed parts of pages, embedded at build time from src/report/page.
#pragma once

#include <string_view>

namespace solotaxi::report {

/// Of one kind of page.
struct PageAssets {
  std::string_view main;  ///< with {{places}} to fill
  std::string_view css, js;
  std::string_view css_hash, js_hash;  ///< "sha256-…", of the texts as they stand
};

extern const PageAssets page_assets;    ///< of a way: plan, route, preview
extern const PageAssets screen_assets;  ///< of a whole field

extern const std::string_view frame_html;  ///< around `main`, with {{places}} to fill
extern const std::string_view map_html;    ///< around a map

}  // namespace solotaxi::report
