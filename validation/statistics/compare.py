"""Computes the data sets with other packages, compares with ours, prints a table, writes the results.

python compare.py ASKED OURS RESULTS

A difference is relative to their figure or to a thousandth of the scale of its kind, whichever is
larger; probabilities are relative to themselves, however small. Exits with 1 where one is above 1e-9.
"""

import json
import platform
import sys
import warnings

import mpmath
import numpy as np
import pandas
import pingouin
import scipy
import statsmodels

import theirs

LIMIT = 1e-9
REFUSALS = ("do not differ", "is not defined", "given, at least")


def numbers(line):
    """The data set with its numbers read from text."""
    def read(value):
        if isinstance(value, list):
            return [read(v) for v in value]
        return float(value) if isinstance(value, str) else value

    words = {"kind"} | ({"of"} if line["kind"] == "distribution" else set())
    return {key: value if key in words else read(value) for key, value in line.items()}


class Tally:
    """Largest difference of each statistic, over how many sets, and what was not compared."""

    def __init__(self):
        self.rows = {}
        self.set = 0

    def row(self, name):
        return self.rows.setdefault(name, {"sets": set(), "largest": 0.0, "at": None, "apart": {}, "refused": 0})

    def add(self, name, ours, theirs, scale=0.0):
        """Counts one pair of figures; scale is the size that a difference of its kind matters against."""
        row = self.row(name)
        ours, theirs = np.ravel(np.asarray(ours, float)), np.ravel(np.asarray(theirs, float))
        assert ours.shape == theirs.shape, (name, ours.shape, theirs.shape)
        floor = np.maximum(np.abs(theirs), 1e-3 * scale)
        with np.errstate(all="ignore"):
            apart = np.abs(ours - theirs) / np.where(floor > 0, floor, 1.0)
        # A NaN of either side is a disagreement: what is known to have none is told by `skip`.
        worst = float("inf") if not np.all(np.isfinite(apart)) else float(np.max(apart, initial=0.0))
        row["sets"].add(self.set)
        if worst > row["largest"]:
            row["largest"], row["at"] = worst, self.set

    def skip(self, name, why):
        """Counts a set that is left out, with the reason, which the table prints."""
        row = self.row(name)
        row["apart"][why] = row["apart"].get(why, 0) + 1

    def refuse(self, name, said):
        """Ours has no answer; only the known reasons pass."""
        row = self.row(name)
        row["refused"] += 1
        if not any(known in said for known in REFUSALS):
            row["largest"], row["at"] = float("inf"), self.set
            print(f"set {self.set}: {name} refused: {said}")


def main(asked, ours, target):
    warnings.filterwarnings("ignore")
    pingouin.options["round.column.CI95"] = None
    tally = Tally()
    with open(asked) as left, open(ours) as right:
        for number, (line, answer) in enumerate(zip(left, right, strict=True)):
            tally.set = number
            line, answer = numbers(json.loads(line)), json.loads(answer)
            if isinstance(answer, dict) and "refused" in answer:
                tally.refuse(theirs.NAMES[line["kind"]], answer["refused"])
                if not theirs.without_answer(line):
                    tally.refuse(theirs.NAMES[line["kind"]], "but theirs has an answer")
                continue
            theirs.KINDS[line["kind"]](line, answer, tally)
    table = []
    for name, row in tally.rows.items():
        enough = len(row["sets"]) >= 200
        verdict = "agrees" if row["largest"] <= LIMIT and enough else "DISAGREES" if enough else "TOO FEW"
        by = theirs.BY.get(name, "")
        table.append({
            "statistic": name, "by": by, "data_sets": len(row["sets"]), "refused": row["refused"],
            "largest_difference": float(f"{row['largest']:.1e}"), "verdict": verdict, "left_out": row["apart"],
        })
    print(f"{'statistic':44}{'compared with':34}{'sets':>5}{'refused':>9}{'largest':>10}  verdict")
    for row in table:
        print(f"{row['statistic']:44}{row['by']:34}{row['data_sets']:5}{row['refused']:9}"
              f"{row['largest_difference']:10.1e}  {row['verdict']}")
        for why, count in row["left_out"].items():
            print(f"    {count} left out: {why}")
        if row["verdict"] != "agrees":
            print(f"    largest at set {tally.rows[row['statistic']]['at']}")
    about = {
        "what": "Statistics of measurement beside other packages on random data sets",
        "made_by": "validation/statistics/run.sh",
        "packages": {p.__name__: p.__version__ for p in (scipy, pingouin, statsmodels, mpmath, np, pandas)},
        "python": platform.python_version(),
        "limit": LIMIT,
    }
    with open(target, "w") as out:
        rows = ",\n".join(json.dumps(row) for row in table)
        out.write('{\n"about": ' + json.dumps(about, indent=1) + f',\n"table": [\n{rows}\n]\n}}\n')
    return 0 if all(row["verdict"] == "agrees" for row in table) else 1


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:4]))
