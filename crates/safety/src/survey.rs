//! How far each ray is open today: goes out in strides from short to long, then back by halves.

use anatomy::Side;
use biomech::{Body, Capacity, Motion, MotionError};
use movement::{Bearing, Crossing, Family, HandHeight, MovementSpec, Place, StanceFoot, Support};
use quantity::Length;

use crate::rules::spec_name;
use crate::tables::margins;
use crate::{
    AllowedSpace, Blocked, Engine, Layer, Movements, OpenTo, PermittedMovement, Ray, RayVerdict, Refusal,
    Space, SurveyedRay, words,
};

/// What the hands can hold while the space is surveyed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Setup {
    /// How the hands are supported.
    pub support: Support,
    /// What is held and where it stands.
    pub place: Option<Place>,
}

/// Which rays to survey.
#[derive(Clone, Debug, PartialEq)]
pub struct SurveyChoices {
    /// Families, in the order of the screens.
    pub families: Vec<Family>,
    /// What the hands hold; each is surveyed.
    pub setups: Vec<Setup>,
    /// How far the pelvis sinks in lunges.
    pub depths: Vec<Length>,
    /// How low the hand goes in bend and reach.
    pub hand_heights: Vec<HandHeight>,
    /// Whether crossing movements are also surveyed with the standing foot turning.
    pub pivoting: bool,
}

/// Every ray of these choices, in a fixed order: family, setup, depth or height, limb, bearing
/// clockwise, way of crossing, standing foot.
#[must_use]
pub fn rays(choices: &SurveyChoices) -> Vec<Ray> {
    let mut out = Vec::new();
    for &family in &choices.families {
        let depths: Vec<Option<Length>> = match family {
            Family::Lunge => choices.depths.iter().copied().map(Some).collect(),
            _ => vec![None],
        };
        let heights: Vec<Option<HandHeight>> = match family {
            Family::BendAndReach => choices.hand_heights.iter().copied().map(Some).collect(),
            _ => vec![None],
        };
        for setup in &choices.setups {
            for &depth in &depths {
                for &hand_height in &heights {
                    for mover in Side::BOTH {
                        for bearing in Bearing::ALL {
                            for (crossing, stance_foot) in ways(family, bearing, mover, choices.pivoting) {
                                out.push(Ray {
                                    family,
                                    mover,
                                    bearing,
                                    crossing,
                                    stance_foot,
                                    support: setup.support,
                                    place: setup.place,
                                    depth,
                                    hand_height,
                                });
                            }
                        }
                    }
                }
            }
        }
    }
    out
}

fn ways(family: Family, bearing: Bearing, mover: Side, pivoting: bool) -> Vec<(Crossing, StanceFoot)> {
    if family == Family::BendAndReach {
        return vec![(Crossing::None, StanceFoot::Fixed)];
    }
    let mut out = Vec::new();
    for &crossing in Crossing::ways(bearing, mover) {
        out.push((crossing, StanceFoot::Fixed));
        if pivoting && crossing != Crossing::None {
            out.push((crossing, StanceFoot::Pivoting));
        }
    }
    out
}

/// Distances that a ray is tried at, from short to long.
#[must_use]
pub fn grid(leg_length: Length) -> Vec<Length> {
    let g = &margins().survey;
    let mut out = Vec::new();
    let mut percent = g.shortest_percent_leg_length;
    while percent <= g.longest_percent_leg_length + 1e-9 {
        out.push(leg_length.times(percent / 100.0));
        percent += g.step_percent_leg_length;
    }
    out
}

impl AllowedSpace {
    /// The whole space: every ray of these choices with its verdict. One ray does not depend on
    /// another, so a caller with several cores can call [`Self::survey_ray`] for each instead.
    #[must_use]
    pub fn survey(&self, body: &Body, capacity: &Capacity, choices: &SurveyChoices) -> Space {
        let rays = if self.alert.is_some() { Vec::new() } else { rays(choices) };
        self.gather(rays.into_iter().map(|ray| self.survey_ray(body, capacity, ray)).collect())
    }

