#include "solotaxi/airfield/runway_ref.hpp"

#include <cmath>
#include <numbers>
#include <vector>

namespace solotaxi::airfield {
namespace {

std::string upper_ascii(std::string_view text) {
  std::string out(text);
  for (char& c : out)
    if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
  return out;
}

void replace_all(std::string& text, std::string_view from, std::string_view to) {
  for (auto at = text.find(from); at != std::string::npos; at = text.find(from, at + to.size()))
    text.replace(at, from.size(), to);
}

/// Angle between two directions, 0…π.
double angle_between(double a, double b) { return std::abs(std::remainder(a - b, 2.0 * std::numbers::pi)); }

double designator_direction(const std::string& designator) {
  return designator_number(designator).value_or(0) * std::numbers::pi / 18.0;
}

}  // namespace

std::optional<int> designator_number(std::string_view designator) {
  const std::string text = upper_ascii(designator);
  std::size_t digits = 0;
  int number = 0;
  while (digits < text.size() && digits < 3 && text[digits] >= '0' && text[digits] <= '9')
    number = number * 10 + (text[digits++] - '0');
  if (digits == 0 || digits > 2 || number < 1 || number > 36) return std::nullopt;
  const std::string_view suffix = std::string_view(text).substr(digits);
  // L, C, R for parallels; W water, G grass, S, T and U occur on small fields.
  if (suffix.size() > 1 || (suffix.size() == 1 && std::string_view("LCRWGSTU").find(suffix[0]) == std::string_view::npos))
    return std::nullopt;
  return number;
}

std::string designator_suffix(std::string_view designator) {
  if (!designator_number(designator)) return {};
  const char last = upper_ascii(designator).back();
  return last >= 'A' ? std::string(1, last) : std::string();
}

std::string reciprocal_designator(std::string_view designator) {
  const auto number = designator_number(designator);
  if (!number) return {};
  const int other = *number > 18 ? *number - 18 : *number + 18;
  std::string suffix = designator_suffix(designator);
  if (suffix == "L")
    suffix = "R";
  else if (suffix == "R")
    suffix = "L";
  const bool padded = designator.front() == '0' || *number > 9;
  return (other < 10 && padded ? "0" : "") + std::to_string(other) + suffix;
}

bool same_designator(std::string_view a, std::string_view b) {
  const auto number = designator_number(a);
  return number && number == designator_number(b) && designator_suffix(a) == designator_suffix(b);
}

bool is_reciprocal(const RunwayRef& ref) {
  const auto a = designator_number(ref.designators[0]), b = designator_number(ref.designators[1]);
  return a && b && std::abs(*a - *b) == 18;
}

std::optional<RunwayRef> parse_runway_ref(std::string_view written) {
  std::string text = upper_ascii(written);
  replace_all(text, "\u2013", "/");  // en and em dash
  replace_all(text, "\u2014", "/");
  for (char& c : text)
    if (c == '-' || c == '\\' || c == ';' || c == ',' || c == '.')
      c = '/';
    else if (c == '(' || c == ')' || c == '.' || c == '\t' || c == '\n' || c == '\r')
      c = ' ';
  RunwayRef ref;
  std::vector<std::string> tokens;
  std::string token;
  const auto finish = [&] {
    if (token == "CLOSED")
      ref.closed = true;
    else if (!token.empty() && token != "RWY" && token != "RUNWAY" && token != "RW")
      tokens.push_back(token);
    token.clear();
  };
  for (const char c : text) {
    if (c == '/' || c == ' ')
      finish();
    else
      token += c;
  }
  finish();
  if (tokens.size() > 2) return std::nullopt;
  std::size_t found = 0;
  for (const std::string& t : tokens) {
    if (t == "X")
      ref.closed = true;
    else if (designator_number(t))
      ref.designators[found++] = t;
    else
      ref.partial = true;
  }
  if (found == 0 && !(ref.closed && !ref.partial)) return std::nullopt;
  return ref;
}

OrientedRef orient(const RunwayRef& ref, Radians azimuth) {
  OrientedRef out;
  out.designators = ref.designators;
  if (out.designators[0].empty()) return out;
  if (out.designators[1].empty()) {
    out.designators[1] = reciprocal_designator(out.designators[0]);
    out.completed = true;
  }
  const double first = angle_between(designator_direction(out.designators[0]), azimuth.value());
  const double second = angle_between(designator_direction(out.designators[1]), azimuth.value());
  if (second < first) {
    std::swap(out.designators[0], out.designators[1]);
    out.reversed = !out.completed;
  }
  out.mismatch = Radians{std::min(first, second)};
  return out;
}

}  // namespace solotaxi::airfield
