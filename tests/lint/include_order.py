"""Fails when a module includes one that comes after it, or a heavy header stands in a public one."""
import pathlib
import re
import sys

ORDER = "base units geo airfield terrain network aircraft motion routing planning io report cli python".split()
# io stands beside the others: what it reads into lies below it; only report and cli use it.
HEAVY = re.compile(r"#include <(gdal|ogr|boost/|CLI/|nlohmann/|toml\+\+/|osmium/|Eigen/)")
MAY_BE_HEAVY = {"network/graph.hpp"}

root = pathlib.Path(sys.argv[1])
faults = []
for folder in ("include/solotaxi", "src"):
    for path in sorted((root / folder).rglob("*.[ch]pp")):
        relative = path.relative_to(root / folder)
        module = relative.parts[0]
        if module not in ORDER:
            faults.append(f"{path}: {module} is no module; add it to the order in {pathlib.Path(__file__).name}")
            continue
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
            used = re.match(r'#include "(?:solotaxi/)?(\w+)/', line)
            if used and used[1] in ORDER and ORDER.index(used[1]) > ORDER.index(module):
                faults.append(f"{path}:{number}: {module} must not include {used[1]}")
            if folder.startswith("include") and HEAVY.match(line) and str(relative) not in MAY_BE_HEAVY:
                faults.append(f"{path}:{number}: heavy header in a public one")
print("\n".join(faults) or "in order")
sys.exit(bool(faults))
