// The one exception the library throws for bad input, and the classes it comes in.
//
// Bad input (a damaged file, a value out of range, an unknown place) throws Error. Expected outcomes ("no such route")
// are values. Context is added while unwinding: a reader that knows the feature throws, the caller that knows the file
// adds it with `in_file`. The library never prints and never exits; the program turns an Error into one line and a status.
#pragma once

#include <optional>
#include <stdexcept>
#include <string>

namespace solotaxi {

/// Class of a failure; its value is the exit status of the program.
enum class ErrorClass : int { usage = 2, data = 3, no_route = 4 };

/// Where the fault lies; any part may be empty.
struct Where {
  std::string file;
  std::optional<long> line;  ///< counted from 1
  std::string feature;       ///< id of a map feature ("way/15921616") or name of a key or option
};

class Error : public std::runtime_error {
 public:
  Error(ErrorClass error_class, std::string message, Where where = {}, std::string hint = {});

  [[nodiscard]] ErrorClass error_class() const { return class_; }
  [[nodiscard]] const Where& where() const { return where_; }
  [[nodiscard]] const std::string& hint() const { return hint_; }
  [[nodiscard]] const std::string& message() const { return message_; }
  /// The same error with the file named, unless one is named already.
  [[nodiscard]] Error in_file(const std::string& file) const;
  /// "file:line: feature: message (hint)" without a line break.
  [[nodiscard]] std::string one_line() const;

 private:
  ErrorClass class_;
  std::string message_;
  Where where_;
  std::string hint_;
};

/// Shorthands that read well where they are thrown.
[[nodiscard]] Error usage_error(std::string message, std::string hint = {});
[[nodiscard]] Error data_error(std::string message, Where where = {}, std::string hint = {});

}  // namespace solotaxi
