//! The movement that the builder asks about: from a form or an address to the sentence that every way in reads.

use anatomy::Side;
use app::{PersonToday, SentenceReader};
use movement::{
    ArmTask, Bearing, Crossing, Family, GoalTask, HandHeight, HandShare, Landing, Load, MovementSpec,
    OnReturn, StanceFoot, Support, SupportKind, TurnToward,
};

use crate::fields::Fields;

/// Shortest and longest distance that is asked about, centimetres.
pub(super) const SHORTEST: f64 = 5.0;
pub(super) const LONGEST: f64 = 150.0;
/// What a button changes, centimetres.
pub(super) const STEP: f64 = 5.0;
/// Degrees of one notch of the turned figure.
pub(super) const TURN: i16 = 15;

/// Every choice of the builder; those that do not go with the family are kept and not said.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Wanted {
    pub mover: Side,
    pub family: Family,
    pub to: Bearing,
    pub crossing: Crossing,
    pub foot: StanceFoot,
    pub cm: f64,
    pub depth: f64,
    pub hand: HandHeight,
    pub carried: Carried,
    pub kg: f64,
    pub arms: ArmTask,
    pub support: Support,
    pub held: Option<SupportKind>,
    pub share: String,
    pub landing: Landing,
    pub rise: f64,
    /// From where the figure is seen.
    pub view: i16,
}

/// Where a weight is carried.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Carried {
    Nothing,
    EachHand,
    BothHands,
    Back,
}

impl Carried {
    pub const ALL: [Self; 4] = [Self::Nothing, Self::EachHand, Self::BothHands, Self::Back];

    pub fn key(self) -> &'static str {
        match self {
            Self::Nothing => "nothing",
            Self::EachHand => "each",
            Self::BothHands => "both",
            Self::Back => "back",
        }
    }

    pub fn words(self) -> &'static str {
        match self {
            Self::Nothing => "nothing",
            Self::EachHand => "a weight in each hand",
            Self::BothHands => "one weight in both hands",
            Self::Back => "a backpack or vest",
        }
    }
}

pub(super) const KINDS: [SupportKind; 3] =
    [SupportKind::Bench, SupportKind::WalkingFrame, SupportKind::ChairBack];
pub(super) const SUPPORTS: [(Support, &str, &str); 4] = [
    (Support::None, "none", "no hands"),
    (Support::Fingertip, "fingertip", "a fingertip"),
    (Support::OneHand, "one", "one hand"),
    (Support::BothHands, "both", "both hands"),
];

/// Every arm task with the word a form sends and the words that are read.
pub(super) fn arm_tasks() -> Vec<(ArmTask, String, String)> {
    let turn = |toward| ArmTask::Turn { toward };
    let mut out = vec![
        (ArmTask::Free, "free".to_owned(), "free".to_owned()),
        (ArmTask::Overhead, "overhead".to_owned(), "both hands overhead".to_owned()),
        (turn(TurnToward::SameSide), "toward".to_owned(), "turning toward the moving limb".to_owned()),
        (turn(TurnToward::OtherSide), "away".to_owned(), "turning away from it".to_owned()),
    ];
    for to in HandHeight::ALL {
        for then in OnReturn::ALL {
            let key = format!("bend-{}-{}", to.name(), then.name());
            let words = format!("hands to {}, back with {}", to.name(), then.name());
            out.push((ArmTask::BendAndReturn { to, then }, key, words));
        }
    }
    for task in GoalTask::ALL {
        out.push((ArmTask::Goal(task), task.key().to_owned(), format!("as in {}", task.name())));
    }
    out
}

impl Wanted {
    /// A plain step, to begin with where nothing is proposed.
    pub fn plain() -> Self {
        Self {
            mover: Side::Right,
            family: Family::Step,
            to: Bearing::ALL[2],
            crossing: Crossing::None,
            foot: StanceFoot::Fixed,
            cm: 30.0,
            depth: 10.0,
            hand: HandHeight::Thigh,
            carried: Carried::Nothing,
            kg: 2.0,
            arms: ArmTask::Free,
            support: Support::None,
            held: None,
            share: String::new(),
            landing: Landing::Held,
            rise: 0.0,
            view: 0,
        }
    }

    /// The choices of a known movement.
    pub fn of(spec: &MovementSpec) -> Self {
        let plain = Self::plain();
        let (carried, kg) = match spec.load {
            Load::None => (Carried::Nothing, plain.kg),
            Load::HandWeights { each } => (Carried::EachHand, each.in_kg()),
            Load::InBothHands { mass } => (Carried::BothHands, mass.in_kg()),
            Load::OnTrunk { mass } => (Carried::Back, mass.in_kg()),
        };
        Self {
            mover: spec.mover,
            family: spec.family,
            to: spec.bearing,
            crossing: spec.crossing,
            foot: spec.stance_foot,
            cm: spec.distance.in_cm().round(),
            depth: spec.depth.map_or(plain.depth, |depth| depth.in_cm().round()),
            hand: spec.hand_height.unwrap_or(plain.hand),
            carried,
            kg,
            arms: spec.arms,
            support: spec.support,
            held: spec.place.map(|place| place.kind),
            share: match spec.hand_share {
                HandShare::NotAssessed => String::new(),
                HandShare::Usual => "usual".to_owned(),
                HandShare::Stated(share) => format!("{:.0}", share.in_percent()),
            },
            landing: spec.landing.unwrap_or(plain.landing),
            rise: spec.rise.in_cm().round(),
            view: 0,
        }
    }

