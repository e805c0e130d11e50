//! Weighing: how likely each simple pattern is, given what was seen, and what then holds for the asked vehicle.
//!
//! For every pattern the vehicles fall into cells, each with one true value. A pattern's weight is its chance before
//! anything was seen, times how likely what was seen is, summed over all values that its cells may have.

use super::division::{By, Division};
use super::doubt::Doubt;
use super::evidence::{Each, Evidence, Row, SLOTS};
use super::pile::{Pairs, Pile, TwoPiles};
use super::shelf::{Shelf, Together};
use super::timeline::Timeline;

/// What could be true of one point of a model.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pattern {
    /// The same on every vehicle.
    Same,
    /// Another value after a gap of the timeline.
    Year(usize),
    /// And another again after a later gap.
    Years(usize, usize),
    /// Two kinds of vehicles: a number into the divisions.
    Divided(usize),
    /// Two kinds of vehicles, and a change at a gap for one of them or both: a gap, and a number into the divisions.
    YearDivided(usize, usize),
    /// The same with changes at two gaps.
    YearsDivided(usize, usize, usize),
}

/// A pattern with its weight.
#[derive(Debug, Clone)]
pub struct Weighed {
    /// The pattern.
    pub pattern: Pattern,
    /// Its chance; before all are known, the logarithm of its weight.
    pub chance: f64,
    /// What holds for the asked vehicle if it is true.
    pub asked: Each,
}

/// Weighs all patterns.
#[must_use]
pub fn weigh(
    evidence: &Evidence,
    timeline: &Timeline,
    divisions: &[Division],
    doubt: &Doubt,
) -> Vec<Weighed> {
    let mut scales = Scales { evidence, timeline, doubt, slots: evidence.slots(), found: Vec::new() };
    scales.undivided(divisions);
    for (number, division) in divisions.iter().enumerate() {
        scales.divided(number, division);
    }
    let mut found = scales.found;
    let most = found.iter().map(|found| found.chance).fold(f64::NEG_INFINITY, f64::max);
    found.iter_mut().for_each(|found| found.chance = (found.chance - most).exp());
    let whole: f64 = found.iter().map(|found| found.chance).sum();
    found.iter_mut().for_each(|found| found.chance /= whole);
    found
}

struct Scales<'a> {
    evidence: &'a Evidence,
    timeline: &'a Timeline,
    doubt: &'a Doubt,
    slots: usize,
    found: Vec<Weighed>,
}

