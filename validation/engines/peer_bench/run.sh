#!/usr/bin/env bash
# Times the tree and the same tree in two other engines called from C++, one after the other, in one session.
# Needs g++ and Python; compiles against the headers and libraries inside the engines' own wheels.
set -euo pipefail
cd "$(dirname "$0")"
root=$(cd ../../.. && pwd)
work=$root/target/engines/bench
rounds=${1:-2000}
mkdir -p "$work"
[ -x "$work/venv/bin/python" ] || python3 -m venv "$work/venv"
"$work/venv/bin/pip" install --quiet --disable-pip-version-check -r ../requirements-bench.txt
packages=$("$work/venv/bin/python" -c 'import sysconfig; print(sysconfig.get_paths()["platlib"])')
prefix=$packages/cmeel.prefix
manifest=$root/Cargo.toml

cargo run --quiet --manifest-path "$manifest" -p biomech --example tree_vectors -- 60 >"$work/vectors.jsonl"
PYTHONDONTWRITEBYTECODE=1 "$work/venv/bin/python" flatten.py "$work/vectors.jsonl" "$work"

# The definitions are those of Pinocchio's own CMake package. -O3 everywhere, no instructions beyond
# the platform's baseline anywhere, as for the Rust release build.
if [ "$work/pin_loop" -ot pin_loop.cpp ]; then
    g++ -std=c++17 -O3 -DNDEBUG -DBOOST_MPL_LIMIT_LIST_SIZE=30 -DBOOST_MPL_LIMIT_VECTOR_SIZE=30 \
        -DBOOST_MPL_CFG_NO_PREPROCESSED_HEADERS -DBOOST_FUSION_INVOKE_MAX_ARITY=12 \
        -isystem "$prefix/include" -isystem "$prefix/include/eigen3" pin_loop.cpp -o "$work/pin_loop"
fi
library=$(ls "$packages"/mujoco/libmujoco.so.*)
g++ -std=c++17 -O3 -DNDEBUG -isystem "$packages/mujoco/include" mujoco_loop.cpp "$library" \
    -Wl,-rpath,"$packages/mujoco" -o "$work/mujoco_loop"
cargo build --quiet --release --manifest-path "$manifest" -p biomech --example tree_loop
ours=${CARGO_TARGET_DIR:-$root/target}/release/examples/tree_loop

for _ in 1 2 3; do
    "$ours" "$work" "$rounds"
    "$work/pin_loop" "$work" "$rounds"
    "$work/mujoco_loop" "$work" "$rounds"
done >"$work/times.tsv"
"$work/venv/bin/python" summary.py "$work/times.tsv"
