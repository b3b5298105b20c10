"""Solves planning problems with HiGHS, compares the optimum with ours, and writes the results file.

The integer program: x_i chooses choice i; of one family at most one; at most k in all; time with
the changes between exercises fits. A_gf is the gain of family f for goal g. u_gfj is what family f
counts for goal g in place j (full, a half, a quarter): at most A_gf over all places, and only where
y_gfj gives it that place, which one family has. Gains lie between 0 and 1, so the link is u <= y.
"""

import json
import sys
import time

import highspy
import numpy as np


def solve(problem, limit):
    terms, choices = problem["terms"], problem["choices"]
    weights, again, most = terms["weights"], terms["again"], terms["most"]
    families = sorted({c["family"] for c in choices})
    n, goals, places = len(choices), len(weights), most
    count = goals * len(families) * places
    cols = n + 2 * count

    def u(g, f, j):
        return n + (g * len(families) + f) * places + j

    def y(g, f, j):
        return u(g, f, j) + count

    cost = np.zeros(cols)
    for g in range(goals):
        for f in range(len(families)):
            for j in range(places):
                cost[u(g, f, j)] = weights[g] * again**j
    rows = []
    # Sum of times and changes: each chosen exercise brings its change, one change too many is given back.
    rows.append(([i for i in range(n)], [c["seconds"] + terms["change_s"] for c in choices],
                 terms["time_s"] + terms["change_s"]))
    rows.append((list(range(n)), [1.0] * n, float(most)))
    of = {f: [i for i, c in enumerate(choices) if c["family"] == f] for f in families}
    for f in families:
        rows.append((of[f], [1.0] * len(of[f]), 1.0))
    for g in range(goals):
        for k, f in enumerate(families):
            index = [u(g, k, j) for j in range(places)] + [i for i in of[f] if choices[i]["gains"][g] != 0.0]
            value = [1.0] * places + [-choices[i]["gains"][g] for i in index[places:]]
            rows.append((index, value, 0.0))
            for j in range(places):
                rows.append(([u(g, k, j), y(g, k, j)], [1.0, -1.0], 0.0))
        for j in range(places):
            rows.append(([y(g, k, j) for k in range(len(families))], [1.0] * len(families), 1.0))

    lp = highspy.HighsLp()
    lp.num_col_, lp.num_row_ = cols, len(rows)
    lp.col_cost_ = cost
    lp.col_lower_, lp.col_upper_ = np.zeros(cols), np.ones(cols)
    lp.row_lower_ = np.full(len(rows), -highspy.kHighsInf)
    lp.row_upper_ = np.array([r[2] for r in rows])
    lp.sense_ = highspy.ObjSense.kMaximize
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_ = np.concatenate([[0], np.cumsum([len(r[0]) for r in rows])])
    lp.a_matrix_.index_ = np.array([i for r in rows for i in r[0]])
    lp.a_matrix_.value_ = np.array([v for r in rows for v in r[1]])
    whole = highspy.HighsVarType.kInteger
    real = highspy.HighsVarType.kContinuous
    lp.integrality_ = [whole] * n + [real] * count + [whole] * count

    solver = highspy.Highs()
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("time_limit", float(limit))
    solver.setOptionValue("threads", 1)
    solver.setOptionValue("random_seed", 1)
    solver.setOptionValue("mip_rel_gap", 0.0)
    solver.setOptionValue("mip_abs_gap", 1e-9)
    solver.passModel(lp)
    start = time.perf_counter()
    solver.run()
    seconds = time.perf_counter() - start
    info = solver.getInfo()
    return {
        "status": solver.modelStatusToString(solver.getModelStatus()),
        "value": info.objective_function_value,
        "none_better_than": info.mip_dual_bound,
        "seconds": round(seconds, 3),
    }


def main():
    limit, out, files = float(sys.argv[1]), sys.argv[2], sys.argv[3:]
    results, wrong = [], 0
    for file in files:
        with open(file, encoding="utf-8") as text:
            problem = json.load(text)
        theirs = solve(problem, limit)
        ours = problem["answer"]
        value = ours["values"][0]
        if theirs["status"] == "Optimal":
            agrees = abs(theirs["value"] - value) <= 1e-6
        else:
            # Stopped: what it found may not exceed ours, and ours not its bound.
            agrees = theirs["value"] <= value + 1e-6 and value <= theirs["none_better_than"] + 1e-6
        wrong += not agrees
        row = {
            "movements": problem["movements"],
            "seed": problem["seed"],
            "choices": len(problem["choices"]),
            "ours": {
                "value": value,
                "proven": ours["proven"],
                "nodes": ours["nodes"],
                "seconds_from_movements": round(problem["seconds_of_ours"], 4),
            },
            "highs": theirs,
            "agrees": agrees,
        }
        results.append(row)
        print(f"{row['movements']:>6} movements, {row['choices']:>6} choices: ours {value:.6f} in "
              f"{row['ours']['seconds_from_movements']:.3f} s; HiGHS {theirs['status']} {theirs['value']:.6f} in "
              f"{theirs['seconds']:.1f} s; {'agrees' if agrees else 'DISAGREES'}", flush=True)
        told = {"highs": highspy.Highs().version(), "limit_s": limit, "tolerance": 1e-6, "problems": results}
        with open(out, "w", encoding="utf-8") as text:
            json.dump(told, text, indent=1)
            text.write("\n")
    sys.exit(1 if wrong else 0)


main()
