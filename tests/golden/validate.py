"""Checks the JSON the program prints against data/schema, and that the schemas refuse what they should."""
import argparse
import copy
import json
import math
import pathlib
import subprocess
import sys

import jsonschema

parser = argparse.ArgumentParser()
parser.add_argument("--program", required=True)
parser.add_argument("--root", type=pathlib.Path, required=True)
parser.add_argument("--shared", type=pathlib.Path)
options = parser.parse_args()

schemas = {name: json.loads((options.root / "data/schema" / f"{name}.schema.json").read_text(encoding="utf-8"))
           for name in ("check", "route", "plan", "preview", "estimate", "screen")}
folder = (options.root / "data/schema").resolve().as_uri() + "/"
faults = []


def validator(name):
    store = {folder + f"{n}.schema.json": s for n, s in schemas.items()}
    jsonschema.Draft202012Validator.check_schema(schemas[name])
    resolver = jsonschema.RefResolver(folder + f"{name}.schema.json", schemas[name], store)
    return jsonschema.Draft202012Validator(schemas[name], resolver=resolver)


def no_constant(word):
    raise ValueError(f"{word} is not JSON")


def run(name, *args):
    command = [options.program, name, *map(str, args), "--format", "json"]
    done = subprocess.run(command, cwd=options.root, capture_output=True)
    if done.returncode != 0:
        faults.append(f"{name} {args}: status {done.returncode}: {done.stderr.decode()}")
        return None
    result = json.loads(done.stdout.decode("utf-8"), parse_constant=no_constant)
    for error in validator(name).iter_errors(result):
        faults.append(f"{name} {args}: {error.json_path}: {error.message}")
    return result


field = ("data/demo/field.geojson", "--dem", "data/demo/elevation.tif")
check = run("check", *field, "--code-letter", "C")
run("check", field[0])
route = None
for extra in ([], ["--engines", "left", "--objective", "fuel"], ["--engines", "right", "--surface", "contaminated"],
              ["--engines", "1", "--require", "standing", "--mass", "79000"]):
    route = run("route", *field, "--from", "stand:12", "--to", "runway:09", *extra)
run("route", *field, "--from", "runway:27", "--to", "stand:24", "--engines", "left")
run("route", field[0], "--from", "stand:12", "--to", "stand:24", "--engines", "left")
plan = None
for extra in ([], ["--surface", "contaminated"], ["--apu", "off"], ["--queue", "7", "--queue-moves", "1", "--alternatives", "3"]):
    plan = run("plan", *field, "--from", "stand:12", "--to", "runway:09", *extra)
run("plan", *field, "--from", "runway:27", "--to", "stand:24", "--since-landing", "60")
run("plan", *field, "--from", "stand:12", "--to", "runway:09", "--aircraft", "four-engine", "--rule", "may-run-alone=2,3")
preview = None
for words, extra in (("taxi to holding point A1 via M, F, A", []),
                     ("taxi to runway 09 via M, K, A, A1, hold short of runway 09", []),
                     ("runway 27 via Mike Kilo Alpha, A8", ["--queue", "3"])):
    preview = run("preview", *field, "--from", "stand:12", "--clearance", words, *extra)
movements = ("--movements", "tests/golden/cases/movements.csv", "--field", f"XQTB={field[0]}", "--reject-share", "20")
run("estimate", *movements, "--draws", "20")
estimate = run("estimate", *movements, "--dem", f"XQTB={field[2]}")
flatter = options.root / "tests/data/changes/bridge_flat.toml"
screen = None
for extra in ([], ["--surface", "contaminated", "--mend", "0"], ["--aircraft", "narrow-body-twin", "--aircraft", "four-engine"],
              ["--queue", "5", "--what-if", flatter],
              ["--what-if", options.root / "tests/data/changes/shortcut.toml", "--standard-routes"],
              ["--traffic", options.root / "tests/data/traffic/demo.csv"]):
    screen = run("screen", *field, *extra)
real = options.shared / "airports/LMML/aeroway.osm" if options.shared else None
if real and real.exists():
    run("check", real, "--code-letter", "E")
    run("route", real, "--from", "stand:12#551501384", "--to", "runway:31", "--engines", "left")
    run("plan", real, "--from", "stand:12#551501384", "--to", "runway:31", "--unknown-grade", "0")
    run("screen", real, "--unknown-grade", "0")

# Sums that must hold whatever the numbers are.
for name, result in (("route", route), ("plan", plan), ("preview", preview)):
    if not result:
        continue
    legs = result["legs"]
    for key in ("length_m", "fuel_kg"):
        total = math.fsum(leg[key] for leg in legs)
        if abs(total - result[key]) > 0.06 * len(legs):
            faults.append(f"{name}: legs sum to {total} {key}, the {name} says {result[key]}")
    if abs(result["co2_kg"] - 3.16 * result["fuel_kg"]) > 0.003:
        faults.append(f"{name}: CO2 is not 3.16 times the fuel")

if estimate:
    for groups in ("by_field", "by_aircraft", "by_hour", "by_month"):
        for key in ("movements", "saving_kg"):
            total = math.fsum(group[key] for group in estimate[groups])
            if abs(total - estimate["total"][key]) > 0.0011 * len(estimate[groups]):
                faults.append(f"estimate: {groups} sum to {total} {key}")

# A schema that takes anything would check nothing.
for name, result in (("check", check), ("route", route), ("plan", plan), ("preview", preview), ("estimate", estimate),
                     ("screen", screen)):
    if result is None:
        continue
    for key in result:
        lame = copy.deepcopy(result)
        del lame[key]
        if validator(name).is_valid(lame):
            faults.append(f"{name}: the schema does not miss {key}")
    if validator(name).is_valid({**result, "surplus": 1}):
        faults.append(f"{name}: the schema takes unknown keys")
    lame = copy.deepcopy(result)
    lame["findings"] = [{"code": "x", "severity": "grave", "where": {"id": "", "lat": None, "lon": None}, "text": "x"}]
    if validator(name).is_valid(lame):
        faults.append(f"{name}: the schema takes an unknown severity")

print("\n".join(faults) or "as the schemas say")
sys.exit(bool(faults))
