//! How long the exact choice takes as the movements grow, from movements to three distinct programmes.

use divan::{Bencher, black_box};
use programme::trial::Trial;

fn main() {
    divan::main();
}

#[divan::bench(args = [1_000, 2_000, 5_000, 10_000, 20_000, 50_000], sample_count = 20, sample_size = 1)]
fn three_distinct_programmes(bencher: Bencher<'_, '_>, movements: usize) {
    let trial = Trial::invented(1, movements);
    bencher.bench_local(|| black_box(&trial).answer(3));
}

#[divan::bench(args = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10], sample_count = 5, sample_size = 1)]
fn five_thousand_movements_of_ten_invented_people(bencher: Bencher<'_, '_>, seed: u64) {
    let trial = Trial::invented(seed, 5_000);
    bencher.bench_local(|| black_box(&trial).answer(3));
}

#[divan::bench(args = [1, 2, 4, 6, 8, 10], sample_count = 10, sample_size = 1)]
fn five_thousand_movements_by_count_of_goals(bencher: Bencher<'_, '_>, goals: usize) {
    let trial = Trial::with_goals(1, 5_000, goals);
    bencher.bench_local(|| black_box(&trial).answer(3));
}
