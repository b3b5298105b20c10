//! A programme as the fragment of an address: what comes after `#`, which a browser never sends.
//!
//! It carries no name, no diagnosis and no words: the mark, the days, and for each exercise what is done, how
//! far, how often and how fast. Bits of fixed width, a check sum of 32 bits, base64url (RFC 4648, section 5)
//! without filling. Times are rounded up to tenths of a second, loads down to tenths of a kilogram; a distance that is
//! no multiple of half a centimetre is refused, because a rounded one might be further than was permitted.

use jiff::ToSpan;
use jiff::civil::{Date, date};
use movement::{Bearing, Crossing, Family, HandHeight, SupportKind};

use crate::bits::{BitReader, BitWriter};
use crate::check::crc32;
use crate::mark::Mark;
use crate::programme::{
    Carried, Days, Exercise, Hold, Language, Limb, Load, Order, Programme, Spot, Target, Units, VERSION,
};

const SUM: usize = 4;
const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";

const LANGUAGES: [Language; 3] = [Language::En, Language::Fr, Language::Es];
const UNITS: [Units; 2] = [Units::Metric, Units::Imperial];
const ORDERS: [Order; 3] = [Order::Round, Order::Reverse, Order::Called];
const HOLDS: [Hold; 8] = [
    Hold::None,
    Hold::Fingertip,
    Hold::OneHand,
    Hold::BothHands,
    Hold::Frame,
    Hold::Sticks,
    Hold::Fixed,
    Hold::Person,
];
const CARRIED: [Carried; 4] = [Carried::None, Carried::HandWeights, Carried::InBothHands, Carried::OnTrunk];
const DAYS: [Days; 4] = [Days::Daily, Days::Alternate, Days::TwoAWeek, Days::ThreeAWeek];
const SPOTS: [SupportKind; 3] = [SupportKind::Bench, SupportKind::WalkingFrame, SupportKind::ChairBack];
const CROSSINGS: [Crossing; 3] = [Crossing::None, Crossing::InFront, Crossing::Behind];

/// Tenths of a second, rounded up: nobody is told to go faster than was passed.
fn up(seconds: f64) -> f64 {
    (seconds.mul_add(10.0, -1e-6)).ceil().abs() / 10.0
}

/// Tenths of a kilogram, rounded down.
fn down(kg: f64) -> f64 {
    (kg.mul_add(10.0, 1e-6)).floor() / 10.0
}

/// Writes bits and refuses what has no room.
struct Put(BitWriter);

impl Put {
    fn number(&mut self, what: &str, value: u64, width: usize) -> Result<(), String> {
        if value >> width != 0 {
            let most = (1_u64 << width) - 1;
            return Err(format!(
                "{what} is `{value}`, which an address has no room for; accepted: 0 to {most}; shorten the programme or give the page as a file"
            ));
        }
        self.0.put(value, width);
        Ok(())
    }

    fn one_of<T: PartialEq>(&mut self, list: &[T], of: &T, width: usize) {
        self.0.put(list.iter().position(|one| one == of).unwrap_or(0) as u64, width);
    }

    /// A time in tenths of a second.
    fn time(&mut self, what: &str, seconds: f64) -> Result<(), String> {
        self.parts(what, up(seconds), 10.0, 10)
    }

    /// A number in parts of one, rounded.
    fn parts(&mut self, what: &str, value: f64, of_one: f64, width: usize) -> Result<(), String> {
        let scaled = (value * of_one).round();
        if !(0.0..1e9).contains(&scaled) {
            return Err(format!("{what} is `{value}`; accepted: a number from 0 on"));
        }
        // In the range just checked, and whole.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        self.number(what, scaled as u64, width)
    }

    /// A distance, never rounded.
    fn distance(&mut self, cm: f64) -> Result<(), String> {
        if (cm * 2.0).fract() != 0.0 {
            return Err(format!(
                "a distance is `{cm}` cm; accepted: multiples of half a centimetre; round it down"
            ));
        }
        self.parts("a distance", cm, 2.0, 10)
    }

