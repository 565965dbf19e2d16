// The fixed parts of the page, embedded at build time from src/report/page.
#pragma once

#include <string_view>

namespace solotaxi::report {

extern const std::string_view page_html;  ///< with {{places}} to fill
extern const std::string_view page_css, page_js;
extern const std::string_view page_css_hash, page_js_hash;  ///< "sha256-…", of the texts as they stand

}  // namespace solotaxi::report
