//! How wide words are, so that drawings keep room for them.

/// Advance widths of the bold face in thousandths of its size, from space to tilde, as the font
/// file in `assets/fonts` states them. The regular face is a little narrower.
#[rustfmt::skip]
const BOLD: [u16; 95] = [
    312, 303, 390, 765, 610, 969, 725, 210, 335, 335, 485, 595, 271, 373, 272, 440,
    659, 440, 579, 600, 624, 607, 626, 537, 624, 571, 272, 272, 569, 612, 569, 547,
    781, 678, 643, 658, 688, 597, 566, 718, 701, 424, 561, 663, 552, 858, 717, 746,
    629, 756, 650, 610, 607, 686, 644, 886, 685, 650, 618, 340, 440, 344, 582, 400,
    288, 552, 596, 510, 596, 563, 365, 593, 571, 300, 259, 555, 318, 882, 571, 576,
    596, 599, 376, 508, 376, 567, 530, 740, 539, 521, 505, 381, 254, 381, 537,
];

/// Advance of the fractions `¼`, `½` and `¾`, the widest of them.
const FRACTION: u32 = 1000;

/// Width of words in the bold face; other characters outside ASCII count as a wide letter.
pub(crate) fn width(text: &str, size: f64) -> f64 {
    let thousandths: u32 = text
        .chars()
        .map(|c| {
            if matches!(c, '¼' | '½' | '¾') {
                return FRACTION;
            }
            let index = (c as u32).checked_sub(32).and_then(|k| usize::try_from(k).ok());
            u32::from(index.and_then(|k| BOLD.get(k)).copied().unwrap_or(700))
        })
        .sum();
    f64::from(thousandths) / 1000.0 * size
}
