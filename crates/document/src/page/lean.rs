//! A drawing in fewer letters: whole tenths of a point, each corner as the step from the one before.

use std::fmt::Write as _;

/// What a phone needs no name, typeface or second time for.
const DROPPED: [&str; 5] = ["data-part", "xmlns", "font-family", "stroke-linejoin", "stroke-linecap"];
/// What is a length of the drawing.
const LENGTHS: [&str; 9] =
    ["x", "y", "cx", "cy", "r", "font-size", "stroke-width", "viewBox", "stroke-dasharray"];

/// Rewrites an SVG of ours: the same picture to a twentieth of a point, less than half as long. The size in
/// points goes; the page says how large it is.
pub(super) fn lean(svg: &str) -> String {
    let mut out = String::with_capacity(svg.len() / 2);
    let mut rest = svg;
    let mut first = true;
    while let Some((text, after)) = rest.split_once('<') {
        out.push_str(text.trim_end_matches('\n'));
        let (tag, behind) = after.split_once('>').unwrap_or((after, ""));
        out.push('<');
        element(tag, first, &mut out);
        out.push('>');
        first = false;
        rest = behind;
    }
    out
}

/// One tag: its name, then each attribute that stays.
fn element(tag: &str, first: bool, out: &mut String) {
    let (name, mut rest) = tag.split_once(' ').unwrap_or((tag, ""));
    out.push_str(name);
    if first {
        out.push_str(" stroke-linejoin=\"round\" stroke-linecap=\"round\"");
    }
    while let Some((key, after)) = rest.trim_start().split_once("=\"") {
        let (value, behind) = after.split_once('"').unwrap_or((after, ""));
        rest = behind;
        if DROPPED.contains(&key) || matches!(key, "width" | "height") {
            continue;
        }
        let short = match key {
            "d" => steps(value),
            _ if LENGTHS.contains(&key) => tenths(value),
            _ => value.to_owned(),
        };
        // Writing to a String cannot fail.
        let _ = write!(out, " {key}=\"{short}\"");
    }
    if rest.trim_end().ends_with('/') {
        out.push('/');
    }
}

/// A number in whole tenths.
fn tenth(number: &str) -> i64 {
    // Points of a page: far inside the range.
    #[allow(clippy::cast_possible_truncation)]
    number.parse::<f64>().map_or(0, |value| (value * 10.0).round() as i64)
}

fn tenths(value: &str) -> String {
    value.split(' ').map(|one| tenth(one).to_string()).collect::<Vec<_>>().join(" ")
}

/// A way of straight pieces, `M1 2L3 4Z`, as its first corner and the steps from there.
fn steps(way: &str) -> String {
    let closed = way.ends_with('Z');
    let mut out = String::new();
    let mut at: Option<[i64; 2]> = None;
    for corner in way.trim_end_matches('Z').split(['M', 'L']).filter(|corner| !corner.is_empty()) {
        let (x, y) = corner.split_once(' ').unwrap_or((corner, "0"));
        let here = [tenth(x), tenth(y)];
        match at {
            None => {
                let _ = write!(out, "M{} {}l", here[0], here[1]);
            }
            Some(before) => {
                for step in [here[0] - before[0], here[1] - before[1]] {
                    if step >= 0 && !out.ends_with('l') {
                        out.push(' ');
                    }
                    let _ = write!(out, "{step}");
                }
            }
        }
        at = Some(here);
    }
    if closed {
        out.push('z');
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_drawing_worked_by_hand() {
        let svg = "<svg xmlns=\"a\" width=\"15\" height=\"19\" viewBox=\"0 0 15 19\" font-family=\"B, c\">\n\
            <path data-part=\"leg\" d=\"M1 2L3.04 4L1 5.56Z\" fill=\"none\" stroke-width=\"2.6\"/>\n\
            <text x=\"1.5\" y=\"2\" font-size=\"12\">R</text>\n</svg>\n";
        assert_eq!(
            lean(svg),
            "<svg stroke-linejoin=\"round\" stroke-linecap=\"round\" viewBox=\"0 0 150 190\">\
             <path d=\"M10 20l20 20-20 16z\" fill=\"none\" stroke-width=\"26\"/>\
             <text x=\"15\" y=\"20\" font-size=\"120\">R</text></svg>"
        );
    }

    #[test]
    fn steps_add_up_to_where_the_way_ends() {
        // Rounding each corner and not each step: nothing drifts.
        assert_eq!(steps("M0 0L0.04 0L0.08 0L0.12 0L0.16 0"), "M0 0l0 0 1 0 0 0 1 0");
    }
}
