//! What is measured on shops: shares that are right, calibration, catches, grades.

use std::collections::BTreeMap;

use baybook::judge::answer::{Answer, judge_with};
use baybook::judge::bucket::Bucket;
use baybook::judge::conflict;
use baybook::judge::grade::Grade;
use baybook::judge::pattern::Outlook;
use baybook::judge::pattern::split::reckon;

use crate::dawid_skene::{Vote, estimate};
use crate::rivals;
use crate::shop::{Question, Shop};
use crate::world::Change;

/// Right ones of so many.
#[derive(Debug, Clone, Copy, Default)]
pub struct Share {
    pub right: usize,
    pub of: usize,
}

impl Share {
    pub fn add(&mut self, right: bool) {
        self.right += usize::from(right);
        self.of += 1;
    }

    pub fn share(self) -> f64 {
        if self.of == 0 { f64::NAN } else { self.right as f64 / self.of as f64 }
    }
}

/// Stated chances against what came true.
#[derive(Debug, Clone, Default)]
pub struct Calibration {
    stated: Vec<(f64, bool)>,
}

impl Calibration {
    pub fn add(&mut self, chance: f64, right: bool) {
        self.stated.push((chance, right));
    }

    /// The mean squared error of the stated chances.
    pub fn brier(&self) -> f64 {
        let error = |(chance, right): &(f64, bool)| (chance - f64::from(u8::from(*right))).powi(2);
        self.stated.iter().map(error).sum::<f64>() / self.stated.len() as f64
    }

    /// Stated mean, share right and count in each of ten bins.
    pub fn bins(&self) -> Vec<(f64, f64, usize)> {
        let mut bins = vec![(0.0, 0.0, 0); 10];
        for (chance, right) in &self.stated {
            let bin = &mut bins[((chance * 10.0) as usize).min(9)];
            *bin = (bin.0 + chance, bin.1 + f64::from(u8::from(*right)), bin.2 + 1);
        }
        bins.into_iter().map(|(stated, right, of)| (stated / of as f64, right / of as f64, of)).collect()
    }

    /// The expected calibration error over ten bins of equal width.
    pub fn expected_error(&self) -> f64 {
        let off = |(stated, right, of): (f64, f64, usize)| {
            if of == 0 { 0.0 } else { (stated - right).abs() * of as f64 }
        };
        self.bins().into_iter().map(off).sum::<f64>() / self.stated.len() as f64
    }

    /// How often those stated as `least` or more came true.
    pub fn at_least(&self, least: f64) -> Share {
        let mut share = Share::default();
        self.stated.iter().filter(|(chance, _)| *chance >= least).for_each(|(_, right)| share.add(*right));
        share
    }

    /// Of the wrong ones, how many were stated below `least`; of the right ones, how many.
    pub fn below(&self, least: f64) -> (Share, Share) {
        let (mut wrong, mut right) = (Share::default(), Share::default());
        for (chance, came_true) in &self.stated {
            if *came_true { right.add(*chance < least) } else { wrong.add(*chance < least) }
        }
        (wrong, right)
    }

    /// Stated mean, share right and count in each third of the chances.
    pub fn thirds(&self) -> [(f64, Share); 3] {
        let mut thirds = [(0.0, Share::default()); 3];
        for (chance, right) in &self.stated {
            let third = &mut thirds[((chance * 3.0) as usize).min(2)];
            third.0 += chance;
            third.1.add(*right);
        }
        thirds.map(|(stated, share)| (stated / share.of as f64, share))
    }

    pub fn len(&self) -> usize {
        self.stated.len()
    }
}

/// What was found on one or more shops.
#[derive(Debug, Clone, Default)]
pub struct Measured {
    pub questions: usize,
    pub latest: Share,
    pub majority_of_notes: Share,
    pub majority: Share,
    pub dawid_skene: Share,
    pub weighing: Share,
    pub covering: Share,
    pub of_its_kind: Share,
    pub best_claim: Share,
    pub first: Share,
    pub majority_share: Calibration,
    pub support: Calibration,
    pub by_grade: BTreeMap<Grade, Share>,
    /// Whether the truth is among the sides of a disputed answer.
    pub disputed: Share,
    /// Whether a suggested cut is the true reason.
    pub splits: Calibration,
    /// Whether the true cut is among those suggested, in conflicts where there is one.
    pub true_split: Share,
    pub by_change: BTreeMap<&'static str, Share>,
}

impl Measured {
    /// The share of the gap between majority and `best` that the first answer closes.
    pub fn closed(&self, best: Share) -> f64 {
        let (low, high) = (self.majority.share(), best.share());
        (self.first.share() - low) / (high - low)
    }

    /// Asks a shop all its questions.
    pub fn add(&mut self, shop: &Shop) {
        for question in &shop.questions {
            self.questions += 1;
            self.ask(shop, question);
        }
        self.ask_dawid_skene(shop);
        shop.buckets.iter().for_each(|(key, bucket)| self.add_splits(shop, *key, bucket));
    }

