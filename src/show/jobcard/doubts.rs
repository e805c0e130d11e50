//! What is not known or in doubt, with what to look at.

use super::{Entry, Part, Piece, Room, Section, aside, plain, value, weak};
use crate::ask::PointFound;
use crate::card::{Card, Doubt, LABOUR, Used, Why};
use crate::intake::blank::Wanted;
use crate::note::date_text;
use crate::show::answers::task_text;
use crate::show::ids::{cavity_code, conflict_code};
use crate::show::page::{Label, capitalised, counted, listed};
use crate::show::sentence::{claimed, look_at, sentence};

/// Sides of a dispute, and answers of others, that are told.
const TOLD: usize = 3;

/// The section; what helps and is merely not known is told in one entry at its end.
pub(super) fn section(card: &Card<'_>) -> Section {
    let idle = |doubt: &&Doubt<'_>| !doubt.must && matches!(doubt.why, Why::Blank(_));
    let mut entries: Vec<Entry> =
        card.doubts.iter().filter(|doubt| !idle(doubt)).map(|doubt| entry(card, doubt)).collect();
    let rest: Vec<String> =
        card.doubts.iter().filter(idle).map(|doubt| card.title(doubt.point).to_owned()).collect();
    if !rest.is_empty() {
        let text = format!("{}.", listed(&rest, "and"));
        entries.push(Entry::of(vec![aside("Good to know and blank as well: "), plain(text)]));
    }
    Section { part: Part::Doubts, title: "Not known, or in doubt", entries }
}

fn entry(card: &Card<'_>, doubt: &Doubt<'_>) -> Entry {
    let point = &card.language.catalogue.points[doubt.point];
    let mut head = vec![(Label::Title, format!("{}: ", capitalised(&point.title)))];
    head.extend(why(card, doubt));
    let (claims, mut more) = match &doubt.why {
        Why::Disputed(found) | Why::Thin(found) => (claims(card, found), Vec::new()),
        Why::Blank(Some(found)) => (Vec::new(), elsewhere(card, found)),
        _ => Default::default(),
    };
    let told = matches!(doubt.why, Why::Depends(..) | Why::Asked(_));
    if !told && !point.check.is_empty() {
        more.push(vec![aside("Find out: "), plain(point.check.clone())]);
    }
    Entry { head, claims, more, room: Room::Tick }
}

fn why(card: &Card<'_>, doubt: &Doubt<'_>) -> Vec<Piece> {
    let shown = card.found.shown;
    match &doubt.why {
        Why::Blank(_) => {
            vec![(Label::Alarm, "blank".to_owned()), plain(", nothing is claimed for this vehicle.")]
        }
        Why::Disputed(found) => {
            let mut told = vec![(Label::Alarm, "disputed".to_owned())];
            if let Some(anchor) = found.judged.conflict {
                told.extend([plain(", conflict "), (Label::Id, conflict_code(anchor, shown))]);
            }
            told.push(plain(". Notes contradict each other: meter before you cut."));
            told
        }
        Why::Thin(_) => {
            vec![weak("thin"), plain(", claimed for this vehicle but seen only on others, or only told.")]
        }
        Why::Depends(used, dimensions) => vec![
            weak("depends"),
            plain(" on the vehicle. Look at "),
            plain(look_at(card.language, dimensions)),
            plain(": only then "),
            value(said(card, used)),
            plain(" holds."),
        ],
        Why::Asked(task) => {
            let why = format!(
                " ({}, {}: “{}”)",
                task.decision.by,
                date_text(task.decision.day),
                task.decision.because
            );
            vec![weak("to be looked at"), plain(format!(": {}", task_text(card.language, task))), aside(why)]
        }
        Why::Cavity(conflict) => vec![
            (Label::Alarm, "two functions".to_owned()),
            plain(format!(" are noted for cavity {} of connector {}, ", conflict.cavity, conflict.connector)),
            (Label::Id, cavity_code(conflict.anchor, shown)),
            plain(". Meter before you cut."),
        ],
    }
}

fn said(card: &Card<'_>, used: &Used<'_>) -> String {
    sentence(card.language, &used.found.values_of(used.answer, card.language))
}

/// The first answers, each with its chance to be right.
fn claims(card: &Card<'_>, found: &PointFound) -> Vec<Vec<Piece>> {
    let answers = found.judged.answers.iter().take(TOLD);
    answers
        .map(|answer| {
            let used = Used { found, answer };
            let odds = format!(" (about {} to be right) ", answer.support);
            vec![plain("Perhaps "), value(said(card, &used)), aside(odds), super::ids(card, &used)]
        })
        .collect()
}

/// What is claimed for other vehicles of the model.
fn elsewhere(card: &Card<'_>, found: &PointFound) -> Vec<Vec<Piece>> {
    let language = card.language;
    let others = found.judged.elsewhere.iter().take(TOLD);
    others
        .map(|other| {
            let texts = found.bucket.texts(&other.claim);
            let values: Vec<(usize, String)> = texts
                .filter_map(|(name, text)| Some((language.catalogue.field(name)?, text.to_owned())))
                .collect();
            let scope = format!("Not for this one, but {}: ", claimed(language, &other.scope));
            let seen = format!(" ({})", counted(other.observations, "observation"));
            vec![aside(scope), plain(sentence(language, &values)), aside(seen)]
        })
        .collect()
}

/// The rows of a note sheet with which what is in doubt is found out, and what the job took where nobody noted that.
#[must_use]
pub fn wanted(card: &Card<'_>) -> Vec<Wanted> {
    let mut rows: Vec<Wanted> = Vec::new();
    for doubt in card.doubts.iter().filter(|doubt| !matches!(doubt.why, Why::Depends(..))) {
        let because = in_short(card, doubt);
        match rows.iter_mut().find(|row| row.point == doubt.point) {
            Some(row) => row.because = format!("{} {because}", row.because),
            None => rows.push(Wanted { point: doubt.point, because }),
        }
    }
    if let (None, Some(point)) = (&card.labour, card.language.catalogue.point(LABOUR)) {
        let because = format!("no time of this job is recorded: job {}, and the minutes", card.job.name);
        rows.push(Wanted { point, because });
    }
    rows
}

/// Why a point is in doubt, and what perhaps holds.
fn in_short(card: &Card<'_>, doubt: &Doubt<'_>) -> String {
    let mut pieces = why(card, doubt);
    if let Why::Disputed(found) | Why::Thin(found) = &doubt.why {
        for claim in claims(card, found) {
            pieces.push(plain(" "));
            pieces
                .extend(claim.into_iter().filter(|(label, _)| matches!(label, Label::Plain | Label::Value)));
            pieces.push(plain("?"));
        }
    }
    pieces.into_iter().map(|(_, text)| text).collect()
}
