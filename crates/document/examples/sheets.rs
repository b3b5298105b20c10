//! Writes sheets as PDF into the folder given, to look at: both papers, every edition and language.

#[path = "../tests/common/mod.rs"]
mod common;

use common::{Plan, bench, closed_crossings, person, settings, sheet, three_exercises};
use document::language::words;
use document::{
    Edition, Handout, Language, Paper, PdfSettings, RuleBlock, SheetSettings, Tagging, Units, Wording,
    floor_guide, floor_guide_pdf, pdf, text,
};
use movement::{AnatomicalDirection, Family, Support};
use person::Clinic;
use programme::Days;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let folder = std::path::PathBuf::from(std::env::args().nth(1).unwrap_or_else(|| ".".to_owned()));
    // Only files whose names begin so, where a second word is given.
    let wanted = std::env::args().nth(2).unwrap_or_default();
    let unknown = Clinic::default();
    let known = Clinic {
        name: Some("Harbour Lane Clinic".to_owned()),
        phone: Some("555 0142".to_owned()),
        surgical_team_phone: Some("555 0177".to_owned()),
        emergency_number: Some("112".to_owned()),
        therapist: Some("Ines Calloway".to_owned()),
        tables: Vec::new(),
    };
    let mechanic = person("Tomas Quill");
    let long = person("Wilhelmina Featherstonehaugh-Blackwoodington van der Meer");
    let mut interpreted = person("Nadia Osei");
    interpreted.interpreter = Some("Tagalog".to_owned());
    let mut large = settings(closed_crossings(Family::Step));
    large.edition = Edition::LargeType;
    let standard = settings(closed_crossings(Family::Step));
    let mut lunge = Plan::of(
        Family::Lunge,
        &[(AnatomicalDirection::Anterior, 70.0), (AnatomicalDirection::Lateral, 60.0)],
    );
    lunge.support = Support::Fingertip;
    lunge.place = None;
    let mut bench_step = Plan::of(
        Family::Step,
        &[(AnatomicalDirection::Lateral, 48.0), (AnatomicalDirection::Posterolateral, 30.0)],
    );
    bench_step.support = Support::OneHand;
    bench_step.place = Some(bench());
    let one_limb = Plan {
        limbs: vec![anatomy::Side::Right],
        ..Plan::of(Family::Step, &[(AnatomicalDirection::Lateral, 40.0)])
    };
    // A hop every other day, strength two or three days a week, the rest every day.
    let hop = Plan {
        days: Days::Alternate,
        rounds: 1,
        ..Plan::of(Family::Hop, &[(AnatomicalDirection::Anterior, 30.0)])
    };
    let strong = Plan { days: Days::TwoOrThreeApart, ..lunge.clone() };
    let strong_alone = [strong.clone()];
    let mixed = [one_limb.clone(), strong, hop.clone()];
    let three = three_exercises();
    let sheets = [
        ("three", sheet(&three, &mechanic, &unknown, &standard)),
        ("three-large", sheet(&three, &mechanic, &known, &large)),
        ("long-name", sheet(&three[..1], &long, &known, &standard)),
        ("interpreted", sheet(&three[1..2], &interpreted, &known, &standard)),
        ("days", sheet(&mixed, &mechanic, &known, &standard)),
        ("days-large", sheet(&mixed, &mechanic, &known, &large)),
        ("days-same", sheet(&strong_alone, &mechanic, &known, &standard)),
        ("others", sheet(&[lunge, bench_step, one_limb], &mechanic, &known, &standard)),
    ];
    let mut sheets: Vec<(String, Handout)> =
        sheets.into_iter().map(|(name, sheet)| (name.to_owned(), sheet)).collect();
    for language in Language::ALL {
        let beside = if language == Language::English { Language::French } else { Language::English };
        for (name, edition) in [
            ("standard", Edition::Standard),
            ("large", Edition::LargeType),
            ("bilingual", Edition::Bilingual { beside }),
            ("numerals", Edition::Numerals),
        ] {
            let units = if language == Language::English { Units::Imperial } else { Units::Metric };
            let own = SheetSettings {
                wording: Wording { language, units },
                edition,
                rules: hip_rules(language),
                rules_beside: hip_rules(beside),
                ..standard.clone()
            };
            sheets.push((format!("{language}-{name}"), sheet(&three, &mechanic, &known, &own)));
        }
    }
    for language in Language::ALL {
        let units = if language == Language::English { Units::Imperial } else { Units::Metric };
        let wording = Wording { language, units };
        let own = SheetSettings { wording, ..standard.clone() };
        let guide = floor_guide(&sheet(&three, &mechanic, &known, &own), wording);
        for (paper_name, paper) in [("a4", Paper::A4), ("letter", Paper::Letter)] {
            if !format!("guide-{language}-{paper_name}").starts_with(&wanted) {
                continue;
            }
            let bytes = floor_guide_pdf(&guide, PdfSettings { paper, tagging: Tagging::Accessible })?;
            std::fs::write(folder.join(format!("guide-{language}-{paper_name}.pdf")), bytes)?;
        }
    }
    for (name, handout) in &sheets {
        for (paper_name, paper) in [("a4", Paper::A4), ("letter", Paper::Letter)] {
            if !format!("{name}-{paper_name}").starts_with(&wanted) {
                continue;
            }
            let start = std::time::Instant::now();
            let bytes = pdf(handout, PdfSettings { paper, tagging: Tagging::Accessible })?;
            println!(
                "{name}-{paper_name}: {} kB, {:.0} ms",
                bytes.len() / 1024,
                start.elapsed().as_secs_f64() * 1e3
            );
            std::fs::write(folder.join(format!("{name}-{paper_name}.pdf")), bytes)?;
        }
        std::fs::write(folder.join(format!("{name}.txt")), text(handout))?;
    }
    Ok(())
}

/// The rules of a new right hip, opened from behind.
fn hip_rules(language: Language) -> Vec<RuleBlock> {
    let rules = &words(language).rules;
    let mut sentences = rules.hip_posterior.clone();
    sentences.push(rules.hip_until.clone());
    vec![RuleBlock { title: rules.hip_new.right.clone(), sentences }]
}
