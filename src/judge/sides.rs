//! The distinct values among a set of notes: each stands once, and a coarser value stands with every one
//! that refines it. Conflicts are laid out by it.

use std::collections::BTreeMap;

use super::bucket::{Bucket, Claim, Entry};
use crate::note::Basis;
use crate::vehicle::Vehicle;

/// A distinct value and the notes that support it.
#[derive(Debug, Clone)]
pub struct Side {
    /// The cells of the columns asked for; the others are not given.
    pub value: Claim,
    /// Numbers into `Bucket::entries`, ascending.
    pub entries: Vec<usize>,
}

/// The sides of `entries`, compared in the columns `over`.
#[must_use]
pub fn of(bucket: &Bucket, entries: &[usize], over: &[usize]) -> Vec<Side> {
    let values = values(bucket, entries, over);
    let side = |value: Claim| {
        let supports = |claim: &Claim| bucket.refines(&value, &only(claim, over), over);
        let supporting: Vec<bool> = bucket.claims.iter().map(supports).collect();
        let own = |at: &usize| supporting[bucket.entries[*at].claim as usize];
        let mut entries: Vec<usize> = entries.iter().copied().filter(own).collect();
        entries.sort_unstable();
        Side { value, entries }
    };
    finest(bucket, &values, over).into_iter().map(side).collect()
}

/// The same with the number of notes alone.
#[must_use]
pub fn counted(bucket: &Bucket, entries: &[usize], over: &[usize]) -> Vec<(Claim, usize)> {
    let values = values(bucket, entries, over);
    let count = |side: &Claim| {
        let supporting = values.iter().filter(|(value, _)| bucket.refines(side, value, over));
        supporting.map(|(_, notes)| notes).sum()
    };
    let counted = |value: Claim| (count(&value), value);
    finest(bucket, &values, over).into_iter().map(counted).map(|(notes, value)| (value, notes)).collect()
}

/// The values that entries tell, and how many tell each.
fn values(bucket: &Bucket, entries: &[usize], over: &[usize]) -> BTreeMap<Claim, usize> {
    let mut notes = vec![0; bucket.claims.len()];
    entries.iter().for_each(|at| notes[bucket.entries[*at].claim as usize] += 1);
    let mut values = BTreeMap::new();
    for (claim, notes) in bucket.claims.iter().zip(notes).filter(|(_, notes)| *notes > 0) {
        *values.entry(only(claim, over)).or_default() += notes;
    }
    values
}

/// A claim with every column but those of `over` left out.
pub fn only(claim: &[u16], over: &[usize]) -> Claim {
    claim.iter().enumerate().map(|(at, cell)| if over.contains(&at) { *cell } else { 0 }).collect()
}

/// The values that no other refines; of several that are the same within tolerance, the one with the most notes,
/// then the one whose text comes first, so that the order of intake does not matter. Tolerance does not pass on
/// (35 mm is the same as 34.5 and as 35.5), so that a value whose finer one gave way to another stands for itself.
fn finest(bucket: &Bucket, values: &BTreeMap<Claim, usize>, over: &[usize]) -> Vec<Claim> {
    let finer = |value: &Claim| {
        values
            .keys()
            .filter(|other| bucket.refines(other, value, over) && !bucket.refines(value, other, over))
            .count()
    };
    let mut candidates: Vec<(usize, &Claim, usize)> =
        values.iter().map(|(value, notes)| (finer(value), value, *notes)).collect();
    candidates.sort_by(|(finer_a, a, notes_a), (finer_b, b, notes_b)| {
        (finer_a, notes_b).cmp(&(finer_b, notes_a)).then_with(|| texts(bucket, a).cmp(&texts(bucket, b)))
    });
    let mut kept: Vec<Claim> = Vec::new();
    for (_, value, _) in candidates {
        if !kept.iter().any(|side| bucket.refines(side, value, over)) {
            kept.push(value.clone());
        }
    }
    kept
}

/// The texts of a claim, for an order that does not depend on the numbers of values.
#[must_use]
pub fn texts<'b>(bucket: &'b Bucket, claim: &'b [u16]) -> Vec<(&'b str, &'b str)> {
    bucket.texts(claim).collect()
}

