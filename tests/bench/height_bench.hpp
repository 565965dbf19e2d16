// The height estimate on invented taxiways: one solution with its deviations, and with the search for the wander.
#pragma once

namespace solotaxi::bench {

/// 40 and 400 km of taxiway with a point every 10 m under a raster of 30 m pixels.
void add_height_benchmarks();

}  // namespace solotaxi::bench
