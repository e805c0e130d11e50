//! Split suggestions: the cuts that keep apart all that was seen to differ in a conflict, each with its chance, and
//! what explains the conflict best.
//!
//! A cut is by model year, by month of manufacture, or by the values of one attribute. A seen vehicle of which the
//! deciding fact is not known neither breaks a cut nor counts for it. How a suggestion is accepted is a decision's.

use std::collections::{BTreeMap, BTreeSet};

use super::division::By;
use super::evidence::Evidence;
use super::timeline::Timeline;
use super::weigh::{Pattern, Weighed, weigh};
use super::{Chance, Outlook, division};
use crate::judge::answer::every_answer;
use crate::judge::bucket::Bucket;
use crate::judge::conflict::{Conflict, Layout};
use crate::value::colour::{Colour, commonly_confused};
use crate::vehicle::{Built, ModelYear, Scope, Span, Vehicle, YearMonth, Years};

/// What is made of a conflict.
#[derive(Debug, Clone, PartialEq)]
pub struct Reckoning {
    /// The cuts that keep its sides apart, the likeliest first.
    pub splits: Vec<Split>,
    /// What explains it, the likeliest first.
    pub explanations: Vec<(Explanation, Chance)>,
    /// Whether two of its colours are commonly taken for each other.
    pub confused: bool,
}

/// What may explain a conflict.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Explanation {
    /// Vehicles that notes do not tell apart differ, by an attribute or a build date.
    Difference,
    /// The value changes at a model year, and notes claim years beyond it.
    OverClaim,
    /// A colour was taken for one that looks like it; all vehicles are the same.
    Misread,
    /// Some note is wrong; all vehicles are the same.
    Mistake,
}

/// One cut.
#[derive(Debug, Clone, PartialEq)]
pub struct Split {
    /// Where it cuts.
    pub cut: Cut,
    /// The vehicles on each side of it.
    pub cells: Vec<Cell>,
    /// The chance that it is the true reason.
    pub chance: Chance,
    /// Whether fewer than two vehicles were seen in some cell.
    pub guess: bool,
}

/// Where a cut is.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cut {
    /// The first model years of the later cells.
    Years(Vec<ModelYear>),
    /// The first month of the later cell.
    Built(YearMonth),
    /// The values of an attribute in each cell.
    Attribute(String, Vec<BTreeSet<String>>),
}

/// The vehicles on one side of a cut.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cell {
    /// Which they are.
    pub scope: Scope,
    /// What was seen on them: a number into `Layout::sides`.
    pub side: usize,
    /// How many observations.
    pub seen: usize,
}

/// The most cuts that are suggested.
const MOST_SPLITS: usize = 12;

/// What is to be made of a conflict of a bucket.
#[must_use]
pub fn reckon(bucket: &Bucket, conflict: &Conflict, layout: &Layout, outlook: &Outlook<'_>) -> Reckoning {
    let (doubt, facelift) = (outlook.doubt, &outlook.facelift);
    let asked = Vehicle::default();
    let candidates = every_answer(bucket, bucket.several.then_some(conflict.entries.as_slice()));
    let evidence = Evidence::gather(bucket, &candidates, &asked, doubt);
    let confused = confused(layout);
    if evidence.rows.is_empty() {
        return Reckoning { splits: Vec::new(), explanations: Vec::new(), confused };
    }
    let divisions = division::all(bucket, &evidence, &asked, doubt);
    let timeline = Timeline::new(bucket, &evidence, None, facelift, doubt);
    let weighed = weigh(&evidence, &timeline, &divisions, doubt);
    let likely = Likely { weighed: &weighed, divisions: &divisions, timeline: &timeline };
    let sights = Sights::new(bucket, conflict, layout);
    let mut splits = sights.by_years(&likely);
    splits.extend(sights.by_months(&likely));
    splits.extend(sights.by_attributes(&likely));
    splits.sort_by(|a, b| b.chance.share().total_cmp(&a.chance.share()).then_with(|| a.cut.cmp(&b.cut)));
    splits.truncate(MOST_SPLITS);
    Reckoning { splits, explanations: likely.explanations(confused), confused }
}

/// Whether two sides differ in nothing but colours that are taken for each other.
fn confused(layout: &Layout) -> bool {
    if layout.fields != ["colour"] {
        return false;
    }
    let colours: Vec<Colour> = layout
        .sides
        .iter()
        .flat_map(|side| &side.values)
        .filter(|(field, _)| field == "colour")
        .filter_map(|(_, text)| Colour::parse(text).ok())
        .collect();
    colours.iter().enumerate().any(|(at, a)| colours[at + 1..].iter().any(|b| commonly_confused(a, b)))
}

/// The weighed patterns, asked for the chances of cuts.
struct Likely<'a> {
    weighed: &'a [Weighed],
    divisions: &'a [division::Division],
    timeline: &'a Timeline,
}

