#!/usr/bin/env python3
"""Prints the benchmarks as a short table with ratios, and times whole runs of the program.

usage: table.py RESULTS.json [PROGRAM MAP]
"""
import json
import os
import statistics
import subprocess
import sys
import tempfile
import time

BASELINES = ("boost_line_graph", "boost_node_graph")
# What distance questions are meant to reach: (kind, field, baseline) -> least ratio.
AIMS = {
    ("point_to_point", "LMML", "boost_line_graph"): 2.0,
    ("point_to_point", "hub", "boost_line_graph"): 4.0,
    ("point_to_point", "LMML", "boost_node_graph"): 1.0,
    ("point_to_point", "hub", "boost_node_graph"): 1.0,
    ("one_to_all", "hub", "boost_line_graph"): 1.5,
}
TO_MICRO = {"ns": 1e-3, "us": 1.0, "ms": 1e3, "s": 1e6}
STANDS = (15, 16, 17, 18, 19, 20, 21, 22, 23, 24)  # refs that only one stand of the field has
RUNWAYS = ("05", "13", "23", "31")


def read(path):
    with open(path, encoding="utf-8") as file:
        results = json.load(file)
    searches, others = {}, []
    for run in results["benchmarks"]:
        if run.get("error_occurred"):
            sys.exit(f"benchmark {run['name']} failed: {run.get('error_message', '')}")
        parts = [p for p in run["name"].split("/") if not p.startswith("iterations:") and p != "manual_time"]
        if "median_us" in run and len(parts) == 4:
            kind, field, objective, who = parts
            searches.setdefault((kind, field, objective), {})[who] = run["median_us"]
        elif "median_us" in run:  # a part of a plan
            others.append(("/".join(parts), run["median_us"]))
        else:
            others.append(("/".join(parts), run["cpu_time"] * TO_MICRO[run["time_unit"]]))
    return searches, others


def print_searches(searches):
    print("Searches, median of the questions in microseconds; ratio = Boost.Graph / solotaxi")
    print(f"  {'':34}{'solotaxi':>9}{'line graph':>18}{'node graph':>18}")
    reached = True
    for (kind, field, objective), times in searches.items():
        if not all(who in times for who in ("solotaxi", *BASELINES)):
            continue  # filtered out
        line = f"  {kind.replace('_', ' ') + ', ' + field + ', ' + objective:34}{times['solotaxi']:9.1f}"
        notes = []
        for baseline in BASELINES:
            ratio = times[baseline] / times["solotaxi"]
            line += f"{times[baseline]:10.1f} {ratio:5.1f} x"
            aim = AIMS.get((kind, field, baseline)) if objective == "distance" else None
            if aim and ratio < aim:
                notes.append(f"under {aim:g} x")
        reached = reached and not notes
        print(line + ("  " + ", ".join(notes) if notes else ""))
    print("  Distance questions measured here reach their aims." if reached else "  Not every aim is reached.")
    print("  The node graph cannot see turns: its ways may not be drivable, its weights may be too low.\n")


def print_phases(searches):
    """Plans over engine phases: what the search takes against Boost.Graph's Dijkstra and resource-constrained search."""
    print("Plans over engine phases, median of the questions in microseconds (both running sets; to all stands: one)")
    for (kind, field, direction), times in searches.items():
        if not kind.startswith("phase_") or "solotaxi" not in times:
            continue
        ours = times["solotaxi"]
        line = f"  {kind.replace('_', ' ') + ', ' + field + ', ' + direction:44}{ours:10.1f}"
        if "boost_line_graph" in times:
            line += f"   {ours / times['boost_line_graph']:.2f} of Dijkstra one to all"
        if "boost_r_c" in times:
            line += f"   {times['boost_r_c'] / ours:.0f} x faster than r_c_shortest_paths"
        print(line)
    print()


def print_others(others):
    print("Everything else, mean of the processor time in milliseconds (parts of a plan: median of the questions)")
    for name, micro in others:
        print(f"  {name:42}{micro / 1e3:10.3f}")
    print()


def time_runs(runs):
    """Runs each command line, start to end; returns seconds, processor seconds and peak memory [MiB] of each."""
    taken = []
    for args in runs:
        before = time.perf_counter()
        child = subprocess.Popen(args, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
        message = child.stderr.read().decode()
        _, status, usage = os.wait4(child.pid, 0)
        seconds = time.perf_counter() - before
        if os.waitstatus_to_exitcode(status) != 0:
            print(f"  {' '.join(args[1:])}: {message.strip()}")
            continue
        taken.append((seconds, usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1024))
    return taken


def print_program(what, runs, aims):
    print(f"solotaxi {what} on the real field, process start to end")
    taken = time_runs(runs)
    if not taken:
        sys.exit("  no run came to an end")
    seconds = [t[0] for t in taken]
    print(f"  {len(taken)} runs: median {statistics.median(seconds):.3f} s, longest {max(seconds):.3f} s (aim {aims[0]} s), "
          f"{statistics.median(t[1] for t in taken):.3f} s of it on the processor; "
          f"peak memory {max(t[2] for t in taken):.0f} MiB (aim {aims[1]} MiB)")


def print_programs(program, field):
    print_program("route", [[program, "route", field, "--from", f"stand:{stand}", "--to",
                             f"runway:{RUNWAYS[i % len(RUNWAYS)]}", "--objective", "fuel", "--engines", "left"]
                            for i, stand in enumerate(STANDS)], (0.2, 120))
    with tempfile.TemporaryDirectory() as folder:
        print_program("screen, with a GeoPackage written", [[program, "screen", field, "--unknown-grade", "0", "--out",
                                                              os.path.join(folder, "screen.gpkg")]] * 5, (0.4, 120))


def main():
    searches, others = read(sys.argv[1])
    print_others(others)
    if searches:
        print_searches(searches)
        print_phases(searches)
    if len(sys.argv) > 3:
        print_programs(sys.argv[2], sys.argv[3])


if __name__ == "__main__":
    main()
