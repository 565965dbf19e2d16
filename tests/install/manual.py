"""Manual pages against mandoc's checks and against the program's own help: manual.py MANDOC PROGRAM FOLDER"""
import pathlib
import re
import subprocess
import sys

mandoc, program, folder = sys.argv[1], sys.argv[2], pathlib.Path(sys.argv[3])
faults = []


def output(*command):
    return subprocess.run(command, capture_output=True, text=True, check=False).stdout


commands = re.findall(r"^  (\w+) ", output(program, "--help").split("Subcommands:")[1], re.M)
if len(commands) < 6:
    faults.append(f"help lists only {commands}")
pages = {p.stem for p in folder.glob("*.1")}
if pages != {"solotaxi", *(f"solotaxi-{c}" for c in commands)}:
    faults.append(f"pages are {sorted(pages)}, commands {commands}")
for page in sorted(folder.glob("*.1")):
    # "missing date": left out, so that a page changes only with its words.
    for line in output(mandoc, "-T", "lint", "-W", "warning", str(page)).splitlines():
        if "missing date" not in line:
            faults.append(line)
for command in commands:
    help_options = set(re.findall(r"(?<![\w-])--[\w-]+", output(program, command, "--help")))
    text = re.sub(r".\x08", "", output(mandoc, "-T", "ascii", str(folder / f"solotaxi-{command}.1")))
    faults += [f"solotaxi-{command}.1 does not tell {o}" for o in sorted(help_options) if o not in text]
    if len(help_options) < 5:
        faults.append(f"{command} --help lists only {sorted(help_options)}")
print("\n".join(faults) or f"{len(pages)} pages")
sys.exit(bool(faults))
