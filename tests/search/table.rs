//! What was measured, as a table for a person, and the queries that were answered worst.

use std::fmt::Write;

use crate::class::Class;
use crate::judged::{Judged, Mean, Outcome, mean};

/// A row for each class and one for all; for each search and half nDCG@10 and recall@10.
pub fn of(searches: &[(&str, &[Outcome])]) -> String {
    let mut text = format!("{:18}", "nDCG@10 recall@10");
    for (name, _) in searches {
        text += &format!(" | {:22} | {:22}", format!("{name}, tuning"), format!("{name}, reported"));
    }
    text.push('\n');
    for class in Class::ALL.into_iter().map(Some).chain([None]) {
        text += &format!("{:18}", class.map_or("all", Class::name));
        for (_, outcomes) in searches {
            for for_tuning in [true, false] {
                text += &format!(" | {:22}", cell(mean(outcomes, for_tuning, class)));
            }
        }
        text.push('\n');
    }
    text
}

fn cell(mean: Mean) -> String {
    format!("{:.3}  {:.3}  of {}", mean.ndcg, mean.recall, mean.of)
}

/// The worst answered queries of each class among those for tuning, with what was found and what is missing.
pub fn worst(judged: &Judged, outcomes: &[Outcome], of_each: usize) -> String {
    let mut text = String::new();
    for class in Class::ALL {
        let of_class =
            outcomes.iter().filter(|outcome| outcome.query.class == class && outcome.query.for_tuning);
        let mut worst: Vec<&Outcome> = of_class.collect();
        worst.sort_by(|a, b| a.ndcg.total_cmp(&b.ndcg));
        for outcome in worst.into_iter().take(of_each).filter(|outcome| outcome.ndcg < 0.95) {
            describe(judged, outcome, &mut text);
        }
    }
    text
}

fn describe(judged: &Judged, outcome: &Outcome, text: &mut String) {
    let (class, query) = (outcome.query.class.name(), &outcome.query.text);
    let mut line = |line: String| writeln!(text, "{line}").expect("a string takes it");
    line(format!("\n{class}, {:.3}: {query}", outcome.ndcg));
    for at in &outcome.found {
        line(format!("  got  {}  {}", outcome.grades[*at], told(judged, *at)));
    }
    let mut missing: Vec<usize> =
        (0..judged.notes.len()).filter(|at| outcome.grades[*at] > 0 && !outcome.found.contains(at)).collect();
    missing.sort_by_key(|at| std::cmp::Reverse(outcome.grades[*at]));
    for at in missing.into_iter().take(5) {
        line(format!("  lack {}  {}", outcome.grades[at], told(judged, at)));
    }
}

fn told(judged: &Judged, at: usize) -> String {
    let cells =
        judged.notes[at].row.iter().filter(|(column, _)| !matches!(**column, "basis" | "on" | "seen"));
    let cells: Vec<String> = cells.map(|(column, cell)| format!("{column}={cell}")).collect();
    format!("line {}: {}", at + 2, cells.join(", "))
}