    /// What was chosen. What is not said stays as it is in `before`.
    ///
    /// # Errors
    /// A number that cannot be read, with what is accepted.
    pub fn parse(fields: &Fields, before: &Self) -> Result<Self, String> {
        let mut out = before.clone();
        let chosen = |name: &str| Some(fields.get(name)).filter(|value| !value.is_empty());
        if let Some(side) = chosen("mover") {
            out.mover = Side::BOTH.into_iter().find(|one| one.to_string() == side).unwrap_or(out.mover);
        }
        if let Some(family) = chosen("family").and_then(Family::from_name) {
            out.family = family;
        }
        if let Some(to) = chosen("to") {
            out.to = Bearing::ALL.into_iter().find(|b| b.degrees().to_string() == to).unwrap_or(out.to);
        }
        if out.family == Family::TwoFootJump {
            out.mover = Side::Right;
        }
        let ways = out.family.ways(out.to, out.mover);
        out.crossing = match chosen("crossing") {
            Some("behind") => Crossing::Behind,
            Some("front") => Crossing::InFront,
            _ => out.crossing,
        };
        if !ways.contains(&out.crossing) {
            out.crossing = ways[0];
        }
        if let Some(foot) = chosen("foot") {
            out.foot = if foot == "pivoting" { StanceFoot::Pivoting } else { StanceFoot::Fixed };
        }
        let number = |name: &str, now: f64, (low, high): (f64, f64), what: &str| match chosen(name) {
            None => Ok(now),
            Some(typed) => typed
                .trim()
                .replace(',', ".")
                .parse::<f64>()
                .ok()
                .filter(|value| (low..=high).contains(value))
                .ok_or_else(|| {
                    format!("{what} cannot be `{typed}`; accepted: a number from {low} to {high}.")
                }),
        };
        out.cm = number("cm", out.cm, (SHORTEST, LONGEST), "The distance in cm")?;
        let step: f64 = fields.get("step").parse().unwrap_or(0.0);
        out.cm = (out.cm + step).clamp(SHORTEST, LONGEST).round();
        out.depth = number("depth", out.depth, (1.0, 60.0), "The depth in cm")?;
        out.kg = number("kg", out.kg, (0.5, 40.0), "The weight in kg")?;
        out.rise = number("rise", out.rise, (0.0, 40.0), "The rise in cm")?;
        if let Some(hand) = chosen("hand") {
            out.hand = HandHeight::ALL.into_iter().find(|one| one.name() == hand).unwrap_or(out.hand);
        }
        if let Some(carried) = chosen("carried") {
            out.carried = Carried::ALL.into_iter().find(|one| one.key() == carried).unwrap_or(out.carried);
        }
        if let Some(arms) = chosen("arms") {
            let task = arm_tasks().into_iter().find(|(_, key, _)| key == arms);
            out.arms = task.map_or(out.arms, |(task, ..)| task);
        }
        if let Some(support) = chosen("support") {
            let found = SUPPORTS.into_iter().find(|(_, key, _)| *key == support);
            out.support = found.map_or(out.support, |(support, ..)| support);
        }
        if let Some(held) = chosen("held") {
            out.held = KINDS.into_iter().find(|kind| kind.name() == held).or(out.held);
        }
        if let Some(landing) = chosen("landing") {
            out.landing = if landing == "straight back" { Landing::Rebound } else { Landing::Held };
        }
        if let Some(share) = chosen("share") {
            out.share = share.chars().filter(char::is_ascii_alphanumeric).take(8).collect();
        }
        let view: i16 = chosen("view").and_then(|value| value.parse().ok()).unwrap_or(out.view);
        out.view = view.clamp(-180, 180);
        Ok(out)
    }

