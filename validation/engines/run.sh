#!/usr/bin/env bash
# Computes 3,000 random states of three bodies in two general-purpose engines and compares with ours.
# Makes its own Python environment under target/ the first time. Writes results.json beside this file.
set -euo pipefail
cd "$(dirname "$0")"
root=$(cd ../.. && pwd)
work=$root/target/engines
mkdir -p "$work"
[ -x "$work/venv/bin/python" ] || python3 -m venv "$work/venv"
"$work/venv/bin/pip" install --quiet --disable-pip-version-check -r requirements.txt
cargo run --quiet --manifest-path "$root/Cargo.toml" -p biomech --example tree_vectors -- 1000 >"$work/vectors.jsonl"
PYTHONDONTWRITEBYTECODE=1 "$work/venv/bin/python" compare.py "$work/vectors.jsonl" "${1:-results.json}"
