//! Reads one movement from a sentence, such as `right step anterolateral 48 cm both hands`.

use anatomy::Side;
use biomech::Body;
use movement::{
    AnatomicalDirection, ArmTask, Bearing, Crossing, Family, GoalTask, HandHeight, HandShare, Landing, Load,
    MovementSpec, OnReturn, Place, SpecError, StanceFoot, Support, SupportKind, TurnToward,
};
use quantity::{Length, Mass, QuantityError, Share};

/// The grammar, as it is printed.
pub const GRAMMAR: &str = "\
LIMB FAMILY DIRECTION DISTANCE [MORE ...]
  LIMB       left | right                              the leg that moves; the hand in bend and reach
                                                        (left out in a two-foot jump)
  FAMILY     reach | step | lunge | leap | two-foot jump | single-leg hop | bend and reach
  DIRECTION  anterior | anterolateral | lateral | posterolateral | posterior | posteromedial |
             medial | anteromedial                     named from the moving limb; in a reach from
                                                       the standing leg
             or seen from above: forward | forward-right | right | back-right | back | back-left |
             left | forward-left
  DISTANCE   48 cm | 0.48 m | 19 in | 50 %             per cent of leg length
  MORE, in any order
             crossing in front | crossing behind       needed where both are possible (medial)
             fixed | pivoting                          the standing foot; fixed unless said
             depth 20 cm                               a lunge: how far the pelvis sinks
             to thigh | to knee | to shin | to ankle   bend and reach: how low the hand goes
             landing held | straight back              a leap, jump or hop
             rise 17 cm                                the landing place is higher, as a stair
             3 kg                                      in each hand
             4 kg in both hands | 6 kg on the back     a ball; a backpack or vest
             hands to knee with curl                   thigh, knee, shin, ankle; hang, curl, row, press
             overhead                                  both hands
             turning toward the moving limb | turning away from the moving limb
             as in TASK                                such as: as in turning at a bench
             no hands | fingertip | one hand | both hands
             bench | chair back | walking frame        what is held; the first support at home unless said
             hands carrying 20 %                       share of body weight on the hands
Example: right step anterolateral 48 cm both hands bench";

/// Why a sentence is not one movement.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum SentenceError {
    /// A needed part is missing.
    #[error("`{given}` does not say {what}; accepted: {accepted}")]
    Missing {
        /// The sentence.
        given: String,
        /// The part.
        what: &'static str,
        /// What would be accepted.
        accepted: &'static str,
    },
    /// A word that is not in the grammar.
    #[error(
        "`{word}` is not understood here; write for example `right step anterolateral 48 cm both hands bench`"
    )]
    Word {
        /// The word.
        word: String,
    },
    /// A part stands twice.
    #[error("{what} stands twice in `{given}`; write it once")]
    Twice {
        /// The sentence.
        given: String,
        /// The part.
        what: &'static str,
    },
    /// A number with a unit is not readable.
    #[error(transparent)]
    Quantity(#[from] QuantityError),
    /// The parts do not make one movement.
    #[error(transparent)]
    Spec(#[from] SpecError),
    /// Something is held, but nothing is at home.
    #[error("`{given}` needs something to hold; add one of: bench, chair back, walking frame")]
    NothingToHold {
        /// The sentence.
        given: String,
    },
    /// The support has more than one usual place and none was stated that fits; never the case today.
    #[error("`{kind}` has no usual place")]
    NoPlace {
        /// The support.
        kind: &'static str,
    },
}

/// What a sentence is read for: a body for percentages and places, and what is at home.
#[derive(Clone, Copy, Debug)]
pub struct SentenceReader<'a> {
    /// The body.
    pub body: &'a Body,
    /// Supports at home, the first is taken when none is said.
    pub supports: &'a [SupportKind],
}

#[derive(Clone, Copy)]
enum Distance {
    Length(Length),
    Percent(f64),
}

/// Where a weight is carried.
#[derive(Clone, Copy)]
enum Carried {
    EachHand,
    BothHands,
    Trunk,
}

