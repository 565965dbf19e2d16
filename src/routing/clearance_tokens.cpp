#include "routing/clearance_tokens.hpp"

#include <algorithm>
#include <array>
#include <set>
#include <utility>

#include "routing/spelling.hpp"

namespace solotaxi::routing {
namespace {

// ICAO Annex 10, volume II, 5.2.1.3 and 5.2.1.4.3, with the pronunciations as people write them [M].
constexpr std::array kSpelled = std::to_array<std::pair<std::string_view, char>>({
    {"alfa", 'a'},    {"alpha", 'a'},  {"bravo", 'b'},  {"charlie", 'c'},  {"delta", 'd'},   {"echo", 'e'},
    {"foxtrot", 'f'}, {"golf", 'g'},   {"hotel", 'h'},  {"india", 'i'},    {"juliett", 'j'}, {"juliet", 'j'},
    {"kilo", 'k'},    {"lima", 'l'},   {"mike", 'm'},   {"november", 'n'}, {"oscar", 'o'},   {"papa", 'p'},
    {"quebec", 'q'},  {"romeo", 'r'},  {"sierra", 's'}, {"tango", 't'},    {"uniform", 'u'}, {"victor", 'v'},
    {"whiskey", 'w'}, {"whisky", 'w'}, {"xray", 'x'},   {"x-ray", 'x'},    {"yankee", 'y'},  {"zulu", 'z'},
    {"zero", '0'},    {"one", '1'},    {"wun", '1'},    {"two", '2'},      {"three", '3'},   {"tree", '3'},
    {"four", '4'},    {"fower", '4'},  {"five", '5'},   {"fife", '5'},     {"six", '6'},     {"seven", '7'},
    {"eight", '8'},   {"ait", '8'},    {"nine", '9'},   {"niner", '9'},
});

const std::set<std::string_view>& fillers() {
  static const std::set<std::string_view> words{
      "taxi", "taxiing", "to",      "the",  "and",     "then",     "please",   "continue", "proceed", "of",
      "for",  "clear",   "cleared", "turn", "join",    "follow",   "on",       "onto",     "along",   "at",
      "from", "your",    "you",     "are",  "with",    "by",       "wait",     "vacate",   "exit",    "take",
      "into", "twy",     "route",   "use",  "taxiway", "taxiways", "taxilane", "behind",   "approved"};
  return words;
}

const std::set<std::string_view>& keywords() {
  static const std::set<std::string_view> words{
      "via",     "hold", "holding",   "short",        "point", "position", "cross",   "crossing",    "runway",
      "runways", "rwy",  "backtrack", "backtracking", "back",  "track",    "stand",   "gate",        "parking",
      "bay",     "left", "right",     "line",         "up",    "lineup",   "line-up", "intersection"};
  return words;
}

/// Words before a name that are no part of it.
bool is_kind_word(const std::string& word) {
  return word == "taxiway" || word == "taxilane" || word == "twy" || word == "stand" || word == "gate";
}

char spelled(std::string_view word) {
  const auto found = std::find_if(kSpelled.begin(), kSpelled.end(), [&](const auto& s) { return s.first == word; });
  return found == kSpelled.end() ? '\0' : found->second;
}

std::string spoken(const std::string& word) {
  if (const char c = spelled(word)) return {c};
  std::string out, part;
  const auto flush = [&] {
    const char c = spelled(part);
    out += c ? std::string(1, c) : part;
    part.clear();
  };
  for (const char c : word) {
    if (c == '-' || c == '.' || c == '_' || c == '\'')
      flush();
    else
      part += c;
  }
  flush();
  return out.empty() ? word : out;
}

bool parts_words(std::string_view text, std::size_t at) {
  const char c = text[at];
  if (c == '.') return at + 1 == text.size() || static_cast<unsigned char>(text[at + 1]) <= ' ';
  return std::string_view(",;:!?()\"").find(c) != std::string_view::npos;
}

}  // namespace

bool is_filler(const std::string& word) { return fillers().contains(word); }
bool is_phraseology(const std::string& word) { return is_filler(word) || keywords().contains(word); }

std::vector<ClearanceToken> tokens_of(std::string_view text) {
  std::vector<ClearanceToken> out;
  std::size_t begin = std::string_view::npos;
  const auto end_word = [&](std::size_t end) {
    if (begin == std::string_view::npos) return;
    ClearanceToken token;
    token.span = {begin, end};
    const std::string_view written = text.substr(begin, end - begin);
    const auto hash = written.find('#');
    token.word = folded(written.substr(0, hash));
    if (hash != std::string_view::npos) token.id = std::string(written.substr(hash + 1));
    token.spoken = spoken(token.word);
    if (token.spoken.empty()) token.spoken = "#";
    out.push_back(std::move(token));
    begin = std::string_view::npos;
  };
  for (std::size_t i = 0; i < text.size(); ++i) {
    const bool parts = parts_words(text, i);
    if (!parts && static_cast<unsigned char>(text[i]) > ' ') {
      if (begin == std::string_view::npos) begin = i;
      continue;
    }
    end_word(i);
    if (parts && !out.empty()) out.back().parted = true;
  }
  end_word(text.size());
  return out;
}

std::string reading_of(std::string_view name) {
  std::string out, whole;
  for (const ClearanceToken& t : tokens_of(name)) {
    whole += t.spoken;
    if (!is_kind_word(t.word)) out += t.spoken;
  }
  return out.empty() ? whole : out;
}

NameIndex::NameIndex(const std::vector<std::string>& names) : all_(names) {
  for (const std::string& name : names) {
    const std::string reading = reading_of(name);
    if (!reading.empty()) by_reading_[reading].push_back(name);
  }
}

const std::vector<std::string>* NameIndex::find(const std::string& reading) const {
  const auto it = by_reading_.find(reading);
  return it == by_reading_.end() ? nullptr : &it->second;
}

void join_names(std::vector<ClearanceToken>& tokens, const Vocabulary& vocabulary) {
  struct Wordy {
    std::vector<std::string> words;
    std::string reading;
  };
  std::vector<Wordy> wordy;
  for (const auto* names : {&vocabulary.taxiways, &vocabulary.holds, &vocabulary.stands})
    for (const std::string& name : *names) {
      Wordy w{{}, reading_of(name)};
      bool holds_phraseology = false;
      for (const ClearanceToken& t : tokens_of(name)) {
        w.words.push_back(t.word);
        holds_phraseology = holds_phraseology || (is_phraseology(t.word) && !is_kind_word(t.word));
      }
      if (holds_phraseology && w.words.size() > 1) wordy.push_back(std::move(w));
    }
  std::stable_sort(wordy.begin(), wordy.end(),
                   [](const Wordy& a, const Wordy& b) { return a.words.size() > b.words.size(); });
  for (std::size_t i = 0; i < tokens.size(); ++i)
    for (const Wordy& w : wordy) {
      const std::size_t n = w.words.size();
      if (i + n > tokens.size()) continue;
      bool same = true;
      for (std::size_t k = 0; k < n && same; ++k)
        same = tokens[i + k].word == w.words[k] && (k + 1 == n || !tokens[i + k].parted) && tokens[i + k].id.empty();
      if (!same) continue;
      tokens[i].word.clear();
      tokens[i].spoken = w.reading;
      tokens[i].span.end = tokens[i + n - 1].span.end;
      tokens[i].parted = tokens[i + n - 1].parted;
      tokens.erase(tokens.begin() + static_cast<std::ptrdiff_t>(i) + 1,
                   tokens.begin() + static_cast<std::ptrdiff_t>(i + n));
      break;
    }
}

}  // namespace solotaxi::routing