impl Scales<'_> {
    /// Keeps a pattern: its weight is the sum of `asked`, the values of the asked vehicle, times its prior chance.
    fn keep(&mut self, pattern: Pattern, prior: f64, ln: f64, asked: Each) {
        let whole: f64 = asked[..self.slots].iter().sum();
        if prior > 0.0 && whole > 0.0 {
            let asked = asked.map(|chance| chance / whole);
            self.found.push(Weighed { pattern, chance: (prior * whole).ln() + ln, asked });
        }
    }

    /// Whether two cells that differ may both have this value: only where it stands for something else.
    fn may_repeat(&self, value: usize) -> bool {
        value + 1 == self.slots
    }

    /// The patterns without division: the same, a year, two years.
    fn undivided(&mut self, divisions: &[Division]) {
        let shelf = self.shelf(Pile::EMPTY, |pile: &mut Pile, row, _, blurred| pile.add(row, blurred));
        let inside = self.timeline.inside();
        let outside = 1.0 - inside;
        let patterns = self.doubt.patterns.clone();
        let unseen: f64 = 1.0 - divisions.iter().map(|division| division.share).sum::<f64>().min(1.0);
        let rest = (patterns.attribute + patterns.built + patterns.year_and_attribute) * unseen;
        let same = patterns.none
            + patterns.year * outside
            + patterns.two_years * outside * outside
            + patterns.year_and_attribute * outside * 0.5
            + rest;
        let all = shelf.all();
        let asked = self.times_prior(&all.each);
        let ln = all.ln;
        self.keep(Pattern::Same, same, ln, asked);
        for gap in 1..self.timeline.len() {
            let weight = self.timeline.weight(gap);
            let prior = patterns.year * weight + 2.0 * patterns.two_years * weight * outside;
            self.year(gap, prior, &shelf);
            self.two_years(gap, 2.0 * patterns.two_years * weight, &shelf);
        }
    }

    fn times_prior(&self, each: &Each) -> Each {
        let mut whole = [0.0; SLOTS];
        for value in 0..self.slots {
            whole[value] = each[value] * self.evidence.prior[value];
        }
        whole
    }

    /// For each value of one cell, the sum over all values of another that differ.
    fn others(&self, weighted: &Each) -> Each {
        let all: f64 = weighted[..self.slots].iter().sum();
        let mut others = [0.0; SLOTS];
        for value in 0..self.slots {
            let own = if self.may_repeat(value) { 0.0 } else { weighted[value] };
            others[value] = (all - own).max(0.0);
        }
        others
    }

    /// The chance that two cells differ when each is drawn by itself.
    fn apart(&self) -> f64 {
        1.0 - self.evidence.prior[..self.slots - 1].iter().map(|chance| chance * chance).sum::<f64>()
    }

    fn year(&mut self, gap: usize, prior: f64, shelf: &Shelf<Pile>) {
        let (before, after) = (shelf.until(gap), shelf.from(gap));
        let ln = before.ln + after.ln;
        let (before, after) = (self.times_prior(&before.each), self.times_prior(&after.each));
        let (with_before, with_after) = (self.others(&before), self.others(&after));
        let share = self.timeline.asked_before(gap);
        let mut asked = [0.0; SLOTS];
        for value in 0..self.slots {
            asked[value] =
                share * before[value] * with_after[value] + (1.0 - share) * after[value] * with_before[value];
        }
        self.keep(Pattern::Year(gap), prior / self.apart(), ln, asked);
    }

    /// A change at `gap` and another at each later gap.
    fn two_years(&mut self, gap: usize, prior: f64, shelf: &Shelf<Pile>) {
        let before = shelf.until(gap);
        let mut middle = Pile::EMPTY;
        for later in gap + 1..self.timeline.len() {
            let last = shelf.at_edge(later - 1);
            let between = middle.and(last);
            middle = middle.and(if later - 1 == gap { last } else { shelf.plain(later - 1) });
            let after = shelf.from(later);
            let ln = before.ln + between.ln + after.ln;
            let cells = [before, &between, after].map(|pile| self.times_prior(&pile.each));
            let asked = self.three_cells(&cells, gap, later);
            let prior = prior * self.timeline.weight(later) / (self.apart() * self.apart());
            self.keep(Pattern::Years(gap, later), prior, ln, asked);
        }
    }

    fn three_cells(&self, [first, second, third]: &[Each; 3], gap: usize, later: usize) -> Each {
        let (until, beyond) = (self.others(first), self.others(third));
        let mut with_first = [0.0; SLOTS];
        let mut with_third = [0.0; SLOTS];
        for value in 0..self.slots {
            with_third[value] = second[value] * beyond[value];
            with_first[value] = second[value] * until[value];
        }
        let (of_first, of_third) = (self.others(&with_third), self.others(&with_first));
        let (early, late) = (self.timeline.asked_before(gap), 1.0 - self.timeline.asked_before(later));
        let mut asked = [0.0; SLOTS];
        for value in 0..self.slots {
            asked[value] = early * first[value] * of_first[value]
                + late * third[value] * of_third[value]
                + (1.0 - early - late) * second[value] * until[value] * beyond[value];
        }
        asked
    }

    /// The patterns with one division: by itself, and beside a year.
    fn divided(&mut self, number: usize, division: &Division) {
        let patterns = &self.doubt.patterns;
        let outside = 1.0 - self.timeline.inside();
        let (alone, beside) = match division.by {
            By::Built(_) => (patterns.built, 0.0),
            By::Attribute(..) => (
                patterns.attribute + patterns.year_and_attribute * outside * 0.5,
                patterns.year_and_attribute,
            ),
        };
        if beside == 0.0 || self.evidence.is_unanimous() {
            // Where nothing differs, a year beside the division explains no more than the division alone.
            let mut all = TwoPiles::EMPTY;
            let rows = self.evidence.rows.iter().zip(&division.rows);
            rows.for_each(|(row, first)| all.add(row, *first, false));
            let prior = alone + beside * (1.0 - outside);
            return self.divided_alone(number, division, prior, &all);
        }
        let shelf = self.shelf(TwoPiles::EMPTY, |piles: &mut TwoPiles, row, number, blurred| {
            piles.add(row, division.rows[number], blurred);
        });
        self.divided_alone(number, division, alone, shelf.all());
        for gap in 1..self.timeline.len() {
            let prior = beside * division.share * self.timeline.weight(gap) / 3.0;
            let (before, after) = (shelf.until(gap), shelf.from(gap));
            let ln = before.ln + after.ln;
            let (before, after) = (before.pairs(), after.pairs());
            let early = self.timeline.asked_before(gap);
            let one = self.changing(&before, &after, early, division.asked);
            let other = self.changing(&turned(&before), &turned(&after), early, 1.0 - division.asked);
            self.keep(Pattern::YearDivided(gap, number), prior, ln, one);
            self.keep(Pattern::YearDivided(gap, number), prior, ln, other);
            let cells = [(&before, early), (&after, 1.0 - early)];
            let both = self.cells_divided(&cells, division.asked);
            self.keep(Pattern::YearDivided(gap, number), prior, ln, both);
            if division.named {
                self.two_years_divided(gap, number, division, &shelf);
            }
        }
    }

    fn divided_alone(&mut self, number: usize, division: &Division, prior: f64, all: &TwoPiles) {
        let asked = self.pair(&all.pairs(), division.asked);
        self.keep(Pattern::Divided(number), prior * division.share / self.apart(), all.ln, asked);
    }

    /// Two kinds with two values.
    fn pair(&self, pairs: &Pairs, first: f64) -> Each {
        let prior = &self.evidence.prior;
        let mut asked = [0.0; SLOTS];
        for a in 0..self.slots {
            for b in (0..self.slots).filter(|b| a != *b || self.may_repeat(a)) {
                let chance = prior[a] * prior[b] * pairs[a][b];
                asked[a] += first * chance;
                asked[b] += (1.0 - first) * chance;
            }
        }
        asked
    }

    /// Before the gap each kind has its value, which may be one; after it the first kind has another. Where they
    /// differed before, they are as likely one afterwards as not.
    fn changing(&self, before: &Pairs, after: &Pairs, early: f64, first: f64) -> Each {
        let (slots, prior) = (self.slots, &self.evidence.prior);
        let apart = self.apart();
        let (mut was, mut becomes, mut stays) = ([0.0; SLOTS], [0.0; SLOTS], [0.0; SLOTS]);
        for b in 0..slots {
            let drawn: Each = std::array::from_fn(|a| prior[a] * after[a][b]);
            let all: f64 = drawn[..slots].iter().sum();
            let (mut shares, mut joined) = ([0.0; SLOTS], 0.0);
            for a in 0..slots {
                let one = a == b && !self.may_repeat(a);
                let chance = if one { prior[a] } else { prior[a] * prior[b] / apart } * 0.5 * before[a][b];
                let join = if one { 0.0 } else { 0.5 };
                let own = if self.may_repeat(a) { 0.0 } else { prior[a] };
                shares[a] = chance * (1.0 - join) / (1.0 - own);
                joined += chance * join;
                let excluded = if self.may_repeat(a) { 0.0 } else { drawn[a] };
                let whole = chance * join * after[b][b] + shares[a] * (all - excluded).max(0.0);
                was[a] += whole;
                stays[b] += whole;
            }
            let whole: f64 = shares[..slots].iter().sum();
            for a in 0..slots {
                let own = if self.may_repeat(a) { 0.0 } else { shares[a] };
                becomes[a] += drawn[a] * (whole - own).max(0.0);
            }
            becomes[b] += joined * after[b][b];
        }
        let mut asked = [0.0; SLOTS];
        for value in 0..slots {
            asked[value] =
                first * (early * was[value] + (1.0 - early) * becomes[value]) + (1.0 - first) * stays[value];
        }
        asked
    }

    /// Cells of years with the chance that the asked vehicle is of them, each drawn by itself: in one at least the two
    /// kinds differ.
    fn cells_divided(&self, cells: &[(&Pairs, f64)], first: f64) -> Each {
        let sum = |each: &Each| each[..self.slots].iter().sum::<f64>();
        let drawn: Vec<(Each, Each)> = cells.iter().map(|(pairs, _)| self.alike(pairs, first)).collect();
        let ones: Vec<f64> = drawn.iter().map(|(one, _)| sum(one)).collect();
        let all: Vec<f64> = drawn.iter().zip(&ones).map(|((_, other), one)| one + sum(other)).collect();
        let others = |wholes: &[f64], own: usize| -> f64 {
            wholes.iter().enumerate().filter(|(at, _)| *at != own).map(|(_, whole)| whole).product()
        };
        let mut asked = [0.0; SLOTS];
        for (at, ((one, differing), (_, chance))) in drawn.iter().zip(cells).enumerate() {
            let (rest, rest_alike) = (others(&all, at), others(&ones, at));
            for value in 0..self.slots {
                let whole = (one[value] + differing[value]) * rest - one[value] * rest_alike;
                asked[value] += chance * whole.max(0.0);
            }
        }
        asked
    }

    /// Changes at a gap and at each later one, and two kinds that differ somewhere.
    fn two_years_divided(&mut self, gap: usize, number: usize, division: &Division, shelf: &Shelf<TwoPiles>) {
        let patterns = &self.doubt.patterns;
        let prior =
            2.0 * patterns.two_years * patterns.attribute * division.share * self.timeline.weight(gap);
        let before = shelf.until(gap);
        let early = self.timeline.asked_before(gap);
        let mut middle = TwoPiles::EMPTY;
        for later in gap + 1..self.timeline.len() {
            let last = shelf.at_edge(later - 1);
            let between = middle.and(last);
            middle = middle.and(if later - 1 == gap { last } else { shelf.plain(later - 1) });
            let after = shelf.from(later);
            let ln = before.ln + between.ln + after.ln;
            let late = 1.0 - self.timeline.asked_before(later);
            let pairs = [before.pairs(), between.pairs(), after.pairs()];
            let cells = [(&pairs[0], early), (&pairs[1], 1.0 - early - late), (&pairs[2], late)];
            let asked = self.cells_divided(&cells, division.asked);
            let prior = prior * self.timeline.weight(later);
            self.keep(Pattern::YearsDivided(gap, later, number), prior, ln, asked);
        }
    }

    /// For each value of the asked vehicle, where both kinds are alike, and where they differ.
    fn alike(&self, pairs: &Pairs, first: f64) -> (Each, Each) {
        let mut one = [0.0; SLOTS];
        for value in (0..self.slots).filter(|value| !self.may_repeat(*value)) {
            one[value] = 0.5 * self.evidence.prior[value] * pairs[value][value];
        }
        let differing = self.pair(pairs, first).map(|chance| 0.5 * chance / self.apart());
        (one, differing)
    }

    /// Sorts what was seen by year.
    fn shelf<P: Clone + Together>(&self, empty: P, add: impl Fn(&mut P, &Row, usize, bool)) -> Shelf<P> {
        let len = self.timeline.len();
        let mut plain = vec![empty.clone(); len];
        let mut edge = vec![empty.clone(); len];
        for (number, row) in self.evidence.rows.iter().enumerate() {
            let at = self.timeline.at(row.year);
            add(&mut plain[at], row, number, false);
            add(&mut edge[at], row, number, true);
        }
        Shelf::new(empty, plain, edge, |gap| self.timeline.is_close(gap))
    }
}

fn turned(pairs: &Pairs) -> Pairs {
    std::array::from_fn(|a| std::array::from_fn(|b| pairs[b][a]))
}
