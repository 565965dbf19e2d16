"""Makes the demo field anew and compares it with the files kept: the map byte by byte, the raster pixel by pixel."""
import pathlib
import subprocess
import sys

program, kept, fresh = sys.argv[1], pathlib.Path(sys.argv[2]), pathlib.Path(sys.argv[3])
subprocess.run([program, str(fresh)], check=True)
faults = []
if (kept / "field.geojson").read_bytes() != (fresh / "field.geojson").read_bytes():
    faults.append("field.geojson differs")


def pixels(file):
    # Compression may differ between library versions; the values may not.
    return subprocess.run(["gdal_translate", "-q", "-of", "XYZ", str(file), "/vsistdout/"], check=True, capture_output=True).stdout


if pixels(kept / "elevation.tif") != pixels(fresh / "elevation.tif"):
    faults.append("elevation.tif differs")
print("\n".join(faults) or "the same")
sys.exit(bool(faults))
