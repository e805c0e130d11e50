//! American Wire Gauge: what a gauge number means.
//!
//! Geometry by the defining formula of ASTM B258. Resistance and ampacity belong to the
//! circuit calculation, spelling to `words.rs`.

use super::units::{Millimetres, SquareMm};

/// A wire gauge number from 4/0 down to 40.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Awg(i8);

impl Awg {
    /// The gauge of this number, where 0 stands for 1/0, -1 for 2/0, -2 for 3/0 and -3 for 4/0.
    /// `None` outside 4/0 to 40: nothing else is pulled through a vehicle.
    #[must_use]
    pub fn new(number: i8) -> Option<Self> {
        (-3..=40).contains(&number).then_some(Self(number))
    }

    /// The number, where 0 stands for 1/0 and -3 for 4/0: the larger, the thinner the wire.
    #[must_use]
    pub fn number(self) -> i8 {
        self.0
    }

    /// The diameter of the solid wire.
    #[must_use]
    pub fn diameter(self) -> Millimetres {
        Millimetres(diameter_mm(f64::from(self.0)))
    }

    /// The area of the solid wire.
    #[must_use]
    pub fn area(self) -> SquareMm {
        SquareMm(area_mm2(f64::from(self.0)))
    }
}

impl std::fmt::Display for Awg {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self.0 {
            n if n <= 0 => write!(f, "{}/0", 1 - n),
            n => write!(f, "{n}"),
        }
    }
}

/// ASTM B258: d = 0.005 in * 92^((36 - n) / 39); 0.005 in is exactly 0.127 mm.
fn diameter_mm(number: f64) -> f64 {
    0.127 * 92_f64.powf((36.0 - number) / 39.0)
}

pub(super) fn area_mm2(number: f64) -> f64 {
    std::f64::consts::FRAC_PI_4 * diameter_mm(number).powi(2)
}

/// The inverse of `area_mm2`; seldom a whole number.
pub(super) fn number_for_mm2(area: f64) -> f64 {
    let diameter = (area / std::f64::consts::FRAC_PI_4).sqrt();
    36.0 - 39.0 * (diameter / 0.127).ln() / 92_f64.ln()
}
