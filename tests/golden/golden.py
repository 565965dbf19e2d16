"""Compares what the program gives with what was kept.

A case is NAME.args, one argument a line, run in the project's root; NAME.out keeps standard output and, for a case that
fails, its line on standard error and the exit status. Numbers may differ in their last printed digit: another compiler or
version of a library rounds elsewhere. --update writes the kept files anew.
"""
import argparse
import difflib
import pathlib
import re
import subprocess
import sys

NUMBER = re.compile(r"-?\d[\d,]*(?:\.\d+)?")


def output(program, case, root):
    args = [a for a in case.read_text(encoding="utf-8").splitlines() if a and not a.startswith("# ")]
    run = subprocess.run([program, *args], cwd=root, capture_output=True, text=True, encoding="utf-8")
    text = run.stdout
    if run.returncode != 0:
        text += f"status {run.returncode}\n{run.stderr}"
    elif run.stderr:
        text += f"unexpected on standard error:\n{run.stderr}"
    return text


def close(kept, now):
    """Whether two texts are the same but for one step in the last digit of their numbers."""
    if NUMBER.sub("#", kept).split() != NUMBER.sub("#", now).split():
        return False
    for a, b in zip(NUMBER.findall(kept), NUMBER.findall(now)):
        decimals = max(len(t.partition(".")[2]) for t in (a, b))
        if abs(float(a.replace(",", "")) - float(b.replace(",", ""))) > 1.01 * 10.0**-decimals:
            return False
    return True


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--program", required=True)
    parser.add_argument("--root", required=True)
    parser.add_argument("--update", action="store_true")
    parser.add_argument("cases", nargs="+", type=pathlib.Path)
    options = parser.parse_args()
    failed = False
    for case in options.cases:
        now = output(options.program, case, options.root)
        file = case.with_suffix(".out")
        if options.update:
            file.write_text(now, encoding="utf-8")
            continue
        kept = file.read_text(encoding="utf-8")
        if not close(kept, now):
            failed = True
            sys.stdout.writelines(difflib.unified_diff(kept.splitlines(True), now.splitlines(True), "kept", "now"))
    return failed


sys.exit(main())
