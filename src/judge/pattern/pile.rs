//! Piles: how likely everything that was seen of some vehicles is, for each value that may be true of them; where the
//! vehicles are of two kinds, for each pair of values.
//!
//! Products of many small chances are scaled up, and the logarithm of what was scaled away is kept aside.

use super::evidence::{Each, Row, SLOTS};

/// Something for each pair of values: of the first kind, of the second.
pub type Pairs = [Each; SLOTS];

/// Below this a product is scaled up.
const SMALL: f64 = 1e-120;

/// How likely what was seen of vehicles that are all alike is, for each value: `exp(ln)` times each.
#[derive(Debug, Clone, Copy)]
pub struct Pile {
    /// Up to the scale.
    pub each: Each,
    /// What was scaled away.
    pub ln: f64,
}

impl Pile {
    /// Nothing seen.
    pub const EMPTY: Self = Self { each: [1.0; SLOTS], ln: 0.0 };

    /// Adds observations; `blurred` where the year may be off.
    pub fn add(&mut self, row: &Row, blurred: bool) {
        let likely = if blurred { &row.blurred } else { &row.likely };
        multiply(&mut self.each, likely);
        self.scale();
    }

    /// Both together.
    #[must_use]
    pub fn and(mut self, other: &Self) -> Self {
        multiply(&mut self.each, &other.each);
        self.ln += other.ln;
        self.scale();
        self
    }

    fn scale(&mut self) {
        self.ln += scaled(&mut self.each);
    }
}

/// The same of vehicles of two kinds, of which some may be of either.
#[derive(Debug, Clone, Copy)]
pub struct TwoPiles {
    first: Each,
    second: Each,
    either: Pairs,
    mixed: bool,
    /// What was scaled away.
    pub ln: f64,
}

impl TwoPiles {
    /// Nothing seen.
    pub const EMPTY: Self = Self {
        first: [1.0; SLOTS],
        second: [1.0; SLOTS],
        either: [[1.0; SLOTS]; SLOTS],
        mixed: false,
        ln: 0.0,
    };

    /// Adds observations of vehicles that are of the first kind with this chance.
    pub fn add(&mut self, row: &Row, first: f64, blurred: bool) {
        let likely = if blurred { &row.blurred } else { &row.likely };
        if first >= 1.0 {
            multiply(&mut self.first, likely);
            self.ln += scaled(&mut self.first);
        } else if first <= 0.0 {
            multiply(&mut self.second, likely);
            self.ln += scaled(&mut self.second);
        } else {
            self.mix(row, first, blurred);
        }
    }

    fn mix(&mut self, row: &Row, first: f64, blurred: bool) {
        let likely = if blurred { &row.once_blurred } else { &row.once };
        let count = i32::try_from(row.count).unwrap_or(i32::MAX);
        for (line, a) in self.either.iter_mut().zip(likely) {
            for (whole, b) in line.iter_mut().zip(likely) {
                let chance = first * a + (1.0 - first) * b;
                *whole *= if count == 1 { chance } else { chance.powi(count) };
            }
        }
        self.mixed = true;
        self.scale_either();
    }

    /// Both together.
    #[must_use]
    pub fn and(&self, other: &Self) -> Self {
        let mut whole = *self;
        multiply(&mut whole.first, &other.first);
        multiply(&mut whole.second, &other.second);
        whole.ln += other.ln + scaled(&mut whole.first) + scaled(&mut whole.second);
        if other.mixed {
            whole.either.iter_mut().zip(&other.either).for_each(|(line, more)| multiply(line, more));
            whole.mixed = true;
            whole.scale_either();
        }
        whole
    }

    /// For each pair of values.
    #[must_use]
    pub fn pairs(&self) -> Pairs {
        let mut pairs = self.either;
        for (line, a) in pairs.iter_mut().zip(&self.first) {
            for (whole, b) in line.iter_mut().zip(&self.second) {
                *whole *= a * b;
            }
        }
        pairs
    }

    fn scale_either(&mut self) {
        if self.either[0][0] >= SMALL {
            return;
        }
        let most = self.either.iter().flatten().copied().fold(0.0, f64::max);
        if most < SMALL && most > 0.0 {
            self.either.iter_mut().flatten().for_each(|whole| *whole /= most);
            self.ln += most.ln();
        }
    }
}

fn multiply(whole: &mut Each, other: &Each) {
    whole.iter_mut().zip(other).for_each(|(whole, other)| *whole *= other);
}

/// Scales a product up where it is small; gives the logarithm of what was scaled away.
fn scaled(each: &mut Each) -> f64 {
    if each[0] >= SMALL {
        return 0.0;
    }
    let most = each.iter().copied().fold(0.0, f64::max);
    if most >= SMALL || most <= 0.0 {
        return 0.0;
    }
    each.iter_mut().for_each(|whole| *whole /= most);
    most.ln()
}
