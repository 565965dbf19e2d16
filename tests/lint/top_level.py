"""Fails when the top level holds anything beside the agreed files and folders."""
import pathlib
import sys

EXPECTED = {"CMakeLists.txt", "README.md", "DEVELOPERS.md", "src", "include", "tools", "data", "tests"}
root = pathlib.Path(sys.argv[1])
found = {p.name for p in root.iterdir() if not p.name.startswith(".")} - {"build"}
faults = [f"missing: {n}" for n in sorted(EXPECTED - found)] + [f"extra: {n}" for n in sorted(found - EXPECTED)]
print("\n".join(faults) or "as agreed")
sys.exit(bool(faults))
