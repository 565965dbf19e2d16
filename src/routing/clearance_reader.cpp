// The grammar: which words stand for which part, in whatever order.
#include <fmt/format.h>

#include <algorithm>

#include "routing/clearance_names.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::routing {
namespace {

class Reader : NameReader {
 public:
  Reader(const std::string& text, const Vocabulary& vocabulary) : NameReader(text, vocabulary) {}

  Clearance read() {
    if (tokens_.empty()) throw usage_error("the clearance is empty", kClearanceForm);
    while (at_ < tokens_.size()) step();
    settle_runways();
    settle_end();
    if (out_.items.size() > kClearanceItems)
      throw usage_error(fmt::format("the clearance names {} parts of the way", out_.items.size()),
                        fmt::format("at most {}", kClearanceItems));
    if (out_.bindings.size() > kClearanceBindings)
      throw usage_error(
          fmt::format("the clearance names {} places to hold short of and runways to cross", out_.bindings.size()),
          fmt::format("at most {}", kClearanceBindings));
    return std::move(out_);
  }

 private:
  struct RunwayEnd {
    std::string runway;
    ClearanceName entry;
    TextSpan span;
  };
  struct NamedEnd {
    ClearanceName name;
    std::string id;
    TextSpan span;
  };

  void step() {
    const std::size_t begin = at_;
    const std::string& w = tokens_[at_].word;
    if (word_in({"hold", "holding"})) return read_hold(begin);
    if (word_in({"cross", "crossing"})) return read_cross(begin);
    if (word_in({"runway", "runways", "rwy"})) return read_runway(begin);
    if (word_in({"backtrack", "backtracking"}) || (word(0, "back") && word(1, "track"))) return read_backtrack(begin);
    if (word_in({"stand", "gate", "parking", "bay"})) return read_stand(begin);
    if (word_in({"left", "right"})) return read_turn(begin);
    if (word_in({"take", "make"}) && (word(1, "a") || word(1, "the")) && (word(2, "left") || word(2, "right"))) {
      at_ += 2;
      return read_turn(begin);
    }
    if (word_in({"vacate", "exit", "leave"}) && (word(1, "runway") || (word(1, "the") && word(2, "runway"))))
      return read_vacate(begin);
    if (word_in({"lineup", "line-up"}) || (word(0, "line") && word(1, "up"))) {
      at_ += word(0, "line") ? 2U : 1U;
      out_.line_up = true;
      return;
    }
    if (w == "via") {
      ++at_;
      in_list_ = true;
      after_to_ = along_ = false;
      return;
    }
    if (is_filler(w)) {
      if (w == "to") {
        in_list_ = false;
        after_to_ = true;
      }
      along_ = w == "along" || w == "on";
      ++at_;
      return;
    }
    if (is_phraseology(w)) throw usage_error(fmt::format("\"{}\" says nothing here", quoted(at_, at_ + 1)), kClearanceForm);
    read_names();
  }

  /// Names up to the next comma or word of the phraseology.
  void read_names() {
    if (after_to_) {  // "taxi to A1": a holding point before a taxiway
      after_to_ = false;
      const std::size_t begin = at_;
      if (const auto hold = longest(holds_, false)) return set_hold({*hold, id_, span(begin, at_)});
    }
    const std::size_t begin = at_;
    std::size_t end = at_;
    while (end < tokens_.size() && !is_phraseology(tokens_[end].word))
      if (tokens_[end++].parted) break;
    for (std::size_t k = begin; k < end; ++k) refuse_id(k);
    at_ = end;
    in_list_ = true;
    along_ = false;
    for (const auto& [first, last] : split(begin, end))
      out_.items.push_back(
          {ClearanceItem::Kind::taxiway, name(*taxiways_.find(joined(first, last))), Side::left, span(first, last)});
  }

  void read_vacate(std::size_t begin) {
    ++at_;
    skip({"the", "runway"});
    const std::string runway = runway_here(true, quoted(begin, at_));
    if (!out_.from_runway.empty() && out_.from_runway != runway)
      throw usage_error(fmt::format("two runways to vacate: {} and {}", out_.from_runway, runway), "an arrival has landed on one");
    out_.from_runway = runway;
    out_.from_span = span(begin, at_);
  }

  /// "at G1" behind a runway that is crossed or held short of.
  std::optional<ClearanceName> where_here() {
    if (tokens_[at_ - 1].parted || !word(0, "at")) return std::nullopt;
    const std::size_t here = at_++;
    skip({"taxiway", "taxilane", "twy", "holding", "point", "position"});
    auto where = longest(holds_, false);
    if (!where) where = longest(taxiways_, false);
    if (!where) at_ = here;
    return where;
  }