    /// A number that may be missing: one bit says so.
    fn maybe(&mut self, what: &str, value: Option<f64>, of_one: f64, width: usize) -> Result<(), String> {
        self.0.put(u64::from(value.is_some()), 1);
        value.map_or(Ok(()), |value| self.parts(what, value, of_one, width))
    }

    /// A whole number around nought, rounded.
    fn signed(&mut self, what: &str, value: f64, width: usize) -> Result<(), String> {
        let half = f64::from(1_u32 << (width - 1));
        if value.round() + half < 0.0 {
            return Err(format!("{what} is `{value}`; accepted: {} to {}", -half, half - 1.0));
        }
        self.parts(what, value.round() + half, 1.0, width)
    }
}

/// Writes a programme.
///
/// # Errors
/// Says which value has no room in an address or cannot be written exactly.
pub fn write(programme: &Programme) -> Result<String, String> {
    let mut put = Put(BitWriter::default());
    put.number("the version", VERSION.into(), 4)?;
    put.0.put(u64::from_be_bytes(programme.mark.bytes()), 64);
    let days = |from: Date, to: Date| {
        let span = to - from;
        u64::try_from(span.get_days())
            .map_err(|_| format!("the day {to} is too early; accepted: 2020 and later"))
    };
    put.number("the first day, from 2020,", days(date(2020, 1, 1), programme.from)?, 16)?;
    put.number("the length in days", days(programme.from, programme.until)?, 10)?;
    put.number("sessions a day", programme.a_day.into(), 3)?;
    put.maybe("the minutes", programme.minutes.map(f64::from), 1.0, 7)?;
    put.one_of(&LANGUAGES, &programme.lang, 2);
    put.one_of(&UNITS, &programme.units, 1);
    put.number("the number of exercises", programme.exercises.len() as u64, 2)?;
    for (place, exercise) in (1..).zip(&programme.exercises) {
        no_arms(place, exercise)?;
        write_exercise(&mut put, exercise)?;
    }
    let mut bytes = put.0.groups(8);
    bytes.extend(crc32(&bytes).to_be_bytes());
    let mut six = BitWriter::default();
    bytes.iter().for_each(|byte| six.put(u64::from(*byte), 8));
    let letters = six.groups(6);
    Ok(letters
        .iter()
        .filter_map(|six| LETTERS.get(usize::from(*six)))
        .map(|letter| char::from(*letter))
        .collect())
}

/// What arms and trunk do is words, and an address carries none: without them the exercise would be another.
fn no_arms(place: usize, exercise: &Exercise) -> Result<(), String> {
    if !exercise.arms {
        return Ok(());
    }
    Err(format!(
        "exercise {place} has a task for arms or trunk, which an address cannot tell; accepted: exercises without one; give the practice page as a file"
    ))
}

