//! Makes a case out of checked values, and finds what does not fit together.

mod conditions;
mod findings;
mod last_programme;
mod orders;

use anatomy::{BodySize, PerSide, Side};
use jiff::civil::Date;
use movement::{AnatomicalDirection, Bearing};
use quantity::{Length, Mass, Span};

use super::bounds::default;
use super::node::{Checked, Fields, Node};
use super::problem::{Problems, Wrong};
use super::words;
use crate::{CaseFile, Clinic, Equipment, Finding, Findings, Goal, GoalKind, Home, Person, Sight, Wishes};

/// The case; `unreadable` are keys on lines that are not TOML. None when something essential is missing or wrong, which is then among the problems.
pub(super) fn case(mut top: Fields, unreadable: &[String], problems: &mut Problems) -> Option<CaseFile> {
    let (_format, _version) = (top.text("format"), top.number("version"));
    let invented = top.flag("invented").unwrap_or_else(|| {
        // What was written but not understood is not "left out".
        problems.name("invented") || unreadable.iter().any(|key| key == "invented")
    });
    let visit = top.table("visit").date("date").map(|(date, _)| date);
    let planned_for = planned_for(&mut top, invented, visit, problems);
    let mut at = Dated { visit, problems };
    let person = person(top.table("person"), at.problems);
    let findings = Findings {
        conditions: conditions::conditions(top.list("conditions"), &mut at),
        weight_bearing: orders::weight_bearing(top.table("weight_bearing"), &mut at),
        orders: orders::orders(top.list("orders"), at.problems),
        strength: findings::strength(top.list("strength"), &mut at),
        hurt: findings::hurt(top.list("hurt"), &mut at),
        ..findings::findings(top.table("findings"), &mut at)
    };
    let last_programme = last_programme::last_programme(top.table("last_programme"), &mut at);
    let home = home(top.table("home"), &mut at);
    let wishes = wishes(top.table("goals"));
    let clinic = clinic(top.table("clinic"));
    debug_assert!(top.map.is_empty(), "keys that nobody read: {:?}", top.map.keys());
    Some(CaseFile {
        invented,
        planned_for,
        visit: visit?,
        person: person?,
        findings,
        last_programme,
        home,
        wishes,
        clinic,
    })
}

/// What every dated finding needs: the day of the visit, and where to say that a date is wrong.
struct Dated<'p> {
    visit: Option<Date>,
    problems: &'p mut Problems,
}

impl Dated<'_> {
    /// The date itself when it is not after the visit.
    fn not_after_visit(&mut self, path: &str, date: Date, line: usize) -> Date {
        if let Some(visit) = self.visit.filter(|visit| date > *visit) {
            self.problems.add(
                Wrong::Contradiction,
                line,
                path,
                date.to_string(),
                format!("a day up to the visit, {visit}"),
                "correct this date or `visit.date`; nothing can be known before it happened",
            );
        }
        date
    }

    /// A finding with its date. `make` turns the checked value into what was found.
    fn finding<T>(
        &mut self,
        fields: &mut Fields,
        key: &str,
        make: impl FnOnce(Node) -> Option<T>,
    ) -> Finding<T> {
        let path = format!("{}{key}", fields.path);
        let Some(Checked::Found { value, on }) = fields.take(key).map(|node| node.value) else {
            return Finding::NotAssessed;
        };
        let on = match on {
            Some((date, line)) => Some(self.not_after_visit(&format!("{path}.on"), date, line)),
            None => self.visit,
        };
        // Without the day of the visit the file is refused anyway.
        match (make(*value), on) {
            (Some(value), Some(on)) => Finding::Found { value, on },
            _ => Finding::NotAssessed,
        }
    }

    /// A finding for each side.
    fn sides<T>(
        &mut self,
        fields: &mut Fields,
        key: &str,
        make: impl Fn(Node) -> Option<T>,
    ) -> PerSide<Finding<T>> {
        let mut table = fields.table(key);
        PerSide::from_fn(|side| self.finding(&mut table, &side.to_string(), &make))
    }
}

fn whole(node: Node) -> Option<u8> {
    node.number().map(|number| number as u8)
}

fn planned_for(
    top: &mut Fields,
    invented: bool,
    visit: Option<Date>,
    problems: &mut Problems,
) -> Option<Date> {
    let (planned, line) = top.date("planned_for")?;
    if !invented {
        problems.add(
            Wrong::Contradiction,
            line,
            "planned_for",
            planned.to_string(),
            "this key only with `invented = true`",
            "take the line out: a real case is planned for today",
        );
    }
    if let Some(visit) = visit.filter(|visit| planned < *visit) {
        problems.add(
            Wrong::Contradiction,
            line,
            "planned_for",
            planned.to_string(),
            format!("the day of the visit, {visit}, or later"),
            "correct this date or `visit.date`",
        );
    }
    Some(planned)
}

