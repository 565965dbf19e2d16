// Taxi clearances as they are spoken or written, and what their words say.
//
//   taxi to holding point A1 runway 26 via B, C, hold short of runway 18
//   Runway two six, taxi via Bravo and Charlie, cross runway 18
//   taxi to stand 12 via B C, left at D
//
// The parts come in any order; case and filler words (taxi, to, the, and, then, please, continue, proceed …) do not matter:
//   via B, C | B C               taxiways in the order they are driven; "via" may be left out
//   via runway 18, along runway 18   a runway driven lengthwise: inside the list, or behind "along" or "on"
//   holding point A1 runway 26   where it ends; of a holding point without a name: holding point runway 26
//   runway 26                    where it ends: lined up there; "runway 26 intersection C", or "at C", names the entry
//   stand 12, gate 12            where it ends; "stand 3#551504298" picks one of several of that name by its map id
//   hold short of runway 18      or of a taxiway, or "of holding point C1"; where nothing else is the end, it is
//   cross runway 18                  or "at C": where
//   vacate runway 27                 where an arrival comes from
//   backtrack, backtrack runway 26   runways may be driven lengthwise, and turned round on at their ends
//   left at B, turn right onto C     the way turns to that side at the junction with that taxiway
// The wording is that of ICAO Doc 4444, chapter 12, and of local variants ("gate", "hold short runway", "line up") [M].
//
// Spelled letters and digits are understood, the ICAO alphabet with alfa, juliett and x-ray in their common spellings, and
// digits as they are pronounced (niner, tree, fife): "Bravo Three" is B3, "two six right" is 26R where a runway is meant.
// A name of the field is read in the same way, so that a taxiway the map calls "Foxtrot" is F too: all names of one reading
// are one designator. Blanks do not part what only exists as one: "A 1" is A1 where there is no A or no 1. Of the readings
// whose names all exist the one with the fewest names is taken ("A 1" is A1 where A, 1 and A1 all exist), and `notes` says
// so; two with equally few are an error. A comma always parts.
//
// Reading is a pure function of the text and the vocabulary.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "solotaxi/network/network.hpp"

namespace solotaxi::routing {

inline constexpr std::size_t kClearanceLength = 2000;  ///< most bytes of a text
inline constexpr std::size_t kClearanceItems = 60;     ///< most taxiways, runways and turns on the way
inline constexpr std::size_t kClearanceBindings = 8;   ///< most places to hold short of and runways to cross

/// The names of a field that a clearance may hold, as the map spells them; each once, sorted.
struct Vocabulary {
  std::vector<std::string> taxiways;  ///< and taxilanes; "A;B" is two names
  std::vector<std::string> runways;   ///< designators: "08", "26L"
  std::vector<std::string> holds;     ///< holding positions; those without a name go by their taxiway's
  std::vector<std::string> stands;
};
[[nodiscard]] Vocabulary make_vocabulary(const network::Network& network);

/// Bytes of the text: [begin, end).
struct TextSpan {
  std::size_t begin = 0, end = 0;
  bool operator==(const TextSpan&) const = default;
};

enum class Side : std::uint8_t { left, right };
[[nodiscard]] const char* to_string(Side side);  ///< "left", "right"

/// A name as it was understood.
struct ClearanceName {
  std::string name;                    ///< as the field spells it, the shortest where it has several
  std::vector<std::string> spellings;  ///< every name of the field that reads like this, sorted; `name` is one of them
  bool operator==(const ClearanceName&) const = default;
};

/// A part of the way, in order.
struct ClearanceItem {
  enum class Kind : std::uint8_t {
    taxiway,  ///< driven
    runway,   ///< driven lengthwise
    turn      ///< to `side` at the junction with that taxiway, which may be driven behind it
  };
  Kind kind = Kind::taxiway;
  ClearanceName at;
  Side side = Side::left;  ///< of a turn
  TextSpan span;
};

/// Where the way must come by, wherever in the text it stands.
struct ClearanceBinding {
  enum class Kind : std::uint8_t { hold_short_of_runway, hold_short_of_taxiway, hold_short_of_hold, cross_runway };
  Kind kind = Kind::hold_short_of_runway;
  ClearanceName at;
  TextSpan span;
  std::optional<ClearanceName> by{};  ///< of a runway: the holding point or taxiway where ("at G1")
};

struct ClearanceEnd {
  enum class Kind : std::uint8_t {
    none,
    hold,         ///< a named holding point, `runway` where one is named with it
    runway_hold,  ///< the holding point of `runway` that the way comes by
    runway,       ///< lined up on `runway`, entered at `at` where that is named
    stand
  };
  Kind kind = Kind::none;
  ClearanceName at;    ///< holding point, stand, or entry of a runway
  std::string runway;  ///< designator
  std::string id;      ///< map id behind "#"
  TextSpan span;
  bool held = false;  ///< it is the last hold short of, one of the bindings: no other end is named
};

struct Clearance {
  std::string text;
  std::vector<ClearanceItem> items;
  std::vector<ClearanceBinding> bindings;
  ClearanceEnd end;
  bool backtrack = false;
  std::string backtrack_runway;  ///< "" for whichever
  TextSpan backtrack_span;
  std::string from_runway;  ///< designator, of an arrival: "vacate runway 27"
  TextSpan from_span;
  bool line_up = false;            ///< "line up" is said: the runway may be entered
  std::vector<std::string> notes;  ///< readings that were chosen, in words

  [[nodiscard]] std::string quoted(TextSpan span) const { return text.substr(span.begin, span.end - span.begin); }
};

/// Reads a clearance. Throws Error: usage for an empty text, one over the limits, words that mean nothing (quoted), a name
/// missing behind its word, two ends, a reading that cannot be decided; data for names the field does not have (nearest
/// spellings as hint). O(text × names).
[[nodiscard]] Clearance read_clearance(const std::string& text, const Vocabulary& vocabulary);

/// The clearance in the plainest words: reading them gives the same parts (spans and notes aside), as long as the field's
/// names can be said, having no keyword, comma or "#" in them.
[[nodiscard]] std::string to_text(const Clearance& clearance);

}  // namespace solotaxi::routing
