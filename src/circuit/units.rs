//! The quantities of a circuit that no field of a note holds, and the laws that join quantities: Ohm's, the power
//! of a current, the resistance of a length.
//!
//! Volts, amperes and lengths are those of `value::quantity`; how a text becomes one is `written`'s.

use std::iter::Sum;
use std::ops::{Add, Div, Mul, Sub};

pub use crate::value::quantity::{Amps, Awg, Metres, Millimetres, Ohms, SquareMm, Volts};

/// Electrical power in watts.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Watts(pub f64);
/// A time in seconds.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Seconds(pub f64);
/// A temperature in degrees Celsius.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Celsius(pub f64);
/// A difference of temperatures.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Kelvins(pub f64);
/// A share of one: 0.03 is three per cent.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Share(pub f64);
/// Ohms for each metre of a conductor.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct OhmsPerMetre(pub f64);
/// Resistivity in ohm mm²/m.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Resistivity(pub f64);
/// What heats a conductor in a short time, in A²s: the square of the current, for so long.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct AmpSquareSeconds(pub f64);

macro_rules! linear {
    ($($kind:ident),*) => {$(
        impl Add for $kind {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }
        impl Sub for $kind {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }
        impl Mul<f64> for $kind {
            type Output = Self;
            fn mul(self, times: f64) -> Self {
                Self(self.0 * times)
            }
        }
        impl Div for $kind {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }
        impl Sum for $kind {
            fn sum<I: Iterator<Item = Self>>(parts: I) -> Self {
                Self(parts.map(|part| part.0).sum())
            }
        }
    )*};
}

linear!(Amps, Volts, Ohms, Metres, Millimetres, SquareMm, Watts, Seconds, Kelvins, OhmsPerMetre);

macro_rules! law {
    ($a:ident $op:ident $b:ident = $c:ident, $method:ident, $sign:tt) => {
        impl $op<$b> for $a {
            type Output = $c;
            fn $method(self, other: $b) -> $c {
                $c(self.0 $sign other.0)
            }
        }
    };
}

law!(Amps Mul Ohms = Volts, mul, *);
law!(Volts Div Ohms = Amps, div, /);
law!(Volts Mul Amps = Watts, mul, *);
law!(Watts Div Volts = Amps, div, /);
law!(Resistivity Div SquareMm = OhmsPerMetre, div, /);
law!(OhmsPerMetre Mul Metres = Ohms, mul, *);
law!(Resistivity Mul Share = Resistivity, mul, *);
law!(OhmsPerMetre Mul Share = OhmsPerMetre, mul, *);
law!(Volts Mul Share = Volts, mul, *);
law!(Amps Mul Share = Amps, mul, *);
law!(Amps Div Share = Amps, div, /);
law!(Celsius Sub Celsius = Kelvins, sub, -);
law!(Celsius Add Kelvins = Celsius, add, +);

impl Amps {
    /// What this current puts into a conductor in `time`.
    #[must_use]
    pub fn heat(self, time: Seconds) -> AmpSquareSeconds {
        AmpSquareSeconds(self.0 * self.0 * time.0)
    }
}

impl SquareMm {
    /// So many circular mils: one is the area of a circle of a thousandth of an inch, which is 0.0254 mm.
    #[must_use]
    pub fn of_circular_mils(number: f64) -> Self {
        Self(number * std::f64::consts::FRAC_PI_4 * 0.0254 * 0.0254)
    }
}

/// The larger of two quantities of one kind; the second where they cannot be compared.
pub(super) fn larger<T: PartialOrd>(a: T, b: T) -> T {
    if a > b { a } else { b }
}

/// The smaller of two quantities of one kind; the second where they cannot be compared.
pub(super) fn smaller<T: PartialOrd>(a: T, b: T) -> T {
    if a < b { a } else { b }
}
