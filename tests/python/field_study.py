"""A study of a field in cells (# %%), as a notebook has them: which stands gain from taxiing on one engine, and from which queue.

Run as it is it takes the demo field; name a map, a raster and a runway end for another: field_study.py MAP HEIGHTS RUNWAY
A planning aid, not for navigation.
"""
# %% The field
import os
import sys

import numpy as np
import solotaxi

root = os.environ.get("SOLOTAXI_ROOT", "/usr/share/solotaxi")
demo = os.path.join(root, "data/demo" if os.path.isdir(os.path.join(root, "data")) else "demo")
field_map, heights, runway = sys.argv[1:] if len(sys.argv) == 4 else (f"{demo}/field.geojson", f"{demo}/elevation.tif", "09")
field = solotaxi.load(field_map, dem=heights)
report = field.check()
print(f"{report['aerodrome']['name']}: {report['counts']['stands']} stands, {report['length_m']['total'] / 1000:.1f} km of lines")

# %% How steep is it?
segments = field.segments()
known = ~np.isnan(segments["grade"])
weight = segments["length_m"][known]
steep = np.abs(segments["grade"][known]) * 100
print(f"mean grade {np.average(steep, weights=weight):.2f} %, over 1 %: {weight[steep > 1].sum():.0f} m")

# %% Every stand to one runway end, without a queue and with ten minutes of it
screens = {queue: field.screen(queue=queue, mend=0) for queue in (0, 10)}
for queue, screen in screens.items():
    pairs = [p for p in screen["aircraft"][0]["now"]["pairs"] if p["runway"] == runway and p["direction"] == "departure"]
    saving = np.array([p["saving_kg"] for p in pairs if p["saving_kg"] is not None])
    print(f"queue {queue:2} min: {len(saving)} of {len(pairs)} stands have a plan on one engine; "
          f"it saves {np.median(saving):.1f} kg (median), {saving.max():.1f} kg at most")

# %% One of them in full
stand = report["counts"]["stands"] and pairs[0]["stand"]
plan = field.plan(f"stand:{stand}", f"runway:{runway}", queue=10)
print(f"stand {stand}: {plan['advised']}, {plan['fuel_kg']:.1f} kg in {plan['time_s'] / 60:.1f} min, saves {plan['saving_kg']:.1f} kg")
for line in plan["cautions"]:
    print("*", line)
