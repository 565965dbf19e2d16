# example.sh CMAKE BUILD SOURCE SCRATCH PROGRAM: installs the library, builds tests/example with it, compares their answers.
set -euo pipefail
cmake=$1 build=$2 source=$3 scratch=$4 program=$5
rm -rf "$scratch"
"$cmake" --install "$build" --prefix "$scratch/root" --component dev >/dev/null
"$cmake" -S "$source/tests/example" -B "$scratch/build" -DCMAKE_PREFIX_PATH="$scratch/root" -DCMAKE_BUILD_TYPE=Release >"$scratch/log" 2>&1 ||
  { cat "$scratch/log"; exit 1; }
"$cmake" --build "$scratch/build" >"$scratch/log" 2>&1 || { cat "$scratch/log"; exit 1; }
field=$source/data/demo/field.geojson heights=$source/data/demo/elevation.tif
told=$("$scratch/build/taxi" "$field" "$heights")
"$program" plan "$field" --dem "$heights" --from stand:12 --to runway:09 --pressure-altitude 0 --format json >"$scratch/plan.json"
python3 - "$told" "$scratch/plan.json" <<'PY'
import json, re, sys
told, plan = sys.argv[1], json.load(open(sys.argv[2]))
advised, saving = re.fullmatch(r"advised: ([\w-]+), saves (-?[\d.]+) kg", told).groups()
print(told, "| program:", plan["advised"], plan["saving_kg"])
sys.exit(advised != plan["advised"] or abs(float(saving) - plan["saving_kg"]) > 0.006 or float(saving) == 0)
PY
