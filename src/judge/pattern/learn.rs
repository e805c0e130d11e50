//! What a shop's settled conflicts teach: the constants that say how often something happens, updated by counts.
//!
//! Each share is a beta distribution; counts of what happened and what did not are added to its two numbers (the
//! conjugate prior of the binomial, Raiffa and Schlaifer 1961). Which decisions stand is the caller's to say.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use super::doubt::{Doubt, Patterns};
use crate::decision::{Becomes, Decision, Kind};
use crate::note::NoteId;
use crate::vehicle::{ModelYear, Scope, Step};

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
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
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
}

impl Settled {
    /// Counts what decisions which stand found: each split and narrowing once, by what it takes from the notes that
    /// are here. Their order does not matter. `claimed` is what a note claims, nothing where it is not here; `read`
    /// reads canonical years and qualifiers.
    pub fn count<'d>(
        standing: impl IntoIterator<Item = &'d Decision>,
        mut claimed: impl FnMut(NoteId) -> Option<Scope>,
        mut read: impl FnMut(&str, &str) -> Scope,
    ) -> Self {
        let mut settled = Self::default();
        for decision in standing.into_iter().filter(|one| matches!(one.kind, Kind::Split | Kind::Narrow)) {
            let mut taken = Taken::default();
            for (note, becomes) in &decision.about {
                if let Becomes::Narrowed { years, only } = becomes
                    && let Some(claimed) = claimed(*note)
                {
                    taken.add(&claimed, &read(years, only));
                }
            }
            taken.count(&mut settled);
        }
        settled
    }

    fn whole(&self) -> u32 {
        self.year + self.two_years + self.attribute + self.built + self.year_and_attribute
    }
}

/// What a decision takes from the notes that it narrows.
#[derive(Default)]
struct Taken {
    /// The first model years of later parts.
    starts: BTreeSet<ModelYear>,
    built: bool,
    attribute: bool,
}

impl Taken {
    fn add(&mut self, claimed: &Scope, left: &Scope) {
        let (was, is) = (claimed.years(), left.years());
        self.starts.extend(is.from().filter(|_| is.from() != was.from()));
        self.starts.extend(is.to().filter(|_| is.to() != was.to()).map(Step::following));
        self.built |= claimed.built() != left.built();
        self.attribute |= claimed.only() != left.only();
    }

    fn count(&self, settled: &mut Settled) {
        let kind = match (self.starts.len(), self.attribute, self.built) {
            (0, false, false) => return,
            (0, true, _) => &mut settled.attribute,
            (_, true, _) => &mut settled.year_and_attribute,
            (_, false, true) => &mut settled.built,
            (1, false, false) => &mut settled.year,
            (_, false, false) => &mut settled.two_years,
        };
        *kind += 1;
    }
}

impl Doubt {
    /// The constants after what a shop settled. How often nothing differs at all cannot be learnt from conflicts, as
    /// these are where something seems to; the shares of the kinds of difference among each other can. Nor can it be
    /// learnt how often a note is wrong: of two that contradict each other on one vehicle one is, however careful
    /// people are.
    #[must_use]
    pub fn after(&self, settled: &Settled) -> Self {
        let patterns = self.patterns.after(settled, self.learning.strength);
        Self { patterns, ..self.clone() }
    }
}

impl Patterns {
    fn after(&self, settled: &Settled, strength: f64) -> Self {
        let differing = 1.0 - self.none;
        let share = |believed: f64, happened: u32| {
            let counted = Counted { happened, of: settled.whole() };
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
    use crate::decision::{Becomes, Decision, Kind};
    use crate::note::NoteId;
    use crate::vehicle::{ModelYear, Scope, Vocabulary};
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
        let same = before.after(&Settled::default());
        assert!((same.patterns.year - before.patterns.year).abs() < 1e-12, "{same:?}");
        let after = before.after(&Settled { attribute: 40, ..Settled::default() });
        assert!(after.patterns.attribute > 1.5 * before.patterns.attribute, "{after:?}");
        assert!(after.patterns.year < before.patterns.year, "{after:?}");
        assert!((after.patterns.whole() - 1.0).abs() < 1e-12, "{after:?}");
        assert_eq!(after.slips, before.slips);
    }

    fn scope(years: &str, only: &str) -> Scope {
        Scope::parse(years, only, Vocabulary::builtin(), ModelYear::new(2026)).expect("a readable scope")
    }

    /// Notes that all claim 2015-2019 without qualifiers; what each is narrowed to, and what that counts as.
    #[test]
    fn a_decision_counts_as_what_it_takes_from_its_notes() {
        let check = |kind: Kind, narrowed: &[(&str, &str)], expected: Settled| {
            let about = narrowed.iter().enumerate().map(|(at, (years, only))| {
                let (years, only) = ((*years).to_owned(), (*only).to_owned());
                (NoteId([at as u8; 10]), Becomes::Narrowed { years, only })
            });
            let about = about.chain([(NoteId([9; 10]), Becomes::Kept), (NoteId([8; 10]), Becomes::Retired)]);
            let (by, because) = ("R. Okafor".to_owned(), "seen so".to_owned());
            let decision =
                Decision { kind, by, day: 1, because, follows: Vec::new(), about: about.collect() };
            let here = |note: NoteId| (note.0[0] < 5).then(|| scope("2015-2019", ""));
            let found = Settled::count([&decision.in_order()], here, scope);
            assert_eq!(found, expected, "{narrowed:?}");
        };
        let none = Settled::default();
        let split = Kind::Split;
        check(split, &[("2015-2016", ""), ("2017-2019", "")], Settled { year: 1, ..none });
        check(Kind::Narrow, &[("2015-2016", "")], Settled { year: 1, ..none });
        let three = [("2015", ""), ("2016-2017", ""), ("2018-2019", "")];
        check(split, &three, Settled { two_years: 1, ..none });
        let by_tow = [("2015-2019", "tow=yes"), ("2015-2019", "tow=no")];
        check(split, &by_tow, Settled { attribute: 1, ..none });
        check(
            split,
            &[("2015-2016", ""), ("2017-2019", "tow=no")],
            Settled { year_and_attribute: 1, ..none },
        );
        check(split, &[("2015-2019", "built=..2017-08")], Settled { built: 1, ..none });
        check(split, &[], none);
        check(Kind::Uphold, &by_tow, none);
        // Notes that are not in the book tell nothing yet.
        check(split, &[("2015-2019", ""); 5], none);
        let beyond: Vec<_> = [("2015-2019", ""); 5].into_iter().chain(by_tow).collect();
        check(split, &beyond, none);
    }
}