/// Puts the strongest notes first: by basis, then the latest, then by id, so that the order of intake does not
/// show.
pub fn strongest_first(bucket: &Bucket, entries: &mut [usize]) {
    entries.sort_by_cached_key(|at| bucket.entries[*at].strength());
}

/// The observations among entries, each with the notes that tell it. One hand on one vehicle is one observation, however
/// often and in how much detail it described the vehicle: of the vehicles of one hand as many count as surely are not one
/// another.
#[must_use]
pub fn observed<'b>(bucket: &'b Bucket, entries: impl IntoIterator<Item = &'b Entry>) -> Vec<Vec<&'b Entry>> {
    let mut notes: Vec<&Entry> = entries.into_iter().filter(|entry| entry.is_observation()).collect();
    notes.sort_by_key(|entry| entry.sighting());
    let of_one_hand = |notes: &[&'b Entry]| {
        let of_vehicles: Vec<&[&Entry]> = notes.chunk_by(|a, b| a.seen == b.seen).collect();
        let seen: Vec<u32> = of_vehicles.iter().map(|notes| notes[0].seen).collect();
        let (count, groups) = grouped(bucket, &seen);
        let mut observed = vec![Vec::new(); count];
        for (group, notes) in groups.iter().zip(of_vehicles) {
            group.iter().for_each(|group| observed[*group].extend(notes));
        }
        observed
    };
    notes.chunk_by(|a, b| a.person == b.person).flat_map(of_one_hand).collect()
}

/// The strongest basis of each observation among entries.
#[must_use]
pub fn bases<'b>(bucket: &Bucket, entries: impl Iterator<Item = &'b Entry>) -> Vec<Basis> {
    let observing = entries.filter(|entry| entry.is_observation());
    let mut told: Vec<(u64, Basis)> = observing.map(|entry| (entry.sighting(), entry.basis)).collect();
    told.sort_unstable();
    told.dedup_by_key(|(sighting, _)| *sighting);
    let mut bases = Vec::new();
    for own in told.chunk_by(|a, b| a.0 >> 32 == b.0 >> 32) {
        if let [(_, basis)] = own {
            bases.push(*basis);
            continue;
        }
        let seen: Vec<u32> = own.iter().map(|(sighting, _)| *sighting as u32).collect();
        let (count, groups) = grouped(bucket, &seen);
        let mut strongest = vec![Basis::Told; count];
        for (group, (_, basis)) in groups.iter().zip(own) {
            group.iter().for_each(|group| strongest[*group] = strongest[*group].min(*basis));
        }
        bases.extend(strongest);
    }
    bases
}

/// Deals the seen vehicles of one hand, each given once, to as many observations as they surely are: how many, and of
/// each vehicle its observation.
fn grouped(bucket: &Bucket, seen: &[u32]) -> (usize, Vec<Option<usize>>) {
    let vehicle = |at: usize| &bucket.seen[seen[at] as usize - 1];
    let all: Vec<&Vehicle> = (0..seen.len()).map(vehicle).collect();
    let is_near = near(&all);
    let (mut joined, alone): (Vec<usize>, Vec<usize>) =
        (0..seen.len()).partition(|at| !is_near[*at].is_empty());
    let mut groups = vec![None; seen.len()];
    alone.iter().enumerate().for_each(|(group, at)| groups[*at] = Some(group));
    // The numbers of vehicles depend on what came in first.
    joined.sort_by_key(|at| vehicle(*at));
    let near = near(&joined.iter().map(|at| vehicle(*at)).collect::<Vec<_>>());
    let distinct = most_apart(&near);
    for (place, at) in joined.into_iter().enumerate() {
        // As many as can be were chosen, so that every other one may be one of them.
        let group = distinct.iter().position(|own| *own == place || near[place].contains(own));
        groups[at] = group.map(|group| alone.len() + group);
    }
    (alone.len() + distinct.len(), groups)
}

/// Steps of the search for the most vehicles of one hand that surely are not one another.
const MOST_STEPS: usize = 2_000;

/// The most of these vehicles of which no two may be one, by number.
#[must_use]
pub fn surely_apart(seen: &[&Vehicle]) -> Vec<usize> {
    most_apart(&near(seen))
}

