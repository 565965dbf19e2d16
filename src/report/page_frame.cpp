#include "page_frame.hpp"

#include <fmt/format.h>

#include <stdexcept>

#include "page_escape.hpp"
#include "page_words.hpp"

namespace solotaxi::report {

std::string filled(std::string_view frame, const FillPlace& part) {
  std::string out;
  while (true) {
    const std::size_t open = frame.find("{{");
    out += frame.substr(0, open);
    if (open == std::string_view::npos) return out;
    const std::size_t close = frame.find("}}", open);
    out += part(frame.substr(open + 2, close - open - 2));
    frame.remove_prefix(close + 2);
  }
}

std::string framed(const FramedPage& page, const PageAssets& assets) {
  return filled(frame_html, [&](std::string_view part) -> std::string {
    if (part == "css") return std::string(assets.css);
    if (part == "css-hash") return std::string(assets.css_hash);
    if (part == "js") return std::string(assets.js);
    if (part == "js-hash") return std::string(assets.js_hash);
    if (part == "title") return escaped(page.title);
    if (part == "sheet") return page.sheet;
    if (part == "kind") return escaped(page.kind);
    if (part == "field") return escaped(page.field);
    if (part == "ends") return page.ends;
    if (part == "top") return page.top;
    if (part == "main") return page.main;
    if (part == "foot") return page.foot;
    if (part == "data") return page.data;
    throw std::logic_error("the pages' frame has a place nobody fills: " + std::string(part));
  });
}

std::string map_in_frame(const std::string& svg, std::string_view whole) {
  return filled(map_html, [&](std::string_view part) { return part == "map" ? svg : std::string(whole); });
}

std::string warnings_html(const std::vector<std::string>& sentences) {
  std::string html;
  for (const std::string& text : sentences) html += "<li>" + escaped(sentence(text)) + "</li>";
  return html.empty() ? "" : "<ul class=\"warnings\" role=\"alert\">" + html + "</ul>";
}

std::string section_html(const std::string& heading, const std::string& body, bool printed) {
  if (body.empty()) return "";
  return fmt::format("<section class=\"part{}\"><h2>{}</h2>{}</section>", printed ? "" : " screen", escaped(heading), body);
}

std::string sentence_case(std::string heading) {
  for (std::size_t i = 1; i < heading.size(); ++i)
    heading[i] = heading[i] >= 'A' && heading[i] <= 'Z' ? static_cast<char>(heading[i] - 'A' + 'a') : heading[i];
  return heading;
}

}  // namespace solotaxi::report
