//! scratch
fn main() {
    for demo in app::demo_cases() {
        let case = match demo.read() { Ok(c) => c, Err(e) => { println!("{e}"); continue } };
        let today = app::day_of(&case, None, jiff::civil::date(2026, 2, 4));
        let person = app::PersonToday::of(&case, today);
        let t = std::time::Instant::now();
        let space = app::survey(&person, &app::silent);
        let survey = t.elapsed();
        let open = space.rays.iter().filter(|r| r.verdict.to().is_some()).count();
        let t = std::time::Instant::now();
        let outcome = app::plan_case(&case, today, &app::silent);
        let all = t.elapsed();
        println!("== {} survey {survey:?} all {all:?} rays {} open {open}", demo.file, space.rays.len());
        match outcome {
            app::Outcome::Programme(plan) => {
                let p = &plan.programme;
                for e in &p.exercises {
                    println!("  {} {:?} place {:?} {:?} {:?} reps {} rounds {} {:.0}s", e.family, e.support, e.place.map(|p| (p.kind, p.front_from)), e.depth, e.hand_height, e.dose.repetitions, e.dose.rounds, e.minutes.in_s());
                    for l in &e.limbs { for m in &l.movements { println!("     {}", m.spec().sentence()); } }
                    println!("     why {}", e.why);
                }
                for w in &p.why { println!("  WHY {w}"); }
                for w in &p.notes { println!("  NOTE {w}"); }
                println!("  score {:.3} {:.0}s until {} dropped {}", p.score, p.minutes.in_s(), p.use_until, p.dropped.len());
            }
            app::Outcome::Alert(a) => println!("  ALERT {a}"),
            app::Outcome::NoProgramme(n) => println!("  NONE {n}"),
        }
    }
}
