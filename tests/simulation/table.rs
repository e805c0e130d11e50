//! What was measured, as a table for a person.

use std::fmt::Write;

use crate::measure::{Calibration, Measured, Share};

/// The table of one kind of world.
pub fn of(name: &str, found: &Measured) -> String {
    let mut text = String::new();
    let mut line =
        |what: &str, said: String| writeln!(text, "  {what:<46} {said}").expect("a string takes it");
    line("questions, of them with claims", format!("{}, {}", found.questions, found.first.of));
    line("right: latest note", percent(found.latest));
    line("right: majority of notes", percent(found.majority_of_notes));
    line("right: majority of observations", percent(found.majority));
    line("right: Dawid-Skene, people as raters", percent(found.dawid_skene));
    line("right: claims weighed by basis and nearness", percent(found.weighing));
    line("right: first answer", percent(found.first));
    line("right: covering note, reason in hand", percent(found.covering));
    line("right: most of its kind, reason in hand", percent(found.of_its_kind));
    line("right: any claim, truth in hand", percent(found.best_claim));
    let closed = |best| format!("{:.1} %", 100.0 * found.closed(best));
    line("of the gap to the covering note is closed", closed(found.covering));
    line("of the gap to most of its kind is closed", closed(found.of_its_kind));
    line("of the gap to any claim is closed", closed(found.best_claim));
    let ratio = found.support.brier() / found.majority_share.brier();
    line(
        "Brier score: support, majority share, ratio",
        format!("{:.4} {:.4} {ratio:.2}", found.support.brier(), found.majority_share.brier()),
    );
    line("expected calibration error", format!("{:.4}", found.support.expected_error()));
    let sure = found.support.at_least(0.9);
    line(
        "support of 0.9 or more: right, share given",
        format!("{} {:.1} %", percent(sure), 100.0 * sure.of as f64 / found.support.len() as f64),
    );
    let (wrong, right) = found.support.below(0.9);
    line("support under 0.9: of the wrong, of the right", format!("{} {}", percent(wrong), percent(right)));
    for (grade, share) in &found.by_grade {
        line(&format!("right where {}", grade.word()), percent(*share));
    }
    line("truth among the sides of a disputed answer", percent(found.disputed));
    let third = |(stated, share): (f64, Share)| format!("{stated:.2} {:.2} {}", share.share(), share.of);
    line("splits, per third: stated, right, count", found.splits.thirds().map(third).join("; "));
    line("true cut among those suggested", percent(found.true_split));
    for (change, share) in &found.by_change {
        line(&format!("right where the change is by {change}"), percent(*share));
    }
    line("reliability, per bin: stated, right, count", bins(&found.support));
    format!("{name}\n{text}")
}

fn percent(share: Share) -> String {
    format!("{:.1} % of {}", 100.0 * share.share(), share.of)
}

fn bins(calibration: &Calibration) -> String {
    let told = calibration.bins().into_iter().filter(|(.., of)| *of > 0);
    told.map(|(stated, right, of)| format!("{stated:.2} {right:.2} {of}")).collect::<Vec<_>>().join("; ")
}
