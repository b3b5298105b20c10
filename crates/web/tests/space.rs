//! The movement space as a page: both limbs, every direction with its reason, a red flag alone.

mod common;

use axum::http::{StatusCode, header};
use common::Workbench;

#[tokio::test]
async fn every_direction_of_both_limbs_stands_in_the_list_with_whose_word_closes_it() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-001").await;
    let mut browser = workbench.signed_in().await;
    let page = browser.get(&format!("/people/{person}/space?family=step")).await;
    assert_eq!(page.status, StatusCode::OK);
    let body = &page.body;
    assert!(body.contains("Left leg moves") && body.contains("Right leg moves"));
    // Eight bearings a limb can be pointed at; the list has a line for each way of crossing besides.
    assert_eq!(body.matches("class=\"sector\"").count(), 16);
    assert!(body.matches("class=\"way\"").count() > 16);
    // The rule and its source, and the day it may change or what opens it.
    assert!(body.contains("THA-P") && body.contains("Rule that comes with the tool"), "{body}");
    assert!(body.contains("It opens when"), "{body}");
    // Nothing is told by the drawing alone: every distance in it stands in the list, cut off alike.
    for at in
        body.match_indices(" to ").filter_map(|(at, _)| body[at + 4..].split_once(" cm").map(|(n, _)| n))
    {
        if let Ok(cm) = at.parse::<u32>() {
            assert!(body.contains(&format!(">{cm} cm</text>")), "{cm} cm is not drawn");
        }
    }
}

#[tokio::test]
async fn the_space_is_shown_to_nobody_who_is_not_signed_in_and_is_never_kept_by_a_browser() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-013").await;
    let path = format!("/people/{person}/space");
    let page = workbench.browser().get(&path).await;
    assert_eq!((page.status, page.location()), (StatusCode::SEE_OTHER, "/sign-in"));
    let page = workbench.signed_in().await.get(&path).await;
    assert_eq!(page.headers[header::CACHE_CONTROL], "no-store");
}

#[tokio::test]
async fn names_at_the_rim_can_be_hidden_and_the_family_stays() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-001").await;
    let mut browser = workbench.signed_in().await;
    let shown = browser.get(&format!("/people/{person}/space?family=reach")).await.body;
    let hidden = browser.get(&format!("/people/{person}/space?family=reach&names=off")).await.body;
    assert!(shown.contains(">posteromedial</text>") && !hidden.contains(">posteromedial</text>"));
    assert!(hidden.contains("Posteromedial"), "the list keeps the names");
    assert!(hidden.contains("family=step&amp;names=off"), "names stay hidden from family to family");
}

#[tokio::test]
async fn under_a_red_flag_the_alert_stands_alone() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-013").await;
    let mut browser = workbench.signed_in().await;
    let body = browser.get(&format!("/people/{person}/space")).await.body;
    assert!(body.contains("Red flag: no movement may be offered"), "{body}");
    assert!(!body.contains("sector") && !body.contains("Step"), "{body}");
}
