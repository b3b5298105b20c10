# The commands of the README and of .ci/run under short names; `just` is a convenience, never needed.

# what there is
default:
    @just --list

# the main job on the first invented person
plan case="cases/01-lighthouse-mechanic.toml":
    cargo run --bin footrose -- plan {{ case }} --out out

# all tests
test:
    cargo test --workspace --no-fail-fast

# what the formatter and the linter say
lint:
    cargo fmt --all --check
    cargo clippy --workspace --all-targets --locked -- -D warnings

# everything a change must pass
ci:
    .ci/run

# the whole-body tree beside two general-purpose engines (installs them from PyPI into target/)
engines:
    validation/engines/run.sh

# one frame of the tree beside the same engines called from C++ (needs g++)
engines-bench:
    validation/engines/peer_bench/run.sh

# invented planning problems given to a general integer-programming solver (installs it from PyPI into target/)
planner-check:
    validation/planner/run.sh

# every statistic of measurement beside other packages on random data sets (installs them from PyPI into target/)
statistics-check:
    validation/statistics/run.sh

# a process that writes records is killed 200 times; nothing that was acknowledged may be lost
kill:
    cargo run -p store --example kill -- 200

# how long the records of 10,000 people and two million entries take (about 900 MB of disk for a while)
load-records:
    cargo run -p store --example load

# the same clinic through the workbench with 20 clinicians clicking; see docs/LOAD.md (minutes, gigabytes)
load:
    cargo bench -p web --no-default-features --bench load
