"""Prints the times of one session side by side, and stops where two engines computed different things."""

import platform
import sys
from pathlib import Path

SAME = ["positions", "inverse dynamics"]  # quantities whose sums must agree between ours, pin and mujoco


def processor():
    for line in Path("/proc/cpuinfo").read_text().splitlines():
        if line.startswith("model name"):
            return line.split(":")[1].strip()
    return platform.processor()


def main(path):
    best, sums = {}, {}
    for line in Path(path).read_text().splitlines():
        engine, what, median, _, total = line.split("\t")
        best[engine, what] = min(float(median), best.get((engine, what), float("inf")))
        sums[engine, what] = float(total)
    print(f"{processor()}, {platform.system()}; ns for one state, least of three medians")
    for (engine, what), ns in sorted(best.items(), key=lambda item: (item[0][1], item[0][0] != "ours")):
        ours = best["ours", what.split(",")[0]]
        print(f"  {what:28} {engine:24} {ns:8.0f}   ours is {ns / ours:.2f} times as fast")
    for what in SAME:
        for engine in ("pin", "mujoco"):
            ours, theirs = sums["ours", what], sums[engine, what]
            if abs(ours - theirs) > 1e-9 * abs(theirs):
                sys.exit(f"{what}: ours sums to {ours}, {engine} to {theirs}")


main(sys.argv[1])
