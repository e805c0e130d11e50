//! What a conductor is joined with: crimp barrel by its size, ring by the stud.

use super::conductor::{Conductor, Series, gauge_named};
use super::tables::{self, Barrel};
use super::units::{Awg, Millimetres};

/// How a conductor is crimped.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Crimp {
    /// An insulated barrel of this colour, as ring and as butt connector.
    Insulated(&'static str),
    /// Too thick for one: a bare lug or splice of the conductor's own size, with heat-shrink tubing over it.
    Bare,
    /// Between two: nothing common is made for it.
    Nothing,
}

impl Crimp {
    /// The word in JSON: the colour, or `bare`; nothing where nothing fits.
    #[must_use]
    pub fn word(self) -> Option<&'static str> {
        match self {
            Self::Insulated(colour) => Some(colour),
            Self::Bare => Some("bare"),
            Self::Nothing => None,
        }
    }
}

fn holds(barrel: &Barrel, conductor: Conductor) -> bool {
    // A gauge is thinner the larger its number.
    let number = |text: &str| gauge_named(text).map(Awg::number);
    match (conductor.gauge(), conductor.series()) {
        (Some(gauge), _) => {
            let [thin, thick] = [number(&barrel.awg[0]), number(&barrel.awg[1])];
            thin.is_some_and(|thin| gauge.number() <= thin)
                && thick.is_some_and(|thick| gauge.number() >= thick)
        }
        (None, Series::Metric) => (barrel.mm2[0]..=barrel.mm2[1]).contains(&conductor.area().0),
        (None, _) => false,
    }
}

/// The barrel for a conductor; of two that hold it the smaller.
#[must_use]
pub fn crimp(conductor: Conductor) -> Crimp {
    let barrels = &tables::fittings().barrels;
    if let Some(barrel) = barrels.iter().find(|barrel| holds(barrel, conductor)) {
        return Crimp::Insulated(&barrel.colour);
    }
    let thickest = barrels.last().map_or(0.0, |barrel| barrel.mm2[1]);
    if conductor.area().0 > thickest { Crimp::Bare } else { Crimp::Nothing }
}

/// The names of the ring that goes over a stud: the inch size and the metric one beside it. `None` for a stud that is
/// thicker than every ring.
#[must_use]
pub fn ring(stud: Millimetres) -> Option<[&'static str; 2]> {
    let ring = tables::fittings().rings.iter().find(|ring| ring.stud() >= stud)?;
    Some([&ring.names[0], &ring.names[1]])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ring_goes_over_the_stud_or_the_next_size_does() {
        assert_eq!(ring(Millimetres(8.0)), Some(["5/16", "M8"]));
        assert_eq!(ring(Millimetres(7.9375)), Some(["5/16", "M8"]));
        assert_eq!(ring(Millimetres(4.826)), Some(["#10", "M5"]));
        assert_eq!(ring(Millimetres(7.0)), Some(["5/16", "M8"]));
        assert_eq!(ring(Millimetres(16.0)), None);
    }
}
