"""README's code is the code that is built: readme.py ROOT"""
import pathlib
import sys

root = pathlib.Path(sys.argv[1])
readme = (root / "README.md").read_text(encoding="utf-8")
faults = []
for file in ("tests/example/taxi.cpp", "tests/example/CMakeLists.txt"):
    lines = [line for line in (root / file).read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    missing = [line for line in lines if line.strip() and line.strip() not in readme]
    faults += [f"README.md lacks a line of {file}: {line}" for line in missing]
print("\n".join(faults) or "alike")
sys.exit(bool(faults))