fn write_exercise(put: &mut Put, exercise: &Exercise) -> Result<(), String> {
    put.one_of(&Family::ALL, &exercise.family, 3);
    put.one_of(&ORDERS, &exercise.order, 2);
    put.0.put(exercise.seed.into(), 32);
    put.number("rounds", exercise.rounds.into(), 6)?;
    put.number("repetitions", exercise.reps.into(), 6)?;
    put.time("the time out", exercise.out_s)?;
    put.time("the time held", exercise.hold_s)?;
    put.time("the time back", exercise.back_s)?;
    put.parts("the rest", exercise.rest_s, 10.0, 13)?;
    put.one_of(&HOLDS, &exercise.support, 3);
    put.one_of(&CARRIED, &exercise.load.kind, 2);
    put.parts("the load", down(exercise.load.kg), 10.0, 10)?;
    put.one_of(&DAYS, &exercise.days, 2);
    put.maybe("the depth", exercise.depth_cm, 2.0, 8)?;
    put.0.put(u64::from(exercise.hand.is_some()), 1);
    if let Some(hand) = &exercise.hand {
        put.one_of(&HandHeight::ALL, hand, 2);
    }
    put.0.put(u64::from(exercise.spot.is_some()), 1);
    if let Some(spot) = &exercise.spot {
        put.one_of(&SPOTS, &spot.kind, 2);
        for edge in spot.front.iter().chain(&spot.right) {
            put.signed("an edge of the support", *edge, 10)?;
        }
    }
    put.number("the number of limbs", exercise.limbs.len() as u64, 2)?;
    for limb in &exercise.limbs {
        put.one_of(&anatomy::Side::BOTH, &limb.mover, 1);
        put.number("the number of directions", limb.cells.len() as u64, 4)?;
        for target in &limb.cells {
            put.one_of(&Bearing::ALL, &target.bearing, 3);
            put.one_of(&CROSSINGS, &target.crossing, 2);
            put.distance(target.cm)?;
            put.0.put(u64::from(target.yaw.is_some()), 1);
            target.yaw.map_or(Ok(()), |yaw| put.signed("the turn of a foot", yaw, 9))?;
            put.0.put(target.pivot.map_or(0, |pivot| 2 + u64::from(pivot)), 2);
            put.maybe("the time out of a direction", target.out_s.map(up), 10.0, 10)?;
            put.maybe("the time back of a direction", target.back_s.map(up), 10.0, 10)?;
        }
    }
    Ok(())
}

/// Reads what stood behind `#`, with or without that sign.
///
/// # Errors
/// Says that it is damaged, or of a newer version.
pub fn read(fragment: &str) -> Result<Programme, String> {
    let damaged = || {
        "this address is damaged or incomplete; accepted: the whole address as it was printed; scan it again"
            .to_owned()
    };
    let text = fragment.trim().trim_start_matches('#');
    let mut six = Vec::with_capacity(text.len());
    for letter in text.bytes() {
        let at = LETTERS.iter().position(|known| *known == letter).and_then(|at| u8::try_from(at).ok());
        six.push(at.ok_or_else(damaged)?);
    }
    let mut bits = BitReader::new(&six, 6);
    let mut bytes: Vec<u8> = Vec::new();
    while let Some(byte) = bits.take(8) {
        bytes.push(u8::try_from(byte).map_err(|_| damaged())?);
    }
    if bits.rest().iter().any(|bit| *bit) || bits.rest().len() > 4 || bytes.len() < SUM + 1 {
        return Err(damaged());
    }
    let (body, sum) = bytes.split_at(bytes.len() - SUM);
    if crc32(body).to_be_bytes() != sum {
        return Err(damaged());
    }
    let version = body[0] >> 4;
    if version != VERSION {
        return Err(format!(
            "this address has version `{version}`; accepted: {VERSION}; reload the page so that it is up to date"
        ));
    }
    let mut bits = BitReader::new(body, 8);
    let programme = read_programme(&mut bits).ok_or_else(damaged)?;
    if bits.rest().iter().any(|bit| *bit) || bits.rest().len() > 7 { Err(damaged()) } else { Ok(programme) }
}

/// The next choice of a list.
fn choice<T: Copy>(bits: &mut BitReader, list: &[T], width: usize) -> Option<T> {
    list.get(usize::try_from(bits.take(width)?).ok()?).copied()
}

/// The next number that fits into a byte.
fn small(bits: &mut BitReader, width: usize) -> Option<u8> {
    u8::try_from(bits.take(width)?).ok()
}

/// The next number in parts of one.
fn parts(bits: &mut BitReader, of_one: f64, width: usize) -> Option<f64> {
    Some(f64::from(u32::try_from(bits.take(width)?).ok()?) / of_one)
}

/// A number that may be missing: outside `None` when the bits end.
fn maybe(bits: &mut BitReader, of_one: f64, width: usize) -> Option<Option<f64>> {
    if bits.take(1)? == 1 { Some(Some(parts(bits, of_one, width)?)) } else { Some(None) }
}