#[derive(Default)]
struct Parts {
    mover: Option<Side>,
    family: Option<Family>,
    direction: Option<Result<AnatomicalDirection, Bearing>>,
    distance: Option<Distance>,
    crossing: Option<Crossing>,
    stance_foot: Option<StanceFoot>,
    depth: Option<Length>,
    height: Option<HandHeight>,
    mass: Option<Mass>,
    carried: Option<Carried>,
    landing: Option<Landing>,
    rise: Option<Length>,
    arms: Option<ArmTask>,
    hand_share: Option<HandShare>,
    support: Option<Support>,
    kind: Option<SupportKind>,
}

impl SentenceReader<'_> {
    /// Reads a sentence into a movement.
    ///
    /// # Errors
    /// Names the word or the part, and what is accepted.
    pub fn read(&self, given: &str) -> Result<MovementSpec, SentenceError> {
        let parts = parts(given)?;
        let missing = |what, accepted| SentenceError::Missing { given: given.to_owned(), what, accepted };
        let family = parts.family.ok_or_else(|| {
            missing("the family", "reach, step, lunge, leap, two-foot jump, single-leg hop, bend and reach")
        })?;
        // A two-foot jump moves both feet and is written with the right side.
        let mover = match (family, parts.mover) {
            (Family::TwoFootJump, None) => Side::Right,
            (_, Some(mover)) => mover,
            (_, None) => return Err(missing("which limb moves", "left, right")),
        };
        let bearing = match parts.direction {
            Some(Ok(direction)) => Bearing::of(direction, family.named_from(mover)),
            Some(Err(bearing)) => bearing,
            None => {
                return Err(missing("the direction", "anterior to anteromedial, or forward to forward-left"));
            }
        };
        let distance = match parts.distance {
            Some(Distance::Length(length)) => length,
            Some(Distance::Percent(percent)) => self.body.leg_length(mover).times(percent / 100.0),
            None => return Err(missing("the distance", "for example 48 cm or 50 %")),
        };
        let crossing = match (parts.crossing, family.ways(bearing, mover)) {
            (Some(crossing), _) => crossing,
            (None, [one]) => *one,
            (None, _) => return Err(missing("how it crosses", "crossing in front, crossing behind")),
        };
        let mut support = parts.support.unwrap_or(Support::None);
        if parts.support.is_none() && parts.kind.is_some() {
            support = Support::BothHands;
        }
        let load = match (parts.mass, parts.carried) {
            (None, None) => Load::None,
            (None, Some(_)) => return Err(missing("how heavy the load is", "for example 3 kg")),
            (Some(each), None | Some(Carried::EachHand)) => Load::HandWeights { each },
            (Some(mass), Some(Carried::BothHands)) => Load::InBothHands { mass },
            (Some(mass), Some(Carried::Trunk)) => Load::OnTrunk { mass },
        };
        let place =
            if support == Support::None { None } else { Some(self.place(given, parts.kind, bearing)?) };
        let spec = MovementSpec {
            family,
            mover,
            bearing,
            crossing,
            stance_foot: parts.stance_foot.unwrap_or(StanceFoot::Fixed),
            distance,
            depth: parts.depth,
            hand_height: parts.height,
            load,
            support,
            place,
            hand_share: parts.hand_share.unwrap_or(HandShare::NotAssessed),
            arms: parts.arms.unwrap_or(ArmTask::Free),
            landing: parts.landing,
            rise: parts.rise.unwrap_or(Length::ZERO),
        };
        Ok(spec.checked()?)
    }

    /// Where the support stands: close when the foot goes back or aside, off when it goes forward.
    fn place(
        &self,
        given: &str,
        kind: Option<SupportKind>,
        bearing: Bearing,
    ) -> Result<Place, SentenceError> {
        let kind = kind
            .or_else(|| self.supports.first().copied())
            .ok_or_else(|| SentenceError::NothingToHold { given: given.to_owned() })?;
        let places = Place::usual(kind, self.body.size().stature());
        let (forward, _) = bearing.forward_right();
        let wanted = if forward > 0.1 { places.last() } else { places.first() };
        wanted.copied().ok_or(SentenceError::NoPlace { kind: kind.name() })
    }
}

