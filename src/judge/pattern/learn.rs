//! What a shop's settled conflicts teach: the constants that say how often something happens, updated by counts.
//!
//! Each share is a beta distribution; counts of what happened and what did not are added to its two numbers (the
//! conjugate prior of the binomial, Raiffa and Schlaifer 1961). Which decision counts as what is the caller's to say.

use super::doubt::{Doubt, Patterns};
use crate::note::Basis;

/// A share that is known as if it had been counted before.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beta {
    /// How often it happened.
    pub happened: f64,
    /// How often it did not.
    pub did_not: f64,
}

impl Beta {
    /// A share of which `mean` is believed as firmly as after `strength` cases.
    #[must_use]
    pub fn believed(mean: f64, strength: f64) -> Self {
        Self { happened: mean * strength, did_not: (1.0 - mean) * strength }
    }

    /// After more cases.
    #[must_use]
    pub fn after(self, counted: Counted) -> Self {
        Self {
            happened: self.happened + f64::from(counted.happened),
            did_not: self.did_not + f64::from(counted.of - counted.happened.min(counted.of)),
        }
    }

    /// The share to expect.
    #[must_use]
    pub fn mean(self) -> f64 {
        self.happened / (self.happened + self.did_not)
    }

    /// How far it may be off: the variance.
    #[must_use]
    pub fn variance(self) -> f64 {
        let whole = self.happened + self.did_not;
        self.happened * self.did_not / (whole * whole * (whole + 1.0))
    }
}

/// Cases that were looked at, and in how many something happened.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Counted {
    /// In how many it happened.
    pub happened: u32,
    /// How many there were.
    pub of: u32,
}

/// What a shop's settled conflicts turned out to be.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Settled {
    /// A change at one model year.
    pub year: u32,
    /// At two.
    pub two_years: u32,
    /// A difference by an attribute.
    pub attribute: u32,
    /// By build date.
    pub built: u32,
    /// By a model year and an attribute.
    pub year_and_attribute: u32,
    /// Observations found wrong, of all that a decision upheld or retired, by basis; diagrams as well.
    pub wrong: Vec<(Basis, Counted)>,
}

impl Doubt {
    /// The constants after what a shop settled. How often nothing differs at all cannot be learnt from conflicts, as
    /// these are where something seems to; the shares of the kinds of difference among each other can.
    #[must_use]
    pub fn after(&self, settled: &Settled) -> Self {
        let mut doubt = self.clone();
        doubt.patterns = self.patterns.after(settled, self.learning.strength);
        for (basis, counted) in &settled.wrong {
            let slip = match basis {
                Basis::Metered => &mut doubt.slips.metered,
                Basis::Fitted => &mut doubt.slips.fitted,
                Basis::Inspected => &mut doubt.slips.inspected,
                Basis::Diagram => &mut doubt.slips.diagram,
                Basis::Told => continue,
            };
            *slip = Beta::believed(*slip, self.learning.strength).after(*counted).mean();
        }
        doubt
    }
}

impl Patterns {
    fn after(&self, settled: &Settled, strength: f64) -> Self {
        let counts =
            [settled.year, settled.two_years, settled.attribute, settled.built, settled.year_and_attribute];
        let all = counts.iter().sum();
        let differing = 1.0 - self.none;
        let share = |believed: f64, happened: u32| {
            let counted = Counted { happened, of: all };
            differing * Beta::believed(believed / differing, strength).after(counted).mean()
        };
        Self {
            none: self.none,
            year: share(self.year, settled.year),
            two_years: share(self.two_years, settled.two_years),
            attribute: share(self.attribute, settled.attribute),
            built: share(self.built, settled.built),
            year_and_attribute: share(self.year_and_attribute, settled.year_and_attribute),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Beta, Counted, Doubt, Settled};
    use crate::note::Basis;
    use statrs::distribution::Beta as Reference;
    use statrs::statistics::Distribution;

    /// Against the beta distribution of the crate statrs.
    #[test]
    fn a_share_after_counting_is_the_posterior() {
        for (mean, strength, happened, of) in [
            (0.05, 60.0, 0, 0),
            (0.05, 60.0, 3, 10),
            (0.5, 2.0, 7, 9),
            (0.25, 40.0, 0, 500),
            (0.9, 10.0, 1, 1),
        ] {
            let found = Beta::believed(mean, strength).after(Counted { happened, of });
            let (a, b) =
                (mean * strength + f64::from(happened), (1.0 - mean) * strength + f64::from(of - happened));
            let reference = Reference::new(a, b).expect("a beta distribution");
            assert!((found.mean() - reference.mean().expect("a mean")).abs() < 1e-12, "{found:?}");
            assert!(
                (found.variance() - reference.variance().expect("a variance")).abs() < 1e-12,
                "{found:?}"
            );
        }
    }

    #[test]
    fn what_was_settled_moves_the_constants_and_keeps_them_shares() {
        let before = Doubt::builtin();
        assert_eq!(before.after(&Settled::default()).patterns.none, before.patterns.none);
        let settled = Settled {
            attribute: 40,
            wrong: vec![(Basis::Metered, Counted { happened: 0, of: 400 })],
            ..Settled::default()
        };
        let after = before.after(&settled);
        assert!(after.patterns.attribute > 1.5 * before.patterns.attribute, "{after:?}");
        assert!(after.patterns.year < before.patterns.year, "{after:?}");
        assert!(after.slips.metered < 0.5 * before.slips.metered, "{after:?}");
        assert_eq!(after.slips.inspected, before.slips.inspected);
        assert!((after.patterns.whole() - 1.0).abs() < 1e-12, "{after:?}");
    }
}
