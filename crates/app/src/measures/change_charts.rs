//! Charts of a change: the course of every test with error bands, and the reach of two dates.

use anatomy::Side;
use drawing::{
    CourseChart, CourseLine, CoursePoint, Frame, ReachChart, ReachWords, Scene, course_chart, reach_chart,
};
use measurement::statistics::Confidence;
use measurement::{Better, Bound, Change, Scale, StanceDirection};
use movement::Bearing;

use super::change::{ChangeReport, ChangedResult, ChangedTest, Key, WithError};

/// One chart with the name of its file.
#[derive(Clone, Debug)]
pub struct ChangeChart {
    /// A name for a file, without its ending: `star_reach-right`.
    pub name: String,
    /// The drawing.
    pub scene: Scene,
}

impl ChangeReport {
    /// Every chart: for a test in directions the reach of two dates, one a leg; for any other its course.
    #[must_use]
    pub fn charts(&self, frame: Frame) -> Vec<ChangeChart> {
        self.tests.iter().flat_map(|test| test.charts(frame)).collect()
    }
}

impl ChangedTest {
    fn charts(&self, frame: Frame) -> Vec<ChangeChart> {
        let mut charts = Vec::new();
        let is_reach = self.test.instrument().better == Better::Higher;
        for side in Side::BOTH {
            let of_side: Vec<&ChangedResult> = self
                .rows
                .iter()
                .filter(|row| is_reach && row.side == Some(side) && row.direction.is_some())
                .collect();
            charts.extend(reach(self.test.as_str(), side, &of_side, self.together, frame));
        }
        let mut drawn: Vec<Option<StanceDirection>> = Vec::new();
        for (key, _) in &self.lines {
            if drawn.contains(&key.direction) {
                continue;
            }
            drawn.push(key.direction);
            charts.extend(self.course(key.direction, frame));
        }
        charts
    }

    fn course(&self, direction: Option<StanceDirection>, frame: Frame) -> Option<ChangeChart> {
        let of: Vec<&(Key, Vec<WithError>)> =
            self.lines.iter().filter(|(key, _)| key.direction == direction).collect();
        let scale = of.iter().find_map(|(_, points)| points.first())?.0.scale;
        let of: Vec<_> = of
            .into_iter()
            .filter(|(_, points)| points.first().is_some_and(|(reading, _)| reading.scale == scale))
            .collect();
        let start = of.iter().filter_map(|(_, points)| points.first()).map(|(r, _)| r.date).min()?;
        let test = self.test.instrument();
        let unit = scale.unit(test.unit);
        let on = if scale == Scale::Raw { unit.to_string() } else { format!("{unit} {}", scale.words()) };
        let way = match test.better {
            Better::Higher => "higher is better",
            Better::Lower => "lower is better",
            Better::Neither => "which way is better is not recorded",
        };
        let named = direction.map_or(String::new(), |direction| format!(", {direction}"));
        let known = of.iter().flat_map(|(_, points)| points).any(|(_, sem)| sem.is_some());
        let bands = if known {
            "bands: 95 % interval of the true value"
        } else {
            "no bands: the error of this test is not known"
        };
        let chart = CourseChart {
            name: format!("{}{named} ({on})", test.name),
            least: (scale == Scale::Raw || test.least == 0.0).then_some(test.least),
            unit: on,
            better: way.to_owned(),
            bands: bands.to_owned(),
            lines: of.iter().map(|(key, points)| line(key.side, points, start)).collect(),
            resolution: 0.1,
        };
        let file = match direction {
            Some(direction) => format!("{}-{}", self.test, direction.name()),
            None => self.test.to_string(),
        };
        Some(ChangeChart { name: file, scene: course_chart(&chart, frame) })
    }
}

fn line(side: Option<Side>, points: &[WithError], start: jiff::civil::Date) -> CourseLine {
    let points = points
        .iter()
        .map(|(reading, sem)| CoursePoint {
            day: f64::from((reading.date - start).get_days()),
            date: reading.date.to_string(),
            value: reading.value,
            interval: sem.map(|sem| {
                let half = Confidence::P95.z() * sem;
                // Nobody can be beyond the ends of the test itself.
                let test = reading.instrument.instrument();
                let (least, most) = match reading.scale {
                    Scale::Raw => (test.least, test.most),
                    _ => (f64::NEG_INFINITY, f64::INFINITY),
                };
                [(reading.value - half).max(least), (reading.value + half).min(most)]
            }),
            capped: reading.bound == Bound::AtLeast,
        })
        .collect();
    CourseLine { side, points }
}

/// Two dates of one standing leg, when every direction was measured on the same two.
fn reach(
    test: &str,
    side: Side,
    rows: &[&ChangedResult],
    together: usize,
    frame: Frame,
) -> Option<ChangeChart> {
    let first = rows.first()?;
    let same: Vec<&&ChangedResult> = rows
        .iter()
        .filter(|row| (row.from, row.to, row.scale) == (first.from, first.to, first.scale))
        .collect();
    let on = |which: usize| {
        same.iter()
            .filter_map(|row| {
                let reading = &row.readings.as_ref()?[which].0;
                Some((row.direction?.bearing(side), reading.value))
            })
            .collect::<Vec<_>>()
    };
    let (earlier, later) = (on(0), on(1));
    if earlier.len() < 2 {
        return None;
    }
    let noise: Vec<(Bearing, f64)> =
        same.iter().filter_map(|row| Some((row.direction?.bearing(side), common(&row.change)?))).collect();
    let unit = first.readings.as_ref().map(|of| of[0].0.unit)?;
    let unit =
        if first.scale == Scale::LimbLength { "% of limb length".to_owned() } else { unit.to_string() };
    let chart = ReachChart {
        standing: side,
        earlier,
        later,
        noise_words: words_of(&noise, together),
        noise,
        dates: [first.from.to_string(), first.to.to_string()],
        resolution: 0.1,
        words: ReachWords::english(side, &unit),
    };
    // The floor is square: it takes the room of its longer edge.
    let square = Frame { height: frame.width, ..frame };
    Some(ChangeChart { name: format!("{test}-{side}"), scene: reach_chart(&chart, square) })
}

/// A change up to this size is common without any change; larger where several results are looked at together.
fn common(change: &Change) -> Option<f64> {
    Some(change.estimate.as_ref()?.detectable_together)
}

fn words_of(noise: &[(Bearing, f64)], together: usize) -> String {
    match (noise, together) {
        ([], _) => "no grey: the error of this test is not known".to_owned(),
        (_, 0 | 1) => "grey: changes that are common without any change".to_owned(),
        (_, many) => format!("grey: changes that are common without any change, in one of {many} results"),
    }
}