/// Words of a sentence; what stands in brackets is for people and is passed over.
fn words(given: &str) -> Vec<String> {
    let mut plain = String::new();
    let mut inside = 0_usize;
    for c in given.chars() {
        match c {
            '(' => inside += 1,
            ')' => inside = inside.saturating_sub(1),
            ',' | ';' if inside == 0 => plain.push(' '),
            c if inside == 0 => plain.extend(c.to_lowercase()),
            _ => {}
        }
    }
    // `48cm` and `50%` are as good as `48 cm` and `50 %`.
    plain
        .split_whitespace()
        .flat_map(|word| {
            let end = word.find(|c: char| !(c.is_ascii_digit() || c == '.')).unwrap_or(word.len());
            if end > 0 && end < word.len() {
                vec![word[..end].to_owned(), word[end..].to_owned()]
            } else {
                vec![word.to_owned()]
            }
        })
        .collect()
}

fn parts(given: &str) -> Result<Parts, SentenceError> {
    let words = words(given);
    let mut parts = Parts::default();
    let mut rest: &[String] = &words;
    while let Some(used) = one(given, rest, &mut parts)? {
        rest = &rest[used..];
    }
    match rest.first() {
        None => Ok(parts),
        Some(word) => Err(SentenceError::Word { word: word.clone() }),
    }
}

/// Phrases without a number, longest first, and what each means.
const PHRASES: [(&str, Meaning); 53] = [
    ("leap", Meaning::Family(Family::Leap)),
    ("two-foot jump", Meaning::Family(Family::TwoFootJump)),
    ("two_foot_jump", Meaning::Family(Family::TwoFootJump)),
    ("single-leg hop", Meaning::Family(Family::Hop)),
    ("hop", Meaning::Family(Family::Hop)),
    ("landing held", Meaning::Landing(Landing::Held)),
    ("straight back", Meaning::Landing(Landing::Rebound)),
    ("held in both hands", Meaning::Carried(Carried::BothHands)),
    ("in both hands", Meaning::Carried(Carried::BothHands)),
    ("on the back", Meaning::Carried(Carried::Trunk)),
    ("both hands overhead", Meaning::Arms(ArmTask::Overhead)),
    ("overhead", Meaning::Arms(ArmTask::Overhead)),
    ("turning toward the moving limb", Meaning::Arms(ArmTask::Turn { toward: TurnToward::SameSide })),
    ("turning away from the moving limb", Meaning::Arms(ArmTask::Turn { toward: TurnToward::OtherSide })),
    ("hands carrying the usual share", Meaning::HandShare(HandShare::Usual)),
    ("higher", Meaning::Nothing),
    ("height", Meaning::Nothing),
    ("and back", Meaning::Nothing),
    ("bend and reach", Meaning::Family(Family::BendAndReach)),
    ("crossing in front", Meaning::Crossing(Crossing::InFront)),
    ("crossing behind", Meaning::Crossing(Crossing::Behind)),
    ("standing foot fixed", Meaning::Foot(StanceFoot::Fixed)),
    ("standing foot pivoting", Meaning::Foot(StanceFoot::Pivoting)),
    ("both hands held", Meaning::Support(Support::BothHands)),
    ("one hand held", Meaning::Support(Support::OneHand)),
    ("hand to thigh height", Meaning::Height(HandHeight::Thigh)),
    ("hand to knee height", Meaning::Height(HandHeight::Knee)),
    ("hand to shin height", Meaning::Height(HandHeight::Shin)),
    ("hand to ankle height", Meaning::Height(HandHeight::Ankle)),
    ("fingertip support", Meaning::Support(Support::Fingertip)),
    ("both hands", Meaning::Support(Support::BothHands)),
    ("one hand", Meaning::Support(Support::OneHand)),
    ("no hands", Meaning::Support(Support::None)),
    ("in front", Meaning::Crossing(Crossing::InFront)),
    ("walking frame", Meaning::Kind(SupportKind::WalkingFrame)),
    ("chair back", Meaning::Kind(SupportKind::ChairBack)),
    ("to thigh", Meaning::Height(HandHeight::Thigh)),
    ("to knee", Meaning::Height(HandHeight::Knee)),
    ("to shin", Meaning::Height(HandHeight::Shin)),
    ("to ankle", Meaning::Height(HandHeight::Ankle)),
    ("fingertip", Meaning::Support(Support::Fingertip)),
    ("behind", Meaning::Crossing(Crossing::Behind)),
    ("pivoting", Meaning::Foot(StanceFoot::Pivoting)),
    ("fixed", Meaning::Foot(StanceFoot::Fixed)),
    ("bench", Meaning::Kind(SupportKind::Bench)),
    ("reach", Meaning::Family(Family::Reach)),
    ("step", Meaning::Family(Family::Step)),
    ("lunge", Meaning::Family(Family::Lunge)),
    ("bend_and_reach", Meaning::Family(Family::BendAndReach)),
    ("on", Meaning::Nothing),
    ("leg", Meaning::Nothing),
    ("hand", Meaning::Nothing),
    ("in each hand", Meaning::Carried(Carried::EachHand)),
];

