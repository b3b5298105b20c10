//! The inks of every drawing, and how much they contrast.

/// A colour as red, green, blue bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Ink(pub u8, pub u8, pub u8);

/// Paper.
pub const PAPER: Ink = Ink(0xff, 0xff, 0xff);
/// Near-black ink for lines, feet and words.
pub const INK: Ink = Ink(0x1b, 0x1e, 0x23);
/// Quiet ink for what must be seen but not first: rings, furniture, notches.
pub const QUIET: Ink = Ink(0x6e, 0x72, 0x78);
/// Hairlines that carry no meaning alone.
pub const HAIR: Ink = Ink(0xc9, 0xca, 0xc8);
/// Pale ground under a body or a permitted area.
pub const PALE: Ink = Ink(0xed, 0xec, 0xe8);
/// Fill of a limb that moves or is near.
pub const LIGHT: Ink = Ink(0xfa, 0xf8, 0xf4);
/// Fill of a limb that stands or is far.
pub const TONE: Ink = Ink(0xd3, 0xd4, 0xd1);
/// Fill of the trunk.
pub const CLOTH: Ink = Ink(0xdc, 0xe6, 0xe6);
/// The left limb: blue of the Okabe–Ito set.
pub const LEFT: Ink = Ink(0x00, 0x72, 0xb2);
/// The right limb: reddish purple of the Okabe–Ito set, darkened for paper.
pub const RIGHT: Ink = Ink(0xa3, 0x4f, 0x80);

impl Ink {
    /// Hexadecimal notation, as SVG and style sheets take it.
    #[must_use]
    pub fn hex(self) -> String {
        format!("#{:02x}{:02x}{:02x}", self.0, self.1, self.2)
    }

    /// The ink of one limb.
    #[must_use]
    pub fn of(side: anatomy::Side) -> Self {
        match side {
            anatomy::Side::Left => LEFT,
            anatomy::Side::Right => RIGHT,
        }
    }

    /// This ink mixed with paper; 0 is paper, 1 is the ink itself.
    #[must_use]
    pub fn tint(self, strength: f64) -> Self {
        let mix = |ink: u8, paper: u8| {
            let value = f64::from(paper) + (f64::from(ink) - f64::from(paper)) * strength.clamp(0.0, 1.0);
            value.round() as u8
        };
        Self(mix(self.0, PAPER.0), mix(self.1, PAPER.1), mix(self.2, PAPER.2))
    }

    /// Relative luminance as the Web Content Accessibility Guidelines 2.2 define it.
    #[must_use]
    pub fn luminance(self) -> f64 {
        let linear = |byte: u8| {
            let c = f64::from(byte) / 255.0;
            if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * linear(self.0) + 0.7152 * linear(self.1) + 0.0722 * linear(self.2)
    }

    /// Contrast ratio with another ink, 1 to 21.
    #[must_use]
    pub fn contrast(self, other: Self) -> f64 {
        let (a, b) = (self.luminance(), other.luminance());
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }
}
