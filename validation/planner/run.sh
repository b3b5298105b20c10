#!/usr/bin/env bash
# Gives the same invented planning problems to ours and to a general integer-programming solver.
# Makes its own Python environment under target/ the first time. Writes results.json beside this file.
set -euo pipefail
cd "$(dirname "$0")"
root=$(cd ../.. && pwd)
work=$root/target/planner
mkdir -p "$work"
[ -x "$work/venv/bin/python" ] || python3 -m venv "$work/venv"
"$work/venv/bin/pip" install --quiet --disable-pip-version-check -r requirements.txt
limit=${LIMIT_S:-60}
problems=()
for size in ${SIZES:-200 500 1000 5000}; do
  for seed in ${SEEDS:-1 2}; do
    file=$work/problem-$size-$seed.json
    cargo run --quiet --release --manifest-path "$root/Cargo.toml" -p programme --example planner_problem -- "$size" "$seed" >"$file"
    problems+=("$file")
  done
done
PYTHONDONTWRITEBYTECODE=1 "$work/venv/bin/python" compare.py "$limit" "${1:-results.json}" "${problems[@]}"
