//! The way of the current: out by a conductor, back by a second one or by the metal of the vehicle. Each leg is
//! counted by itself.

use super::conductor::Conductor;
use super::units::{Celsius, Metres, Ohms, OhmsPerMetre};

/// How the current comes back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Return {
    /// By a conductor of the same size.
    Own,
    /// By the body or frame.
    Chassis,
}

impl Return {
    /// The word on the command line and in JSON.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Own => "own",
            Self::Chassis => "chassis",
        }
    }

    /// How many conductors lie beside each other.
    #[must_use]
    pub fn conductors(self) -> u32 {
        match self {
            Self::Own => 2,
            Self::Chassis => 1,
        }
    }
}

/// Mild steel of 0.143 ohm mm²/m (handbooks, from memory) and 300 mm² of it: a sill or a frame rail at the least.
/// Our assumption; the meter check of the ground tells what it is on the vehicle.
pub const CHASSIS: OhmsPerMetre = OhmsPerMetre(0.143 / 300.0);
/// One bolted joint to the metal: the limit of a bond in MIL-STD-464 (from memory). There are two, where the battery
/// is grounded and where the load is.
pub const JOINT: Ohms = Ohms(0.0025);

/// Both legs of a circuit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Path {
    /// From the source to the load.
    pub out: Metres,
    /// From the load to the source.
    pub back: Metres,
    /// What the second leg is made of.
    pub by: Return,
}

/// What each leg resists.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Legs {
    /// From the source to the load.
    pub out: Ohms,
    /// From the load to the source.
    pub back: Ohms,
}

impl Path {
    /// What the legs resist with a conductor that is so warm.
    #[must_use]
    pub fn legs(&self, conductor: Conductor, at: Celsius) -> Legs {
        let back = match self.by {
            Return::Own => conductor.resistance(self.back, at),
            Return::Chassis => CHASSIS * self.back + JOINT * 2.0,
        };
        Legs { out: conductor.resistance(self.out, at), back }
    }

    /// How much conductor it takes, without slack.
    #[must_use]
    pub fn conductor_length(&self) -> Metres {
        match self.by {
            Return::Own => self.out + self.back,
            Return::Chassis => self.out,
        }
    }

    /// How many conductors lie beside each other.
    #[must_use]
    pub fn conductors(&self) -> u32 {
        self.by.conductors()
    }
}

impl Legs {
    /// Both together.
    #[must_use]
    pub fn whole(&self) -> Ohms {
        self.out + self.back
    }
}