#[derive(Clone, Copy)]
enum Meaning {
    Family(Family),
    Crossing(Crossing),
    Foot(StanceFoot),
    Height(HandHeight),
    Support(Support),
    Kind(SupportKind),
    Landing(Landing),
    Carried(Carried),
    Arms(ArmTask),
    HandShare(HandShare),
    Nothing,
}

/// Takes one phrase from the front; says how many words it had, `None` when nothing fits.
fn one(given: &str, words: &[String], parts: &mut Parts) -> Result<Option<usize>, SentenceError> {
    let Some(first) = words.first() else { return Ok(None) };
    let twice = |what| SentenceError::Twice { given: given.to_owned(), what };
    if first.starts_with(|c: char| c.is_ascii_digit()) {
        let unit = words.get(1).map_or("", String::as_str);
        let text = format!("{first} {unit}");
        match unit {
            "kg" | "lb" => set(&mut parts.mass, Mass::parse(&text)?, || twice("the weight"))?,
            "%" => {
                let share = quantity::Share::parse(&text)?;
                set(&mut parts.distance, Distance::Percent(share.in_percent()), || twice("the distance"))?;
            }
            _ => {
                let length = Length::parse(&text)?;
                set(&mut parts.distance, Distance::Length(length), || twice("the distance"))?;
            }
        }
        return Ok(Some(2));
    }
    let depth = match (first.as_str(), words.get(1).map(String::as_str)) {
        ("depth", _) => Some(1),
        ("pelvis", Some("sinking")) => Some(2),
        _ => None,
    };
    if let Some(at) = depth {
        let text = words[at..].iter().take(2).cloned().collect::<Vec<_>>().join(" ");
        set(&mut parts.depth, Length::parse(&text)?, || twice("the depth"))?;
        return Ok(Some(at + 2));
    }
    if let Some(used) = phrase_with_a_figure(given, words, parts)? {
        return Ok(Some(used));
    }
    // The first `left` or `right` is the limb; the next is a direction seen from above.
    if let (None, Some(side)) = (parts.mover, side(first)) {
        parts.mover = Some(side);
        return Ok(Some(1));
    }
    if let Some(direction) = direction(first) {
        set(&mut parts.direction, direction, || twice("the direction"))?;
        return Ok(Some(1));
    }
    let mut phrases: Vec<_> =
        PHRASES.iter().map(|(text, meaning)| (text.split(' ').collect::<Vec<_>>(), meaning)).collect();
    phrases.sort_by_key(|(text, _)| std::cmp::Reverse(text.len()));
    let hit = phrases
        .into_iter()
        .find(|(text, _)| text.len() <= words.len() && text.iter().zip(words).all(|(a, b)| *a == b.as_str()));
    let Some((text, meaning)) = hit else { return Ok(None) };
    match *meaning {
        Meaning::Family(family) => set(&mut parts.family, family, || twice("the family"))?,
        Meaning::Crossing(crossing) => set(&mut parts.crossing, crossing, || twice("the crossing"))?,
        Meaning::Foot(foot) => set(&mut parts.stance_foot, foot, || twice("the standing foot"))?,
        Meaning::Height(height) => set(&mut parts.height, height, || twice("the hand height"))?,
        Meaning::Support(support) => set(&mut parts.support, support, || twice("what the hands do"))?,
        Meaning::Kind(kind) => set(&mut parts.kind, kind, || twice("what is held"))?,
        Meaning::Landing(landing) => set(&mut parts.landing, landing, || twice("the landing"))?,
        Meaning::Carried(carried) => {
            set(&mut parts.carried, carried, || twice("where the weight is carried"))?;
        }
        Meaning::Arms(arms) => set(&mut parts.arms, arms, || twice("the arm task"))?,
        Meaning::HandShare(share) => {
            set(&mut parts.hand_share, share, || twice("what the hands carry"))?;
        }
        Meaning::Nothing => {}
    }
    Ok(Some(text.len()))
}

