//! The smallest circle around circles of different diameters: how thick a bundle of round conductors is.
//!
//! Found by letting circles push each other about inside a circle that shrinks, from many starts. What is told can
//! always be laid out as found, so it is never too small; how near it is to the best is tested with the published
//! optima. The trade's rule (1.2 times the root of the sum of squares) is too small for few conductors.

use super::units::Millimetres;

/// More conductors than this are not packed one by one.
pub const MOST: usize = 60;

const STARTS: u32 = 14;
const ROUNDS: u32 = 36;
const SWEEPS: u32 = 90;

/// The diameter of a circle that holds all of these side by side. Zero for none; for more than [`MOST`] the
/// area of the circles over the loosest density of equal ones (two of them, one half), which is on the safe side.
#[must_use]
pub fn enclosing(diameters: &[Millimetres]) -> Millimetres {
    let mut radii: Vec<f64> = diameters.iter().map(|diameter| diameter.0 / 2.0).collect();
    radii.sort_by(|a, b| b.total_cmp(a));
    Millimetres(match radii.as_slice() {
        [] => 0.0,
        [one] => one * 2.0,
        [first, second] => (first + second) * 2.0,
        many if many.len() > MOST => (2.0 * squares(many)).sqrt() * 2.0,
        many => packed(many) * 2.0,
    })
}

fn squares(radii: &[f64]) -> f64 {
    radii.iter().map(|radius| radius * radius).sum()
}

/// Radii in falling order.
fn packed(radii: &[f64]) -> f64 {
    let floor = squares(radii).sqrt().max(radii[0] + radii[1]);
    let mut dice = Dice(0x9e37_79b9_7f4a_7c15);
    let mut best = f64::INFINITY;
    for _ in 0..STARTS {
        best = best.min(from_one_start(radii, floor, &mut dice));
    }
    best
}

fn from_one_start(radii: &[f64], floor: f64, dice: &mut Dice) -> f64 {
    let mut kept: Vec<[f64; 2]> =
        radii.iter().map(|_| [dice.spread() * floor, dice.spread() * floor]).collect();
    let (mut best, mut step) = (f64::INFINITY, 0.1);
    let mut target = floor * 1.3;
    for _ in 0..ROUNDS {
        let mut tried = kept.clone();
        for _ in 0..SWEEPS {
            push_apart(&mut tried, radii, target);
        }
        let reached = laid_out(&tried, radii);
        if reached < best {
            (best, kept) = (reached, tried);
        } else {
            step /= 2.0;
        }
        target = (best * (1.0 - step)).max(floor);
    }
    best
}

/// Circles that overlap share the way apart; those that stick out of the target come in.
fn push_apart(centres: &mut [[f64; 2]], radii: &[f64], target: f64) {
    for i in 0..centres.len() {
        for j in 0..i {
            let (between, distance) = between(centres[i], centres[j]);
            let overlap = radii[i] + radii[j] - distance;
            if overlap > 0.0 {
                let unit =
                    if distance > 0.0 { [between[0] / distance, between[1] / distance] } else { [1.0, 0.0] };
                for axis in 0..2 {
                    centres[i][axis] += unit[axis] * overlap / 2.0;
                    centres[j][axis] -= unit[axis] * overlap / 2.0;
                }
            }
        }
        let out = centres[i][0].hypot(centres[i][1]);
        let room = (target - radii[i]).max(0.0);
        if out > room {
            for axis in 0..2 {
                centres[i][axis] *= room / out;
            }
        }
    }
}

fn between(a: [f64; 2], b: [f64; 2]) -> ([f64; 2], f64) {
    let between = [a[0] - b[0], a[1] - b[1]];
    (between, between[0].hypot(between[1]))
}

/// The radius that these places really need: all spread in proportion until the tightest pair just touches, and the
/// best middle of a circle around them.
fn laid_out(centres: &[[f64; 2]], radii: &[f64]) -> f64 {
    let mut spread: f64 = 0.0;
    for i in 0..centres.len() {
        for j in 0..i {
            let (_, distance) = between(centres[i], centres[j]);
            spread = spread.max((radii[i] + radii[j]) / distance);
        }
    }
    let places: Vec<[f64; 2]> = centres.iter().map(|at| [at[0] * spread, at[1] * spread]).collect();
    around(&places, radii)
}

/// The radius around places that stay: the middle goes towards what reaches out furthest, by smaller and smaller steps.
fn around(places: &[[f64; 2]], radii: &[f64]) -> f64 {
    let mut middle = [0.0, 0.0];
    let mut best = f64::INFINITY;
    for step in 1..=400 {
        let reach = |at: usize| between(places[at], middle).1 + radii[at];
        let Some(furthest) = (0..places.len()).max_by(|a, b| reach(*a).total_cmp(&reach(*b))) else { break };
        best = best.min(reach(furthest));
        let (towards, _) = between(places[furthest], middle);
        for axis in 0..2 {
            middle[axis] += towards[axis] / f64::from(step + 1);
        }
    }
    best
}

/// Numbers that look random and are the same every time (splitmix64 of S. Vigna, public domain).
struct Dice(u64);

impl Dice {
    /// Between -1 and 1.
    fn spread(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut bits = self.0;
        bits = (bits ^ (bits >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        bits = (bits ^ (bits >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        bits ^= bits >> 31;
        (bits >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn around_all(diameters: &[f64]) -> f64 {
        enclosing(&diameters.iter().copied().map(Millimetres).collect::<Vec<_>>()).0
    }

    #[test]
    fn one_and_two_are_exact() {
        assert_eq!(around_all(&[]), 0.0);
        assert_eq!(around_all(&[4.8]), 4.8);
        assert_eq!(around_all(&[4.8, 2.0]), 6.8);
    }

    /// Circles that touch each other and the one around them obey R. Descartes' theorem (1643).
    #[test]
    fn three_of_different_diameters_obey_descartes() {
        for [a, b, c] in [[2.0, 2.0, 2.0], [4.0, 2.0, 2.0], [5.0, 4.0, 3.0], [3.0, 3.0, 2.0]] {
            let bends: [f64; 3] = [2.0 / a, 2.0 / b, 2.0 / c];
            let pairs = bends[0] * bends[1] + bends[1] * bends[2] + bends[2] * bends[0];
            let outer = 2.0 / (2.0 * pairs.sqrt() - bends.iter().sum::<f64>());
            let found = around_all(&[a, b, c]);
            assert!(found >= outer * (1.0 - 1e-9), "{a} {b} {c}: {found}, at least {outer}");
            assert!(found <= outer * 1.003, "{a} {b} {c}: {found}, best {outer}");
        }
    }

    /// A circle so small that it lies in the gap beside two others needs no more room.
    #[test]
    fn a_small_one_hides_in_a_gap() {
        let found = around_all(&[4.0, 4.0, 2.0]);
        assert!((8.0..8.03).contains(&found), "{found}");
    }

    #[test]
    fn many_are_on_the_safe_side() {
        let many = vec![2.0; MOST + 1];
        assert!(around_all(&many) > 2.0 * ((MOST + 1) as f64).sqrt() * 1.2);
    }
}