  void read_hold(std::size_t begin) {
    ++at_;
    if (word_in({"point", "position"})) {
      ++at_;
      return read_holding_point(begin);
    }
    if (!word_in({"short", "at"}))
      throw usage_error(fmt::format("\"{}\" does not say where", quoted(begin, at_)), kClearanceForm);
    ++at_;
    skip({"of", "at", "the"});
    using Kind = ClearanceBinding::Kind;
    const auto bind = [&](Kind kind, ClearanceName of) {
      refuse_id(at_ - 1);
      out_.bindings.push_back({kind, std::move(of), span(begin, at_)});
    };
    const std::string said = quoted(begin, at_);
    if (word_in({"runway", "runways", "rwy"})) {
      ++at_;
      const std::string runway = runway_here(true, quoted(begin, at_));
      bind(Kind::hold_short_of_runway, {runway, {runway}});
      bind_where(begin);
      return;
    }
    if (word(0, "hold") || word(0, "holding")) {
      ++at_;
      skip({"point", "position"});
      auto hold = longest(holds_, true, "holding point", quoted(begin, at_));
      return bind(Kind::hold_short_of_hold, *std::move(hold));
    }
    skip({"taxiway", "taxilane", "twy"});
    if (auto taxiway = longest(taxiways_, false)) return bind(Kind::hold_short_of_taxiway, *std::move(taxiway));
    if (auto hold = longest(holds_, false)) return bind(Kind::hold_short_of_hold, *std::move(hold));
    if (const std::string runway = runway_here(false, said); !runway.empty()) {
      bind(Kind::hold_short_of_runway, {runway, {runway}});
      return bind_where(begin);
    }
    (void)longest(taxiways_, true, "taxiway", said);
  }

  void read_holding_point(std::size_t begin) {
    after_to_ = false;
    if (word_in({"runway", "rwy"})) {
      unnamed_hold_ = span(begin, at_);
      ++at_;
      const std::string runway = runway_here(true, quoted(begin, at_));
      return set_runway({runway, {}, span(begin, at_)});
    }
    auto hold = longest(holds_, true, "holding point", quoted(begin, at_));
    const std::string id = id_;
    set_hold({*std::move(hold), id, span(begin, at_)});
    skip({"of", "for"});
    if (!word_in({"runway", "rwy"})) return;
    const std::size_t runway_begin = at_++;
    const std::string runway = runway_here(true, quoted(runway_begin, at_));
    set_runway({runway, {}, span(runway_begin, at_)});
  }

  void read_cross(std::size_t begin) {
    ++at_;
    skip({"the", "runway", "runways", "rwy"});
    const std::string runway = runway_here(true, quoted(begin, at_));
    out_.bindings.push_back({ClearanceBinding::Kind::cross_runway, {runway, {runway}}, span(begin, at_)});
    bind_where(begin);
  }

  void bind_where(std::size_t begin) {
    out_.bindings.back().by = where_here();
    out_.bindings.back().span = span(begin, at_);
  }

  void read_backtrack(std::size_t begin) {
    at_ += word(0, "back") ? 2U : 1U;
    out_.backtrack = true;
    out_.backtrack_span = span(begin, at_);
    const std::size_t here = at_;
    skip({"the", "along", "on", "of"});
    const bool said = word_in({"runway", "rwy"});
    if (said) ++at_;
    const std::string runway = runway_here(said, quoted(begin, at_));
    if (runway.empty()) {
      at_ = here;
      return;
    }
    if (!out_.backtrack_runway.empty() && out_.backtrack_runway != runway)
      throw usage_error(fmt::format("two runways to backtrack: {} and {}", out_.backtrack_runway, runway),
                        "backtrack alone allows any");
    out_.backtrack_runway = runway;
    out_.backtrack_span = span(begin, at_);
  }

  void read_runway(std::size_t begin) {
    ++at_;
    const std::string runway = runway_here(true, quoted(begin, at_));
    const bool item = along_ || (in_list_ && !after_to_);
    perhaps_end_ = !along_;
    along_ = false;
    if (item) {
      out_.items.push_back({ClearanceItem::Kind::runway, {runway, {runway}}, Side::left, span(begin, at_)});
      in_list_ = true;
    } else {
      after_to_ = false;
      set_runway({runway, {}, span(begin, at_)});
    }
    auto entry = entry_here(!item);
    if (!entry) return;
    if (item) out_.items.pop_back();
    set_runway({runway, *std::move(entry), span(begin, at_)});
  }

  /// "intersection C", "at intersection C"; behind a runway that is where the way ends also "at C".
  std::optional<ClearanceName> entry_here(bool at_name) {
    if (word(0, "intersection") || (word_in({"at", "from"}) && word(1, "intersection"))) {
      at_ += word(0, "intersection") ? 1U : 2U;
      return longest(taxiways_, true, "taxiway", "intersection");
    }
    if (!at_name || !word_in({"at", "from"})) return std::nullopt;
    const std::size_t here = at_++;
    auto entry = longest(taxiways_, false);
    if (!entry) at_ = here;
    return entry;
  }

