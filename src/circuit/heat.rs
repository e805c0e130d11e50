//! What a conductor survives in the moment of a fault, while no heat gets away from it: the adiabatic law of
//! IEC 60949, as IEC 60364-4-43 uses it.

use super::units::{AmpSquareSeconds, Amps, Celsius, Seconds, SquareMm};

/// Of copper, in A s^0.5/mm² (IEC 60949 and IEC 60364-5-54 Annex A, from memory; it gives every printed factor of
/// these standards within its rounding).
const COPPER: f64 = 226.0;
/// Where the resistance of copper would be zero, below 0 °C (IEC 60949, and FAA AC 43.13-1B page 11-22).
const ZERO: f64 = 234.5;
/// Up to here no heat gets away (IEC 60364-4-43, 434.5.2; from memory).
pub const ADIABATIC: Seconds = Seconds(5.0);

/// The factor k of a copper conductor that is heated from one temperature to another, in A s^0.5/mm².
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Withstand(pub f64);

impl Withstand {
    /// From the temperature that the conductor has to the one that its insulation survives. Nothing where it has that
    /// already.
    #[must_use]
    pub fn between(from: Celsius, to: Celsius) -> Self {
        let ratio = (to - from).0 / (ZERO + from.0);
        Self(COPPER * ratio.max(0.0).ln_1p().sqrt())
    }

    /// What a conductor of this area takes before it is damaged.
    #[must_use]
    pub fn heat(self, area: SquareMm) -> AmpSquareSeconds {
        AmpSquareSeconds((self.0 * area.0).powi(2))
    }
}

impl AmpSquareSeconds {
    /// How long a current takes to bring this much.
    #[must_use]
    pub fn lasts(self, current: Amps) -> Seconds {
        Seconds(self.0 / (current.0 * current.0))
    }
}
