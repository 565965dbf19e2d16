#include "routing/clearance_names.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "routing/spelling.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::routing {
namespace {

/// Most tokens one name may be spelled with: "delta lima one two right".
constexpr std::size_t kNameTokens = 6;
constexpr std::size_t kNoReading = 1000000;

/// Looks like a designator: short, or with a digit in it.
bool like_designator(const std::string& spoken) {
  return spoken.size() <= 2 || std::any_of(spoken.begin(), spoken.end(), [](char c) { return c >= '0' && c <= '9'; });
}

[[noreturn]] void missing(const std::string& kind, const std::string& before) {
  throw usage_error(fmt::format("no {} is named behind \"{}\"", kind, before), kClearanceForm);
}

}  // namespace

NameReader::NameReader(const std::string& text, const Vocabulary& vocabulary)
    : taxiways_(vocabulary.taxiways), holds_(vocabulary.holds), stands_(vocabulary.stands) {
  out_.text = text;
  for (const std::string& r : vocabulary.runways) runways_.emplace(designator(r), r);
  tokens_ = tokens_of(text);
  join_names(tokens_, vocabulary);
}

ClearanceName NameReader::name(const std::vector<std::string>& spellings) {
  const auto shorter = [](const std::string& a, const std::string& b) { return a.size() < b.size(); };
  return {*std::min_element(spellings.begin(), spellings.end(), shorter), spellings};
}

void NameReader::refuse_id(std::size_t token) const {
  if (tokens_[token].id.empty()) return;
  throw usage_error(fmt::format("\"{}\" picks one of several by an id", quoted(token, token + 1)),
                    "only a stand or holding point at the end takes one");
}

std::string NameReader::joined(std::size_t first, std::size_t last) const {
  std::string out;
  for (std::size_t k = first; k < last; ++k) out += tokens_[k].spoken;
  return out;
}
std::vector<NameReader::Group> NameReader::split(std::size_t begin, std::size_t end) {
  const std::size_t n = end - begin;
  std::vector<std::size_t> least(n + 1, kNoReading), ways(n + 1, 0), readings(n + 1, 0), before(n + 1, 0);
  least[0] = 0;
  ways[0] = readings[0] = 1;
  for (std::size_t j = 1; j <= n; ++j)
    for (std::size_t i = j > kNameTokens ? j - kNameTokens : 0; i < j; ++i) {
      if (least[i] == kNoReading || !taxiways_.find(joined(begin + i, begin + j))) continue;
      readings[j] = std::min<std::size_t>(readings[j] + readings[i], 2);
      if (least[i] + 1 < least[j]) {
        least[j] = least[i] + 1;
        ways[j] = ways[i];
        before[j] = i;
      } else if (least[i] + 1 == least[j]) {
        ways[j] = std::min<std::size_t>(ways[j] + ways[i], 2);
      }
    }
  if (least[n] == kNoReading) unknown_taxiway(begin, end, least);
  if (ways[n] > 1)
    throw usage_error(fmt::format("\"{}\" may be read in two ways", quoted(begin, end)), "part the names with commas");
  std::vector<Group> out;
  for (std::size_t j = n; j > 0; j = before[j]) out.emplace_back(begin + before[j], begin + j);
  std::reverse(out.begin(), out.end());
  if (readings[n] > 1) {
    std::vector<std::string> names;
    for (const auto& [first, last] : out) names.push_back(name(*taxiways_.find(joined(first, last))).name);
    out_.notes.push_back(
        fmt::format("\"{}\" is read as {}; commas would part it otherwise", quoted(begin, end), listed(names)));
  }
  return out;
}

void NameReader::unknown_taxiway(std::size_t begin, std::size_t end, const std::vector<std::size_t>& least) const {
  std::size_t first = begin;
  for (std::size_t j = 0; j < least.size(); ++j)
    if (least[j] < kNoReading) first = begin + j;
  unknown(first, std::min(first + 1, end), "taxiway", taxiways_);
}

void NameReader::unknown(std::size_t first, std::size_t last, const std::string& kind, const NameIndex& names) const {
  const std::string said = quoted(first, last), reading = joined(first, last);
  if (&names == &taxiways_) {
    if (const auto* hold = holds_.find(reading))
      throw data_error(fmt::format("\"{}\" is a holding point of this field, not a taxiway", said), {},
                       "write: holding point " + hold->front());
    if (!like_designator(reading))
      throw usage_error(fmt::format("\"{}\" is neither a word of a clearance nor a name of this field", said),
                        "nearest names: " + listed(nearest_spellings(names.all(), said)));
  }
  const auto near = nearest_spellings(names.all(), reading);
  throw data_error(
      fmt::format("this field has no {} \"{}\"", kind, said), {},
      near.empty() ? fmt::format("the map shows no {} with a name", kind) : "nearest spellings: " + listed(near));
}

std::optional<ClearanceName> NameReader::longest(const NameIndex& names, bool must, const std::string& kind,
                                                 const std::string& before) {
  id_.clear();
  std::size_t most = 0;
  while (most < kNameTokens && at_ + most < tokens_.size() && !is_phraseology(tokens_[at_ + most].word)) {
    ++most;
    if (tokens_[at_ + most - 1].parted || !tokens_[at_ + most - 1].id.empty()) break;
  }
  if (&names == &taxiways_)
    for (std::size_t k = at_; k < at_ + most; ++k) refuse_id(k);
  if (most == 1 && tokens_[at_].word.empty() && !tokens_[at_].id.empty()) {  // "#305068249"
    id_ = tokens_[at_++].id;
    return ClearanceName{};
  }
  for (std::size_t n = most; n > 0; --n)
    if (const auto* found = names.find(joined(at_, at_ + n))) {
      at_ += n;
      id_ = tokens_[at_ - 1].id;
      return name(*found);
    }
  if (!must) return std::nullopt;
  if (most == 0) missing(kind, before);
  unknown(at_, at_ + 1, kind, names);
}

std::string NameReader::runway_here(bool must, const std::string& before) {
  std::string reading, found;
  std::size_t taken = 0;
  for (std::size_t n = 0; n < 4 && at_ + n < tokens_.size(); ++n) {
    const ClearanceToken& t = tokens_[at_ + n];
    const bool side = t.word == "left" || t.word == "right" || t.word == "center" || t.word == "centre";
    if (!side && is_phraseology(t.word)) break;
    reading += side ? std::string(1, t.word.front()) : t.spoken;
    if (const auto it = runways_.find(designator(reading)); it != runways_.end()) {
      found = it->second;
      taken = n + 1;
    } else if (const auto slash = reading.find('/'); slash != std::string::npos) {  // either end's name will do
      const auto one = runways_.find(designator(reading.substr(0, slash)));
      const auto other = runways_.find(designator(reading.substr(slash + 1)));
      if (one != runways_.end() && other != runways_.end()) found = one->second, taken = n + 1;
    }
    if (t.parted) break;
  }
  for (std::size_t k = at_; k < at_ + taken; ++k) refuse_id(k);
  at_ += taken;
  if (!found.empty() || !must) return found;
  if (!more() || is_phraseology(tokens_[at_].word)) missing("runway", before);
  std::vector<std::string> names;
  for (const auto& [d, r] : runways_) names.push_back(r);
  throw data_error(fmt::format("this field has no runway \"{}\"", quoted(at_, at_ + 1)), {},
                   names.empty() ? "no runway of this field has a designator"
                                 : "nearest spellings: " + listed(nearest_spellings(names, tokens_[at_].spoken)));
}

}  // namespace solotaxi::routing
