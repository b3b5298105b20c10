#!/usr/bin/env bash
# The workbench in a real browser: builds it, opens the invented clinic, and goes through every screen.
# Pictures of every screen at three widths are written into e2e/out. Arguments go to the test runner:
#   e2e/run.sh --test-name-pattern keyboard
set -euo pipefail
cd "$(dirname "$0")/.."
cargo build --locked --bin footrose
FOOTROSE=${FOOTROSE:-${CARGO_TARGET_DIR:-target}/debug/footrose}
export FOOTROSE
exec node --test --test-concurrency=1 "$@" e2e/tests/*.test.mjs
