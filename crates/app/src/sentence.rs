//! Reads one movement from a sentence, such as `right step anterolateral 48 cm both hands`.

use anatomy::Side;
use biomech::Body;
use movement::{
    AnatomicalDirection, Bearing, Crossing, Family, HandHeight, Load, MovementSpec, Place, SpecError,
    StanceFoot, Support, SupportKind,
};
use quantity::{Length, Mass, QuantityError};

/// The grammar, as it is printed.
pub const GRAMMAR: &str = "\
LIMB FAMILY DIRECTION DISTANCE [MORE ...]
  LIMB       left | right                              the leg that moves; the hand in bend and reach
  FAMILY     reach | step | lunge | bend and reach
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
             3 kg                                      in each hand
             no hands | fingertip | one hand | both hands
             bench | chair back | walking frame        what is held; the first support at home unless said
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
    each: Option<Mass>,
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
        let mover = parts.mover.ok_or_else(|| missing("which limb moves", "left, right"))?;
        let family =
            parts.family.ok_or_else(|| missing("the family", "reach, step, lunge, bend and reach"))?;
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
        let ways = Crossing::ways(bearing, mover);
        let crossing = match (parts.crossing, ways) {
            _ if family == Family::BendAndReach => Crossing::None,
            (Some(crossing), _) => crossing,
            (None, [one]) => *one,
            (None, _) => return Err(missing("how it crosses", "crossing in front, crossing behind")),
        };
        let mut support = parts.support.unwrap_or(Support::None);
        if parts.support.is_none() && parts.kind.is_some() {
            support = Support::BothHands;
        }
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
            load: parts.each.map_or(Load::None, |each| Load::HandWeights { each }),
            support,
            place,
            hand_share: movement::HandShare::NotAssessed,
            arms: movement::ArmTask::Free,
            landing: None,
            rise: quantity::Length::ZERO,
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
const PHRASES: [(&str, Meaning); 35] = [
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
    ("in each hand", Meaning::Nothing),
];

#[derive(Clone, Copy)]
enum Meaning {
    Family(Family),
    Crossing(Crossing),
    Foot(StanceFoot),
    Height(HandHeight),
    Support(Support),
    Kind(SupportKind),
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
            "kg" | "lb" => set(&mut parts.each, Mass::parse(&text)?, || twice("the weight"))?,
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
        Meaning::Nothing => {}
    }
    Ok(Some(text.len()))
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
    }

    #[test]
    fn the_example_of_the_grammar_reads() {
        let example = GRAMMAR.rsplit("Example: ").next().expect("an example");
        assert_eq!(read(example).expect("reads").support, Support::BothHands);
    }
}
