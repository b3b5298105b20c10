//! Which conditions and operations the form knows, and what is asked of each.

use person::Presentation;

use super::super::fields::Ask;

const LEG: Ask = Ask::Choice(&[("left", "left"), ("right", "right"), ("both", "both")]);
const ANY: Ask =
    Ask::Choice(&[("left", "left"), ("right", "right"), ("both", "both"), ("general", "no side")]);
const APPROACH: Ask = Ask::Choice(&[
    ("posterior", "posterior"),
    ("anterior", "anterior"),
    ("lateral", "lateral"),
    ("trochanteric", "trochanteric, fracture or revision"),
]);
const RUNG: Ask = Ask::Grade(&[
    ("0", "0 shift weight, held"),
    ("1", "1 step, held"),
    ("2", "2 step"),
    ("3", "3 bend and reach"),
    ("4", "4 reach on one leg"),
    ("5", "5 lunge"),
    ("6", "6 with a load"),
]);
/// A sort of condition with the keys it has.
pub(super) struct Sort {
    pub(super) key: &'static str,
    pub(super) name: &'static str,
    pub(super) keys: Vec<Own>,
    pub(super) phases: bool,
}

/// One key of a condition.
pub(super) struct Own {
    pub(super) key: &'static str,
    pub(super) label: &'static str,
    pub(super) ask: Ask,
    /// Found on a day.
    pub(super) dated: bool,
}

fn own(key: &'static str, label: &'static str, ask: Ask) -> Own {
    Own { key, label, ask, dated: true }
}

fn plain(key: &'static str, label: &'static str, ask: Ask) -> Own {
    Own { dated: false, ..own(key, label, ask) }
}

fn pattern(presentation: Presentation) -> Option<Own> {
    let ask = match presentation {
        Presentation::AclReconstruction => {
            Ask::Choice(&[("hamstring_graft", "hamstring graft"), ("other_graft", "another graft")])
        }
        Presentation::MeniscusRepair => Ask::Choice(&[
            ("vertical", "vertical or peripheral"),
            ("radial_root_or_complex", "radial, root or complex"),
        ]),
        Presentation::AnkleSprain => {
            Ask::Choice(&[("first_sprain", "first sprain"), ("chronic_instability", "chronic instability")])
        }
        Presentation::AchillesTendinopathy => {
            Ask::Choice(&[("mid_portion", "mid-portion"), ("insertional", "insertional")])
        }
        _ => return None,
    };
    Some(own("pattern", "Form", ask))
}

/// Every sort, in the order in which it is offered.
pub(super) fn sorts() -> Vec<Sort> {
    let side = || plain("side", "Side", LEG);
    let operated = || own("operated_on", "Day of the operation", Ask::Day);
    let mut all = vec![
        Sort {
            key: "hip_replacement",
            name: "total hip replacement",
            keys: vec![side(), own("approach", "Approach", APPROACH), operated()],
            phases: true,
        },
        Sort {
            key: "knee_replacement",
            name: "total knee replacement",
            keys: vec![side(), operated()],
            phases: true,
        },
        Sort {
            key: "knee_osteoarthritis",
            name: "knee osteoarthritis",
            keys: vec![
                side(),
                own("medial_or_varus_thrust", "Medial compartment, or the knee thrusts outward", Ask::YesNo),
            ],
            phases: true,
        },
    ];
    all.extend(Presentation::ALL.into_iter().map(|one| {
        let mut keys = Vec::new();
        if one.has_side() {
            keys.push(side());
        }
        keys.extend(pattern(one));
        keys.extend(one.clock().key().map(|key| own(key, one.clock().words(), Ask::Day)));
        Sort { key: one.key(), name: one.words(), keys, phases: true }
    }));
    all.push(Sort {
        key: "falls_risk",
        name: "older adult at risk of falling",
        keys: vec![
            own("someone_at_home", "Somebody else is at home", Ask::YesNo),
            own("programme_began", "First day of the programme", Ask::Day),
            own("alone_waived", "A clinician lets the person practise alone", Ask::YesNo),
        ],
        phases: false,
    });
    all.push(Sort {
        key: "other",
        name: "another condition",
        keys: vec![
            plain("name", "The condition in your words", Ask::Text),
            plain("side", "Side", ANY),
            own("ceiling", "Highest rung you allow", RUNG),
            plain("ceiling_by", "Who set it; left empty: you", Ask::Text),
        ],
        phases: false,
    });
    all
}
