//! In which order answers are shown, and the grade of the whole.

use super::super::bucket::Bucket;
use super::super::grade::{Evidence, Grade};
use super::super::sides;
use super::Answer;
use crate::vehicle::Match;

/// Puts the answers in the order in which they are shown.
pub(super) fn sort(bucket: &Bucket, answers: &mut [Answer]) {
    answers.sort_by(|a, b| {
        let key = |answer: &Answer| {
            let more = answer.conditional.as_ref().map(|more| &more.evidence);
            let with_more = |count: fn(&Evidence) -> usize| count(&answer.evidence) + more.map_or(0, count);
            let told = with_more(|evidence| evidence.observations) == 0 && !answer.evidence.diagram;
            let support = (
                with_more(|evidence| evidence.covering),
                answer.evidence.is_proof() || more.is_some_and(Evidence::is_proof),
                with_more(|evidence| evidence.observations),
            );
            (
                told && answer.grade != Grade::Disputed,
                answer.applies != Match::Applies,
                grade_rank(answer.grade),
                std::cmp::Reverse(support),
            )
        };
        let by_support = a.support.rank().cmp(&b.support.rank());
        by_support
            .then_with(|| key(a).cmp(&key(b)))
            .then_with(|| sides::texts(bucket, &a.claim).cmp(&sides::texts(bucket, &b.claim)))
    });
}

/// Disputed answers stand before thin ones: they are what has to be looked at.
fn grade_rank(grade: Grade) -> u8 {
    match grade {
        Grade::Proven => 0,
        Grade::Backed => 1,
        Grade::Disputed => 2,
        Grade::Between => 3,
        Grade::Thin => 4,
        Grade::Blank => 5,
    }
}

/// The grade of the whole: disputed where any answer is; the best where a vehicle has several answers; else that
/// of the first answer, or the weakest of those that depend on what is not known.
pub(super) fn overall(bucket: &Bucket, answers: &[Answer]) -> Grade {
    let grades = || answers.iter().map(|answer| answer.grade);
    if grades().any(|grade| grade == Grade::Disputed) {
        return Grade::Disputed;
    }
    let first = answers.first();
    let found = if bucket.several {
        grades().min()
    } else if first.is_some_and(|answer| answer.applies == Match::Applies) {
        first.map(|answer| answer.grade)
    } else {
        grades().max()
    };
    found.unwrap_or(Grade::Blank)
}
