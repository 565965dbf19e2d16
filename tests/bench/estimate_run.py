"""Measures `solotaxi estimate` as a program: rows a second on one thread, memory, threads beside processes, draws.

    estimate_run.py PROGRAM DEMO_FOLDER WORK_FOLDER [MILLIONS]

Movements are invented: so many million (2) from twelve stands of the demo field. CPU time is told beside the wall clock's,
which other programs on the machine disturb. What making the plans takes is measured alone and taken off rates.
"""
import os
import pathlib
import subprocess
import sys
import time

program, demo, work = sys.argv[1], pathlib.Path(sys.argv[2]), pathlib.Path(sys.argv[3])
millions = float(sys.argv[4]) if len(sys.argv) > 4 else 2.0
work.mkdir(parents=True, exist_ok=True)
STANDS = [1, 3, 5, 7, 9, 11, 21, 24, 27, 30, 41, 47]
HEADING = "time,field,stand,runway,aircraft,direction,mass_kg,queue_min,taxi_time_min\n"


def block():
    return "".join(
        f"2026-07-{1 + k // 400 % 28:02}T{k // 60 % 24:02}:{k % 60:02},XQTB,{STANDS[k % 12]},09,narrow-body-twin,out,"
        f"{59100 + 100 * (k % 18)},{k // 12 % 6},\n" for k in range(10080))


def movements(rows):
    file = work / f"movements-{rows}.csv"
    if not file.exists():
        text, made = block(), 0
        with open(file, "w") as out:
            out.write(HEADING)
            while made < rows:
                lines = text if rows - made >= 10080 else "".join(text.splitlines(True)[:rows - made])
                out.write(lines)
                made += min(10080, rows - made)
    return file


def command(rows, *more):
    return [program, "estimate", "--movements", str(movements(rows)), "--field", f"XQTB={demo / 'field.geojson'}",
            "--dem", f"XQTB={demo / 'elevation.tif'}", *more]


def run(*commands):
    """Runs them side by side: (wall s, CPU s, peak KiB of the largest)."""
    begun = time.monotonic()
    running = [subprocess.Popen(c, stdout=subprocess.DEVNULL) for c in commands]
    cpu, peak = 0.0, 0
    for process in running:
        _, status, usage = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
        if process.returncode:
            sys.exit(f"{' '.join(process.args)}: exit status {process.returncode}")
        cpu += usage.ru_utime + usage.ru_stime
        peak = max(peak, usage.ru_maxrss)
    return time.monotonic() - begun, cpu, peak


def out(name):
    return "--out", str(work / name)


rows, few = int(millions * 1e6), 20160
plans = min(run(command(few, *out("few.csv"), "--threads", "1")) for _ in range(3))
one = run(command(rows, *out("one.csv"), "--threads", "1"))
print(f"plans and start            {plans[1]:.2f} s CPU, {plans[2] / 1024:.0f} MiB")
print(f"{rows:,} rows, one thread  {one[0]:.2f} s, {one[1]:.2f} s CPU, {one[2] / 1024:.0f} MiB; "
      f"{(rows - few) / (one[1] - plans[1]) / 1e6:.2f} million rows a second of CPU")
half = run(command(rows // 2, *out("half.csv"), "--threads", "1"))
print(f"half of them               {half[2] / 1024:.0f} MiB")
ratios = []
for _ in range(3):
    threads = run(command(rows, *out("two.csv"), "--threads", "2"))
    processes = run(*(command(rows, *out(f"shard-{k}.csv"), "--threads", "1", "--shard", f"{k}/2") for k in (1, 2)))
    ratios.append((processes[0] / threads[0], threads, processes))
ratio, threads, processes = sorted(ratios)[1]
print(f"two threads                {threads[0]:.2f} s, {threads[2] / 1024:.0f} MiB; two processes {processes[0]:.2f} s: "
      f"{ratio:.2f} of their rate (median of three)")
small = rows // 10
without, draws = (run(command(small, "--threads", "1", *more)) for more in ((), ("--draws", "200")))
print(f"200 draws, {small:,} rows  {draws[1]:.2f} s CPU, without {without[1]:.2f} s: {draws[1] / without[1]:.2f} times")
