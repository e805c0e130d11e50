//! Split suggestions: the cuts that keep apart all that was seen to differ in a conflict, each with its chance, and
//! what explains the conflict best.
//!
//! A cut is by model year, by month of manufacture, or by the values of one attribute. A seen vehicle of which the
//! deciding fact is not known neither breaks a cut nor counts for it. How a suggestion is accepted is a decision's.

use std::collections::{BTreeMap, BTreeSet};

use super::division::By;
use super::evidence::Evidence;
use super::sights::Sights;
use super::timeline::Timeline;
use super::weigh::{Pattern, Weighed, weigh};
use super::{Chance, Outlook, division};
use crate::judge::answer::every_answer;
use crate::judge::bucket::Bucket;
use crate::judge::conflict::{Conflict, Layout, Side};
use crate::value::colour::{Colour, commonly_confused};
use crate::vehicle::{ModelYear, Scope, Vehicle, YearMonth, Years};

/// What is made of a conflict.
#[derive(Debug, Clone, PartialEq)]
pub struct Reckoning {
    /// The cuts that keep its sides apart, the likeliest first.
    pub splits: Vec<Split>,
    /// What explains it, the likeliest first.
    pub explanations: Vec<(Explanation, Chance)>,
    /// The sides that differ in nothing but colours that are commonly taken for each other: pairs of numbers into
    /// `Layout::sides`.
    pub confused: Vec<(usize, usize)>,
}

/// What may explain a conflict.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Explanation {
    /// Vehicles that notes do not tell apart differ, by an attribute or a build date.
    Difference,
    /// The value changes at a model year, and notes claim years beyond it.
    OverClaim,
    /// The value changes at a model year, beyond which no note claims anything.
    Change,
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
    /// The chance that it is among the true reasons.
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
pub fn reckon(bucket: &Bucket, conflict: &Conflict, layout: &Layout, outlook: &Outlook) -> Reckoning {
    let (doubt, facelift) = (&outlook.doubt, &outlook.facelift);
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
    let cuts = Sights::new(bucket, conflict, layout).cuts();
    let mut splits: Vec<Split> = cuts
        .into_iter()
        .map(|(cut, cells)| {
            let guess = cells.iter().any(|cell| cell.seen < 2);
            Split { chance: likely.of_cut(&cut), guess, cells, cut }
        })
        .collect();
    splits.sort_by(|a, b| (a.chance.rank(), &a.cut).cmp(&(b.chance.rank(), &b.cut)));
    splits.truncate(MOST_SPLITS);
    // One misreading makes two colours of one; of three sides it explains no more than a part.
    let misread = layout.sides.len() == 2 && !confused.is_empty();
    let years = conflict.entries.iter().map(|at| bucket.scope(&bucket.entries[*at]).years());
    let explanations = likely.explanations(misread, &Vec::from_iter(years));
    Reckoning { splits, explanations, confused }
}

/// The sides that were seen and differ in nothing but colours that are taken for each other.
fn confused(layout: &Layout) -> Vec<(usize, usize)> {
    if layout.fields != ["colour"] {
        return Vec::new();
    }
    let colour = |(at, side): (usize, &Side)| {
        let (_, text) = side.values.iter().find(|(field, _)| field == "colour")?;
        Some((at, Colour::parse(text).ok()?))
    };
    let seen = layout.sides.iter().enumerate().filter(|(_, side)| side.observations > 0);
    let colours: Vec<(usize, Colour)> = seen.filter_map(colour).collect();
    let mut pairs = Vec::new();
    for (number, (a, first)) in colours.iter().enumerate() {
        let alike = colours[number + 1..].iter().filter(|(_, second)| commonly_confused(first, second));
        pairs.extend(alike.map(|(b, _)| (*a, *b)));
    }
    pairs
}

/// Whether a pattern has a change in this gap.
fn changes_at(pattern: Pattern, gap: usize) -> bool {
    match pattern {
        Pattern::Year(at) | Pattern::YearDivided(at, _) => at == gap,
        Pattern::Years(first, second) | Pattern::YearsDivided(first, second, _) => {
            first == gap || second == gap
        }
        Pattern::Same | Pattern::Divided(_) => false,
    }
}

/// The weighed patterns, asked for the chances of cuts.
struct Likely<'a> {
    weighed: &'a [Weighed],
    divisions: &'a [division::Division],
    timeline: &'a Timeline,
}

impl Likely<'_> {
    fn of_cut(&self, cut: &Cut) -> Chance {
        match cut {
            Cut::Years(starts) => self.years(starts),
            Cut::Built(from) => self.built(*from),
            Cut::Attribute(name, groups) => self.attribute(name, groups),
        }
    }

    fn of(&self, wanted: impl Fn(Pattern) -> bool) -> f64 {
        self.weighed.iter().filter(|found| wanted(found.pattern)).map(|found| found.chance).sum()
    }

    fn years(&self, starts: &[ModelYear]) -> Chance {
        let gaps: Vec<Option<(usize, f64)>> =
            starts.iter().map(|start| self.timeline.gap_of(*start)).collect();
        Chance::new(match gaps.as_slice() {
            [Some((gap, share))] => share * self.of(|pattern| changes_at(pattern, *gap)),
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
        Chance::new(
            self.of(
                |pattern| matches!(pattern, Pattern::Divided(at) | Pattern::YearDivided(_, at) | Pattern::YearsDivided(.., at) if is(at)),
            ),
        )
    }

    /// Whether notes that hold for these years claim some beyond the likeliest change.
    fn is_over_claimed(&self, claimed: &[Years]) -> bool {
        let chance = |gap: &usize| Chance::new(self.of(|pattern| changes_at(pattern, *gap)));
        let likeliest = (1..self.timeline.len()).min_by_key(|gap| chance(gap).rank());
        let Some(gap) = likeliest else { return false };
        let spans = |years: &Years| {
            let mut starts = self.timeline.starts(gap).map(|(start, _)| start.get());
            starts.any(|start| [start - 1, start].iter().all(|year| years.holds(ModelYear::new(*year))))
        };
        claimed.iter().any(spans)
    }

    fn explanations(&self, misread: bool, claimed: &[Years]) -> Vec<(Explanation, Chance)> {
        let over_claimed = self.is_over_claimed(claimed);
        let kind = |pattern: Pattern| match pattern {
            Pattern::Same if misread => Explanation::Misread,
            Pattern::Same => Explanation::Mistake,
            Pattern::Year(_) | Pattern::Years(..) if over_claimed => Explanation::OverClaim,
            Pattern::Year(_) | Pattern::Years(..) => Explanation::Change,
            Pattern::Divided(_) | Pattern::YearDivided(..) | Pattern::YearsDivided(..) => {
                Explanation::Difference
            }
        };
        let mut chances: BTreeMap<Explanation, f64> = BTreeMap::new();
        for found in self.weighed {
            *chances.entry(kind(found.pattern)).or_default() += found.chance;
        }
        let mut chances: Vec<_> =
            chances.into_iter().map(|(kind, chance)| (kind, Chance::new(chance))).collect();
        chances.sort_by_key(|(_, chance)| chance.rank());
        chances
    }
}
