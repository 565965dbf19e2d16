// A clearance's text cut into words, and words into the letters and digits they spell.
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "solotaxi/routing/clearance.hpp"

namespace solotaxi::routing {

struct ClearanceToken {
  std::string word;    ///< folded; "" where it is a name that holds words of the phraseology
  std::string spoken;  ///< letters and digits it stands for: "b" for bravo; never empty
  std::string id;      ///< behind "#"
  TextSpan span;
  bool parted = false;  ///< a comma or the like follows
};

[[nodiscard]] std::vector<ClearanceToken> tokens_of(std::string_view text);

/// What a name of the field reads like: "b3" for "B-3" and "Bravo Three", "a" for "Taxiway Alpha".
[[nodiscard]] std::string reading_of(std::string_view name);

/// Names of one kind by their reading.
class NameIndex {
 public:
  NameIndex() = default;
  explicit NameIndex(const std::vector<std::string>& names);
  [[nodiscard]] const std::vector<std::string>* find(const std::string& reading) const;
  [[nodiscard]] const std::vector<std::string>& all() const { return all_; }

 private:
  std::map<std::string, std::vector<std::string>> by_reading_;
  std::vector<std::string> all_;
};

[[nodiscard]] bool is_filler(const std::string& word);
/// A word of the phraseology, fillers included.
[[nodiscard]] bool is_phraseology(const std::string& word);

/// Joins the tokens of names that hold words of the phraseology ("Cross Link") into one each, the longest first.
void join_names(std::vector<ClearanceToken>& tokens, const Vocabulary& vocabulary);

}  // namespace solotaxi::routing
