//! The strength model and passive moments beside their own published vectors.

use anatomy::{JointMotion, Sex, Side};
use biomech::Capacity;
use biomech::muscle::passive_moments;
use quantity::reference::TableHead;
use quantity::{Angle, AngularSpeed, GRAVITY, Length, Mass};
use serde::Deserialize;

use crate::people::{people, sized};
use crate::row::{Row, compared};
use crate::target::{number, target, targets};

/// The columns of the strength table that are needed to ask at its own angle and speeds.
#[derive(Deserialize)]
struct StrengthRow {
    joint: String,
    direction: String,
    sex: Sex,
    age_from: u8,
    age_to: u8,
    c3: f64,
    c4: f64,
    c5: f64,
}

#[derive(Deserialize)]
struct Strength {
    row: Vec<StrengthRow>,
}

#[derive(Deserialize)]
struct Passive {
    #[allow(dead_code, reason = "heads are checked by the repository's own tests")]
    table: TableHead,
    vector: Vec<Vector>,
}

#[derive(Deserialize)]
struct Vector {
    /// Hip flexion, knee flexion, ankle dorsiflexion, degrees.
    angles: [f64; 3],
    /// Hip, knee, ankle, N·m.
    moments: [f64; 3],
}

/// Every figure about strength and passive moments.
pub(crate) fn rows() -> Vec<Row> {
    let mut rows = at_speed();
    rows.extend(passive());
    rows.extend(knees());
    rows
}

/// Knee strength of single bodies beside pooled groups.
fn knees() -> Vec<Row> {
    const MID_RANGE: f64 = 60.0;
    targets()
        .values()
        .filter_map(|t| {
            let (direction, body) = t.id.strip_prefix("knee_")?.split_once('_')?;
            let who = people().get(body)?;
            let (moment, _) =
                who.capacity.at(Side::Left, motion("knee", direction), Angle::deg(MID_RANGE))?;
            Some(compared(t, moment.in_nm() / who.mass.in_kg()))
        })
        .collect()
}

fn motion(joint: &str, direction: &str) -> JointMotion {
    let key = format!("{joint}_{direction}");
    JointMotion::from_key(&key).unwrap_or_else(|| panic!("`{key}` is a joint motion"))
}

/// Strength at the table's best angle and a speed, as a share of mass × 9.81 × stature.
fn strength(row: &StrengthRow, speed: f64) -> f64 {
    // Size divides out.
    let (stature, mass) = (Length::cm(170.0), Mass::kg(70.0));
    // Somebody in the middle of the group; the oldest group carries the tool's upper age.
    let age = row.age_from + (row.age_to - row.age_from).min(10) / 2;
    let size = sized(stature, mass, row.sex, age);
    let moving = AngularSpeed::rad_per_s(speed);
    Capacity::of(&size, &[])
        .at_speed(Side::Left, motion(&row.joint, &row.direction), Angle::rad(row.c3), moving)
        .map_or(f64::NAN, |(moment, _)| moment.in_nm() / (mass.in_kg() * GRAVITY * stature.in_m()))
}

fn at_speed() -> Vec<Row> {
    let table: Strength = toml::from_str(include_str!("../../../reference/strength_anderson2007.toml"))
        .unwrap_or_else(|e| panic!("reference/strength_anderson2007.toml: {e}"));
    let worst = |want: f64, speed: fn(&StrengthRow) -> f64| {
        table
            .row
            .iter()
            .map(|row| (strength(row, speed(row)) / strength(row, 0.0) - want).abs())
            .fold(0.0, f64::max)
    };
    let mut rows = vec![
        compared(target("strength_three_quarters"), worst(0.75, |row| row.c4)),
        compared(target("strength_half"), worst(0.5, |row| row.c5)),
    ];
    let young: Vec<&StrengthRow> =
        table.row.iter().filter(|row| row.sex == Sex::Male && row.age_from < 25).collect();
    let key = |row: &StrengthRow| motion(&row.joint, &row.direction).key();
    let shortening = young
        .iter()
        .flat_map(|row| [("at_0", 0.0), ("at_1", 1.0), ("at_3", 3.0)].map(|(name, speed)| (row, name, speed)))
        .map(|(row, name, speed)| (strength(row, speed) - number(&key(row), name)).abs())
        .fold(0.0, f64::max);
    rows.push(compared(target("strength_shortening"), shortening));
    for row in young {
        rows.push(compared(target(&format!("strength_lengthening_{}", key(row))), strength(row, -1.0)));
    }
    rows
}

fn passive() -> Vec<Row> {
    let table: Passive = toml::from_str(include_str!("../../../reference/passive_riener1999.toml"))
        .unwrap_or_else(|e| panic!("reference/passive_riener1999.toml: {e}"));
    let mut worst = [0.0_f64; 3];
    for vector in &table.vector {
        let [hip, knee, ankle] = vector.angles.map(Angle::deg);
        let found = passive_moments(hip, knee, ankle)
            .map_or([f64::NAN; 3], |m| [m.hip, m.knee, m.ankle].map(|m| m.in_nm()));
        for k in 0..3 {
            worst[k] = worst[k].max((found[k] - vector.moments[k]).abs());
        }
    }
    ["hip", "knee", "ankle"]
        .into_iter()
        .zip(worst)
        .map(|(joint, worst)| compared(target(&format!("passive_{joint}_worst")), worst))
        .collect()
}
