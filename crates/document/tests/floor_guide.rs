//! The floor guide: this person's own distances and no other, at true size in the finished file.

mod common;

use common::{closed_crossings, person, settings, sheet, three_exercises};
use document::language::words;
use document::{
    FloorGuide, Language, Paper, PdfSettings, SheetSettings, Tagging, Tiling, Units, Wording, floor_guide,
    floor_guide_pdf, readability, tags,
};
use hayro_syntax::Pdf;
use hayro_syntax::content::ops::TypedInstruction;
use movement::Family;
use person::Clinic;

fn guide(language: Language, units: Units) -> FloorGuide {
    let wording = Wording { language, units };
    let own = SheetSettings { wording, ..settings(closed_crossings(Family::Step)) };
    floor_guide(&sheet(&three_exercises(), &person("Tomas Quill"), &Clinic::default(), &own), wording)
}

fn file(guide: &FloorGuide, paper: Paper) -> Vec<u8> {
    floor_guide_pdf(guide, PdfSettings { paper, tagging: Tagging::Accessible }).expect("a guide")
}

/// Straight lines that are stroked and rectangles that are filled on one page, millimetres from its upper
/// left corner.
#[derive(Default)]
struct Drawn {
    lines: Vec<([f64; 2], [f64; 2])>,
    filled: Vec<[f64; 4]>,
}

const MM_A_POINT: f64 = 25.4 / 72.0;

/// Walks the content of a page as a viewer does, with its transformations.
fn drawn(page: &hayro_syntax::page::Page<'_>) -> Drawn {
    let height = f64::from(page.base_dimensions().1);
    let (mut now, mut saved) = ([1.0, 0.0, 0.0, 1.0, 0.0, 0.0], Vec::new());
    let mut path: Vec<[f64; 2]> = Vec::new();
    let mut out = Drawn::default();
    let at = |m: &[f64; 6], x: f64, y: f64| {
        let (px, py) = (m[0] * x + m[2] * y + m[4], m[1] * x + m[3] * y + m[5]);
        [px * MM_A_POINT, (height - py) * MM_A_POINT]
    };
    let mut operations = page.typed_operations();
    while let Some(operation) = operations.next() {
        match operation {
            TypedInstruction::SaveState(_) => saved.push(now),
            TypedInstruction::RestoreState(_) => now = saved.pop().expect("as many saves as restores"),
            TypedInstruction::Transform(t) => {
                let [a, b, c, d, e, f] = [t.0, t.1, t.2, t.3, t.4, t.5].map(|n| n.as_f64());
                let m = now;
                now = [
                    a * m[0] + b * m[2],
                    a * m[1] + b * m[3],
                    c * m[0] + d * m[2],
                    c * m[1] + d * m[3],
                    e * m[0] + f * m[2] + m[4],
                    e * m[1] + f * m[3] + m[5],
                ];
            }
            TypedInstruction::MoveTo(p) => path = vec![at(&now, p.0.as_f64(), p.1.as_f64())],
            TypedInstruction::LineTo(p) => path.push(at(&now, p.0.as_f64(), p.1.as_f64())),
            TypedInstruction::RectPath(r) => {
                let [x, y, w, h] = [r.0, r.1, r.2, r.3].map(|n| n.as_f64());
                path =
                    [[x, y], [x + w, y], [x + w, y + h], [x, y + h]].map(|p| at(&now, p[0], p[1])).to_vec();
            }
            TypedInstruction::StrokePath(_) | TypedInstruction::CloseAndStrokePath(_) => {
                if let [from, to] = path.as_slice() {
                    out.lines.push((*from, *to));
                }
                path.clear();
            }
            TypedInstruction::FillPathNonZero(_) | TypedInstruction::FillPathEvenOdd(_) => {
                if path.len() >= 4 {
                    let x = path.iter().map(|p| p[0]);
                    let y = path.iter().map(|p| p[1]);
                    let (low_x, low_y) =
                        (x.clone().fold(f64::MAX, f64::min), y.clone().fold(f64::MAX, f64::min));
                    let (high_x, high_y) = (x.fold(f64::MIN, f64::max), y.fold(f64::MIN, f64::max));
                    out.filled.push([low_x, low_y, high_x - low_x, high_y - low_y]);
                }
                path.clear();
            }
            TypedInstruction::EndPath(_) => path.clear(),
            _ => {}
        }
    }
    out
}