impl Likely<'_> {
    fn of(&self, wanted: impl Fn(Pattern) -> bool) -> f64 {
        self.weighed.iter().filter(|found| wanted(found.pattern)).map(|found| found.chance).sum()
    }

    fn years(&self, starts: &[ModelYear]) -> Chance {
        let gaps: Vec<Option<(usize, f64)>> =
            starts.iter().map(|start| self.timeline.gap_of(*start)).collect();
        Chance::new(match gaps.as_slice() {
            [Some((gap, share))] => share * self.of(|pattern| pattern == Pattern::Year(*gap)),
            [Some((a, first)), Some((b, second))] => {
                first * second * self.of(|pattern| pattern == Pattern::Years(*a, *b))
            }
            _ => 0.0,
        })
    }

    fn built(&self, from: YearMonth) -> Chance {
        let is = |at: usize| self.divisions[at].by == By::Built(from);
        Chance::new(self.of(|pattern| matches!(pattern, Pattern::Divided(at) if is(at))))
    }

    /// A cut in two is one division; one in more stands for all divisions of its attribute.
    fn attribute(&self, name: &str, groups: &[BTreeSet<String>]) -> Chance {
        let is = |at: usize| match &self.divisions[at].by {
            By::Attribute(own, group) => {
                own == name && (groups.len() > 2 || groups.iter().any(|other| other == group))
            }
            By::Built(_) => false,
        };
        Chance::new(self.of(|pattern| matches!(pattern, Pattern::Divided(at) if is(at))))
    }

    fn explanations(&self, confused: bool) -> Vec<(Explanation, Chance)> {
        let kind = |pattern: Pattern| match pattern {
            Pattern::Same if confused => Explanation::Misread,
            Pattern::Same => Explanation::Mistake,
            Pattern::Year(_) | Pattern::Years(..) => Explanation::OverClaim,
            Pattern::Divided(_) | Pattern::YearDivided(..) => Explanation::Difference,
        };
        let mut chances: BTreeMap<Explanation, f64> = BTreeMap::new();
        for found in self.weighed {
            *chances.entry(kind(found.pattern)).or_default() += found.chance;
        }
        let mut chances: Vec<_> =
            chances.into_iter().map(|(kind, chance)| (kind, Chance::new(chance))).collect();
        chances.sort_by(|a, b| b.1.share().total_cmp(&a.1.share()));
        chances
    }
}

/// One observation of a conflict: the vehicle, and the one side that it supports.
struct Sight<'b> {
    vehicle: &'b Vehicle,
    side: usize,
}

/// What was seen of a conflict.
struct Sights<'b>(Vec<Sight<'b>>);

impl<'b> Sights<'b> {
    /// Each hand and vehicle once, where what it saw supports one side only.
    fn new(bucket: &'b Bucket, conflict: &Conflict, layout: &Layout) -> Self {
        let mut seen: BTreeSet<(u32, u32, usize)> = BTreeSet::new();
        for at in &conflict.entries {
            let entry = &bucket.entries[*at];
            if !entry.basis.is_observation() || entry.seen == 0 {
                continue;
            }
            let mut sides = (0..layout.sides.len()).filter(|side| layout.sides[*side].entries.contains(at));
            if let (Some(side), None) = (sides.next(), sides.next()) {
                seen.insert((entry.seen - 1, entry.person, side));
            }
        }
        let sight = |(seen, _, side): (u32, u32, usize)| Sight { vehicle: &bucket.seen[seen as usize], side };
        Self(seen.into_iter().map(sight).collect())
    }

    /// Cuts at one model year; at two where one does not do.
    fn by_years(&self, likely: &Likely<'_>) -> Vec<Split> {
        let mut by_year: BTreeMap<ModelYear, BTreeMap<usize, usize>> = BTreeMap::new();
        for sight in &self.0 {
            if let Some(year) = sight.vehicle.year() {
                *by_year.entry(year).or_default().entry(sight.side).or_default() += 1;
            }
        }
        let Some(runs) = runs(by_year) else { return Vec::new() };
        let starts: Vec<Vec<ModelYear>> = match runs.len() {
            2 => runs[1].starts().map(|start| vec![start]).collect(),
            3 => runs[1].starts().flat_map(|a| runs[2].starts().map(move |b| vec![a, b])).collect(),
            _ => return Vec::new(),
        };
        starts
            .into_iter()
            .map(|starts| {
                let cells = cells_of_years(&runs, &starts);
                split(likely.years(&starts), Cut::Years(starts), cells)
            })
            .collect()
    }

