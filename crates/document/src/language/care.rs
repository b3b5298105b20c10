//! Words that keep a patient safe: before, while and after, when to stop, whom to call, own rules.

use serde::{Deserialize, Serialize};

use super::leaf::{BySide, BySideOrBoth};

/// A heading with sentences under it.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SectionWords {
    /// The heading.
    pub title: String,
    /// One action or sign each.
    pub sentences: Vec<String>,
}

/// Before the exercises.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BeforeWords {
    /// The heading.
    pub title: String,
    /// Where somebody reads the sheet out.
    pub read_out: String,
    /// The floor.
    pub floor: Vec<String>,
    /// Shoes, where nobody asked or closed shoes are worn.
    pub shoes: Vec<String>,
    /// Where slippers or open shoes are worn.
    pub shoes_open: Vec<String>,
    /// Where socks are worn.
    pub shoes_socks: Vec<String>,
    /// Where the feet are bare.
    pub shoes_barefoot: Vec<String>,
    /// Where the feet feel little.
    pub shoes_numb: Vec<String>,
    /// The rest.
    pub sentences: Vec<String>,
}

/// While doing the exercises.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DuringWords {
    /// The heading.
    pub title: String,
    /// The pace for somebody who may not hear a sound.
    pub no_sound: String,
    /// `First ask: how sore am I now?`
    pub begin: Vec<String>,
    /// The strict pain rule.
    pub strict: Vec<String>,
    /// The pain rule where an order accepts `{number}` of 10.
    pub accepted: Vec<String>,
    /// `This holds until {date}. After that it must not hurt.`
    pub accepted_until: String,
    /// `Breathe. Stand still in the middle each time.`
    pub end: Vec<String>,
}

/// Signs to stop for today.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StopWords {
    /// `Stop for today if`
    pub title: String,
    /// `The pain stays or grows.`
    pub pain_stays: String,
    /// `The joint swells more.`
    pub swelling: String,
    /// `You lose your step three times.`
    pub unsteady: String,
    /// `You feel dizzy, sick or short of breath.`
    pub unwell: String,
    /// `Write down what happened.`
    pub stopped: Vec<String>,
}

/// Signs to be seen for today.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SeenTodayWords {
    /// `Get seen today if`
    pub title: String,
    /// `Your wound is red or leaks, or you have a fever.`
    pub operated: String,
    /// `Your calf is newly swollen, hot or sore.`
    pub sentences: Vec<String>,
}

/// Signs to call the emergency number for.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EmergencyWords {
    /// `Call the emergency number now if`
    pub title: String,
    /// `Call {number} now if`
    pub title_number: String,
    /// `One leg looks shorter or turned. Keep it still.`
    pub new_hip: String,
    /// `Your new joint is hot and you feel ill.`
    pub new_joint: String,
    /// `Your chest hurts or you cannot get your breath.`
    pub sentences: Vec<String>,
}

/// Whom to call for what.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CallWords {
    /// `Wound, fever or calf: call the surgical team.`
    pub operated: Vec<String>,
    /// `Call the clinic.`
    pub others: Vec<String>,
}

/// Labels before a number or a line to write on.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ContactWords {
    /// `Emergency number`
    pub emergency: String,
    /// `Surgical team`
    pub surgical_team: String,
    /// `Clinic`
    pub clinic: String,
    /// `Your therapist`
    pub therapist: String,
}

/// What somebody must keep to because of what was operated on or found.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RuleWords {
    /// `Your LEFT hip is new.`
    pub hip_new: BySideOrBoth,
    /// `Your LEFT knee is new.`
    pub knee_new: BySideOrBoth,
    /// `Your LEFT knee has arthritis.`
    pub knee_arthritis: BySideOrBoth,
    /// `Do not bend, cross and turn in the hip all at once.`
    pub hip_all_at_once: String,
    /// `Do not bend the hip past a right angle.`
    pub hip_posterior: Vec<String>,
    /// `Do not step far back on your LEFT leg.`
    pub hip_far_back: BySideOrBoth,
    /// `Do not turn your toes out while that leg is behind you.`
    pub hip_toes_out: String,
    /// `Do not lift your LEFT leg out to the side.`
    pub hip_lift_out: BySideOrBoth,
    /// `Do not cross your legs or step across your body.`
    pub hip_cross: String,
    /// `Keep these rules until your surgeon tells you to stop.`
    pub hip_until: String,
    /// `Do not twist on your LEFT leg.`
    pub knee_twist: BySideOrBoth,
    /// `Do not force the knee to bend.`
    pub knee_new_bend: Vec<String>,
    /// `If the knee grinds and hurts, bend it less.`
    pub knee_grinds: String,
    /// `Take care not to fall.`
    pub falls_title: String,
    /// `Keep a bench or heavy chair in reach all the time.`
    pub falls_reach: String,
    /// `Have someone at home for the first two weeks.`
    pub falls_alone: String,
    /// `This sheet alone will not stop falls.`
    pub falls_class: Vec<String>,
    /// `Your knee is healing.`
    pub knee_healing: String,
    /// `If the knee gives way or locks, stop and call us.`
    pub knee_gives_way: String,
    /// `Your tendon is healing.`
    pub tendon_healing: String,
    /// `Do not push off hard with your LEFT leg.`
    pub push_off_hard: BySideOrBoth,
    /// `If you feel a snap, stop and call us.`
    pub snap: String,
    /// `Your hip tendon is sore.`
    pub hip_tendon: String,
    /// `Do not cross your legs.`
    pub hip_tendon_rules: Vec<String>,
    /// `Your back is sore.`
    pub back_sore: String,
    /// `If pain runs down your leg, leave that direction out.`
    pub back_leg_pain: String,
    /// `Protect your LEFT leg.`
    pub protect: BySide,
    /// `Keep your LEFT foot off the floor.`
    pub foot_off: BySide,
    /// `Only touch the floor with your LEFT foot.`
    pub foot_touch: BySide,
    /// `Put only part of your weight on your LEFT leg.`
    pub foot_part: BySide,
}
