// From a raw map to one aerodrome: choosing it, reading tags, assembling runways, telling stands from gates.
//
// Findings of interpretation, by code (the reader's own come before them):
//   aeroway-not-understood     aeroway=… of a kind that is not read; left out
//   access-no                  access=no; open unless the options shut it
//   aerodrome-not-counted      heliports and disused aerodromes do not count as aerodromes
//   aerodrome-repeated         one aerodrome drawn twice (its node and its area)
//   area-aeroway               area:aeroway pavement; never network
//   beyond-aerodrome           features too far from the aerodrome (2 km from its area, 6 km from its point); left out
//   closed-in-map              closed=, disused=, abandoned=yes, runway=closed, ref "X/X": shut to every aircraft
//   duplicate                  the same line or stand a second time; left out
//   empty-geometry             a feature without any position; left out
//   gates-as-stands            no stands in the map: gates stand for them, approximately
//   gates-beside-stands        gates left out, as the map has stands
//   holding-position-line      a holding position drawn as line or area: its middle is used
//   lifecycle                  disused:, historic:, construction: … without the live key; left out
//   line-without-length        fewer than two different positions; left out
//   no-aerodrome               no aerodrome feature: everything in the map is taken
//   not-taxiable               stopways and blast pads; left out
//   other-aerodrome            features of another aerodrome in the file; left out
//   repeated-vertex            a vertex drawn twice in a row; taken once
//   runway-all-displaced, runway-displaced-inside   displaced-threshold pieces that make no sense
//   runway-area-repeats        pavement of a runway that has a centreline; not used
//   runway-area-unusable       a runway area without centreline that is no strip; left out (serious)
//   runway-end-shut            no_take_off or no_landing names it
//   runway-gap-joined          two pieces of a runway that do not touch; joined
//   runway-in-pieces           a runway put together
//   runway-name-repeated       two runways with the same designators
//   runway-of-points, runway-points-repeat   runway=centreline_point: points of a centreline
//   runway-ref-azimuth         the line runs over 25° off its designators
//   runway-ref-completed, runway-ref-not-reciprocal, runway-ref-odd, runway-ref-reversed   odd designators
//   runway-ref-on-taxiway      a taxiway with the designators of a runway
//   runway-ring                drawn as its edge; a centreline is assumed
//   runway-widths-differ       pieces of different width; the least is used
//   runway-without-designators, runway-without-line
//   stand-area, stand-on-stand-line   where a stand is drawn otherwise than as point or line of its own
//   tag-not-understood         a value that cannot be read; left out
//   taxiway-area               taxiways drawn as areas have no centreline; left out
//   threshold-disagrees, threshold-mark   landing thresholds drawn as points
//   water-runway               left out
#pragma once

#include <optional>
#include <string>

#include "solotaxi/airfield/airfield.hpp"
#include "solotaxi/airfield/raw_map.hpp"

namespace solotaxi::airfield {

struct InterpretOptions {
  /// ICAO or IATA code, name (a part of it where that is plain; upper and lower case alike for A–Z), or "lat,lon" in
  /// degrees (inside the aerodrome's area or nearest to it, at most 10 km); needed only where the map holds several.
  std::optional<std::string> aerodrome;
  /// Lines tagged access=no are shut; otherwise they stay open with a finding.
  bool access_no_is_closed = false;
};

/// Throws Error (data) where the map has no taxiway line, taxiways only as areas, no runway, NaN coordinates or a
/// position over 50 km from the rest of the field (with the feature's id), and where several aerodromes are in the map and
/// none, or one that is not there, is asked for (the hint lists them). Time grows linearly with the vertices, and with the
/// square of the number of runway pieces.
[[nodiscard]] Airfield interpret(const RawMap& map, const InterpretOptions& options = {});

}  // namespace solotaxi::airfield