/// For each vehicle, the others that it may be, by number.
fn near(seen: &[&Vehicle]) -> Vec<Vec<usize>> {
    let mut near: Vec<Vec<usize>> = vec![Vec::new(); seen.len()];
    for (at, vehicle) in seen.iter().enumerate() {
        for other in (at + 1..seen.len()).filter(|other| vehicle.may_be(seen[*other])) {
            near[at].push(other);
            near[other].push(at);
        }
    }
    near
}

/// The most of which no two are near each other. Those that are, directly or through others, are searched by themselves.
fn most_apart(near: &[Vec<usize>]) -> Vec<usize> {
    let mut apart: Vec<usize> = together(near).iter().flat_map(|group| most_of(group, near)).collect();
    apart.sort_unstable();
    apart
}

/// The groups of those that are near each other, directly or through others; each in order.
fn together(near: &[Vec<usize>]) -> Vec<Vec<usize>> {
    let mut is_known = vec![false; near.len()];
    let mut groups = Vec::new();
    for start in 0..near.len() {
        let (mut group, mut next) = (Vec::new(), vec![start]);
        while let Some(at) = next.pop() {
            if !std::mem::replace(&mut is_known[at], true) {
                group.push(at);
                next.extend(&near[at]);
            }
        }
        group.sort_unstable();
        groups.push(group);
    }
    groups
}

fn most_of(group: &[usize], near: &[Vec<usize>]) -> Vec<usize> {
    let (mut best, mut steps) = (Vec::new(), 0);
    grow(group, near, &mut Vec::new(), 0, &mut best, &mut steps);
    best
}

fn grow(
    group: &[usize],
    near: &[Vec<usize>],
    chosen: &mut Vec<usize>,
    from: usize,
    best: &mut Vec<usize>,
    steps: &mut usize,
) {
    if chosen.len() > best.len() {
        best.clone_from(chosen);
    }
    for at in from..group.len() {
        *steps += 1;
        if chosen.len() + group.len() - at <= best.len() || *steps > MOST_STEPS {
            return;
        }
        if chosen.iter().all(|own| !near[*own].contains(&group[at])) {
            chosen.push(group[at]);
            grow(group, near, chosen, at + 1, best, steps);
            chosen.pop();
        }
    }
}

/// How many observations there are among entries.
#[must_use]
pub fn observations(bucket: &Bucket, entries: &[usize]) -> usize {
    bases(bucket, entries.iter().map(|at| &bucket.entries[*at])).len()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::vehicle::{ModelYear, Vehicle};

    /// All sets of vehicles of which no two may be one, tried one by one.
    fn most(seen: &[&Vehicle]) -> usize {
        let apart = |bits: &usize| {
            let own: Vec<usize> = (0..seen.len()).filter(|at| bits & (1 << at) != 0).collect();
            own.iter().all(|a| own.iter().all(|b| a == b || !seen[*a].may_be(seen[*b])))
        };
        (0..1_usize << seen.len()).filter(apart).map(usize::count_ones).max().unwrap_or_default() as usize
    }

    #[test]
    fn as_many_as_can_be_are_surely_not_one_another() {
        let kinds = |at: usize| {
            let year = [None, Some(2015), Some(2016)][at % 3].map(ModelYear::new);
            let tow = [None, Some("yes"), Some("no")][at / 3 % 3];
            let cab = [None, Some("crew"), Some("regular")][at / 9 % 3];
            let known = [("tow", tow), ("cab", cab)].into_iter();
            known.fold(Vehicle::new(year), |vehicle, (name, value)| match value {
                Some(value) => vehicle.with(name, value),
                None => vehicle,
            })
        };
        let (mut sizes, mut seed) = (std::collections::BTreeSet::new(), 7_usize);
        for _ in 0..200 {
            let mut vehicles: Vec<Vehicle> = Vec::new();
            for _ in 0..8 {
                seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
                vehicles.push(kinds((seed >> 33) % 27));
            }
            let seen: Vec<&Vehicle> = vehicles.iter().collect();
            let found = surely_apart(&seen);
            assert!(found.iter().all(|a| found.iter().all(|b| a == b || !seen[*a].may_be(seen[*b]))));
            assert_eq!(found.len(), most(&seen), "{vehicles:?}");
            sizes.insert(found.len());
        }
        assert!(sizes.len() > 3, "too much alike: {sizes:?}");
    }
}