    /// A cut at a month: where the later value was first seen.
    fn by_months(&self, likely: &Likely<'_>) -> Vec<Split> {
        let mut by_month: BTreeMap<(YearMonth, YearMonth), BTreeMap<usize, usize>> = BTreeMap::new();
        for sight in &self.0 {
            let built = sight.vehicle.built();
            if let (Some(from), Some(to)) = (built.from(), built.to()) {
                *by_month.entry((from, to)).or_default().entry(sight.side).or_default() += 1;
            }
        }
        let Some(runs) = runs(by_month) else { return Vec::new() };
        let [before, after] = runs.as_slice() else { return Vec::new() };
        let from = after.first.0;
        if before.all.iter().any(|(_, to)| *to >= from) {
            return Vec::new();
        }
        let last =
            YearMonth::new(from.year(), from.month().wrapping_sub(1)).or(YearMonth::new(from.year() - 1, 12));
        let Some(last) = last else { return Vec::new() };
        let cell =
            |built: Built, side: usize, seen: usize| Cell { scope: Scope::of_built(built), side, seen };
        let cells = vec![
            cell(Span::ending(last), before.side, before.count),
            cell(Span::starting(from), after.side, after.count),
        ];
        vec![split(likely.built(from), Cut::Built(from), cells)]
    }

    /// Cuts by each attribute of which no value was seen on two sides.
    fn by_attributes(&self, likely: &Likely<'_>) -> Vec<Split> {
        let names: BTreeSet<&str> =
            self.0.iter().flat_map(|sight| sight.vehicle.attributes().keys().map(String::as_str)).collect();
        names.into_iter().filter_map(|name| self.by_attribute(name, likely)).collect()
    }

    fn by_attribute(&self, name: &str, likely: &Likely<'_>) -> Option<Split> {
        let mut sides: BTreeMap<usize, (BTreeSet<String>, usize)> = BTreeMap::new();
        for sight in &self.0 {
            if let Some(value) = sight.vehicle.attributes().get(name) {
                let side = sides.entry(sight.side).or_default();
                side.0.insert(value.clone());
                side.1 += 1;
            }
        }
        let all: usize = sides.values().map(|(values, _)| values.len()).sum();
        let distinct: BTreeSet<&String> = sides.values().flat_map(|(values, _)| values).collect();
        if sides.len() < self.sides() || sides.len() < 2 || all != distinct.len() {
            return None;
        }
        let cells = sides.iter().map(|(side, (values, seen))| {
            let scope = Scope::of_values(name, values.iter().map(String::as_str));
            Cell { scope, side: *side, seen: *seen }
        });
        let cells = cells.collect();
        let groups: Vec<BTreeSet<String>> = sides.into_values().map(|(values, _)| values).collect();
        let chance = likely.attribute(name, &groups);
        Some(split(chance, Cut::Attribute(name.to_owned(), groups), cells))
    }

    /// On how many sides something was seen.
    fn sides(&self) -> usize {
        self.0.iter().map(|sight| sight.side).collect::<BTreeSet<_>>().len()
    }
}

fn split(chance: Chance, cut: Cut, cells: Vec<Cell>) -> Split {
    let guess = cells.iter().any(|cell| cell.seen < 2);
    Split { cut, cells, chance, guess }
}

/// A stretch of what is in order, all of one side.
struct Run<T> {
    side: usize,
    count: usize,
    first: T,
    /// The last one of the run before.
    earlier: Option<T>,
    all: Vec<T>,
}

impl Run<ModelYear> {
    /// The years at which it may begin.
    fn starts(&self) -> impl Iterator<Item = ModelYear> + use<> {
        let after = self.earlier.map_or(self.first.get(), |year| year.get() + 1);
        (after..=self.first.get()).map(ModelYear::new)
    }
}

/// The runs of what was seen in order; nothing where two sides were seen at one place.
fn runs<T: Copy + Ord>(seen: BTreeMap<T, BTreeMap<usize, usize>>) -> Option<Vec<Run<T>>> {
    let mut runs: Vec<Run<T>> = Vec::new();
    for (at, sides) in seen {
        let mut sides = sides.into_iter();
        let (side, count) = sides.next()?;
        if sides.next().is_some() {
            return None;
        }
        match runs.last_mut() {
            Some(run) if run.side == side => {
                run.count += count;
                run.all.push(at);
            }
            last => {
                let earlier = last.and_then(|run| run.all.last().copied());
                runs.push(Run { side, count, first: at, earlier, all: vec![at] });
            }
        }
    }
    Some(runs)
}

fn cells_of_years(runs: &[Run<ModelYear>], starts: &[ModelYear]) -> Vec<Cell> {
    let cell = |(at, run): (usize, &Run<ModelYear>)| {
        let from = at.checked_sub(1).map(|before| starts[before]);
        let to = starts.get(at).map(|next| ModelYear::new(next.get() - 1));
        let years = Years::new(from, to).unwrap_or_default();
        Cell { scope: Scope::of_years(years), side: run.side, seen: run.count }
    };
    runs.iter().enumerate().map(cell).collect()
}
