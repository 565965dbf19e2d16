#include "solotaxi/base/error.hpp"

#include <algorithm>
#include <utility>

namespace solotaxi {

Error::Error(ErrorClass error_class, std::string message, Where where, std::string hint)
    : std::runtime_error(message),
      class_(error_class),
      message_(std::move(message)),
      where_(std::move(where)),
      hint_(std::move(hint)) {}

Error Error::in_file(const std::string& file) const {
  if (!where_.file.empty()) return *this;
  Where where = where_;
  where.file = file;
  return {class_, message_, std::move(where), hint_};
}

std::string Error::one_line() const {
  std::string text;
  if (!where_.file.empty()) {
    text += where_.file;
    if (where_.line) text += ":" + std::to_string(*where_.line);
    text += ": ";
  }
  if (!where_.feature.empty()) text += where_.feature + ": ";
  text += message_;
  if (!hint_.empty()) text += " (" + hint_ + ")";
  std::replace_if(text.begin(), text.end(), [](char c) { return c == '\n' || c == '\r'; }, ' ');
  return text;
}

Error usage_error(std::string message, std::string hint) {
  return {ErrorClass::usage, std::move(message), {}, std::move(hint)};
}

Error data_error(std::string message, Where where, std::string hint) {
  return {ErrorClass::data, std::move(message), std::move(where), std::move(hint)};
}

}  // namespace solotaxi
