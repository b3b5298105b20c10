#!/usr/bin/env bash
# Asks scipy, pingouin, statsmodels and mpmath about random data sets and compares with ours.
# Makes its own Python environment under target/ the first time. Writes results.json beside this file.
set -euo pipefail
cd "$(dirname "$0")"
root=$(cd ../.. && pwd)
work=$root/target/statistics
mkdir -p "$work"
[ -x "$work/venv/bin/python" ] || python3 -m venv "$work/venv"
"$work/venv/bin/pip" install --quiet --disable-pip-version-check -r requirements.txt
export PYTHONDONTWRITEBYTECODE=1
"$work/venv/bin/python" datasets.py >"$work/asked.jsonl"
cargo run --quiet --manifest-path "$root/Cargo.toml" -p measurement --example statistics_answers \
    <"$work/asked.jsonl" >"$work/ours.jsonl"
"$work/venv/bin/python" compare.py "$work/asked.jsonl" "$work/ours.jsonl" "${1:-results.json}"
