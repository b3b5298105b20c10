//! Words of the parts of a letter and of each kind.

use std::collections::BTreeMap;

use serde::Deserialize;

use crate::language::{BySide, Counted};

macro_rules! words {
    ($($name:ident { $($field:ident: $type:ty,)* })*) => {
        $(
            #[derive(Debug, Deserialize)]
            #[serde(deny_unknown_fields)]
            pub(in super::super) struct $name { $(pub $field: $type,)* }
        )*
    };
}

words! {
    ProgressWords {
        title: String,
        now: String,
        changed: String,
        head: Vec<String>,
        measured_between: String,
        never_measured: String,
        measured_once: String,
        once: String,
        group: String,
    }
    YesNo { yes: String, no: String, }
    TodayWords {
        pain_rest: String,
        pain_movement: String,
        pain_unknown: String,
        night_pain: YesNo,
        aid: BTreeMap<String, String>,
        aid_unknown: String,
        falls: Counted,
        no_falls: String,
        red_flags_clear: String,
        red_flags_unknown: String,
        goal: String,
        no_goal: String,
    }
    PracticeWords {
        title: String,
        none: String,
        done: String,
        sessions: Counted,
        days: Counted,
        asked: Counted,
        asked_unknown: String,
        not_logged: String,
        nothing_done: String,
        uncounted: Counted,
        painless: String,
        hurt: BySide,
        worst: String,
        worst_unknown: String,
        quiet: Counted,
        mornings: Counted,
        mornings_unknown: String,
        stopped: BTreeMap<String, String>,
        stopped_unnamed: String,
        left_out: Counted,
    }
    DaysWords { every: String, alternate: String, two_or_three: String, }
    PlanWords {
        title: String,
        exercise: String,
        exercise_free: String,
        limb: BySide,
        to: String,
        dose: String,
        repetitions: Counted,
        rounds: Counted,
        per_day: Counted,
        days: DaysWords,
        until: String,
        none: String,
        none_made: String,
        proposed: String,
    }
    EstimatedWords {
        title: String,
        strength: String,
        strength_some: String,
        leg_length: String,
        model: String,
        not_assessed: String,
        nothing_missing: String,
    }
    ReferralWords {
        title: String,
        to: String,
        reason: String,
        reason_line: String,
        found: String,
        measured: String,
        restricted: String,
        urgency: String,
        soon: Vec<String>,
    }
    SpaceWords {
        closed_step: BySide,
        all_closed_step: BySide,
        none_closed_step: BySide,
        families_closed: String,
        whose: BTreeMap<String, String>,
        by: String,
        unknown: String,
    }
    DischargeWords {
        title: String,
        goals: String,
        reached: String,
        keep: String,
        back: String,
        back_soon: Vec<String>,
        back_date: String,
        back_no_date: String,
        call: String,
        call_unknown: String,
        emergency: String,
        surgical: String,
    }
    StandingWords { met: String, not_met: String, not_tested: String, cannot_tell: String, }
    OutcomeWords {
        red_flag: String,
        not_yet: String,
        confidence_not_enough_and_not_tested: String,
        not_tested: String,
        capacity_without_confidence: String,
        for_the_clinician_to_confirm: String,
    }
    BarWords {
        at_least: String,
        above: String,
        at_most: String,
        below: String,
        yes: String,
        no: String,
        like_other: String,
    }
    ReturnWords {
        title: String,
        activity: String,
        outcome: String,
        criteria: String,
        head: Vec<String>,
        counts: String,
        standing: StandingWords,
        outcomes: OutcomeWords,
        builds_on: String,
        not_applicable: String,
        presentation_not_yet: String,
        presentation_holds: String,
        shut: String,
        conflict: Counted,
        ankle: String,
        bars: BarWords,
        both_limbs: String,
        or: String,
        found: String,
        found_error: String,
        chance: String,
        no_error: String,
        with_limbs: String,
        seen: YesNo,
        stale: String,
        decision: String,
        options: Vec<String>,
        decides: String,
        no_measures: String,
    }
    CoverWords {
        title: String,
        to: String,
        r#do: String,
        do_not: String,
        watch: String,
        next: String,
        next_ask: String,
        next_none: String,
        stop: String,
        pain_rule: String,
        pain_accepted: String,
        no_step_up: String,
    }
    ClassWords {
        title: String,
        to: String,
        round: String,
        head: Vec<String>,
        none_closed: String,
        all_closed: String,
        alert: String,
        missing: String,
        longest: String,
        order_until: String,
        pain: String,
        empty: String,
        stop: String,
        floor: Vec<String>,
    }
    Sides { left: String, right: String, both: String, }
    QuestionWords {
        title: String,
        to: String,
        asked: String,
        open_of: Counted,
        precautions: Sides,
        weight_unknown: BySide,
        approach_unknown: String,
        review: String,
        keep: String,
        lift: String,
        lift_nothing: String,
        lift_changes_nothing: String,
        turning: String,
        full: String,
        full_nothing: String,
        done: String,
        done_nothing: String,
        tell: String,
        change_to: String,
        opens_limb: BySide,
        opens_more: Counted,
        rules: String,
        varies: String,
        evidence: String,
        certainty: BTreeMap<String, String>,
        read: BTreeMap<String, String>,
        nothing: String,
        wider: String,
        reply: String,
        reply_phone: String,
        computed: String,
    }
}