    fn add_splits(&mut self, shop: &Shop, key: (usize, usize), bucket: &Bucket) {
        let change = &shop.truth(key).change;
        let outlook = Outlook { facelift: shop.facelifts[&key].clone(), ..Outlook::default() };
        for conflict in conflict::find(bucket).iter().filter(|conflict| conflict.certain) {
            let layout = conflict::describe(bucket, conflict);
            let splits = reckon(bucket, conflict, &layout, &outlook).splits;
            for split in &splits {
                self.splits.add(split.chance.share(), change.is_cut_by(&split.cut));
            }
            if matches!(change, Change::Year(_) | Change::Attribute(..) | Change::Built(_)) {
                self.true_split.add(splits.iter().any(|split| change.is_cut_by(&split.cut)));
            }
        }
    }

    fn ask(&mut self, shop: &Shop, question: &Question) {
        let Some(bucket) = shop.buckets.get(&question.bucket) else { return };
        let claiming = rivals::claiming(bucket, &question.vehicle);
        let right = |cell: u16| rivals::is_right(&rivals::colour(bucket, cell), &question.truth);
        let Some(latest) = rivals::latest(bucket, &claiming) else { return };
        self.latest.add(right(latest));
        if let Some(choice) = rivals::majority_of_notes(bucket, &claiming) {
            self.majority_of_notes.add(right(choice.colour));
        }
        if let Some(choice) = rivals::majority_of_observations(bucket, &claiming) {
            self.majority.add(right(choice.colour));
            self.majority_share.add(choice.share, right(choice.colour));
        }
        if let Some(choice) = rivals::weighing(bucket, &claiming, &question.vehicle) {
            self.weighing.add(right(choice.colour));
        }
        let truth = shop.truth(question.bucket);
        if let Some(colour) = rivals::covering(bucket, &claiming, question, truth) {
            self.covering.add(right(colour));
        }
        if let Some(colour) = rivals::of_its_kind(bucket, &claiming, question, truth) {
            self.of_its_kind.add(right(colour));
        }
        self.best_claim.add(rivals::best_claim(bucket, &claiming, &question.truth));
        let outlook = Outlook { facelift: shop.facelifts[&question.bucket].clone(), ..Outlook::default() };
        let judged = judge_with(bucket, &question.vehicle, &outlook);
        let column = rivals::column(bucket);
        let is_right = |answer: &Answer| {
            // Every wire of these shops carries a positive signal.
            let signal = bucket.texts(&answer.claim).find(|(field, _)| *field == "signal");
            let is_positive = signal.is_none_or(|(_, text)| text == "positive");
            answer.claim[column] != 0 && right(answer.claim[column]) && is_positive
        };
        let first = &judged.answers[0];
        self.first.add(is_right(first));
        self.support.add(first.support.share(), is_right(first));
        self.by_grade.entry(judged.grade).or_default().add(is_right(first));
        if judged.grade == Grade::Disputed {
            self.disputed.add(judged.answers.iter().any(is_right));
        }
        self.by_change.entry(shop.truth(question.bucket).change.word()).or_default().add(is_right(first));
    }

    /// The people as raters, each question an item, and the colours told there as classes, the most told first.
    fn ask_dawid_skene(&mut self, shop: &Shop) {
        let mut people: Vec<String> = Vec::new();
        let mut votes = Vec::new();
        let mut asked: Vec<(&Question, &Bucket, Vec<u16>)> = Vec::new();
        for question in &shop.questions {
            let Some(bucket) = shop.buckets.get(&question.bucket) else { continue };
            let column = rivals::column(bucket);
            let claiming = rivals::claiming(bucket, &question.vehicle);
            let colours = rivals::by_votes(bucket, &claiming);
            if colours.is_empty() {
                continue;
            }
            votes.extend(claiming.iter().map(|entry| Vote {
                item: asked.len(),
                rater: number(&mut people, &bucket.people[entry.person as usize]),
                class: colours.iter().position(|cell| *cell == bucket.claim(entry)[column]).expect("told"),
            }));
            asked.push((question, bucket, colours));
        }
        let classes = asked.iter().map(|(.., colours)| colours.len()).max().unwrap_or_default();
        let found = estimate(&votes, classes, 0.01, 20);
        for ((question, bucket, colours), chances) in asked.iter().zip(&found.classes) {
            let best =
                (0..colours.len()).max_by(|a, b| chances[*a].total_cmp(&chances[*b])).expect("a colour");
            let said = rivals::colour(bucket, colours[best]);
            self.dawid_skene.add(rivals::is_right(&said, &question.truth));
        }
    }
}

fn number(known: &mut Vec<String>, text: &str) -> usize {
    known.iter().position(|other| other == text).unwrap_or_else(|| {
        known.push(text.to_owned());
        known.len() - 1
    })
}
