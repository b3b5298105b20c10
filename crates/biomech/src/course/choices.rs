//! The named choices of a movement in time, read from `reference/course.toml`.

use std::sync::OnceLock;

use serde::Deserialize;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    #[allow(dead_code, reason = "the head is checked by the repository's own tests")]
    table: quantity::reference::TableHead,
    course: Choices,
    #[allow(dead_code, reason = "where the rule of the capture margin was read; it has no figure")]
    extrapolated_centre: toml::Table,
}

/// The choices; what each means stands beside it in the table.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Choices {
    pub(crate) shift_share: f64,
    pub(crate) swing_share: f64,
    pub(crate) load_share: f64,
    pub(crate) smoothness: f64,
    pub(crate) closeness: f64,
    pub(crate) touchdown_closeness: f64,
    pub(crate) plan_inset_m: f64,
    pub(crate) single_print_share: f64,
    pub(crate) filter_rounds: usize,
    pub(crate) leftover_share: f64,
    pub(crate) leftover_goal_share: f64,
    pub(crate) leftover_lever_of_foot_length: f64,
    pub(crate) slowest_way_s: f64,
    pub(crate) tempo_within_share: f64,
    pub(crate) place_tolerance_m: f64,
    pub(crate) pelvis_height_scale_m: f64,
    pub(crate) pelvis_place_scale_m: f64,
    pub(crate) soft_knee_deg: f64,
    pub(crate) swing_tilt_deg: f64,
    pub(crate) smooth_corner: f64,
}

/// The choices.
pub(crate) fn choices() -> &'static Choices {
    static CHOICES: OnceLock<Choices> = OnceLock::new();
    CHOICES.get_or_init(|| {
        let file: File = toml::from_str(include_str!("../../../../reference/course.toml"))
            .unwrap_or_else(|e| panic!("reference/course.toml: {e}"));
        file.course
    })
}
