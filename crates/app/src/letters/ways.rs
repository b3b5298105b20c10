//! The movement space as a letter needs it: the best way in each direction, and whose rule closes it.

use document::Way;
use movement::SupportKind;

use crate::SpaceTable;

/// One way for each family, task, limb, direction and crossing.
pub(super) fn ways(table: &SpaceTable) -> Vec<Way> {
    let kinds = [SupportKind::Bench, SupportKind::WalkingFrame, SupportKind::ChairBack];
    table
        .rows
        .iter()
        .map(|row| Way {
            family: row.family,
            mover: row.mover,
            bearing: row.bearing,
            crossing: row.crossing,
            open: row.to,
            support: row.support,
            held: kinds.into_iter().find(|kind| row.held.as_deref() == Some(kind.name())),
            closed_by: match row.to {
                Some(_) => None,
                // The highest layer that says no.
                None => row.refusals.iter().map(|refusal| refusal.layer).min(),
            },
        })
        .collect()
}