/// Takes `rise 17 cm`, `landing 17 cm higher`, `hands carrying 20 %`, `hands to knee ... with curl`
/// or `as in TASK` from the front.
fn phrase_with_a_figure(
    given: &str,
    words: &[String],
    parts: &mut Parts,
) -> Result<Option<usize>, SentenceError> {
    let twice = |what| SentenceError::Twice { given: given.to_owned(), what };
    let at = |k: usize| words.get(k).map_or("", String::as_str);
    let figure = |k: usize| at(k).starts_with(|c: char| c.is_ascii_digit());
    match (at(0), at(1)) {
        ("rise" | "landing", _) if figure(1) => {
            let rise = Length::parse(&format!("{} {}", at(1), at(2)))?;
            set(&mut parts.rise, rise, || twice("the rise"))?;
            Ok(Some(3))
        }
        ("hands", "carrying") if figure(2) => {
            let share = Share::parse(&format!("{} {}", at(2), at(3)))?;
            set(&mut parts.hand_share, HandShare::Stated(share), || twice("what the hands carry"))?;
            Ok(Some(4))
        }
        ("hands", "to") => {
            let to = HandHeight::ALL.into_iter().find(|h| h.name() == at(2));
            let with = words.iter().take(7).position(|w| w == "with");
            let then = with.and_then(|k| OnReturn::ALL.into_iter().find(|r| r.name() == at(k + 1)));
            let (Some(to), Some(then), Some(with)) = (to, then, with) else {
                return Err(SentenceError::Missing {
                    given: given.to_owned(),
                    what: "how low the hands go and what they do on the way back",
                    accepted: "hands to thigh, knee, shin or ankle, with hang, curl, row or press",
                });
            };
            set(&mut parts.arms, ArmTask::BendAndReturn { to, then }, || twice("the arm task"))?;
            Ok(Some(with + 2))
        }
        ("as", "in") => {
            let task = GoalTask::ALL.into_iter().find(|task| {
                let name: Vec<&str> = task.name().split(' ').collect();
                words.len() >= name.len() + 2 && name.iter().zip(&words[2..]).all(|(a, b)| *a == b.as_str())
            });
            let Some(task) = task else {
                return Err(SentenceError::Missing {
                    given: given.to_owned(),
                    what: "a known task after `as in`",
                    accepted: "passing a ball, striking overhead, a forehand, a backhand, lifting and turning, \
                               carrying and turning, getting out of a car, a step up a stair, turning at a bench",
                });
            };
            set(&mut parts.arms, ArmTask::Goal(task), || twice("the arm task"))?;
            Ok(Some(2 + task.name().split(' ').count()))
        }
        _ => Ok(None),
    }
}

fn set<T>(
    slot: &mut Option<T>,
    value: T,
    twice: impl FnOnce() -> SentenceError,
) -> Result<(), SentenceError> {
    if slot.is_some() {
        return Err(twice());
    }
    *slot = Some(value);
    Ok(())
}

fn side(word: &str) -> Option<Side> {
    Side::BOTH.into_iter().find(|side| side.to_string() == word)
}

fn direction(word: &str) -> Option<Result<AnatomicalDirection, Bearing>> {
    AnatomicalDirection::from_name(word)
        .map(Ok)
        .or_else(|| Bearing::ALL.into_iter().find(|b| b.plain_words() == word).map(Err))
}

#[cfg(test)]
mod tests {
    use anatomy::{BodySize, PerSide, Sex};

    use super::*;

