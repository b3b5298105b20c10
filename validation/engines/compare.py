"""Computes the states of a vectors file in two engines, compares, and writes the results file.

python compare.py VECTORS RESULTS

Prints the largest relative difference of every quantity. Exits with 1 where one is above 1e-9.
"""

import json
import platform
import sys

import numpy as np

import vectors
import with_mujoco
import with_pin

LIMIT = 1e-9
KEPT = 60  # states whose numbers are kept
WITH_MATRIX = 6  # of those, states whose mass matrix is kept
STORED = ["centres", "centre_of_mass", "torques", "torques_when_pushed"]
ENGINES = {"pin": with_pin, "mujoco": with_mujoco}


def plain(values):
    return [float(x) for x in np.ravel(values)]


def main(source, target):
    head, states = vectors.read(source)
    n = len(head["joints"])
    worst = {name: {} for name in ENGINES}
    kept = []
    engines = {name: [m.Engine(head, tree) for tree in head["trees"]] for name, m in ENGINES.items()}
    for k, state in enumerate(states):
        record = {key: state[key] for key in ("tree", "q", "v", "a", "wrench")}
        for name, trees in engines.items():
            theirs = trees[state["tree"]].results(state)
            for quantity, value in theirs.items():
                ours = state[quantity]
                if quantity == "mass_matrix":
                    ours = vectors.symmetric(ours, n)
                difference = vectors.apart(ours, value)
                worst[name][quantity] = max(worst[name].get(quantity, 0.0), difference)
            record[name] = {quantity: plain(theirs[quantity]) for quantity in STORED}
            if k < WITH_MATRIX:
                record[name]["mass_matrix"] = plain(theirs["mass_matrix"][np.tril_indices(n)])
        if k < KEPT:
            kept.append(record)
    print(f"{len(states)} states of {len(head['trees'])} trees; largest relative difference:")
    for quantity in worst["pin"]:
        figures = [f"{name} {worst[name][quantity]:.1e}" for name in ENGINES if quantity in worst[name]]
        print(f"  {quantity:32}" + "   ".join(figures))
    about = {
        "what": "Whole-body trees computed by two general-purpose engines, and how far ours is from them",
        "made_by": "validation/engines/run.sh",
        "engines": {name: module.VERSION for name, module in ENGINES.items()},
        "python": platform.python_version(),
        "numpy": np.__version__,
        "states_compared": len(states),
        "largest_relative_difference": {
            name: {q: float(f"{x:.1e}") for q, x in found.items()} for name, found in worst.items()
        },
        "mass_matrix": "lower triangle, row by row, of the first states only",
    }
    with open(target, "w") as out:
        out.write('{\n"about": ' + json.dumps(about, indent=1) + ",\n")
        for key in ("gravity", "joints"):
            out.write(f'"{key}": {json.dumps(head[key])},\n')
        for key, rows in (("trees", head["trees"]), ("states", kept)):
            lines = ",\n".join(json.dumps(row) for row in rows)
            out.write(f'"{key}": [\n{lines}\n]' + (",\n" if key == "trees" else "\n"))
        out.write("}\n")
    too_far = max(max(found.values()) for found in worst.values()) > LIMIT
    if too_far:
        print(f"a difference is above {LIMIT}")
    return 1 if too_far else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:3]))
