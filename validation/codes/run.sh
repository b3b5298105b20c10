#!/usr/bin/env bash
# Draws the codes of the practice page, compares the symbols with another encoder and reads pictures of them.
# Makes its own Python environment under target/ the first time. Writes results.json beside this file.
set -euo pipefail
cd "$(dirname "$0")"
work=$(cd ../.. && pwd)/target/codes
mkdir -p "$work"
[ -x "$work/venv/bin/python" ] || python3 -m venv "$work/venv"
"$work/venv/bin/pip" install --quiet --disable-pip-version-check -r requirements.txt
export PYTHONDONTWRITEBYTECODE=1
node draw.mjs grid >"$work/grid.json"
"$work/venv/bin/python" grid.py "$work/grid.json"
node draw.mjs logs >"$work/logs.json"
"$work/venv/bin/python" pictures.py "$work/logs.json" "$work/pictures" "${1:-results.json}"
# The browser and its driver are those of the browser tests (e2e/install.sh).
node browser.mjs "$work/pictures" "${1:-results.json}"
