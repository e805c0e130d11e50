//! Dice that always fall the same way: splitmix64 with a fixed seed, so that the corpus is the same
//! on every machine. Owns chance only; what is drawn is the business of the other files.

/// A stream of numbers. The algorithm is splitmix64 (Steele, Lea, Flood: "Fast splittable
/// pseudorandom number generators", 2014).
#[derive(Debug, Clone)]
pub struct Dice(u64);

impl Dice {
    /// Dice that start from `seed`.
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// Dice of their own for `tag`: what is drawn for one model does not move when another is added.
    pub fn of(seed: u64, tag: &str) -> Self {
        // FNV-1a, 64 bit.
        let hash = tag
            .bytes()
            .fold(0xcbf2_9ce4_8422_2325_u64, |h, b| (h ^ u64::from(b)).wrapping_mul(0x0100_0000_01b3));
        Self(seed ^ hash)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A number from 0 to `n` - 1.
    pub fn below(&mut self, n: usize) -> usize {
        let n = u64::try_from(n.max(1)).unwrap_or(1);
        usize::try_from(self.next() % n).unwrap_or(0)
    }

    /// A number from `low` to `high`, both included.
    pub fn between(&mut self, low: u16, high: u16) -> u16 {
        low + u16::try_from(self.below(usize::from(high - low) + 1)).unwrap_or(0)
    }

    /// Yes in `percent` of all cases.
    pub fn chance(&mut self, percent: usize) -> bool {
        self.below(100) < percent
    }

    /// One of `items`.
    pub fn pick<'a, T>(&mut self, items: &'a [T]) -> &'a T {
        &items[self.below(items.len())]
    }

    /// One of `items`, by value.
    pub fn one_of<T: Copy>(&mut self, items: &[T]) -> T {
        *self.pick(items)
    }

    /// One of `items` by value, each as often as its weight says.
    pub fn weigh<T: Copy>(&mut self, items: &[(T, usize)]) -> T {
        *self.weighted(items)
    }

    /// One of `items`, each as often as its weight says.
    pub fn weighted<'a, T>(&mut self, items: &'a [(T, usize)]) -> &'a T {
        let total = items.iter().map(|(_, w)| w).sum();
        let mut left = self.below(total);
        for (item, weight) in items {
            if left < *weight {
                return item;
            }
            left -= weight;
        }
        &items[items.len() - 1].0
    }

    /// `items` in another order.
    pub fn shuffle<T>(&mut self, items: &mut [T]) {
        for i in (1..items.len()).rev() {
            items.swap(i, self.below(i + 1));
        }
    }
}
