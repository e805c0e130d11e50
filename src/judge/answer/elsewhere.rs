//! What holds for other vehicles of the model, where nothing is claimed for the asked one.

use super::super::bucket::Bucket;
use super::super::pattern::{self, Outlook};
use super::super::sides;
use super::distinct::{self, backs};
use super::{Elsewhere, claiming};
use crate::vehicle::{Scope, Vehicle};

/// How many answers for other vehicles are worth showing where nothing is claimed for the asked one.
const SHOWN: usize = 3;

/// So many model years apart, a model is likely another vehicle of the same name, of which the chances of the pattern
/// say nothing. Our choice, no source.
const FAR: u16 = 20;

/// What is known of other vehicles of the model, the nearest first; nothing of those that are too far away in years.
pub(super) fn nearest(bucket: &Bucket, vehicle: &Vehicle, outlook: &Outlook) -> Vec<Elsewhere> {
    let live = claiming(bucket);
    let claims = distinct::answers(bucket, &live);
    let support = pattern::support(bucket, vehicle, &claims, &claims, outlook);
    let mut found: Vec<Elsewhere> = claims
        .into_iter()
        .zip(support)
        .map(|(claim, support)| {
            let mut entries: Vec<usize> = live
                .iter()
                .copied()
                .filter(|at| backs(bucket, bucket.claim(&bucket.entries[*at]), &claim))
                .collect();
            sides::strongest_first(bucket, &mut entries);
            let scope = entries
                .iter()
                .map(|at| bucket.scope(&bucket.entries[*at]))
                .min_by_key(|scope| (distance(scope, vehicle), (*scope).clone()));
            Elsewhere {
                scope: scope.cloned().unwrap_or_default(),
                observations: sides::observations(bucket, &entries),
                support,
                claim,
                entries,
            }
        })
        .collect();
    found.sort_by(|a, b| {
        (distance(&a.scope, vehicle), std::cmp::Reverse(a.observations))
            .cmp(&(distance(&b.scope, vehicle), std::cmp::Reverse(b.observations)))
            .then_with(|| sides::texts(bucket, &a.claim).cmp(&sides::texts(bucket, &b.claim)))
    });
    found.retain(|found| distance(&found.scope, vehicle) <= FAR);
    found.truncate(SHOWN);
    found
}

/// Model years between a scope and the asked vehicle.
fn distance(scope: &Scope, vehicle: &Vehicle) -> u16 {
    let Some(year) = vehicle.year() else { return 0 };
    let before = scope.years().from().map_or(0, |from| from.get().saturating_sub(year.get()));
    let after = scope.years().to().map_or(0, |to| year.get().saturating_sub(to.get()));
    before.max(after)
}
