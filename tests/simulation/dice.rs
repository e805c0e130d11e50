//! Random numbers of the simulated shops (SplitMix64; Steele, Lea, Flood 2014): every shop repeats from its seed.

pub struct Dice(pub u64);

impl Dice {
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A number from 0 up to, not including, `limit`.
    pub fn below(&mut self, limit: usize) -> usize {
        usize::try_from(self.next() % limit as u64).expect("below a usize")
    }

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

    pub fn one_of<T: Copy>(&mut self, list: &[T]) -> T {
        list[self.below(list.len())]
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