    /// A space from rays that were surveyed one by one.
    #[must_use]
    pub fn gather(&self, rays: Vec<SurveyedRay>) -> Space {
        Space { on: self.on, alert: self.alert.clone(), notes: self.notes.clone(), rays }
    }

    /// How far one ray is open today.
    #[must_use]
    pub fn survey_ray(&self, body: &Body, capacity: &Capacity, ray: Ray) -> SurveyedRay {
        self.survey_ray_by(body.leg_length(ray.mover), &Engine { body, capacity }, ray)
    }

    /// As [`Self::survey_ray`], with the movements computed or remembered by somebody; the grid of
    /// distances follows the length of the leg that moves.
    #[must_use]
    pub fn survey_ray_by(&self, leg: Length, movements: &impl Movements, ray: Ray) -> SurveyedRay {
        let grid = grid(leg);
        let attempt = |at: Length, near: Option<&PermittedMovement>| {
            self.try_at(movements, ray.at(at), near.map(PermittedMovement::motion))
        };
        let tries = if ray.family == Family::Lunge {
            margins().survey.first_tries_of_lunge
        } else {
            margins().survey.first_tries
        };
        let (verdict, furthest) = match first_that_passes(&grid, tries, attempt) {
            Err(Ended::Screened(by) | Ended::Refused(by)) => (RayVerdict::Closed { by }, None),
            Err(Ended::Body(spec)) => (RayVerdict::Closed { by: vec![cannot(movements, &spec)] }, None),
            Ok((index, permitted)) => {
                let (furthest, ended) = as_far_as_passes(&grid, index, permitted, attempt);
                let to = furthest.spec().distance;
                let verdict = match ended {
                    None => RayVerdict::Open { to, set_by: OpenTo::LongestTried },
                    Some(Ended::Body(spec)) => {
                        RayVerdict::Open { to, set_by: OpenTo::BodyReach { because: goes_no_further(&spec) } }
                    }
                    Some(Ended::Screened(by) | Ended::Refused(by)) => RayVerdict::Limited { to, by },
                };
                (verdict, Some(furthest))
            }
        };
        SurveyedRay { ray, verdict, furthest }
    }

    fn try_at(
        &self,
        movements: &impl Movements,
        spec: MovementSpec,
        near: Option<&Motion>,
    ) -> Result<PermittedMovement, Ended> {
        let screened = self.screen(spec).map_err(Ended::Screened)?;
        let Some(found) = movements.near(screened.spec(), near) else {
            return Err(Ended::Body(Box::new(screened.spec().clone())));
        };
        self.permit(screened, &found.motion, &found.moments, &found.demands, self.on).map_err(Ended::Refused)
    }
}

enum Ended {
    /// By gate A.
    Screened(Vec<Refusal>),
    /// By gate B.
    Refused(Vec<Refusal>),
    Body(Box<MovementSpec>),
}

/// The first of the shortest distances that passes, or why none does: a rule's reason goes before
/// what the body cannot do.
fn first_that_passes(
    grid: &[Length],
    tries: usize,
    attempt: impl Fn(Length, Option<&PermittedMovement>) -> Result<PermittedMovement, Ended>,
) -> Result<(usize, PermittedMovement), Ended> {
    let mut why: Option<Ended> = None;
    for index in (0..grid.len()).step_by(2).take(tries) {
        match attempt(grid[index], None) {
            Ok(permitted) => return Ok((index, permitted)),
            // What gate A refuses at the shortest it refuses further out.
            Err(Ended::Screened(by)) => return Err(why.unwrap_or(Ended::Screened(by))),
            Err(refused @ Ended::Refused(_)) if !matches!(why, Some(Ended::Refused(_))) => {
                why = Some(refused)
            }
            Err(other) => {
                why.get_or_insert(other);
            }
        }
    }
    Err(why.unwrap_or(Ended::Refused(Vec::new())))
}

