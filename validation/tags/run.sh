#!/bin/sh
# Finds the tags of freshly made floor guides with two detectors, in an environment of its own.
set -eu
cd "$(dirname "$0")/../.."
environment="${TAGS_ENVIRONMENT:-target/tags-environment}"
[ -d "$environment" ] || { python3 -m venv "$environment" && "$environment/bin/pip" install -q -r validation/tags/requirements.txt; }
out="$(mktemp -d)"
cargo run -q -p cli -- floor-guide cases/01-lighthouse-mechanic.toml --out "$out"
"$environment/bin/python" validation/tags/find.py "$out"/*.pdf
