//! Dice of the simulated shops: every shop repeats from its seed.

#[path = "../judge/random.rs"]
mod random;

pub use random::Random as Dice;

impl Dice {
    /// A number from `low` to `high`, both included.
    pub fn between(&mut self, low: u16, high: u16) -> u16 {
        low + u16::try_from(self.below(usize::from(high - low) + 1)).expect("a small number")
    }

    /// A share from 0 to 1.
    pub fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub fn happens(&mut self, chance: f64) -> bool {
        self.share() < chance
    }

    /// The number of one of several things, as likely as its weight.
    pub fn weighted(&mut self, weights: &[f64]) -> usize {
        let mut left = self.share() * weights.iter().sum::<f64>();
        for (at, weight) in weights.iter().enumerate() {
            left -= weight;
            if left < 0.0 {
                return at;
            }
        }
        weights.len() - 1
    }
}
