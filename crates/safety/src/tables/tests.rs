//! Tables that belong together fit together.

use super::*;
use crate::preset::Whose;

fn presets() -> Vec<&'static Preset> {
    preset_keys().into_iter().map(preset).chain([other_conditions()]).collect()
}

fn criteria(preset: &'static Preset) -> impl Iterator<Item = &'static Criterion> {
    let phases = preset.phases.iter().flat_map(|row| &row.criteria);
    let rules = preset.rules.iter().flat_map(|row| row.unless.iter().chain(&row.unless_any));
    let limits = preset.limits.iter().flat_map(|row| &row.unless);
    let returns = preset.returns.iter().flat_map(|row| &row.criteria);
    let own = phases.chain(rules).chain(limits).chain(returns);
    own.flat_map(|criterion| std::iter::once(criterion).chain(&criterion.or))
}

#[test]
fn every_form_a_row_is_limited_to_is_declared_and_every_declared_form_is_a_word_of_the_case_file() {
    for preset in presets() {
        let only = preset
            .limits
            .iter()
            .map(|row| &row.only)
            .chain(preset.rules.iter().map(|row| &row.only))
            .chain(preset.poses.iter().map(|row| &row.only))
            .chain(preset.impacts.iter().map(|row| &row.only))
            .chain(preset.ranges.iter().map(|row| &row.only))
            .chain(preset.notes.iter().map(|row| &row.only));
        for key in only.flatten() {
            assert!(preset.variants.contains(key), "{}: `{key}`", preset.table.title);
        }
    }
    for presentation in Presentation::ALL {
        let words: Vec<&str> = presentation.patterns().iter().map(|one| one.key()).collect();
        assert_eq!(preset_of(presentation).variants, words, "{presentation:?}");
    }
    let others: Vec<&str> = person::Comorbidity::ALL.iter().map(|one| one.key()).collect();
    assert_eq!(other_conditions().variants, others);
}

#[test]
fn no_phase_opens_without_criteria_but_the_first_and_later_ones_never_open_less() {
    for preset in presets() {
        for (at, row) in preset.phases.iter().enumerate() {
            assert_eq!(usize::from(row.phase), at + 1, "{}", preset.table.title);
            assert!(row.phase == 1 || !row.criteria.is_empty(), "{} {}", preset.table.title, row.phase);
        }
        for pair in preset.phases.windows(2) {
            assert!(pair[0].from_week <= pair[1].from_week, "{}", preset.table.title);
            assert!(pair[0].opens_level <= pair[1].opens_level, "{}", preset.table.title);
        }
        for end in preset.limits.iter().filter_map(|row| row.before_phase) {
            assert!(preset.phases.iter().any(|row| row.phase == end), "{}", preset.table.title);
        }
    }
}

#[test]
fn every_criterion_about_a_leg_says_which_leg() {
    let of_presets = presets().into_iter().flat_map(criteria);
    let of_levels = level_criteria().levels.iter().flat_map(|row| &row.criteria);
    for criterion in of_presets.chain(of_levels) {
        assert_eq!(
            criterion.finding.has_side(),
            criterion.of != Whose::Person,
            "{:?} of {:?}",
            criterion.finding,
            criterion.of
        );
        let asks = [
            criterion.is.is_some(),
            criterion.at_most.is_some(),
            criterion.at_least.is_some(),
            criterion.below.is_some(),
            criterion.above.is_some(),
        ];
        assert!(asks.contains(&true), "{:?} asks for nothing", criterion.finding);
    }
}

#[test]
fn every_finding_that_a_criterion_asks_for_has_a_shelf_life() {
    let asked = level_criteria().levels.iter().flat_map(|row| &row.criteria).map(|c| c.finding);
    for key in asked.chain(presets().into_iter().flat_map(criteria).map(|c| c.finding)) {
        assert!(shelf_life(key).days > 0, "{key:?}");
    }
}

#[test]
fn swelling_and_rest_pain_last_7_days_strength_6_weeks() {
    for key in [FindingKey::Effusion, FindingKey::PainAtRest] {
        assert_eq!(shelf_life(key).days, 7);
    }
    for key in [FindingKey::AbductorStrengthPercent, FindingKey::QuadricepsStrengthPercent] {
        assert_eq!(shelf_life(key).days, 42);
    }
}

#[test]
fn every_limit_has_an_angle_and_every_rule_does_something() {
    for preset in presets() {
        for row in &preset.limits {
            assert!(row.at_most_deg.is_some() || row.if_not_assessed_deg.is_some(), "{}", row.rule);
            assert_eq!(row.while_motion.is_some(), row.while_above_deg.is_some(), "{}", row.rule);
        }
        for row in &preset.rules {
            let does = row.closed.is_some()
                || row.at_most_percent_leg_length.is_some()
                || row.support.is_some()
                || row.lowest_hand.is_some();
            assert!(does, "{}", row.rule);
        }
    }
}

#[test]
fn every_red_flag_has_words_and_says_whom_to_call() {
    for flag in RedFlag::ALL {
        let row = red_flag(flag);
        assert!(!row.words.is_empty() && !row.ask.is_empty(), "{flag:?}");
        assert!(row.call.contains("all") || row.call.contains("seen"), "{flag:?}");
    }
    assert_eq!(red_flags().flags.len(), RedFlag::ALL.len());
}

#[test]
fn the_phases_of_every_presentation_have_a_rule_name_of_their_own() {
    let mut names: Vec<String> =
        presets().into_iter().filter(|preset| !preset.phases.is_empty()).map(|p| p.phase_rule(2)).collect();
    assert!(names.len() > 10 && names.iter().all(|name| !name.starts_with("PHASE")), "{names:?}");
    let count = names.len();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), count, "{names:?}");
}
