//! What is made of a conflict: what explains it best, and where it may split, for a person and as JSON.

use serde_json::{Map, Value as Json, json};

use super::conflicts::{side_values, values};
use super::page::{Label, Page, capitalised, listed};
use crate::judge::conflict::{Layout, Side};
use crate::judge::pattern::split::{Cut, Explanation, Reckoning, Split};
use crate::language::Language;
use crate::vehicle::ModelYear;

/// Splits that are shown to a person.
const SHOWN: usize = 5;

/// Below the sides of one conflict: what explains it, then the cuts.
pub fn show(page: &mut Page, language: &Language, layout: &Layout, reckoning: &Reckoning) {
    if let Some((kind, chance)) = reckoning.explanations.first() {
        page.gap();
        let said = format!("{} (about {chance}).", explained(*kind));
        page.paragraph(0, &[(Label::Title, "What explains it best: "), (Label::Plain, &said)]);
    }
    for pair in &reckoning.confused {
        page.paragraph(0, &[(Label::Weak, &misread(language, layout, reckoning, *pair))]);
    }
    if reckoning.splits.is_empty() {
        return;
    }
    page.paragraph(0, &[(Label::Title, "Where it may split, the likeliest first:")]);
    for (at, split) in reckoning.splits.iter().take(SHOWN).enumerate() {
        let lead = format!("{}. {} (about {}): ", at + 1, cut(language, &split.cut), split.chance);
        let counts = counts(language, layout, split);
        let guess = if split.guess { GUESS } else { "" };
        page.paragraph(2, &[(Label::Value, &lead), (Label::Plain, &counts), (Label::Weak, guess)]);
    }
}

fn misread(language: &Language, layout: &Layout, reckoning: &Reckoning, (a, b): (usize, usize)) -> String {
    let [a, b] = [a, b].map(|side| values(language, &layout.sides[side]));
    let chance = reckoning.explanations.iter().find(|(kind, _)| *kind == Explanation::Misread);
    let chance = chance.map(|(_, chance)| format!(" (about {chance})")).unwrap_or_default();
    format!(
        "Misread{chance}? {} and {b} are readily taken for each other: look again, in good light, before anything is \
         split.",
        capitalised(&a)
    )
}

const GUESS: &str = "; a guess, fewer than two seen on a side";

/// Each split that is shown in one line, in their order: what tells the vehicles apart, how likely, what was seen.
#[must_use]
pub fn titles(language: &Language, layout: &Layout, reckoning: &Reckoning) -> Vec<String> {
    let title = |split: &Split| {
        let guess = if split.guess { GUESS } else { "" };
        let (cut, counts) = (cut(language, &split.cut), counts(language, layout, split));
        format!("{cut} (about {}): {counts}{guess}", split.chance)
    };
    reckoning.splits.iter().take(SHOWN).map(title).collect()
}

fn explained(kind: Explanation) -> &'static str {
    match kind {
        Explanation::Difference => "vehicles that the notes do not tell apart differ",
        Explanation::OverClaim => "it changes at a model year, and notes claim years beyond it",
        Explanation::Change => "it changes at a model year",
        Explanation::Misread => "one colour was misread, and all vehicles are the same",
        Explanation::Mistake => "some notes are wrong, and all vehicles are the same",
    }
}

fn cut(language: &Language, cut: &Cut) -> String {
    let vocabulary = language.vocabulary();
    match cut {
        Cut::Years(starts) => {
            let starts: Vec<String> = starts.iter().map(ModelYear::to_string).collect();
            format!("By model year, from {} on", listed(&starts, "and from"))
        }
        Cut::Built(from) => format!("By build date, from {from} on"),
        Cut::Attribute(name, _) => format!("By {}", vocabulary.title(name)),
    }
}

/// `violet/white: 3 seen, all tow package; green: 2 seen, all no tow package`.
fn counts(language: &Language, layout: &Layout, split: &Split) -> String {
    let told: Vec<String> = split
        .cells
        .iter()
        .map(|cell| {
            let said = capitalised(&values(language, &layout.sides[cell.side]));
            let all = if cell.seen > 1 { "all " } else { "" };
            let vehicles = cell.scope.describe(language.vocabulary());
            let vehicles = vehicles.trim_start_matches("all years, ");
            format!("{said}: {} seen, {all}{vehicles}", cell.seen)
        })
        .collect();
    told.join("; ")
}

/// The splits as JSON; the shape is written down in DEVELOPERS.md.
#[must_use]
pub fn to_json(layout: &Layout, reckoning: &Reckoning) -> Vec<Json> {
    reckoning.splits.iter().map(|split| split_json(&layout.sides, split)).collect()
}

fn split_json(sides: &[Side], split: &Split) -> Json {
    let (attribute, cut) = match &split.cut {
        Cut::Years(starts) if starts.len() == 1 => ("year", json!(starts[0])),
        Cut::Years(starts) => ("year", json!(starts)),
        Cut::Built(from) => ("built", json!(from.to_string())),
        Cut::Attribute(name, groups) => (name.as_str(), json!(groups)),
    };
    let counts: Vec<Json> = split
        .cells
        .iter()
        .map(|cell| {
            let values: Map<String, Json> = side_values(&sides[cell.side]);
            json!({ "values": values, "seen": cell.seen, "scope": cell.scope.to_json() })
        })
        .collect();
    json!({
        "attribute": attribute,
        "cut": cut,
        "counts": counts,
        "probability": rounded(split.chance.share()),
        "guess": split.guess,
    })
}

/// What explains a conflict, as JSON.
#[must_use]
pub fn explanations_json(reckoning: &Reckoning) -> Vec<Json> {
    let word = |kind: Explanation| match kind {
        Explanation::Difference => "difference",
        Explanation::OverClaim => "over-claim",
        Explanation::Change => "change",
        Explanation::Misread => "misread",
        Explanation::Mistake => "mistake",
    };
    let told = reckoning.explanations.iter();
    told.map(|(kind, chance)| json!({ "kind": word(*kind), "probability": rounded(chance.share()) }))
        .collect()
}

/// A probability with four digits: more would say nothing.
#[must_use]
pub fn rounded(share: f64) -> f64 {
    // What is added takes the sign from a nothing.
    (share * 10_000.0).round() / 10_000.0 + 0.0
}