/// From a distance that passes: out in strides, then by halves back to the last step that passes.
fn as_far_as_passes(
    grid: &[Length],
    start: usize,
    first: PermittedMovement,
    attempt: impl Fn(Length, Option<&PermittedMovement>) -> Result<PermittedMovement, Ended>,
) -> (PermittedMovement, Option<Ended>) {
    let last = grid.len() - 1;
    let (mut low, mut furthest) = (start, first);
    let mut high = last + 1;
    let mut ended = None;
    // A long stride can fail where a short one from nearer by does not.
    let mut from_neighbour = false;
    while low < last {
        let next = if high > last {
            (low + margins().survey.stride_steps).min(last)
        } else if high - low > 1 {
            usize::midpoint(low, high)
        } else if !from_neighbour && matches!(ended, Some(Ended::Body(_))) {
            high
        } else {
            break;
        };
        from_neighbour = next == low + 1;
        match attempt(grid[next], Some(&furthest)) {
            Ok(permitted) => {
                furthest = permitted;
                low = next;
                if low == high {
                    high = last + 1;
                    ended = None;
                }
                from_neighbour = false;
            }
            Err(why) => {
                high = next;
                ended = Some(why);
            }
        }
    }
    // A rule that states a distance is used up to that distance, between the steps of the grid.
    if let Some(Ended::Screened(by) | Ended::Refused(by)) = &ended
        && let Some(at_most) = stated_distance(by)
        && at_most.in_m() > furthest.spec().distance.in_m() + 1e-6
        && let Ok(permitted) = attempt(at_most, Some(&furthest))
    {
        furthest = permitted;
    }
    (furthest, ended)
}

/// The shortest distance that a refusal states, when every refusal states one.
fn stated_distance(by: &[Refusal]) -> Option<Length> {
    by.iter()
        .map(|r| match r.blocked {
            Blocked::Distance { at_most } => Some(at_most),
            _ => None,
        })
        .reduce(|a, b| a.zip(b).map(|(a, b)| a.min(b)))
        .flatten()
}

fn goes_no_further(spec: &MovementSpec) -> String {
    format!("{} cannot be reached by this body at {}", words::sentence(&spec_name(spec)), spec.distance)
}

/// Why the shortest distance cannot be computed, with the engine's own words.
fn cannot(movements: &impl Movements, spec: &MovementSpec) -> Refusal {
    let error = movements.why_not(spec);
    let by = match &error {
        Some(MotionError::OutOfReach { by, .. } | MotionError::DepthNotReached { by, .. }) => *by,
        Some(
            MotionError::TempoNotFeasible { .. }
            | MotionError::TooNear { .. }
            | MotionError::SupportOutOfReach { .. }
            | MotionError::SupportInTheWay { .. }
            | MotionError::PushTooWeak { .. }
            | MotionError::ArmTaskNotReached { .. }
            | MotionError::NoTempoFeasible { .. }
            | MotionError::CourseNotFound { .. }
            | MotionError::ThroughTheAir { .. },
        )
        | None => Length::ZERO,
    };
    Refusal {
        rule: "BODY".to_owned(),
        layer: Layer::Body,
        blocked: Blocked::OutOfReach { by },
        reason: error.map_or_else(
            || format!("{}.", goes_no_further(spec)),
            |error| format!("{} is closed: {error}.", words::sentence(&spec_name(spec))),
        ),
        source: "own".to_owned(),
        until: None,
        opens_when: "the body is shown to go further when it is measured again".to_owned(),
    }
}

impl SurveyedRay {
    /// The verdict as one line, such as `Medial crossing in front, left leg step (…) is closed`.
    #[must_use]
    pub fn sentence(&self) -> String {
        let name = words::sentence(&spec_name(&self.ray.at(Length::ZERO)));
        match &self.verdict {
            RayVerdict::Open { to, set_by: OpenTo::BodyReach { .. } } => {
                format!("{name}: open to {to}; the body goes no further.")
            }
            RayVerdict::Open { to, set_by: OpenTo::LongestTried } => {
                format!("{name}: open to {to}, the longest that was tried.")
            }
            RayVerdict::Limited { to, by } => {
                format!("{name}: limited to {to}. {}", by.first().map_or("", |r| r.reason.as_str()))
            }
            RayVerdict::Closed { by } => by.first().map_or(format!("{name}: closed."), |r| r.reason.clone()),
        }
    }
}
