//! Piles: how likely everything that was seen of some vehicles is, for each value that may be true of them; where the
//! vehicles are of two kinds, for each pair of values.

use super::evidence::{Each, Row, SLOTS};

/// Something for each pair of values: of the first kind, of the second.
pub type Pairs = [Each; SLOTS];

/// Below this a product is scaled up, and its logarithm kept aside.
const SMALL: f64 = 1e-100;

/// How likely what was seen is. The true figure is `exp(ln)` times the product of the parts.
#[derive(Debug, Clone)]
pub struct Pile {
    slots: usize,
    first: Each,
    second: Each,
    /// Of vehicles that may be of either kind.
    either: Option<Box<Pairs>>,
    /// What was scaled away.
    pub ln: f64,
}

impl Pile {
    /// Nothing seen.
    #[must_use]
    pub fn new(slots: usize) -> Self {
        Self { slots, first: [1.0; SLOTS], second: [1.0; SLOTS], either: None, ln: 0.0 }
    }

    /// Adds what was seen of vehicles that are of the first kind with this chance. `blur` is the chance that it was
    /// seen of some other vehicle of the model.
    pub fn add(&mut self, row: &Row, first: f64, blur: f64) {
        let count = i32::try_from(row.count).unwrap_or(i32::MAX);
        let chance = |value: usize| row.likely[value] * (1.0 - blur) + row.anywhere * blur;
        let power = |chance: f64| if count == 1 { chance } else { chance.powi(count) };
        if first >= 1.0 || first <= 0.0 {
            let side = if first >= 1.0 { &mut self.first } else { &mut self.second };
            for (value, whole) in side.iter_mut().enumerate().take(self.slots) {
                *whole *= power(chance(value));
            }
        } else {
            let pairs = self.either.get_or_insert_with(|| Box::new([[1.0; SLOTS]; SLOTS]));
            for (a, line) in pairs.iter_mut().enumerate().take(self.slots) {
                for (b, whole) in line.iter_mut().enumerate().take(self.slots) {
                    *whole *= power(first * chance(a) + (1.0 - first) * chance(b));
                }
            }
        }
        self.scale();
    }

    /// Both together.
    #[must_use]
    pub fn and(&self, other: &Self) -> Self {
        let mut whole = self.clone();
        for value in 0..self.slots {
            whole.first[value] *= other.first[value];
            whole.second[value] *= other.second[value];
        }
        match (&mut whole.either, &other.either) {
            (Some(pairs), Some(more)) => {
                for a in 0..self.slots {
                    for b in 0..self.slots {
                        pairs[a][b] *= more[a][b];
                    }
                }
            }
            (None, Some(more)) => whole.either = Some(more.clone()),
            (_, None) => {}
        }
        whole.ln += other.ln;
        whole.scale();
        whole
    }

    /// For each value, where all vehicles are of one kind.
    #[must_use]
    pub fn each(&self) -> &Each {
        &self.first
    }

    /// For each pair of values.
    #[must_use]
    pub fn pairs(&self) -> Pairs {
        let mut pairs = self.either.as_deref().copied().unwrap_or([[1.0; SLOTS]; SLOTS]);
        for a in 0..self.slots {
            for b in 0..self.slots {
                pairs[a][b] *= self.first[a] * self.second[b];
            }
        }
        pairs
    }

    fn scale(&mut self) {
        for side in [&mut self.first, &mut self.second] {
            let most = side[..self.slots].iter().copied().fold(0.0, f64::max);
            if most < SMALL && most > 0.0 {
                side[..self.slots].iter_mut().for_each(|whole| *whole /= most);
                self.ln += most.ln();
            }
        }
        if let Some(pairs) = &mut self.either {
            let most = pairs.iter().flatten().copied().fold(0.0, f64::max);
            let unused = self.slots < SLOTS;
            let most = if unused { used_most(pairs, self.slots) } else { most };
            if most < SMALL && most > 0.0 {
                pairs.iter_mut().flatten().for_each(|whole| *whole /= most);
                self.ln += most.ln();
            }
        }
    }
}

fn used_most(pairs: &Pairs, slots: usize) -> f64 {
    pairs[..slots].iter().flat_map(|line| &line[..slots]).copied().fold(0.0, f64::max)
}
