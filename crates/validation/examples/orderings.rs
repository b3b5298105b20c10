//! Tries the tables of orderings that are named, without building the whole command line.

use validation::{Orderings, Report};

fn main() {
    for path in std::env::args().skip(1) {
        let text = std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("`{path}`: {e}"));
        let table = Orderings::read(&text).unwrap_or_else(|e| panic!("`{path}`: {e}"));
        print!("{}", Report::of(table.judged()).text());
    }
}