  void read_stand(std::size_t begin) {
    ++at_;
    skip({"stand", "position", "gate"});
    after_to_ = false;
    auto stand = longest(stands_, true, "stand", quoted(begin, at_));
    const NamedEnd now{*std::move(stand), id_, span(begin, at_)};
    if (stand_ && (stand_->name != now.name || stand_->id != now.id)) two_ends(stand_->span, now.span);
    stand_ = now;
  }

  void read_turn(std::size_t begin) {
    const Side side = word(0, "left") ? Side::left : Side::right;
    ++at_;
    skip({"at", "on", "onto", "into", "to", "the", "via", "taxiway", "taxilane", "twy", "in"});
    auto at = longest(taxiways_, true, "taxiway", quoted(begin, at_));
    out_.items.push_back({ClearanceItem::Kind::turn, *std::move(at), side, span(begin, at_)});
    in_list_ = true;
    after_to_ = along_ = false;
  }

  [[noreturn]] void two_ends(TextSpan one, TextSpan other) const {
    throw usage_error(fmt::format("two ends: \"{}\" and \"{}\"", out_.quoted(one), out_.quoted(other)),
                      "a clearance ends at one runway, holding point or stand");
  }

  void set_hold(NamedEnd now) {
    if (hold_ && (hold_->name != now.name || hold_->id != now.id)) two_ends(hold_->span, now.span);
    hold_ = std::move(now);
  }
  void set_runway(RunwayEnd now) {
    if (runway_ && runway_->runway != now.runway) two_ends(runway_->span, now.span);
    if (runway_ && now.entry.name.empty()) now.entry = runway_->entry;
    runway_ = std::move(now);
  }

  /// A runway last in the list is where the way ends, unless another end is named.
  void settle_runways() {
    if (out_.items.empty() || out_.items.back().kind != ClearanceItem::Kind::runway || !perhaps_end_) return;
    const ClearanceItem& last = out_.items.back();
    if (hold_ || stand_ || unnamed_hold_ || runway_) {
      if (!runway_ || runway_->runway != last.at.name || stand_) return;
    }
    set_runway({last.at.name, {}, last.span});
    out_.items.pop_back();
  }

  void settle_end() {
    using Kind = ClearanceEnd::Kind;
    auto& end = out_.end;
    if (stand_ && (hold_ || runway_)) two_ends(stand_->span, hold_ ? hold_->span : runway_->span);
    if (stand_) {
      end = {Kind::stand, stand_->name, "", stand_->id, stand_->span};
    } else if (hold_) {
      end = {Kind::hold, hold_->name, runway_ ? runway_->runway : "", hold_->id, hold_->span};
    } else if (unnamed_hold_ && runway_) {
      end = {Kind::runway_hold, runway_->entry, runway_->runway, "", runway_->span};
    } else if (runway_) {
      end = {Kind::runway, runway_->entry, runway_->runway, "", runway_->span};
    } else {
      hold_short_as_end();
    }
  }

  /// Where nothing else is the end, the last place to hold short of is.
  void hold_short_as_end() {
    using Kind = ClearanceBinding::Kind;
    const auto found = std::find_if(out_.bindings.rbegin(), out_.bindings.rend(), [](const ClearanceBinding& b) {
      return b.kind == Kind::hold_short_of_runway || b.kind == Kind::hold_short_of_hold;
    });
    if (found == out_.bindings.rend()) return;
    if (found->kind == Kind::hold_short_of_runway)
      out_.end = {ClearanceEnd::Kind::runway_hold, {}, found->at.name, "", found->span, true};
    else
      out_.end = {ClearanceEnd::Kind::hold, found->at, "", "", found->span, true};
  }

  bool in_list_ = false;      ///< of what is driven: a runway here is driven too, unless it is the last
  bool after_to_ = false;     ///< "to" stands before
  bool along_ = false;        ///< "along" or "on" stands before
  bool perhaps_end_ = false;  ///< the runway read last stands in a list without "along"
  std::optional<NamedEnd> hold_, stand_;
  std::optional<RunwayEnd> runway_;
  std::optional<TextSpan> unnamed_hold_;
};

}  // namespace

Clearance read_clearance(const std::string& text, const Vocabulary& vocabulary) {
  if (text.size() > kClearanceLength)
    throw usage_error(fmt::format("the clearance is {} characters long", text.size()),
                      fmt::format("at most {}", kClearanceLength));
  return Reader(text, vocabulary).read();
}

}  // namespace solotaxi::routing
