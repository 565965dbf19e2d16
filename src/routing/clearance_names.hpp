// Names in a clearance: which tokens make one, and what is said where they make none. Not public.
#pragma once

#include <algorithm>
#include <initializer_list>
#include <map>
#include <optional>
#include <utility>

#include "routing/clearance_tokens.hpp"

namespace solotaxi::routing {

inline constexpr const char* kClearanceForm =
    "write for example: taxi to holding point A1 runway 26 via B, C, cross runway 18, hold short of D";

/// A place in the tokens of a text, and the names of a field to be found there.
class NameReader {
 protected:
  NameReader(const std::string& text, const Vocabulary& vocabulary);

  [[nodiscard]] bool more() const { return at_ < tokens_.size(); }
  [[nodiscard]] bool word(std::size_t ahead, const char* w) const {
    return at_ + ahead < tokens_.size() && tokens_[at_ + ahead].word == w;
  }
  [[nodiscard]] bool word_in(std::initializer_list<const char*> words) const {
    return std::any_of(words.begin(), words.end(), [&](const char* w) { return word(0, w); });
  }
  void skip(std::initializer_list<const char*> words) {
    while (more() && word_in(words)) ++at_;
  }
  [[nodiscard]] TextSpan span(std::size_t first, std::size_t last) const {
    return {tokens_[first].span.begin, tokens_[last - 1].span.end};
  }
  [[nodiscard]] std::string quoted(std::size_t first, std::size_t last) const { return out_.quoted(span(first, last)); }

  /// Throws Error where the token has an id, which only stands and holding points take.
  void refuse_id(std::size_t token) const;
  [[nodiscard]] std::string joined(std::size_t first, std::size_t last) const;
  /// The shortest spelling stands for all.
  static ClearanceName name(const std::vector<std::string>& spellings);

  using Group = std::pair<std::size_t, std::size_t>;
  /// Tokens parted into names of taxiways: as few as possible. Throws Error where they are none, or may be parted in two
  /// ways.
  std::vector<Group> split(std::size_t begin, std::size_t end);

  /// The longest name of the index at the next tokens, which are then taken; a name missing or unknown throws where it must
  /// be there. `id_` is what stands behind "#".
  std::optional<ClearanceName> longest(const NameIndex& names, bool must, const std::string& kind = "",
                                       const std::string& before = "");
  /// A runway's designator at the next tokens, which are then taken; "" where there is none and none must be.
  std::string runway_here(bool must, const std::string& before);

  NameIndex taxiways_, holds_, stands_;
  std::map<std::string, std::string> runways_;  ///< by designator with two digits
  std::vector<ClearanceToken> tokens_;
  std::size_t at_ = 0;
  std::string id_;
  Clearance out_;

 private:
  [[noreturn]] void unknown_taxiway(std::size_t begin, std::size_t end, const std::vector<std::size_t>& least) const;
  [[noreturn]] void unknown(std::size_t first, std::size_t last, const std::string& kind, const NameIndex& names) const;
};

}  // namespace solotaxi::routing
