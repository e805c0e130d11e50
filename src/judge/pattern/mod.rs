//! One model for doubt: what could be true of a point, weighed by what was seen.
//!
//! It does not vote and does not rate people. It asks which simple pattern could explain what was seen: no difference
//! at all, a change at a model year or two, a difference by one attribute, by build date, by a year and an attribute.
//! From the weighed patterns follow the support of each answer and, in `split`, the cuts to suggest. DEVELOPERS.md
//! states the model in one page; the constants are in `schema/doubt.toml`.

mod division;
pub mod doubt;
mod evidence;
pub mod facelift;
pub mod learn;
mod pile;
mod shelf;
mod sights;
pub mod split;
mod timeline;
mod weigh;

use std::cmp::Reverse;
use std::fmt;

use serde::Serialize;

use super::bucket::{Bucket, Claim};
use crate::judge::answer::same_instance;
use crate::vehicle::Vehicle;
use doubt::Doubt;
use evidence::Evidence;
use facelift::{Changes, Facelift, beside, changes};
use timeline::Timeline;

/// A probability.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize)]
#[serde(transparent)]
pub struct Chance(f64);

impl Chance {
    /// Of a share; what lies outside of 0 to 1 is brought inside.
    #[must_use]
    pub fn new(share: f64) -> Self {
        Self(share.clamp(0.0, 1.0))
    }

    /// For putting in order, the likelier first: what differs by no more than the order in which numbers were added
    /// is the same.
    #[must_use]
    pub fn rank(self) -> Reverse<u64> {
        Reverse((self.0 * 1e9).round() as u64)
    }

    /// As a share from 0 to 1.
    #[must_use]
    pub fn share(self) -> f64 {
        self.0
    }
}

impl fmt::Display for Chance {
    /// `83 in 100`; never 0 or 100, since nothing is certain here.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} in 100", (self.0 * 100.0).round().clamp(1.0, 99.0))
    }
}

/// What is known beside the notes of one point.
#[derive(Debug, Clone)]
pub struct Outlook {
    /// The constants.
    pub doubt: Doubt,
    /// At which model years other points of the model change.
    pub facelift: Facelift,
}

/// Whoever has an outlook, or works it out when it is first needed: many judgements need none.
pub trait HasOutlook: fmt::Debug {
    /// The outlook.
    fn outlook(&self) -> &Outlook;
}

impl HasOutlook for Outlook {
    fn outlook(&self) -> &Outlook {
        self
    }
}

impl Default for Outlook {
    fn default() -> Self {
        Self { doubt: Doubt::builtin().clone(), facelift: Facelift::default() }
    }
}

impl Outlook {
    /// What is known beside one bucket, by the other buckets of its model.
    #[must_use]
    pub fn beside<'b>(others: impl IntoIterator<Item = &'b Bucket>, doubt: &Doubt) -> Self {
        let changes: Vec<Changes> = others.into_iter().map(|bucket| changes(bucket, doubt)).collect();
        Self { doubt: doubt.clone(), facelift: Facelift::of(changes.iter(), doubt) }
    }

    /// What is known beside each of the buckets of one model, in their order.
    #[must_use]
    pub fn of_model<'b>(buckets: impl IntoIterator<Item = &'b Bucket>, doubt: &Doubt) -> Vec<Self> {
        let changes: Vec<Changes> = buckets.into_iter().map(|bucket| changes(bucket, doubt)).collect();
        let beside = |at| Self { doubt: doubt.clone(), facelift: beside(&changes, at, doubt) };
        (0..changes.len()).map(beside).collect()
    }
}

/// The support of each answer for the asked vehicle: the chance that it is right. `candidates` are all distinct values
/// that the notes of the model tell.
#[must_use]
pub fn support(
    bucket: &Bucket,
    asked: &Vehicle,
    answers: &[Claim],
    candidates: &[Claim],
    outlook: &Outlook,
) -> Vec<Chance> {
    if !bucket.several {
        return of_instance(bucket, asked, answers, candidates, outlook);
    }
    let of_one = |answer: &Claim| {
        let one = |other: &&Claim| *other == answer || same_instance(bucket, other, answer);
        let candidates: Vec<Claim> = candidates.iter().filter(one).cloned().collect();
        of_instance(bucket, asked, std::slice::from_ref(answer), &candidates, outlook)[0]
    };
    answers.iter().map(of_one).collect()
}

/// The support of answers that speak of one instance.
fn of_instance(
    bucket: &Bucket,
    asked: &Vehicle,
    answers: &[Claim],
    candidates: &[Claim],
    outlook: &Outlook,
) -> Vec<Chance> {
    let (doubt, facelift) = (&outlook.doubt, &outlook.facelift);
    let evidence = Evidence::gather(bucket, candidates, asked, doubt);
    if evidence.rows.is_empty() {
        let each = doubt.slips.unseen / candidates.len().max(1) as f64;
        return answers.iter().map(|_| Chance::new(each)).collect();
    }
    let divisions = division::all(bucket, &evidence, asked, doubt);
    let timeline = Timeline::new(bucket, &evidence, Some(asked), facelift, doubt);
    let weighed = weigh::weigh(&evidence, &timeline, &divisions, doubt);
    let right = |answer: &Claim| {
        let of_value =
            |value: usize| weighed.iter().map(|found| found.chance * found.asked[value]).sum::<f64>();
        let values = (0..evidence.values.len()).filter(|at| evidence.is_right(bucket, answer, *at));
        Chance::new(values.map(of_value).sum())
    };
    answers.iter().map(right).collect()
}