fn pages(bytes: Vec<u8>) -> Vec<Drawn> {
    let pdf = Pdf::new(bytes).expect("a PDF");
    pdf.pages().iter().map(drawn).collect()
}

fn length((from, to): &([f64; 2], [f64; 2])) -> f64 {
    (from[0] - to[0]).hypot(from[1] - to[1])
}

fn middle((from, to): &([f64; 2], [f64; 2])) -> [f64; 2] {
    [(from[0] + to[0]) / 2.0, (from[1] + to[1]) / 2.0]
}

/// A tenth of a millimetre: a printer is worse.
fn close(a: f64, b: f64) -> bool {
    (a - b).abs() < 0.1
}

#[test]
fn every_mark_lies_at_its_own_distance_from_the_middle_on_every_sheet() {
    let guide = guide(Language::English, Units::Metric);
    let tiling = Tiling::of(&guide.marks, guide.heels, guide.heel_half_width);
    for paper in [Paper::A4, Paper::Letter] {
        let pages = pages(file(&guide, paper));
        let last = pages.len() - guide.tags.len();
        let sheets = &pages[last - tiling.sheets.len()..last];
        for sheet in sheets {
            // The cross: two lines of 80 mm that halve each other.
            let cross: Vec<_> = sheet.lines.iter().filter(|line| close(length(line), 80.0)).collect();
            assert_eq!(cross.len(), 2, "{paper:?}");
            let centre = middle(cross[0]);
            assert!(close(centre[0], middle(cross[1])[0]) && close(centre[1], middle(cross[1])[1]));
            // What lies outside a sheet is cut off at its edge, but drawn at its place.
            let marks: Vec<[f64; 2]> =
                sheet.lines.iter().filter(|line| close(length(line), 60.0)).map(middle).collect();
            assert_eq!(marks.len(), guide.marks.len(), "{paper:?}");
            for mark in &guide.marks {
                let expected = [centre[0] + mark.at[1] * 1000.0, centre[1] - mark.at[0] * 1000.0];
                assert!(
                    marks.iter().any(|m| close(m[0], expected[0]) && close(m[1], expected[1])),
                    "{paper:?}: no mark at {expected:?} of {marks:?}"
                );
            }
        }
    }
}

#[test]
fn marks_are_the_distances_of_the_sheet_and_nothing_else() {
    let guide = guide(Language::English, Units::Metric);
    // Steps to 34, 34, 36, 26, 24 cm and reaches to 40, 45 cm for each leg, one bend to 45 cm for each hand.
    // Each lies at its distance from the middle, those straight ahead and back in the lane of their foot.
    let mut written: Vec<&str> =
        guide.marks.iter().map(|m| m.label.rsplit("  ").next().expect("a label")).collect();
    written.sort_unstable();
    written.dedup();
    assert_eq!(written, ["24 cm", "26 cm", "34 cm", "36 cm", "40 cm", "45 cm"]);
    for mark in &guide.marks {
        let far = mark.at[0].hypot(mark.at[1]) * 100.0;
        let said: f64 = mark
            .label
            .rsplit("  ")
            .next()
            .and_then(|t| t.strip_suffix(" cm"))
            .expect("cm")
            .parse()
            .expect("a number");
        assert!((far - said).abs() < 0.5, "{}: {far}", mark.label);
    }
}