fn person(mut fields: Fields, problems: &mut Problems) -> Option<Person> {
    let stature = fields.number("stature").map(Length::m);
    let mut legs = fields.table("leg_length");
    let leg_length = PerSide::from_fn(|side| legs.take(&side.to_string()));
    let lines = PerSide::from_fn(|side| leg_length.get(side).as_ref().map_or(fields.line, |node| node.line));
    let leg_length = leg_length.map(|node| node.and_then(Node::number).map(Length::m));
    let mass = fields.number("mass").map(Mass::kg);
    let sex = fields.text("sex").and_then(|word| words::meaning(words::SEX, &word));
    let age = fields.take("age").and_then(whole);
    let name = fields.text("name");
    let about = fields.text("about").unwrap_or_default();
    let sight = fields.text("sight").and_then(|word| words::meaning(words::SIGHT, &word)).unwrap_or_default();
    let large =
        if fields.flag("poor_sight").unwrap_or(false) { Sight::LargeType } else { Sight::NotAssessed };
    let hearing = fields.text("hearing").and_then(|word| words::meaning(words::HEARING, &word));
    let interpreter = fields.text("interpreter");

    let (stature, mass, sex, age) = (stature?, mass?, sex?, age?);
    let mut fits = true;
    for side in Side::BOTH {
        let one = PerSide::from_fn(|s| leg_length.get(s).filter(|_| s == side));
        if let Err(error) = BodySize::new(stature, mass, sex, age, one) {
            fits = false;
            problems.add(
                Wrong::Contradiction,
                *lines.get(side),
                format!("person.leg_length.{side}"),
                leg_length.get(side).map_or_else(|| stature.to_string(), |length| length.to_string()),
                format!("a leg length that fits the stature, {stature}"),
                format!(
                    "{error}; measure again, or leave the leg length out: it is then estimated from stature"
                ),
            );
        }
    }
    let body = fits.then(|| BodySize::new(stature, mass, sex, age, leg_length).ok())??;
    // Of the two words for sight the poorer one counts: type that is too large harms nobody.
    let (sight, hearing) = (sight.max(large), hearing.unwrap_or_default());
    Some(Person { name: name?, about, body, sight, hearing, interpreter })
}

fn home(mut fields: Fields, at: &mut Dated<'_>) -> Home {
    let mut floor = fields.table("clear_floor");
    let mut clear_floor = Vec::new();
    for bearing in Bearing::ALL {
        let words = bearing.plain_words();
        if floor.map.contains_key(words) {
            clear_floor.push((bearing, at.finding(&mut floor, words, |node| node.number().map(Length::m))));
        }
    }
    let mut equipment = fields.table("equipment");
    let hand_weights =
        equipment.list("hand_weights").into_iter().filter_map(Node::number).map(Mass::kg).collect();
    let supports = equipment
        .list("supports")
        .into_iter()
        .filter_map(|node| words::meaning(words::SUPPORT, &node.text()?))
        .collect();
    let helper = at.finding(&mut fields, "helper", Node::flag);
    let footwear = fields.text("footwear").and_then(|word| words::meaning(words::FOOTWEAR, &word));
    Home { clear_floor, equipment: Equipment { hand_weights, supports }, helper, footwear }
}

fn wishes(mut fields: Fields) -> Wishes {
    let mut number = |key: &str| fields.number(key).unwrap_or_else(|| default(&format!("goals.{key}")));
    let minutes = Span::min_(number("minutes"));
    let (per_day, exercises) = (number("per_day") as u8, number("exercises") as u8);
    let activities = fields.list("activities").into_iter().filter_map(Node::text).collect();
    let goals = fields.list("work_on").into_iter().filter_map(Node::fields).filter_map(goal).collect();
    Wishes { activities, goals, minutes, per_day, exercises }
}

fn goal(mut fields: Fields) -> Option<Goal> {
    let weight = fields.number("weight").unwrap_or_else(|| default("goals.work_on.weight"));
    let kind = match fields.kind? {
        "strength" => GoalKind::Strength { group: anatomy::MuscleGroup::from_key(&fields.text("group")?)? },
        "range" => GoalKind::Range { motion: anatomy::JointMotion::from_key(&fields.text("motion")?)? },
        "control" => {
            GoalKind::Control { direction: AnatomicalDirection::from_name(&fields.text("direction")?)? }
        }
        "task" => GoalKind::Task { task: movement::GoalTask::from_key(&fields.text("task")?)? },
        _ => GoalKind::Balance,
    };
    Some(Goal { kind, weight })
}

fn clinic(mut fields: Fields) -> Clinic {
    Clinic {
        name: fields.text("name"),
        phone: fields.text("phone"),
        surgical_team_phone: fields.text("surgical_team_phone"),
        emergency_number: fields.text("emergency_number"),
        therapist: fields.text("therapist"),
        tables: Vec::new(),
    }
}
