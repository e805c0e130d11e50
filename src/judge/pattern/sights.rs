//! What was seen of a conflict, and the cuts that keep all of it apart: no two contradicting observations stand on one
//! side, and some stand on two. A vehicle of which the deciding fact is not known neither breaks a cut nor counts.
//!
//! How likely a cut is, is `split`'s to say.

use std::collections::{BTreeMap, BTreeSet};

use super::split::{Cell, Cut};
use crate::judge::bucket::{Bucket, Clash};
use crate::judge::conflict::{Conflict, Layout};
use crate::judge::sides::surely_apart;
use crate::vehicle::{Built, ModelYear, Scope, Vehicle, YearMonth, Years};

/// One hand's observation of one vehicle.
struct Sight<'b> {
    vehicle: &'b Vehicle,
    /// The hand, by number.
    hand: u32,
    /// A number into `Bucket::claims`.
    claim: u32,
    /// The sides that it supports.
    sides: BTreeSet<usize>,
}

/// What was seen of a conflict.
pub struct Sights<'b> {
    seen: Vec<Sight<'b>>,
    /// Which of them contradict: pairs of numbers into `seen`.
    pairs: Vec<(usize, usize)>,
}

impl<'b> Sights<'b> {
    /// Each hand, vehicle and claim once.
    #[must_use]
    pub fn new(bucket: &'b Bucket, conflict: &Conflict, layout: &Layout) -> Self {
        let mut of: BTreeMap<(u32, u32, u32), usize> = BTreeMap::new();
        for at in &conflict.entries {
            let entry = &bucket.entries[*at];
            if entry.basis.is_observation() && entry.seen != 0 {
                of.entry((entry.seen, entry.person, entry.claim)).or_insert(*at);
            }
        }
        let sight = |((seen, person, claim), at): ((u32, u32, u32), usize)| {
            let supports = |side: &usize| layout.sides[*side].entries.contains(&at);
            let sides = (0..layout.sides.len()).filter(supports).collect();
            Sight { vehicle: &bucket.seen[seen as usize - 1], hand: person, claim, sides }
        };
        let seen: Vec<Sight<'b>> = of.into_iter().map(sight).collect();
        let pairs = pairs(bucket, conflict, &seen);
        Self { seen, pairs }
    }

    /// All cuts, each with its cells.
    #[must_use]
    pub fn cuts(&self) -> Vec<(Cut, Vec<Cell>)> {
        let mut cuts = self.by_years();
        cuts.extend(self.by_month());
        let names: BTreeSet<&str> = self
            .seen
            .iter()
            .flat_map(|sight| sight.vehicle.attributes().keys().map(String::as_str))
            .collect();
        cuts.extend(names.into_iter().filter_map(|name| self.by_attribute(name)));
        cuts
    }

    /// At one model year; at two where one does not do.
    fn by_years(&self) -> Vec<(Cut, Vec<Cell>)> {
        let years: BTreeSet<ModelYear> = self.seen.iter().filter_map(|sight| sight.vehicle.year()).collect();
        let (Some(first), Some(last)) = (years.first(), years.last()) else { return Vec::new() };
        let starts: Vec<ModelYear> = (first.get() + 1..=last.get()).map(ModelYear::new).collect();
        let one: Vec<Vec<ModelYear>> = starts.iter().map(|start| vec![*start]).collect();
        let found: Vec<_> = one.into_iter().filter_map(|starts| self.at_years(starts)).collect();
        if !found.is_empty() {
            return found;
        }
        let two = starts.iter().enumerate().flat_map(|(at, a)| starts[at + 1..].iter().map(|b| vec![*a, *b]));
        two.filter_map(|starts| self.at_years(starts)).collect()
    }

