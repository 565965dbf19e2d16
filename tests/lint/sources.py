"""Fails when a test cites a source tag, [S:...], that tests/SOURCES.md does not list, or the list has one nobody cites."""
import pathlib
import re
import sys

root = pathlib.Path(sys.argv[1])
listed = set(re.findall(r"^- \*\*(S:[\w-]+)\*\*", (root / "tests/SOURCES.md").read_text(encoding="utf-8"), re.M))
cited = {}
for folder in ("tests", "include", "src", "data"):
    for path in sorted((root / folder).rglob("*")):
        if path.suffix in {".cpp", ".hpp", ".toml", ".py"} and path.name != "sources.py":
            for tag in re.findall(r"\[(S:[\w-]+)\]", path.read_text(encoding="utf-8")):
                cited.setdefault(tag, path)
faults = [f"{p}: {t} is not in tests/SOURCES.md" for t, p in sorted(cited.items()) if t not in listed]
faults += [f"tests/SOURCES.md: {t} is cited nowhere" for t in sorted(listed - cited.keys())]
print("\n".join(faults) or f"{len(listed)} sources, all cited")
sys.exit(bool(faults))
