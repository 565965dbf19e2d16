#include "page_escape.hpp"

#include <nlohmann/json.hpp>

#include "text_layout.hpp"

namespace solotaxi::report {

std::string escaped(std::string_view text) {
  std::string out;
  for (const char c : printable(text)) switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '"':
        out += "&quot;";
        break;
      case '\'':
        out += "&#39;";
        break;
      default:
        out += c;
    }
  return out;
}

std::string script_json(const nlohmann::ordered_json& json) {
  const std::string plain = json.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace);
  std::string out;
  out.reserve(plain.size());
  for (std::size_t i = 0; i < plain.size(); ++i) {
    const char c = plain[i];
    const std::string_view three = std::string_view(plain).substr(i, 3);
    if (c == '<' || c == '>' || c == '&') {
      out += fmt::format("\\u{:04x}", static_cast<unsigned>(c));
    } else if (three == "\xE2\x80\xA8" || three == "\xE2\x80\xA9") {
      out += three[2] == '\xA8' ? "\\u2028" : "\\u2029";
      i += 2;
    } else {
      out += c;
    }
  }
  return out;
}

std::string short_number(double value, int decimals) {
  std::string text = fmt::format("{:.{}f}", value, decimals);
  if (text.find('.') != std::string::npos) {
    while (text.back() == '0') text.pop_back();
    if (text.back() == '.') text.pop_back();
  }
  return text == "-0" ? "0" : text;
}

}  // namespace solotaxi::report
