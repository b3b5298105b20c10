//! Prints `validation/REPORT.md` as it is computed now, without building the whole command line.

fn main() {
    print!("{}", validation::report().markdown());
}
