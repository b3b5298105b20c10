//! How the marks are spread over sheets that are laid edge to edge.

use quantity::Length;
use serde::Serialize;

use super::Mark;

/// What one sheet shows, millimetres: it fits A4 and Letter with their check lines.
pub(crate) const SHEET_MM: [f64; 2] = [180.0, 210.0];
/// Half the length of a mark, millimetres.
pub(crate) const HALF_MARK_MM: f64 = 30.0;
/// Half the size of the cross, millimetres.
pub(crate) const HALF_CROSS_MM: f64 = 40.0;
/// Room around the outermost mark, millimetres.
const AROUND_MM: f64 = 12.0;

/// One sheet of the tiling.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Sheet {
    /// `A1` lies ahead on the left; letters are rows, from ahead to behind.
    pub name: String,
    /// Its upper left corner: right and back of the middle of the floor, millimetres.
    pub corner_mm: [f64; 2],
}

/// Rows of sheets that cover every mark.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Tiling {
    /// Rows, from ahead to behind.
    pub rows: usize,
    /// Sheets in a whole row.
    pub columns: usize,
    /// The sheets, row by row; empty ones at the ends of a row are left out.
    pub sheets: Vec<Sheet>,
}

impl Tiling {
    /// As few sheets as cover marks, cross and heel line, spread evenly around them.
    #[must_use]
    pub fn of(marks: &[Mark], heels: Length, heel_half_width: Length) -> Self {
        let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
        // Right and back, as on the page.
        let mut see = |x: f64, y: f64, around: f64| {
            low = [low[0].min(x - around), low[1].min(y - around)];
            high = [high[0].max(x + around), high[1].max(y + around)];
        };
        see(0.0, 0.0, HALF_CROSS_MM + AROUND_MM);
        let (back, half) = (heels.in_m() * 1000.0, heel_half_width.in_m() * 1000.0);
        see(-half, back, AROUND_MM);
        see(half, back, AROUND_MM);
        for mark in marks {
            let [forward, right] = mark.at;
            let across = [mark.along[0].abs(), mark.along[1].abs()].map(|share| share * HALF_MARK_MM);
            see(right * 1000.0 - across[0], -forward * 1000.0 - across[1], AROUND_MM);
            see(right * 1000.0 + across[0], -forward * 1000.0 + across[1], AROUND_MM);
        }
        let count = |axis: usize| (((high[axis] - low[axis]) / SHEET_MM[axis]).ceil().max(1.0)) as usize;
        let (columns, rows) = (count(0), count(1));
        #[allow(clippy::cast_precision_loss)] // A few sheets.
        let begin = |axis: usize, n: usize| (low[axis] + high[axis]) / 2.0 - n as f64 * SHEET_MM[axis] / 2.0;
        let (left, top) = (begin(0, columns), begin(1, rows));
        let sheets: Vec<Sheet> = (0..rows)
            .flat_map(|row| (0..columns).map(move |column| (row, column)))
            .map(|(row, column)| {
                #[allow(clippy::cast_precision_loss)] // A few sheets.
                let corner_mm = [left + column as f64 * SHEET_MM[0], top + row as f64 * SHEET_MM[1]];
                Sheet { name: format!("{}{}", row_letter(row), column + 1), corner_mm }
            })
            .collect();
        let things = things(marks, back, half);
        let sheets = shown(sheets, columns, &things);
        Self { rows, columns, sheets }
    }
}

/// Boxes of what is drawn: left, top, right, lower edge, millimetres.
fn things(marks: &[Mark], back: f64, half: f64) -> Vec<[f64; 4]> {
    let cross = HALF_CROSS_MM;
    let mut out = vec![[-cross, -cross, cross, cross], [-half, back, half, back]];
    out.extend(marks.iter().map(|mark| {
        let (x, y) = (mark.at[1] * 1000.0, -mark.at[0] * 1000.0);
        let across = [mark.along[0].abs(), mark.along[1].abs()].map(|share| share * HALF_MARK_MM);
        [x - across[0], y - across[1], x + across[0], y + across[1]]
    }));
    out
}

/// Without the empty sheets at the beginning and the end of each row; those between stay, and one straight
/// ahead or back of the middle in every row, so that all the others meet.
fn shown(sheets: Vec<Sheet>, columns: usize, things: &[[f64; 4]]) -> Vec<Sheet> {
    let full = |sheet: &Sheet| {
        let [left, top] = sheet.corner_mm;
        things.iter().any(|[x0, y0, x1, y1]| {
            *x1 >= left && *x0 <= left + SHEET_MM[0] && *y1 >= top && *y0 <= top + SHEET_MM[1]
        })
    };
    let ahead = |sheet: &Sheet| sheet.corner_mm[0] <= 0.0 && sheet.corner_mm[0] + SHEET_MM[0] > 0.0;
    sheets
        .chunks(columns)
        .filter_map(|row| {
            let stays = |sheet: &Sheet| full(sheet) || ahead(sheet);
            Some(&row[row.iter().position(stays)?..=row.iter().rposition(stays)?])
        })
        .flatten()
        .cloned()
        .collect()
}

/// `A` for the first row; more than 26 rows would be a floor of five metres.
fn row_letter(row: usize) -> char {
    char::from(b'A' + u8::try_from(row.min(25)).unwrap_or(25))
}