/// A whole number around nought.
fn signed(bits: &mut BitReader, width: usize) -> Option<f64> {
    Some(parts(bits, 1.0, width)? - f64::from(1_u32 << (width - 1)))
}

fn read_spot(bits: &mut BitReader) -> Option<Spot> {
    let kind = choice(bits, &SPOTS, 2)?;
    let mut edges = [0.0; 4];
    for edge in &mut edges {
        *edge = signed(bits, 10)?;
    }
    Some(Spot { kind, front: [edges[0], edges[1]], right: [edges[2], edges[3]] })
}

fn read_target(bits: &mut BitReader) -> Option<Target> {
    let (bearing, crossing) = (choice(bits, &Bearing::ALL, 3)?, choice(bits, &CROSSINGS, 2)?);
    let cm = parts(bits, 2.0, 10)?;
    let yaw = if bits.take(1)? == 1 { Some(signed(bits, 9)?) } else { None };
    let pivot = match bits.take(2)? {
        0 => None,
        2 => Some(false),
        3 => Some(true),
        _ => return None,
    };
    Some(Target {
        bearing,
        crossing,
        cm,
        yaw,
        pivot,
        out_s: maybe(bits, 10.0, 10)?,
        back_s: maybe(bits, 10.0, 10)?,
    })
}

fn read_programme(bits: &mut BitReader) -> Option<Programme> {
    bits.take(4)?;
    let mark = Mark::from_bytes(bits.take(64)?.to_be_bytes());
    let from = date(2020, 1, 1).checked_add(i64::try_from(bits.take(16)?).ok()?.days()).ok()?;
    let until = from.checked_add(i64::try_from(bits.take(10)?).ok()?.days()).ok()?;
    let a_day = small(bits, 3)?;
    let minutes = if bits.take(1)? == 1 { Some(u16::from(small(bits, 7)?)) } else { None };
    let (lang, units) = (choice(bits, &LANGUAGES, 2)?, choice(bits, &UNITS, 1)?);
    let exercises = (0..bits.take(2)?).map(|_| read_exercise(bits)).collect::<Option<_>>()?;
    let person = String::new();
    Some(Programme {
        v: VERSION,
        mark,
        from,
        until,
        a_day,
        lang,
        units,
        person,
        general: true,
        minutes,
        exercises,
    })
}

fn read_exercise(bits: &mut BitReader) -> Option<Exercise> {
    let (family, order) = (choice(bits, &Family::ALL, 3)?, choice(bits, &ORDERS, 2)?);
    let seed = u32::try_from(bits.take(32)?).ok()?;
    let (rounds, reps) = (small(bits, 6)?, small(bits, 6)?);
    let (out_s, hold_s, back_s) = (parts(bits, 10.0, 10)?, parts(bits, 10.0, 10)?, parts(bits, 10.0, 10)?);
    let rest_s = parts(bits, 10.0, 13)?;
    let support = choice(bits, &HOLDS, 3)?;
    let load = Load { kind: choice(bits, &CARRIED, 2)?, kg: parts(bits, 10.0, 10)? };
    let days = choice(bits, &DAYS, 2)?;
    let depth_cm = maybe(bits, 2.0, 8)?;
    let hand = if bits.take(1)? == 1 { Some(choice(bits, &HandHeight::ALL, 2)?) } else { None };
    let spot = if bits.take(1)? == 1 { Some(read_spot(bits)?) } else { None };
    let mut limbs = Vec::new();
    for _ in 0..bits.take(2)? {
        let mover = choice(bits, &anatomy::Side::BOTH, 1)?;
        let mut cells = Vec::new();
        for _ in 0..bits.take(4)? {
            cells.push(read_target(bits)?);
        }
        limbs.push(Limb { mover, cells });
    }
    Some(Exercise {
        family,
        order,
        seed,
        rounds,
        reps,
        out_s,
        hold_s,
        back_s,
        rest_s,
        support,
        load,
        days,
        depth_cm,
        hand,
        spot,
        arms: false,
        limbs,
    })
}
