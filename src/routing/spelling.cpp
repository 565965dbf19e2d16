#include "routing/spelling.hpp"

#include <algorithm>
#include <cctype>
#include <cstdint>
#include <utility>

namespace solotaxi::routing {
namespace {

bool is_blank(char c) { return c == ' ' || c == '\t' || c == '\r' || c == '\n'; }

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && is_blank(text.front())) text.remove_prefix(1);
  while (!text.empty() && is_blank(text.back())) text.remove_suffix(1);
  return text;
}

char lower(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }
char upper(char c) { return c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c; }

/// The characters of UTF-8 text; a stray byte counts as a character of its own.
std::vector<std::string> characters(std::string_view text) {
  std::vector<std::string> out;
  for (const char c : text) {
    const bool continues = (static_cast<unsigned char>(c) & 0xC0U) == 0x80U;
    if (continues && !out.empty())
      out.back() += c;
    else
      out.emplace_back(1, c);
  }
  return out;
}

}  // namespace

std::string folded(std::string_view text) {
  std::string out(trimmed(text));
  std::transform(out.begin(), out.end(), out.begin(), lower);
  return out;
}

bool names_match(std::string_view name, std::string_view wanted) {
  const std::string want = folded(wanted);
  if (want.empty()) return false;
  if (folded(name) == want) return true;
  while (!name.empty()) {
    const auto end = name.find(';');
    if (end == std::string_view::npos) return folded(name) == want;
    if (folded(name.substr(0, end)) == want) return true;
    name.remove_prefix(end + 1);
  }
  return false;
}

std::size_t edit_distance(std::string_view a, std::string_view b) {
  const auto x = characters(a), y = characters(b);
  std::vector<std::size_t> before2(y.size() + 1), before(y.size() + 1), now(y.size() + 1);
  for (std::size_t j = 0; j <= y.size(); ++j) before[j] = j;
  for (std::size_t i = 1; i <= x.size(); ++i) {
    now[0] = i;
    for (std::size_t j = 1; j <= y.size(); ++j) {
      now[j] = std::min({before[j] + 1, now[j - 1] + 1, before[j - 1] + (x[i - 1] == y[j - 1] ? 0U : 1U)});
      if (i > 1 && j > 1 && x[i - 1] == y[j - 2] && x[i - 2] == y[j - 1]) now[j] = std::min(now[j], before2[j - 2] + 1);
    }
    std::swap(before2, before);
    std::swap(before, now);
  }
  return before[y.size()];
}

std::vector<std::string> nearest_spellings(std::span<const std::string> names, std::string_view wanted, std::size_t most) {
  const std::string want = folded(wanted);
  std::vector<std::pair<std::size_t, std::string>> ranked;
  for (const std::string& name : names)
    if (!name.empty()) ranked.emplace_back(edit_distance(folded(name), want), name);
  std::sort(ranked.begin(), ranked.end());
  ranked.erase(std::unique(ranked.begin(), ranked.end()), ranked.end());
  std::vector<std::string> out;
  for (const auto& entry : ranked) {
    if (out.size() == most) break;
    out.push_back(entry.second);
  }
  return out;
}

std::string listed(std::span<const std::string> words, std::size_t most) {
  std::string out;
  for (std::size_t i = 0; i < std::min(words.size(), most); ++i) out += (i ? ", " : "") + words[i];
  if (words.size() > most) out += ", … (" + std::to_string(words.size()) + " in all)";
  return out;
}

std::string designator(std::string_view text) {
  std::string out(trimmed(text));
  std::transform(out.begin(), out.end(), out.begin(), upper);
  const auto digits = static_cast<std::size_t>(
      std::find_if(out.begin(), out.end(), [](char c) { return !(c >= '0' && c <= '9'); }) - out.begin());
  if (digits == 1 && out.size() <= 2) out.insert(out.begin(), '0');
  return out;
}

std::string bare_id(std::string_view id) {
  const auto slash = id.rfind('/');
  return std::string(slash == std::string_view::npos ? id : id.substr(slash + 1));
}

bool id_matches(std::string_view id, std::string_view wanted) {
  if (id.empty() || wanted.empty()) return false;
  return id == wanted || (wanted.find('/') == std::string_view::npos && bare_id(id) == wanted);
}

}  // namespace solotaxi::routing
