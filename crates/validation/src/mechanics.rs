//! Worked examples of mechanics: centres of mass, levers, statics, inverse dynamics in a plane.

use biomech::rigid::{Part, holding_moment, together};
use nalgebra::Vector3;
use quantity::GRAVITY;

use crate::planar::{inverse_dynamics, run};
use crate::row::{Row, cannot, compared};
use crate::target::{number, point, target};

fn given(id: &str, model: f64) -> Row {
    compared(target(id), model)
}

/// Every worked example.
pub(crate) fn rows() -> Vec<Row> {
    let mut rows = lower_limb();
    rows.extend(pauwels());
    rows.push(given("iglic_lever", iglic()));
    rows.extend(elbow());
    rows.extend(running());
    rows.push(cannot(
        target("winter_table_a1"),
        "marker positions were found, printed joint angles or moments to compare with were not",
    ));
    rows
}

fn place(name: &str) -> Vector3<f64> {
    let [x, y] = point("limb", name);
    Vector3::new(x, y, 0.0)
}

fn limb_part(name: &str, body_mass: f64, from: Vector3<f64>, to: Vector3<f64>) -> Part {
    Part::limb(name, body_mass, from, to).unwrap_or_else(|| panic!("segment `{name}` is in the table"))
}

fn one(parts: &[Part]) -> Part {
    together(parts).unwrap_or_else(|| panic!("parts with mass have a centre"))
}

fn lower_limb() -> Vec<Row> {
    let [toe, ankle, knee, hip] = ["toe", "ankle", "knee", "hip"].map(place);
    let mass = number("limb", "mass");
    let parts = [
        ("foot", limb_part("foot", mass, ankle, toe)),
        ("shank", limb_part("shank", mass, knee, ankle)),
        ("thigh", limb_part("thigh", mass, hip, knee)),
    ];
    let mut rows = Vec::new();
    for (name, part) in &parts {
        rows.push(given(&format!("limb_{name}_forward"), part.centre.x));
        rows.push(given(&format!("limb_{name}_up"), part.centre.y));
        rows.push(given(&format!("limb_{name}_inertia"), part.inertia[(2, 2)]));
    }
    let bare = parts.map(|(_, part)| part);
    let limb = one(&bare);
    let shortcut = limb.mass * (limb.centre - hip).norm_squared()
        + bare.iter().map(|part| part.inertia[(2, 2)]).sum::<f64>();
    rows.push(given("limb_forward", limb.centre.x));
    rows.push(given("limb_up", limb.centre.y));
    rows.push(given("limb_inertia", limb.inertia[(2, 2)]));
    rows.push(given("limb_inertia_hip", limb.inertia_about(hip)[(2, 2)]));
    rows.push(given("limb_inertia_shortcut", shortcut));
    rows
}

fn pauwels() -> Vec<Row> {
    let of = |name| number("pauwels", name);
    let mass = of("supported_mass");
    // How high the supported mass lies does not matter for its moment about the hip.
    let supported = Part::point(mass, Vector3::new(0.0, 0.5, -of("weight_lever")));
    let moment = holding_moment(&[supported], Vector3::zeros()).x.abs();
    let abductors = moment / of("abductor_lever");
    let lean = of("abductor_lean").to_radians();
    let up = abductors * lean.cos() + mass * GRAVITY;
    let across = abductors * lean.sin();
    let joint = up.hypot(across);
    vec![
        given("pauwels_abductors", abductors),
        given("pauwels_joint", joint),
        given("pauwels_body_weights", joint / (of("body_mass") * GRAVITY)),
        given("pauwels_direction", across.atan2(up).to_degrees()),
    ]
}

/// Lever of the body without the standing leg, in halves of the hip spacing.
pub(crate) fn iglic() -> f64 {
    let of = |name| number("iglic", name);
    let at = |x: f64| Vector3::new(0.0, 0.0, x);
    one(&[Part::point(1.0, at(of("body_lever"))), Part::point(-of("leg_weight"), at(of("leg_lever")))])
        .centre
        .z
}

fn elbow() -> Vec<Row> {
    let of = |name| number("elbow", name);
    let ahead = |share: f64| Vector3::new(share * of("stature"), 0.0, 0.0);
    let elbow = Vector3::zeros();
    let forearm = limb_part("forearm_and_hand", of("body_mass"), elbow, ahead(of("forearm_of_stature")));
    let load = Part::point(of("load"), ahead(of("load_at_of_stature")));
    let moment = holding_moment(&[forearm, load], elbow).z;
    vec![given("elbow_moment", moment), given("elbow_biceps", moment / of("biceps_lever"))]
}

fn running() -> Vec<Row> {
    const JOINTS: [&str; 3] = ["hip", "knee", "ankle"];
    let mut worst = [[0.0_f64; 2]; 3];
    let mut printed = Vec::new();
    for frame in &run().frame {
        let (force, moment) = inverse_dynamics(&run().segments, frame);
        for k in 0..3 {
            worst[k][0] = worst[k][0].max((force[k] - frame.force[k]).abs());
            worst[k][1] = worst[k][1].max((moment[k] - frame.moment[k]).abs());
            if frame.frame == 3840 {
                printed.push(given(&format!("running_{}_force_3840", JOINTS[k]), force[k]));
                printed.push(given(&format!("running_{}_moment_3840", JOINTS[k]), moment[k]));
            }
        }
    }
    let mut rows: Vec<Row> = JOINTS
        .iter()
        .zip(worst)
        .flat_map(|(joint, [force, moment])| {
            [
                given(&format!("running_{joint}_force_worst"), force),
                given(&format!("running_{joint}_moment_worst"), moment),
            ]
        })
        .collect();
    rows.extend(printed);
    rows
}