    /// The sentence, in the words that the reader knows.
    pub fn sentence(&self) -> String {
        let mut out = match self.family {
            Family::TwoFootJump => self.family.name().to_owned(),
            family => format!("{} {}", self.mover, family.name()),
        };
        out.push_str(&format!(" {} {:.0} cm", self.to.plain_words(), self.cm));
        match self.crossing {
            Crossing::None => {}
            Crossing::InFront => out.push_str(" crossing in front"),
            Crossing::Behind => out.push_str(" crossing behind"),
        }
        if self.crossing != Crossing::None && self.foot == StanceFoot::Pivoting {
            out.push_str(" pivoting");
        }
        match self.family {
            Family::Lunge => out.push_str(&format!(" depth {:.0} cm", self.depth)),
            Family::BendAndReach => out.push_str(&format!(" to {}", self.hand.name())),
            family if family.is_airborne() => {
                let landing = if self.landing == Landing::Held { "landing held" } else { "straight back" };
                out.push_str(&format!(" {landing}"));
            }
            _ => {}
        }
        if self.rise > 0.0 {
            out.push_str(&format!(" rise {:.0} cm", self.rise));
        }
        match self.carried {
            Carried::Nothing => {}
            Carried::EachHand => out.push_str(&format!(" {} kg", self.kg)),
            Carried::BothHands => out.push_str(&format!(" {} kg in both hands", self.kg)),
            Carried::Back => out.push_str(&format!(" {} kg on the back", self.kg)),
        }
        out.push_str(&match self.arms {
            ArmTask::Free => String::new(),
            ArmTask::BendAndReturn { to, then } => format!(" hands to {} with {}", to.name(), then.name()),
            other => other.words().replace(',', ""),
        });
        if let Some((_, _, words)) = SUPPORTS.into_iter().find(|(one, ..)| *one == self.support) {
            let held = if self.support == Support::Fingertip { "fingertip" } else { words };
            out.push_str(&format!(" {held}"));
        }
        if self.support != Support::None {
            if let Some(kind) = self.held {
                out.push_str(&format!(" {}", kind.name()));
            }
            match self.share.as_str() {
                "" => {}
                "usual" => out.push_str(" hands carrying the usual share"),
                percent => out.push_str(&format!(" hands carrying {percent} %")),
            }
        }
        out
    }

    /// The movement of this person.
    ///
    /// # Errors
    /// The choices do not make one movement: which one does not fit.
    pub fn read(&self, person: &PersonToday<'_>) -> Result<MovementSpec, String> {
        let limits = person.limits();
        let reader = SentenceReader { body: &person.body, supports: &limits.supports };
        reader.read(&self.sentence()).map_err(|error| crate::fault::sentence(&error.to_string()))
    }

    /// The same as the question of an address.
    pub fn query(&self) -> String {
        let crossing = match self.crossing {
            Crossing::None => "",
            Crossing::InFront => "&crossing=front",
            Crossing::Behind => "&crossing=behind",
        };
        let foot = if self.foot == StanceFoot::Pivoting { "&foot=pivoting" } else { "" };
        let arms = arm_tasks().into_iter().find(|(task, ..)| *task == self.arms).map(|(_, key, _)| key);
        let support =
            SUPPORTS.into_iter().find(|(one, ..)| *one == self.support).map_or("none", |(_, key, _)| key);
        let held =
            self.held.map_or_else(String::new, |kind| format!("&held={}", kind.name().replace(' ', "+")));
        let share = if self.share.is_empty() { String::new() } else { format!("&share={}", self.share) };
        let landing = if self.landing == Landing::Held { "" } else { "&landing=straight+back" };
        format!(
            "mover={}&family={}&to={}{crossing}{foot}&cm={:.0}&depth={:.0}&hand={}&carried={}&kg={}&arms={}\
             &support={support}{held}{share}{landing}&rise={:.0}",
            self.mover,
            self.family.name().replace(' ', "+"),
            self.to.degrees(),
            self.cm,
            self.depth,
            self.hand.name(),
            self.carried.key(),
            self.kg,
            arms.unwrap_or_default(),
            self.rise,
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every proposed movement of the invented people comes back from its address as itself.
    #[test]
    fn an_address_says_the_whole_movement() {
        for text in [
            "right step anterolateral 48 cm both hands bench",
            "left step medial 30 cm crossing behind pivoting",
            "right lunge anterior 70 cm depth 18 cm 3 kg in both hands hands to shin with press",
            "left bend and reach lateral 40 cm to knee one hand chair back",
            "two-foot jump forward 40 cm straight back",
            "right step lateral 40 cm both hands walking frame hands carrying 20 %",
            "right step anterior 40 cm rise 17 cm as in a step up a stair",
        ] {
            let case = app::demo_cases()[2].read().expect("reads");
            let person = PersonToday::of(&case, jiff::civil::date(2026, 2, 4));
            let reader = SentenceReader { body: &person.body, supports: &[] };
            let spec = reader.read(text).unwrap_or_else(|error| panic!("{text}: {error}"));
            let pairs: Vec<(String, String)> = Wanted::of(&spec)
                .query()
                .split('&')
                .filter_map(|pair| pair.split_once('='))
                .map(|(name, value)| (name.to_owned(), value.replace('+', " ")))
                .collect();
            let again = Wanted::parse(&Fields::typed(pairs), &Wanted::plain()).expect("parses");
            assert_eq!(again.read(&person), Ok(spec), "{text}");
        }
    }

    #[test]
    fn a_distance_that_cannot_be_is_named_with_what_is_accepted() {
        let fields = Fields::known([("cm", "900".to_owned())]);
        let told = Wanted::parse(&fields, &Wanted::plain()).expect_err("refused");
        assert!(told.contains("`900`") && told.contains("from 5 to 150"), "{told}");
    }
}