#[test]
fn the_check_lines_and_the_tags_have_their_size() {
    let guide = guide(Language::English, Units::Metric);
    let pages = pages(file(&guide, Paper::A4));
    let tag_pages = &pages[pages.len() - 4..];
    let tiling = Tiling::of(&guide.marks, guide.heels, guide.heel_half_width);
    for page in &pages[pages.len() - 4 - tiling.sheets.len()..] {
        let horizontal =
            |mm: f64| page.lines.iter().any(|line| close(length(line), mm) && close(line.0[1], line.1[1]));
        assert!(horizontal(100.0) && horizontal(101.6), "100 mm and 4 in to measure");
    }
    for (page, tag) in tag_pages.iter().zip(tags()) {
        let black = page
            .filled
            .iter()
            .find(|[_, _, w, h]| close(*w, 120.0) && close(*h, 120.0))
            .expect("a black square of 120 mm");
        // A module is 15 mm; white modules stand where the code says.
        for (row, column, count) in tag.white_runs() {
            #[allow(clippy::cast_precision_loss)] // Eight modules.
            let expected =
                [black[0] + column as f64 * 15.0, black[1] + row as f64 * 15.0, count as f64 * 15.0, 15.0];
            assert!(
                page.filled.iter().any(|one| (0..4).all(|k| close(one[k], expected[k]))),
                "tag {}: no white run at {expected:?}",
                tag.id
            );
        }
    }
}

#[test]
fn tags_have_ids_0_to_3_and_codes_far_apart_in_every_turn() {
    let bits = |code: &[String]| -> Vec<Vec<bool>> {
        code.iter().map(|line| line.chars().map(|c| c == '1').collect()).collect()
    };
    let turned = |m: &[Vec<bool>]| -> Vec<Vec<bool>> {
        (0..6).map(|row| (0..6).map(|column| m[5 - column][row]).collect()).collect()
    };
    assert_eq!(tags().iter().map(|tag| tag.id).collect::<Vec<_>>(), [0, 1, 2, 3]);
    // The family promises that any two of its codes, turned any way, differ in at least 11 of 36 bits.
    for one in tags() {
        for other in tags() {
            let (a, mut b) = (bits(&one.code), bits(&other.code));
            assert!(a.len() == 6 && a.iter().all(|line| line.len() == 6));
            for turn in 0..4 {
                let differ = a.iter().flatten().zip(b.iter().flatten()).filter(|(x, y)| x != y).count();
                assert!(one.id == other.id && turn == 0 || differ >= 11, "{} {}: {differ}", one.id, other.id);
                b = turned(&b);
            }
        }
    }
}

#[test]
fn every_mark_lies_on_a_sheet_and_every_row_has_a_sheet_in_line_with_the_middle() {
    let guide = guide(Language::English, Units::Metric);
    let tiling = Tiling::of(&guide.marks, guide.heels, guide.heel_half_width);
    assert!(tiling.sheets.len() <= tiling.rows * tiling.columns);
    let holds = |x: f64, y: f64| {
        tiling.sheets.iter().any(|sheet| {
            let [left, top] = sheet.corner_mm;
            (left..=left + 180.0).contains(&x) && (top..=top + 210.0).contains(&y)
        })
    };
    for mark in &guide.marks {
        assert!(holds(mark.at[1] * 1000.0, -mark.at[0] * 1000.0), "{}", mark.label);
    }
    let mut tops: Vec<f64> = tiling.sheets.iter().map(|sheet| sheet.corner_mm[1]).collect();
    tops.dedup();
    assert_eq!(tops.len(), tiling.rows);
    for top in tops {
        assert!(holds(0.0, top + 100.0));
    }
}

#[test]
fn the_guide_is_accessible_and_easy_to_read_in_every_language_and_has_no_anatomical_name() {
    for language in Language::ALL {
        let guide = guide(language, Units::Imperial);
        let text = [&guide.need, &guide.recipe.sentences, &guide.print.sentences].into_iter().flatten();
        let text: Vec<&str> = text.map(String::as_str).collect();
        assert!(readability(&text.join(" "), language).is_easy(), "{language}");
        let bytes = file(&guide, Paper::Letter);
        assert!(bytes.windows(7).any(|w| w == b"pdfuaid"), "PDF/UA identification");
        let json = serde_json::to_string(&guide).expect("JSON").to_lowercase();
        for name in ["anterior", "posterior", "lateral", "medial"] {
            assert!(!json.contains(name), "{language}: {name}");
        }
        assert!(json.contains(&words(language).floor_guide.title.to_lowercase()));
    }
}
