//! What is not known or in doubt, with what to look at.

use super::{Entry, Part, Piece, Room, Section, alarm, aside, plain, value, weak};
use crate::ask::PointFound;
use crate::book::Words;
use crate::card::{Card, Doubt, LABOUR, Why};
use crate::catalogue::Answers;
use crate::intake::blank::Wanted;
use crate::judge::answer::Answer;
use crate::judge::grade::Grade;
use crate::note::{NoteId, date_text};
use crate::show::answers::task_text;
use crate::show::ids::{cavity_code, conflict_code, note_code};
use crate::show::page::{Label, capitalised, counted, listed};
use crate::show::sentence::{claimed, look_at, sentence};

/// Sides of a dispute, and answers of others, that are told.
const TOLD: usize = 3;

/// The section. What a point depends on is told with what else is in doubt about it; what helps and is merely not known
/// in one entry at the end.
pub(super) fn section(card: &Card<'_>) -> Section {
    let idle = |doubt: &&Doubt<'_>| !doubt.must && matches!(doubt.why, Why::Blank(_));
    let depends = |doubt: &Doubt<'_>| matches!(doubt.why, Why::Depends(..));
    let more = |doubt: &Doubt<'_>| {
        let other = |other: &&Doubt<'_>| other.point == doubt.point && !depends(other);
        depends(doubt) && card.doubts.iter().any(|one| other(&one))
    };
    let told = card.doubts.iter().filter(|doubt| !idle(doubt) && !more(doubt));
    let mut entries: Vec<Entry> = told
        .map(|doubt| {
            let mut entry = entry(card, doubt);
            let besides = card.doubts.iter().filter(|other| other.point == doubt.point && more(other));
            entry.more.extend(besides.map(|other| [vec![plain("It ")], why(card, other)].concat()));
            entry
        })
        .collect();
    let unbuilt = card.circuits.iter().filter(|circuit| circuit.worked.built().is_none());
    let unbuilt: Vec<Entry> = unbuilt
        .map(|circuit| {
            let title = format!("{}: ", capitalised(&circuit.worked.circuit.title));
            let told = plain(", so it is in no list; the circuits below say why.");
            Entry::of(vec![(Label::Title, title), alarm("it cannot be built"), told])
        })
        .collect();
    entries.splice(0..0, unbuilt);
    let rest = card.doubts.iter().filter(idle).map(|doubt| card.title(doubt.point).to_owned());
    let rest: Vec<String> = rest.collect();
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
    let mut more = match &doubt.why {
        Why::Blank(Some(found)) => [noted(card, found), elsewhere(card, found)].concat(),
        _ => Vec::new(),
    };
    let told = matches!(doubt.why, Why::Depends(..) | Why::Asked(_));
    if !told && !point.check.is_empty() {
        more.push(vec![aside("Find out: "), plain(point.check.clone())]);
    }
    Entry { head, more, room: Room::Tick }
}

fn why(card: &Card<'_>, doubt: &Doubt<'_>) -> Vec<Piece> {
    match &doubt.why {
        Why::Blank(_) => vec![alarm("blank"), plain(", nothing is claimed for this vehicle.")],
        Why::Disputed(found) => disputed(card, found),
        Why::Thin(found) => vec![
            weak("thin"),
            plain(", seen only on others or only told: "),
            value(sides(card, found, Grade::Thin)),
            plain("?"),
        ],
        Why::Depends(_, dimensions) => {
            let titles = dimensions.iter().map(|name| card.language.vocabulary().title(name).to_owned());
            let titles = listed(&titles.collect::<Vec<_>>(), "and");
            let look = look_at(card.language, dimensions);
            vec![weak("depends"), plain(format!(" on the {titles}: look at {look}."))]
        }
        Why::Asked(task) => {
            let decision = &task.decision;
            let why = format!(" ({}, {}: “{}”)", decision.by, date_text(decision.day), decision.because);
            vec![weak("to be looked at"), plain(format!(": {}", task_text(card.language, task))), aside(why)]
        }
        Why::Cavity(conflict) => vec![
            alarm("two functions"),
            plain(format!(" are noted for cavity {} of connector {}, ", conflict.cavity, conflict.connector)),
            (Label::Id, cavity_code(conflict.anchor, card.found.shown)),
            plain(". Meter before you cut."),
        ],
    }
}

fn disputed(card: &Card<'_>, found: &PointFound) -> Vec<Piece> {
    let mut told = vec![alarm("disputed")];
    if let Some(anchor) = found.judged.conflict {
        told.extend([plain(", "), (Label::Id, conflict_code(anchor, card.found.shown))]);
    }
    told.extend([plain(": "), value(sides(card, found, Grade::Disputed))]);
    told.push(plain("? Notes contradict each other: prove it on the vehicle first."));
    told
}

/// What the answers of a grade say, as far as it is compared, the likeliest first.
fn sides(card: &Card<'_>, found: &PointFound, grade: Grade) -> String {
    let language = card.language;
    let of_grade = found.judged.answers.iter().filter(|answer| answer.grade == grade);
    let side = |answer: &Answer| {
        let texts = found.bucket.texts(&answer.claim);
        let values: Vec<(usize, String)> = texts
            .filter_map(|(name, text)| Some((language.catalogue.field(name)?, text.to_owned())))
            .collect();
        format!("{} ({})", sentence(language, &values), answer.support)
    };
    // Several places can all be right; those that contradict each other cannot.
    let several =
        grade != Grade::Disputed && language.catalogue.points[found.point].answers == Answers::Several;
    listed(&of_grade.take(TOLD).map(side).collect::<Vec<_>>(), if several { "and" } else { "or" })
}

/// What notes remark that claim nothing.
fn noted(card: &Card<'_>, found: &PointFound) -> Vec<Vec<Piece>> {
    let line = |(id, note): (NoteId, &Words)| {
        let by = format!(" ({}, {}) ", note.by, date_text(note.day));
        let code = (Label::Id, note_code(id, card.found.shown));
        vec![aside("Noted: "), plain(format!("“{}”", note.remark)), aside(by), code]
    };
    found.noted().map(line).collect()
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
        let because: String = why(card, doubt).into_iter().map(|(_, text)| text).collect();
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