    fn at_years(&self, starts: Vec<ModelYear>) -> Option<(Cut, Vec<Cell>)> {
        let cell = |sight: &Sight<'_>| {
            sight.vehicle.year().map(|year| starts.iter().filter(|start| **start <= year).count())
        };
        let scope = |at: usize| {
            let from = at.checked_sub(1).map(|before| starts[before]);
            let to = starts.get(at).map(|next| ModelYear::new(next.get() - 1));
            Scope::of_years(Years::new(from, to).unwrap_or_default())
        };
        let cells = self.cells(starts.len() + 1, cell, scope)?;
        Some((Cut::Years(starts), cells))
    }

    /// At a month of manufacture: the first of those seen where the later value begins.
    fn by_month(&self) -> Option<(Cut, Vec<Cell>)> {
        let firsts: BTreeSet<YearMonth> =
            self.seen.iter().filter_map(|sight| sight.vehicle.built().from()).collect();
        firsts.into_iter().skip(1).find_map(|from| {
            let last = before(from)?;
            let (early, late) = (Built::ending(last), Built::starting(from));
            let cell = |sight: &Sight<'_>| {
                let built = sight.vehicle.built();
                [early, late].iter().position(|half: &Built| half.contains(&built))
            };
            let cells = self.cells(2, cell, |at| Scope::of_built([early, late][at]))?;
            Some((Cut::Built(from), cells))
        })
    }

    /// By the values of an attribute: those on which the same side was seen together, or each by itself.
    fn by_attribute(&self, name: &str) -> Option<(Cut, Vec<Cell>)> {
        let value = |sight: &Sight<'b>| sight.vehicle.attributes().get(name).map(String::as_str);
        let mut of_values: BTreeMap<&str, Vec<&Sight<'_>>> = BTreeMap::new();
        for sight in &self.seen {
            if let Some(value) = value(sight) {
                of_values.entry(value).or_default().push(sight);
            }
        }
        let mut groups: BTreeMap<usize, BTreeSet<String>> = BTreeMap::new();
        for (value, seen) in &of_values {
            groups.entry(common_side(seen)).or_default().insert((*value).to_owned());
        }
        let single = of_values.keys().map(|value| BTreeSet::from([(*value).to_owned()])).collect();
        self.at_values(name, groups.into_values().collect()).or_else(|| self.at_values(name, single))
    }

    fn at_values(&self, name: &str, groups: Vec<BTreeSet<String>>) -> Option<(Cut, Vec<Cell>)> {
        let value = |sight: &Sight<'b>| sight.vehicle.attributes().get(name).map(String::as_str);
        let cell = |sight: &Sight<'b>| {
            let value = value(sight)?;
            groups.iter().position(|group| group.contains(value))
        };
        let scope = |at: usize| Scope::of_values(name, groups[at].iter().map(String::as_str));
        let cells = self.cells(groups.len(), cell, scope)?;
        Some((Cut::Attribute(name.to_owned(), groups), cells))
    }

    /// How many observations these are: one hand on one vehicle is one, however it described the vehicle.
    fn observations(&self, inside: &[&Sight<'b>]) -> usize {
        let mut of_hands: BTreeMap<u32, BTreeSet<&Vehicle>> = BTreeMap::new();
        for sight in inside {
            of_hands.entry(sight.hand).or_default().insert(sight.vehicle);
        }
        let apart = |seen: BTreeSet<&Vehicle>| surely_apart(&seen.into_iter().collect::<Vec<_>>()).len();
        of_hands.into_values().map(apart).sum()
    }

    /// The cells of a cut that keeps all contradicting observations apart, as far as it is known where they stand;
    /// nothing where one pair breaks it, where it keeps none apart, or where nothing was seen in some cell.
    fn cells(
        &self,
        count: usize,
        cell: impl Fn(&Sight<'b>) -> Option<usize>,
        scope: impl Fn(usize) -> Scope,
    ) -> Option<Vec<Cell>> {
        let places: Vec<Option<usize>> = self.seen.iter().map(cell).collect();
        let known = || self.pairs.iter().filter_map(|(a, b)| Some((places[*a]?, places[*b]?)));
        if known().next().is_none() || known().any(|(a, b)| a == b) {
            return None;
        }
        (0..count)
            .map(|at| {
                let inside = self.seen.iter().zip(&places).filter(|(_, place)| **place == Some(at));
                let inside: Vec<&Sight<'_>> = inside.map(|(sight, _)| sight).collect();
                let seen = self.observations(&inside);
                (seen > 0).then(|| Cell { scope: scope(at), side: common_side(&inside), seen })
            })
            .collect()
    }
}

/// The pairs that contradict: certainly, or possibly where the conflict is only possible.
fn pairs(bucket: &Bucket, conflict: &Conflict, seen: &[Sight<'_>]) -> Vec<(usize, usize)> {
    let known = bucket.live_claims();
    let wanted = if conflict.certain { Clash::Certain } else { Clash::Possible };
    let mut clashes: BTreeMap<(u32, u32), bool> = BTreeMap::new();
    let mut clash = |a: u32, b: u32| {
        *clashes.entry((a.min(b), a.max(b))).or_insert_with(|| {
            bucket.clash(&bucket.claims[a as usize], &bucket.claims[b as usize], &known) == wanted
        })
    };
    let mut pairs = Vec::new();
    for (at, a) in seen.iter().enumerate() {
        for (more, b) in seen[at + 1..].iter().enumerate() {
            if clash(a.claim, b.claim) {
                pairs.push((at, at + 1 + more));
            }
        }
    }
    pairs
}

/// The side that most of these observations support; of several the one that is listed first.
fn common_side(seen: &[&Sight<'_>]) -> usize {
    let mut counts: BTreeMap<usize, usize> = BTreeMap::new();
    seen.iter().flat_map(|sight| &sight.sides).for_each(|side| *counts.entry(*side).or_default() += 1);
    counts
        .into_iter()
        .max_by_key(|(side, count)| (*count, std::cmp::Reverse(*side)))
        .map_or(0, |(side, _)| side)
}

/// The month before.
fn before(month: YearMonth) -> Option<YearMonth> {
    match month.month() {
        1 => YearMonth::new(month.year() - 1, 12),
        later => YearMonth::new(month.year(), later - 1),
    }
}
