//! How far a movement may go whatever the presentation: first rungs, steps that are lunges, landings.

use anatomy::Side;
use jiff::civil::Date;
use movement::{AnatomicalDirection as D, Family, MovementSpec};
use person::{Answer, Findings};
use quantity::Length;

use crate::finding_key::Value;
use crate::rules::spec_name;
use crate::tables::longest;
use crate::words;
use crate::{AllowedSpace, Blocked, FindingKey, Layer, Refusal, levels};

const HOP: FindingKey = FindingKey::Answer(Answer::HopDistance);

/// The hop that both legs were found to reach today, which is the shorter of the two.
pub(crate) fn hop_on_both_legs(findings: &Findings, today: Date) -> Option<Length> {
    let of = |side| match HOP.value(findings, side, today) {
        Value::Is(cm) => Some(Length::cm(cm)),
        Value::Stale(_) | Value::Unknown => None,
    };
    of(Side::Left).zip(of(Side::Right)).map(|(left, right)| left.min(right))
}

impl AllowedSpace {
    /// Everything about this movement that is longer than anybody is given at this rung.
    pub(crate) fn longest(&self, spec: &MovementSpec) -> Vec<Refusal> {
        [self.early(spec), self.long_step(spec), self.long_landing(spec)].into_iter().flatten().collect()
    }

    fn early(&self, spec: &MovementSpec) -> Option<Refusal> {
        let row = &longest().early;
        let rungs = self.rungs.get(spec.stance());
        if !matches!(spec.family, Family::Step | Family::Reach) || levels::open_to(rungs) > row.up_to_level {
            return None;
        }
        let at_most = self.body.percent_of_leg(spec.mover, row.at_most_percent_leg_length);
        let next = row.up_to_level + 1;
        let needed: Vec<String> =
            levels::why_shut(rungs, next).into_iter().map(|refusal| refusal.opens_when).collect();
        let percent = row.at_most_percent_leg_length;
        self.too_far(
            spec,
            &row.rule,
            at_most,
            &format!("{percent:.0} % of leg length"),
            &row.words,
            format!("level {next} is open: {}", words::list(&needed)),
        )
    }

    fn long_step(&self, spec: &MovementSpec) -> Option<Refusal> {
        let row = &longest().step;
        if spec.family != Family::Step {
            return None;
        }
        let at_most = self.body.percent_of_leg(spec.mover, row.at_most_percent_leg_length);
        let percent = row.at_most_percent_leg_length;
        self.too_far(
            spec,
            &row.rule,
            at_most,
            &format!("{percent:.0} % of leg length"),
            &row.words,
            row.opens_when.clone(),
        )
    }

    fn long_landing(&self, spec: &MovementSpec) -> Option<Refusal> {
        let row = &longest().landing;
        if !spec.family.is_airborne() {
            return None;
        }
        let share = match spec.bearing.named_from(spec.mover) {
            D::Anterior | D::Anterolateral | D::Anteromedial => 1.0,
            D::Lateral | D::Medial => row.sideways,
            D::Posterior | D::Posterolateral | D::Posteromedial => row.backward,
        };
        // Not measured never opens more than measured: the start holds for both.
        let start = self.body.percent_of_leg(spec.mover, row.percent_leg_length_before);
        let measured = self.hop.map(|hop| (hop, hop.times(row.share_of_hop))).filter(|(_, at)| *at > start);
        let (ahead, of) = match measured {
            Some((hop, at)) => (
                at,
                format!("{:.0} % of the {hop} hopped on the weaker leg", row.share_of_hop * share * 100.0),
            ),
            None => {
                let why = if self.hop.is_some() { "" } else { ", because no hop was measured on both legs" };
                let percent = row.percent_leg_length_before * share;
                (start, format!("{percent:.0} % of leg length{why}"))
            }
        };
        self.too_far(
            spec,
            &row.rule,
            ahead.times(share),
            &of,
            &row.words,
            format!("a longer {} is measured on both legs", HOP.words()),
        )
    }

    fn too_far(
        &self,
        spec: &MovementSpec,
        rule: &str,
        at_most: Length,
        of: &str,
        words: &str,
        opens_when: String,
    ) -> Option<Refusal> {
        if spec.distance.in_m() <= at_most.in_m() + 1e-6 {
            return None;
        }
        Some(Refusal {
            rule: rule.to_owned(),
            layer: Layer::DefaultPreset,
            blocked: Blocked::Distance { at_most },
            reason: format!(
                "{} at {} is too far: {at_most} ({of}) is the limit; {words}.",
                words::sentence(&spec_name(spec)),
                spec.distance
            ),
            source: longest().table.source.clone(),
            until: None,
            opens_when,
        })
    }
}
