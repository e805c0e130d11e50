//! How good a ranking is: the discounted gain of its first ten places, and how much of what is right stands there.
//!
//! Owns the formulas alone; what a note is worth to a query is `need`.
//!
//! nDCG@10 = DCG / ideal DCG, where DCG is the sum over places i = 1..10 of (2^grade - 1) / log2(i + 1), and the ideal
//! is that of all notes in the order of their grades (Järvelin and Kekäläinen 2002, with the gain of Burges and others
//! 2005). Recall@10 is the share of the notes of grade 2 and more that stand in the first ten places, of ten at most.

/// Places that count.
pub const PLACES: usize = 10;

/// Notes of this grade and more are right.
const RIGHT: u8 = 2;

/// What a note of a grade gains.
fn gain(grade: u8) -> f64 {
    2_f64.powi(i32::from(grade)) - 1.0
}

fn discounted(gains: impl Iterator<Item = f64>) -> f64 {
    gains.zip(2_u32..).fold(0.0, |sum, (gain, place)| sum + gain / f64::from(place).log2())
}

/// The normalised discounted gain of the first `places` found, of all grades that there are.
pub fn ndcg(found: &[u8], all: &[u8], places: usize) -> f64 {
    let mut ideal = all.to_vec();
    ideal.sort_unstable_by(|a, b| b.cmp(a));
    let of = |grades: &[u8]| discounted(grades.iter().take(places).map(|grade| gain(*grade)));
    match of(&ideal) {
        best if best > 0.0 => of(found) / best,
        _ => 0.0,
    }
}

/// The share of the right notes that stand in the first places.
pub fn recall(found: &[u8], all: &[u8]) -> f64 {
    let right = |grades: &[u8]| grades.iter().filter(|grade| **grade >= RIGHT).count();
    let possible = right(all).min(PLACES);
    right(&found[..found.len().min(PLACES)]) as f64 / possible.max(1) as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(computed: f64, published: f64) {
        assert!((computed - published).abs() < 0.0006, "{computed} against {published}");
    }

    /// The worked example of Wikipedia, "Discounted cumulative gain" (from memory): six documents of grades 3, 2, 3, 0,
    /// 1, 2 have a DCG of 6.861, and the ideal one of the same six is 7.141. It takes the grade itself as the gain.
    #[test]
    fn the_discount_is_that_of_the_worked_example() {
        near(discounted([3.0, 2.0, 3.0, 0.0, 1.0, 2.0].into_iter()), 6.861);
        near(discounted([3.0, 3.0, 2.0, 2.0, 1.0, 0.0].into_iter()), 7.141);
    }

    /// The gains that LightGBM lists as its usual ones (documentation of `label_gain`, from memory).
    #[test]
    fn the_gain_is_that_of_the_published_list() {
        for (grade, published) in (0..).zip([0.0, 1.0, 3.0, 7.0, 15.0, 31.0]) {
            near(gain(grade), published);
        }
    }

    /// The whole, against the example in the documentation and tests of Apache Spark's ranking metrics (from memory):
    /// grades 0 and 1, three queries, one of them without any right document; 0.333, 0.328 and 0.487 at 3, 5 and 10.
    #[test]
    fn the_whole_is_that_of_the_published_example() {
        let first = [1, 0, 1, 0, 0, 1, 0, 0, 1, 1];
        let second = [0, 1, 0, 0, 1, 0, 1, 0, 0, 0];
        let third = [0; 5];
        for (places, published) in [(3, 0.3333), (5, 0.3288), (10, 0.4879)] {
            let sum: f64 = [&first[..], &second, &third].iter().map(|found| ndcg(found, found, places)).sum();
            near(sum / 3.0, published);
        }
    }

    #[test]
    fn nothing_found_is_worth_nothing_and_the_ideal_order_is_worth_one() {
        let all = [0, 3, 1, 2, 0, 2];
        near(ndcg(&[], &all, PLACES), 0.0);
        near(ndcg(&[3, 2, 2, 1, 0, 0], &all, PLACES), 1.0);
        assert!(ndcg(&[2, 3, 2, 1], &all, PLACES) < 0.9);
        near(recall(&[3, 1, 2], &all), 2.0 / 3.0);
        near(recall(&[2; 10], &[2; 40]), 1.0);
    }
}
