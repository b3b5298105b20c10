//! Numbers that know their unit and, when they come from a publication, their source.
//!
//! A quantity is a type of its own; the unit stands in the name of the function that makes
//! or reads it ([`Length::cm`], [`Length::in_cm`]). Nonsense (NaN, an infinite value, a
//! negative length or mass) cannot be made: the plain constructors are for values that the
//! program itself computed and panic on nonsense, [`Length::parse`] and its siblings are for
//! what people type and return an error that says what is accepted.

#![forbid(unsafe_code)]

mod parse;
pub mod reference;

pub use parse::QuantityError;

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $signed:expr, { $($(#[$udoc:meta])* $make:ident / $read:ident = $factor:expr),+ $(,)? }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd, serde::Serialize)]
        #[serde(transparent)]
        pub struct $name(f64);

        impl $name {
            /// Zero of this quantity.
            pub const ZERO: Self = Self(0.0);

            $(
                $(#[$udoc])*
                ///
                /// # Panics
                /// When the value is not finite, or negative where the quantity cannot be.
                #[must_use]
                pub fn $make(value: f64) -> Self {
                    assert!(value.is_finite(), concat!(stringify!($name), " must be finite, was {}"), value);
                    assert!($signed || value >= 0.0, concat!(stringify!($name), " cannot be negative, was {}"), value);
                    Self(value * $factor)
                }

                #[doc = concat!("Reads the value in the unit that [`Self::", stringify!($make), "`] takes.")]
                #[must_use]
                pub fn $read(self) -> f64 { self.0 / $factor }
            )+

            /// The larger of two.
            #[must_use]
            pub fn max(self, other: Self) -> Self { if other.0 > self.0 { other } else { self } }

            /// The smaller of two.
            #[must_use]
            pub fn min(self, other: Self) -> Self { if other.0 < self.0 { other } else { self } }

            /// This quantity times a plain number.
            #[must_use]
            pub fn times(self, factor: f64) -> Self {
                let value = self.0 * factor;
                assert!(value.is_finite() && ($signed || value >= 0.0));
                Self(value)
            }

            /// How large this is beside another of the same kind.
            #[must_use]
            pub fn ratio(self, other: Self) -> f64 { self.0 / other.0 }
        }
    };
}

quantity!(
    /// A length or distance, never negative. Stored in metres.
    Length, false, {
        /// A length given in metres.
        m / in_m = 1.0,
        /// A length given in centimetres.
        cm / in_cm = 0.01,
        /// A length given in millimetres.
        mm / in_mm = 0.001,
    }
);

quantity!(
    /// A body mass or a load, never negative. Stored in kilograms.
    Mass, false, {
        /// A mass given in kilograms.
        kg / in_kg = 1.0,
    }
);

quantity!(
    /// An angle, signed as the joint coordinate it belongs to. Stored in radians.
    Angle, true, {
        /// An angle given in radians.
        rad / in_rad = 1.0,
        /// An angle given in degrees.
        deg / in_deg = std::f64::consts::PI / 180.0,
    }
);

quantity!(
    /// How fast an angle changes, signed as the angle. Stored in radians a second.
    AngularSpeed, true, {
        /// A speed given in radians a second.
        rad_per_s / in_rad_per_s = 1.0,
        /// A speed given in degrees a second.
        deg_per_s / in_deg_per_s = std::f64::consts::PI / 180.0,
    }
);

quantity!(
    /// A moment about a joint axis, signed. Stored in newton metres.
    Moment, true, {
        /// A moment given in newton metres.
        nm / in_nm = 1.0,
    }
);

quantity!(
    /// A force magnitude, never negative. Stored in newtons.
    Force, false, {
        /// A force given in newtons.
        n / in_n = 1.0,
    }
);

quantity!(
    /// A span of time, never negative. Stored in seconds.
    Span, false, {
        /// A span given in seconds.
        s / in_s = 1.0,
        /// A span given in minutes.
        min_ / in_min = 60.0,
    }
);

quantity!(
    /// A share of a whole, 0 to 1 and sometimes above (a demand may exceed capacity).
    Share, false, {
        /// A share given as a fraction of one.
        of_one / in_one = 1.0,
        /// A share given in per cent.
        percent / in_percent = 0.01,
    }
);

impl std::ops::Add for Length {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl std::ops::Add for Span {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl std::ops::Neg for Angle {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl std::ops::Neg for Moment {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl std::fmt::Display for Length {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:.0} cm", self.in_cm())
    }
}

impl std::fmt::Display for Mass {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let kg = self.in_kg();
        if (kg - kg.round()).abs() < 0.05 { write!(f, "{kg:.0} kg") } else { write!(f, "{kg:.1} kg") }
    }
}

impl std::fmt::Display for Angle {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let deg = self.in_deg().round();
        // "-0" would puzzle a reader.
        write!(f, "{}°", if deg == 0.0 { 0.0 } else { deg })
    }
}

impl std::fmt::Display for Moment {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let nm = self.in_nm().round();
        write!(f, "{} N·m", if nm == 0.0 { 0.0 } else { nm })
    }
}

impl std::fmt::Display for Share {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:.0} %", self.in_percent())
    }
}

/// Standard acceleration of free fall, m/s² (ISO 80000-3, exact by convention, to two digits
/// as the worked examples in the literature use it).
pub const GRAVITY: f64 = 9.81;
