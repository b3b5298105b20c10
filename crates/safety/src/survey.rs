//! How far each ray is open today: walks out from short to long and stops at the first refusal.

use anatomy::Side;
use biomech::{Body, Capacity, Motion, MotionError, demands, moments, motion, motion_near};
use movement::{Bearing, Crossing, Family, HandHeight, MovementSpec, Place, StanceFoot, Support};
use quantity::Length;

use crate::rules::spec_name;
use crate::tables::margins;
use crate::{
    AllowedSpace, Blocked, Layer, OpenTo, PermittedMovement, Ray, RayVerdict, Refusal, Space, SurveyedRay,
    words,
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
        let mut furthest: Option<PermittedMovement> = None;
        let mut near: Option<Motion> = None;
        let mut ended: Option<Ended> = None;
        for distance in grid(body.leg_length(ray.mover)) {
            let spec = ray.at(distance);
            let outcome = self.try_at(body, capacity, spec, near.as_ref());
            match outcome {
                Ok(permitted) => {
                    near = Some(permitted.motion().clone());
                    furthest = Some(permitted);
                    ended = None;
                }
                Err(why) => {
                    let shortest_failed = furthest.is_none();
                    ended.get_or_insert(why);
                    // The shortest may fail because it is too short; one more is tried.
                    if !shortest_failed || distance.in_m() > second_try(body, &ray) {
                        break;
                    }
                }
            }
        }
        let verdict = match (&furthest, ended) {
            (Some(permitted), None) => {
                RayVerdict::Open { to: permitted.spec().distance, set_by: OpenTo::LongestTried }
            }
            (Some(permitted), Some(Ended::Body(spec))) => RayVerdict::Open {
                to: permitted.spec().distance,
                set_by: OpenTo::BodyReach { because: goes_no_further(&spec) },
            },
            (Some(permitted), Some(Ended::Refused(by))) => {
                RayVerdict::Limited { to: permitted.spec().distance, by }
            }
            (None, Some(Ended::Refused(by))) => RayVerdict::Closed { by },
            (None, Some(Ended::Body(spec))) => RayVerdict::Closed { by: vec![cannot(body, capacity, &spec)] },
            (None, None) => RayVerdict::Closed { by: Vec::new() },
        };
        SurveyedRay { ray, verdict, furthest }
    }

    fn try_at(
        &self,
        body: &Body,
        capacity: &Capacity,
        spec: MovementSpec,
        near: Option<&Motion>,
    ) -> Result<PermittedMovement, Ended> {
        let screened = self.screen(spec).map_err(Ended::Refused)?;
        let Some(motion) = motion_near(body, capacity, screened.spec(), near) else {
            return Err(Ended::Body(Box::new(screened.spec().clone())));
        };
        let moments = moments(body, &motion);
        let demands = demands(&moments, capacity);
        self.permit(screened, &motion, &moments, &demands, self.on).map_err(Ended::Refused)
    }
}

enum Ended {
    Refused(Vec<Refusal>),
    Body(Box<MovementSpec>),
}

fn second_try(body: &Body, ray: &Ray) -> f64 {
    let g = &margins().survey;
    let percent = g.shortest_percent_leg_length + g.step_percent_leg_length / 2.0;
    body.leg_length(ray.mover).in_m() * percent / 100.0
}

fn goes_no_further(spec: &MovementSpec) -> String {
    format!("{} cannot be reached by this body at {}", words::sentence(&spec_name(spec)), spec.distance)
}

/// Why the shortest distance cannot be computed, with the engine's own words.
fn cannot(body: &Body, capacity: &Capacity, spec: &MovementSpec) -> Refusal {
    let error = motion(body, capacity, spec).err();
    let by = match &error {
        Some(MotionError::OutOfReach { by, .. } | MotionError::DepthNotReached { by, .. }) => *by,
        Some(MotionError::TempoNotFeasible { .. }) | None => Length::ZERO,
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
