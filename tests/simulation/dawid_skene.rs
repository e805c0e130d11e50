//! Dawid and Skene's estimate of true classes and of each rater's error rates by expectation and maximisation
//! ("Maximum Likelihood Estimation of Observer Error-Rates Using the EM Algorithm", Applied Statistics 28, 1979).

/// One judgement: which item, which rater, which class.
#[derive(Debug, Clone, Copy)]
pub struct Vote {
    pub item: usize,
    pub rater: usize,
    pub class: usize,
}

pub struct Estimate {
    /// For each item, the chance of each class.
    pub classes: Vec<Vec<f64>>,
    /// The share of each class.
    pub shares: Vec<f64>,
    /// For each rater and true class, the chance of each class told.
    pub errors: Vec<Vec<Vec<f64>>>,
}

/// Runs `rounds` of it. `smooth` is added to every count of an error, 0 as in the paper.
pub fn estimate(votes: &[Vote], classes: usize, smooth: f64, rounds: usize) -> Estimate {
    let items = 1 + votes.iter().map(|vote| vote.item).max().unwrap_or_default();
    let raters = 1 + votes.iter().map(|vote| vote.rater).max().unwrap_or_default();
    let mut found =
        Estimate { classes: shares_of_votes(votes, items, classes), shares: Vec::new(), errors: Vec::new() };
    for _ in 0..rounds {
        maximise(votes, &mut found, raters, smooth);
        expect(votes, &mut found);
    }
    found
}

fn shares_of_votes(votes: &[Vote], items: usize, classes: usize) -> Vec<Vec<f64>> {
    let mut found = vec![vec![0.0; classes]; items];
    for vote in votes {
        found[vote.item][vote.class] += 1.0;
    }
    found.iter_mut().for_each(|item| normalise(item));
    found
}

fn maximise(votes: &[Vote], found: &mut Estimate, raters: usize, smooth: f64) {
    let classes = found.classes[0].len();
    let mut errors = vec![vec![vec![smooth; classes]; classes]; raters];
    for vote in votes {
        for (truth, chance) in found.classes[vote.item].iter().enumerate() {
            errors[vote.rater][truth][vote.class] += chance;
        }
    }
    errors.iter_mut().flatten().for_each(|row| normalise(row));
    let mut shares = vec![0.0; classes];
    for item in &found.classes {
        shares.iter_mut().zip(item).for_each(|(share, chance)| *share += chance);
    }
    normalise(&mut shares);
    (found.errors, found.shares) = (errors, shares);
}

fn expect(votes: &[Vote], found: &mut Estimate) {
    let mut logs =
        vec![found.shares.iter().map(|share| share.ln()).collect::<Vec<f64>>(); found.classes.len()];
    for vote in votes {
        let rows = &found.errors[vote.rater];
        logs[vote.item].iter_mut().zip(rows).for_each(|(log, row)| *log += row[vote.class].ln());
    }
    for (item, logs) in found.classes.iter_mut().zip(&logs) {
        let most = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        item.iter_mut().zip(logs).for_each(|(chance, log)| *chance = (log - most).exp());
        normalise(item);
    }
}

fn normalise(shares: &mut [f64]) {
    let whole: f64 = shares.iter().sum();
    if whole > 0.0 {
        shares.iter_mut().for_each(|share| *share /= whole);
    }
}
