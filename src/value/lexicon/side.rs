//! The sides of a part or a vehicle, as a small set. The words for them are data in the lexicon;
//! which of them cannot hold together is decided here.

use std::fmt;

/// One side. The order is that in which sides are written: `upper front left`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    /// The upper part.
    Upper,
    /// The lower part.
    Lower,
    /// Towards the front of the vehicle.
    Front,
    /// Towards the rear of the vehicle.
    Rear,
    /// Towards the centre line.
    Inboard,
    /// Away from the centre line.
    Outboard,
    /// Left as seen by a person in the driver's seat, facing forward.
    Left,
    /// Neither left nor right.
    Centre,
    /// Right as seen by a person in the driver's seat, facing forward.
    Right,
    /// The steering wheel's side, where it is not known which that is.
    Driver,
    /// The side away from the steering wheel, where it is not known which that is.
    Passenger,
}

impl Side {
    /// All sides, in the order in which they are written.
    pub const ALL: [Self; 11] = [
        Self::Upper,
        Self::Lower,
        Self::Front,
        Self::Rear,
        Self::Inboard,
        Self::Outboard,
        Self::Left,
        Self::Centre,
        Self::Right,
        Self::Driver,
        Self::Passenger,
    ];

    /// The canonical words for it.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Upper => "upper",
            Self::Lower => "lower",
            Self::Front => "front",
            Self::Rear => "rear",
            Self::Inboard => "inboard",
            Self::Outboard => "outboard",
            Self::Left => "left",
            Self::Centre => "centre",
            Self::Right => "right",
            Self::Driver => "driver side",
            Self::Passenger => "passenger side",
        }
    }

    /// The side of that canonical name.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|side| side.name() == name)
    }

    /// The sides that cannot be meant where this one is.
    fn excludes(self) -> Sides {
        match self {
            Self::Upper => Self::Lower.into(),
            Self::Lower => Self::Upper.into(),
            Self::Front => Self::Rear.into(),
            Self::Rear => Self::Front.into(),
            Self::Inboard => Self::Outboard.into(),
            Self::Outboard => Self::Inboard.into(),
            Self::Left => Sides::from(Self::Right).with(Self::Centre),
            Self::Right => Sides::from(Self::Left).with(Self::Centre),
            Self::Driver => Sides::from(Self::Passenger).with(Self::Centre),
            Self::Passenger => Sides::from(Self::Driver).with(Self::Centre),
            Self::Centre => Sides::LATERAL.without(Self::Centre.into()),
        }
    }
}

/// A set of sides: `front left` is two of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Sides(pub(super) u16);

impl From<Side> for Sides {
    fn from(side: Side) -> Self {
        Self(1 << side as u16)
    }
}

impl FromIterator<Side> for Sides {
    fn from_iter<I: IntoIterator<Item = Side>>(sides: I) -> Self {
        sides.into_iter().fold(Self::NONE, Self::with)
    }
}

impl Sides {
    /// No side.
    pub const NONE: Self = Self(0);

    /// The sides that say where across the vehicle something is.
    pub const LATERAL: Self = Self(
        1 << Side::Left as u16
            | 1 << Side::Centre as u16
            | 1 << Side::Right as u16
            | 1 << Side::Driver as u16
            | 1 << Side::Passenger as u16,
    );

    /// These and that one.
    #[must_use]
    pub fn with(self, side: Side) -> Self {
        self.and(side.into())
    }

    /// These and those.
    #[must_use]
    pub fn and(self, others: Self) -> Self {
        Self(self.0 | others.0)
    }

    /// These without those.
    #[must_use]
    pub fn without(self, others: Self) -> Self {
        Self(self.0 & !others.0)
    }

    /// Those of these that say where across the vehicle something is.
    #[must_use]
    pub fn lateral(self) -> Self {
        Self(self.0 & Self::LATERAL.0)
    }

    /// Whether there is none.
    #[must_use]
    pub fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// Whether all of `others` are among these.
    #[must_use]
    pub fn holds(self, others: Self) -> bool {
        others.0 & !self.0 == 0
    }

    /// Each of them, in the order in which they are written.
    pub fn iter(self) -> impl Iterator<Item = Side> {
        Side::ALL.into_iter().filter(move |&side| self.holds(side.into()))
    }

    /// Whether one of these and one of `others` cannot both be meant.
    #[must_use]
    pub fn clash(self, others: Self) -> bool {
        self.iter().any(|side| side.excludes().0 & others.0 != 0)
    }
}

impl fmt::Display for Sides {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (at, side) in self.iter().enumerate() {
            if at > 0 {
                f.write_str(" ")?;
            }
            f.write_str(side.name())?;
        }
        Ok(())
    }
}