    fn body() -> Body {
        let size = BodySize::new(
            Length::cm(176.0),
            Mass::kg(80.0),
            Sex::Male,
            40,
            PerSide { left: Some(Length::cm(90.0)), right: Some(Length::cm(90.0)) },
        );
        Body::of(&size.expect("plausible"))
    }

    fn read(text: &str) -> Result<MovementSpec, SentenceError> {
        SentenceReader { body: &body(), supports: &[SupportKind::Bench] }.read(text)
    }

    #[test]
    fn a_direction_is_named_from_the_moving_leg_and_in_a_reach_from_the_standing_one() {
        assert_eq!(read("right step anterolateral 48 cm").expect("reads").bearing.degrees(), 45);
        assert_eq!(read("left step anterolateral 48 cm").expect("reads").bearing.degrees(), 315);
        assert_eq!(read("right reach anterolateral 48 cm").expect("reads").bearing.degrees(), 315);
        assert_eq!(read("right step back-left 48 cm").expect("reads").bearing.degrees(), 225);
        assert_eq!(read("left step left 48 cm").expect("reads").bearing.degrees(), 270);
    }

    #[test]
    fn a_share_is_of_leg_length_and_a_unit_may_touch_its_number() {
        assert_eq!(read("right step lateral 50 %").expect("reads").distance.in_cm().round(), 45.0);
        assert_eq!(
            read("right step lateral 50%").expect("reads"),
            read("right step lateral 45cm").expect("reads")
        );
    }

    #[test]
    fn what_the_program_prints_it_reads_again() {
        let body = body();
        let reader = SentenceReader { body: &body, supports: &[SupportKind::Bench] };
        for text in [
            "right step anterolateral 48 cm both hands",
            "left step medial 30 cm crossing behind pivoting",
            "left reach posteromedial 60 cm",
            "right lunge anterior 70 cm depth 18 cm 3 kg",
            "left bend and reach lateral 40 cm to knee",
            "right bend and reach anteromedial 40 cm to ankle one hand bench",
            "two-foot jump forward 40 cm landing held",
            "left hop lateral 30 cm straight back",
            "right leap anterolateral 80 cm landing held 6 kg on the back",
            "right lunge anterior 70 cm depth 18 cm 4 kg in both hands hands to shin with press",
            "left step lateral 40 cm 3 kg in both hands turning away from the moving limb",
            "right step lateral 40 cm as in turning at a bench",
            "right step anterior 40 cm rise 17 cm as in a step up a stair",
            "right step lateral 40 cm both hands bench hands carrying 20 %",
            "left step lateral 40 cm overhead",
        ] {
            let spec = reader.read(text).unwrap_or_else(|e| panic!("{text}: {e}"));
            assert_eq!(
                reader.read(&spec.sentence()).unwrap_or_else(|e| panic!("{}: {e}", spec.sentence())),
                spec
            );
        }
    }

    #[test]
    fn an_error_names_the_word_or_the_part_and_what_is_accepted() {
        let told = |text: &str| read(text).expect_err("refused").to_string();
        assert!(told("right step sideways 40 cm").contains("`sideways` is not understood"));
        assert!(told("right step lateral").contains("does not say the distance"));
        assert!(told("step lateral 40 cm").contains("does not say which limb moves"));
        assert!(told("right step medial 40 cm").contains("crossing in front, crossing behind"));
        assert!(told("right step lateral 40").contains("no unit"));
        assert!(told("right lunge lateral 40 cm").contains("needs a depth"));
        assert!(told("right step lateral 40 cm 50 cm").contains("stands twice"));
        assert!(told("right step lateral 40 cm crossing behind").contains("cannot have crossing"));
        assert!(told("right hop lateral 40 cm").contains("needs a landing"));
        assert!(told("left two-foot jump forward 40 cm landing held").contains("both feet"));
        assert!(told("right step lateral 40 cm in both hands").contains("how heavy"));
        assert!(told("right step lateral 40 cm hands to knee").contains("hang, curl, row or press"));
        assert!(told("right step lateral 40 cm as in flying").contains("turning at a bench"));
    }

    #[test]
    fn the_example_of_the_grammar_reads() {
        let example = GRAMMAR.rsplit("Example: ").next().expect("an example");
        assert_eq!(read(example).expect("reads").support, Support::BothHands);
    }
}
