//! What a bundle passes metal with: loom, grommet, hole, and what makes the hole.

use super::packing;
use super::tables::{self, Grommet, Loom};
use super::units::Millimetres;

/// A bundle and the parts that lead it through metal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Passage {
    /// How thick the bundle is.
    pub bundle: Millimetres,
    /// The loom around it; `None` where none is so wide.
    pub loom: Option<Sleeve>,
    /// The grommet around that; `None` where none is so wide.
    pub opening: Option<Opening>,
}

/// Split tubing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sleeve {
    /// Its inside.
    pub inside: Millimetres,
    /// Its outside.
    pub outside: Millimetres,
}

/// A grommet and its hole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Opening {
    /// What passes the grommet.
    pub bore: Millimetres,
    /// The hole that the grommet snaps into.
    pub hole: Millimetres,
    /// The next hole saw that is no smaller than the hole.
    pub saw: Option<Millimetres>,
    /// The next step of a step drill that is no smaller.
    pub step: Option<Millimetres>,
    /// From the middle of the hole to any edge, bend or other hole at least: one diameter of metal stays between
    /// (common practice, no source).
    pub edge: Millimetres,
}

/// What the hole is made with is a hair larger at worst; sizes of two series may be one in all but a hundredth.
const SAME: Millimetres = Millimetres(0.01);

/// A hole that was measured may be a little wider than it was told: 35 mm and 1-3/8 in are one.
const MEASURED: Millimetres = Millimetres(0.2);

/// The parts for conductors of these outside diameters.
#[must_use]
pub fn passage(outsides: &[Millimetres]) -> Passage {
    let bundle = packing::enclosing(outsides);
    let loom = tables::fittings().looms.iter().find(|loom| loom.inside() >= bundle).map(sleeve);
    let opening = loom.and_then(|loom| {
        tables::fittings().grommets.iter().find(|grommet| grommet.bore() >= loom.outside).map(opening)
    });
    Passage { bundle, loom, opening }
}

/// The widest common grommet that snaps into a hole or a smaller one; `None` below the smallest.
#[must_use]
pub fn widest_in(hole: Millimetres) -> Option<Opening> {
    let snaps = |grommet: &&Grommet| grommet.hole() <= hole + MEASURED;
    tables::fittings().grommets.iter().rev().find(snaps).map(opening)
}

/// A hole of any size with a grommet for it, and what makes it.
#[must_use]
pub fn opening_of(hole: Millimetres, bore: Millimetres) -> Opening {
    let tools = &tables::fittings().tools;
    let next = |sizes: &[f64]| sizes.iter().copied().map(Millimetres).find(|size| *size + SAME >= hole);
    Opening { bore, hole, saw: next(&tools.saws), step: next(&tools.steps), edge: hole * 1.5 }
}

fn sleeve(loom: &Loom) -> Sleeve {
    Sleeve { inside: loom.inside(), outside: loom.outside() }
}

fn opening(grommet: &Grommet) -> Opening {
    opening_of(grommet.hole(), grommet.bore())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(outsides: &[f64], expected: &str) {
        let found = passage(&outsides.iter().copied().map(Millimetres).collect::<Vec<_>>());
        let told = |size: Option<Millimetres>| size.map_or("none".to_owned(), |size| size.0.to_string());
        let opening = found.opening;
        let text = format!(
            "loom {}, bore {}, hole {}, saw {}, step {}",
            told(found.loom.map(|loom| loom.inside)),
            told(opening.map(|it| it.bore)),
            told(opening.map(|it| it.hole)),
            told(opening.and_then(|it| it.saw)),
            told(opening.and_then(|it| it.step)),
        );
        assert_eq!(text, expected, "{outsides:?}");
    }

    #[test]
    fn parts_from_the_bundle() {
        check(&[2.9], "loom 6.35, bore 12.7, hole 19.05, saw 19.05, step 20");
        check(&[4.8, 4.8], "loom 12.7, bore 19.05, hole 25.4, saw 25.4, step 26");
        check(&[20.7, 20.7], "loom 50.8, bore none, hole none, saw none, step none");
        check(&[20.7; 8], "loom none, bore none, hole none, saw none, step none");
    }

    #[test]
    fn the_grommet_of_a_hole() {
        let bore = |hole: f64| widest_in(Millimetres(hole)).map(|found| found.bore.0);
        assert_eq!(
            [9.0, 25.4, 25.0, 34.9, 35.0, 100.0].map(bore),
            [None, Some(19.05), Some(15.875), Some(25.4), Some(25.4), Some(50.8)]
        );
    }
}
