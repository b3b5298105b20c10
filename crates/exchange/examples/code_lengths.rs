//! Prints how long log codes get: `cargo run -p exchange --example code_lengths`. Bytes, characters and the QR
//! version at levels M and Q, for logs by chance and simulated ones; the table stands in docs/PRACTICE_CODE.md.

// The same invented logs as the tests use; each uses some of them.
#[allow(missing_docs)]
#[path = "../tests/common/mod.rs"]
mod common;

use common::{Chance, by_chance, largest, simulated, usual};
use exchange::log::{PREFIX, encode};

/// Alphanumeric capacity of QR versions 1 to 40 (ISO/IEC 18004, read out of the package segno 1.6).
const M: [usize; 40] = [
    20, 38, 61, 90, 122, 154, 178, 221, 262, 311, 366, 419, 483, 528, 600, 656, 734, 816, 909, 970, 1035,
    1134, 1248, 1326, 1451, 1542, 1637, 1732, 1839, 1994, 2113, 2238, 2369, 2506, 2632, 2780, 2894, 3054,
    3220, 3391,
];
const Q: [usize; 40] = [
    16, 29, 47, 67, 87, 108, 125, 157, 189, 221, 259, 296, 352, 376, 426, 470, 531, 574, 644, 702, 742, 823,
    890, 963, 1041, 1094, 1172, 1263, 1322, 1429, 1499, 1618, 1700, 1787, 1867, 1966, 2071, 2181, 2298, 2420,
];

fn version(capacities: &[usize; 40], letters: usize) -> String {
    capacities.iter().position(|most| *most >= letters).map_or("none".to_owned(), |at| format!("{}", at + 1))
}

fn main() {
    println!(
        "| log | characters: median (least to most) | bytes, median | version at M (most) | at Q (most) | sessions left out |"
    );
    println!("|---|---|---|---|---|---|");
    let row = |name: &str, logs: Vec<(exchange::Programme, Vec<progress::Session>)>| {
        let codes: Vec<_> = logs
            .iter()
            .map(|(of, sessions)| {
                encode(of.mark, &of.prescription(), sessions).expect("a log of this programme")
            })
            .collect();
        let mut letters: Vec<usize> = codes.iter().map(|code| code.text.len()).collect();
        letters.sort_unstable();
        let (least, median, most) = (letters[0], letters[letters.len() / 2], letters[letters.len() - 1]);
        let bytes = (median - PREFIX.len() - 2) * 2 / 3;
        let left_out: usize = codes.iter().map(|code| code.left_out).max().unwrap_or_default();
        println!(
            "| {name} | {median} ({least}–{most}) | {bytes} | {} ({}) | {} ({}) | {left_out} |",
            version(&M, median),
            version(&M, most),
            version(&Q, median),
            version(&Q, most)
        );
    };
    // Tuned on seeds from 1 on; these are others.
    let seeds = 10_000_u64..10_200;
    row(
        "by chance, 48 directions, 14 days × 2",
        seeds.clone().map(|s| (largest(), by_chance(&largest(), 14, 2, &mut Chance(s)))).collect(),
    );
    for (name, of) in [("48 directions", largest()), ("10 directions", usual())] {
        for days in [1, 7, 14] {
            row(
                &format!("simulated person, {name}, {days} days × 2"),
                seeds.clone().map(|s| (of.clone(), simulated(&of, days, &mut Chance(s)))).collect(),
            );
        }
    }
}
