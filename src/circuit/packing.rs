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
    let mut kept: Vec<Place> =
        radii.iter().map(|_| Place { x: dice.spread() * floor, y: dice.spread() * floor }).collect();
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

/// The middle of a circle.
#[derive(Clone, Copy)]
struct Place {
    x: f64,
    y: f64,
}

impl Place {
    const MIDDLE: Self = Self { x: 0.0, y: 0.0 };

    fn distance(self, other: Self) -> f64 {
        (self.x - other.x).hypot(self.y - other.y)
    }

    /// This far along the way to another place: 1 is there, and less than 0 away from it.
    fn towards(self, other: Self, part: f64) -> Self {
        Self { x: self.x + (other.x - self.x) * part, y: self.y + (other.y - self.y) * part }
    }

    /// So many times as far from the middle.
    fn spread(self, times: f64) -> Self {
        Self { x: self.x * times, y: self.y * times }
    }
}

/// Circles that overlap share the way apart; those that stick out of the target come in.
fn push_apart(places: &mut [Place], radii: &[f64], target: f64) {
    for i in 0..places.len() {
        for j in 0..i {
            let (a, b) = (places[i], places[j]);
            let distance = a.distance(b);
            let overlap = radii[i] + radii[j] - distance;
            if overlap > 0.0 && distance > 0.0 {
                let apart = -overlap / 2.0 / distance;
                places[i] = a.towards(b, apart);
                places[j] = b.towards(a, apart);
            }
        }
        let out = places[i].distance(Place::MIDDLE);
        let room = (target - radii[i]).max(0.0);
        if out > room {
            places[i] = places[i].spread(room / out);
        }
    }
}

/// The radius that these places really need: all spread in proportion until the tightest pair just touches, and the
/// best middle of a circle around them.
fn laid_out(places: &[Place], radii: &[f64]) -> f64 {
    let mut spread: f64 = 0.0;
    for i in 0..places.len() {
        for j in 0..i {
            spread = spread.max((radii[i] + radii[j]) / places[i].distance(places[j]));
        }
    }
    let spread_out: Vec<Place> = places.iter().map(|place| place.spread(spread)).collect();
    around(&spread_out, radii)
}

/// The radius around places that stay: the middle goes towards what reaches out furthest, by smaller and smaller steps.
fn around(places: &[Place], radii: &[f64]) -> f64 {
    let mut middle = Place::MIDDLE;
    let mut best = f64::INFINITY;
    for step in 1..=400 {
        let reach = |at: usize| places[at].distance(middle) + radii[at];
        let Some(furthest) = (0..places.len()).max_by(|a, b| reach(*a).total_cmp(&reach(*b))) else { break };
        best = best.min(reach(furthest));
        middle = middle.towards(places[furthest], 1.0 / f64::from(step + 1));
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
