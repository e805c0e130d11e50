//! What is not known or in doubt, with what to look at.

use super::{Entry, Part, Piece, Room, Section, alarm, aside, plain, value, weak};
use crate::ask::PointFound;
use crate::card::{Card, Doubt, LABOUR, Why};
use crate::catalogue::Answers;
use crate::intake::blank::Wanted;
use crate::judge::answer::Answer;
use crate::judge::grade::Grade;
use crate::note::date_text;
use crate::show::answers::{mere_remarks, task_text};
use crate::show::ids::{cavity_code, conflict_code};
use crate::show::page::{Label, capitalised, counted, listed};
use crate::show::sentence::{claimed, look_at, sentence};
use crate::vehicle::Match;

/// Sides of a dispute, and answers of others, that are told.
const TOLD: usize = 3;

/// The section: what cannot be built, what the words for doubt mean, what to look at before anything is metered, then
/// point by point; what helps and is merely not known in one entry at the end.
pub(super) fn section(card: &Card<'_>) -> Section {
    let idle = |doubt: &&Doubt<'_>| !doubt.must && matches!(doubt.why, Why::Blank(_));
    let depends = |doubt: &Doubt<'_>| matches!(doubt.why, Why::Depends(..));
    let mut entries = unbuilt(card);
    entries.extend(legend(card));
    entries.extend(look_first(card));
    let told = card.doubts.iter().filter(|doubt| !idle(doubt) && !depends(doubt));
    entries.extend(told.map(|doubt| entry(card, doubt)));
    let rest = card.doubts.iter().filter(idle).map(|doubt| card.title(doubt.point).to_owned());
    let rest: Vec<String> = rest.collect();
    if !rest.is_empty() {
        let text = format!("{}.", listed(&rest, "and"));
        entries.push(Entry::of(vec![aside("Good to know and blank as well: "), plain(text)]));
    }
    Section { part: Part::Doubts, title: "Not known, or in doubt", entries }
}

fn unbuilt(card: &Card<'_>) -> Vec<Entry> {
    let unbuilt = card.circuits.iter().filter(|circuit| circuit.worked.built().is_none());
    unbuilt
        .map(|circuit| {
            let title = format!("{}: ", capitalised(&circuit.worked.circuit.title));
            let told = plain(", so it is in no list; the circuits below say why.");
            Entry::of(vec![(Label::Title, title), alarm("it cannot be built"), told])
        })
        .collect()
}

/// What a word for doubt means; told once, and not with every point.
fn meaning(why: &Why<'_>) -> Option<(Piece, &'static str)> {
    match why {
        Why::Disputed(_) => {
            Some((alarm("disputed"), "notes contradict each other, so prove it on the vehicle first"))
        }
        Why::Thin(_) => Some((weak("thin"), "seen only on others, or only told")),
        Why::Blank(_) => Some((alarm("blank"), "nothing is claimed for this vehicle")),
        Why::Depends(..) | Why::Asked(_) | Why::Cavity(_) => None,
    }
}

/// The words for doubt that the section uses, each with what it means.
fn legend(card: &Card<'_>) -> Option<Entry> {
    let mut told: Vec<(Piece, &'static str)> = Vec::new();
    for meaning in card.doubts.iter().filter_map(|doubt| meaning(&doubt.why)) {
        if !told.contains(&meaning) {
            told.push(meaning);
        }
    }
    let mut head = Vec::new();
    for (word, means) in told {
        let lead = if head.is_empty() { "" } else { " " };
        head.extend([plain(lead), (word.0, capitalised(&word.1)), plain(format!(": {means}."))]);
    }
    (!head.is_empty()).then(|| Entry::of(head))
}

/// What to look at, for each thing on which something that is known depends: once for all points.
fn look_first(card: &Card<'_>) -> Vec<Entry> {
    let mut looks: Vec<(&str, Vec<String>)> = Vec::new();
    for (point, dimension) in dimensions(card) {
        let title = card.title(point).to_owned();
        match looks.iter_mut().find(|(known, _)| *known == dimension) {
            Some((_, titles)) if titles.contains(&title) => {}
            Some((_, titles)) => titles.push(title),
            None => looks.push((dimension, vec![title])),
        }
    }
    let entry = |(dimension, titles): (&str, Vec<String>)| {
        let name = card.language.vocabulary().title(dimension);
        let look = look_at(card.language, &[dimension.to_owned()]);
        let verb = if titles.len() == 1 { "depends" } else { "depend" };
        let on_it = format!("Look at {look}. The {} {verb} on it.", listed(&titles, "and the"));
        Entry::of(vec![(Label::Title, format!("{}: ", capitalised(name))), plain(on_it)]).with(Room::Tick)
    };
    looks.into_iter().map(entry).collect()
}

/// The points of which an answer that is shown depends on something, and on what.
fn dimensions<'c>(card: &'c Card<'_>) -> impl Iterator<Item = (usize, &'c str)> {
    card.facts.iter().flat_map(|fact| {
        let shown = fact.found.judged.answers.iter().take(super::facts::TOLD);
        shown.flat_map(move |answer| match &answer.applies {
            Match::DependsOn(dimensions) => {
                dimensions.iter().map(|dimension| (fact.found.point, dimension.as_str())).collect()
            }
            _ => Vec::new(),
        })
    })
}

/// Whether the section tells how a point is found out, so that no other section has to.
pub(super) fn tells_how(card: &Card<'_>, point: usize) -> bool {
    let told = |doubt: &Doubt<'_>| match doubt.why {
        Why::Disputed(_) | Why::Thin(_) | Why::Cavity(_) => true,
        Why::Blank(_) => doubt.must,
        Why::Depends(..) | Why::Asked(_) => false,
    };
    card.doubts.iter().any(|doubt| doubt.point == point && told(doubt))
}

fn entry(card: &Card<'_>, doubt: &Doubt<'_>) -> Entry {
    let point = &card.language.catalogue.points[doubt.point];
    let mut head = vec![(Label::Title, format!("{}: ", capitalised(&point.title)))];
    head.extend(why(card, doubt));
    let mut more = match &doubt.why {
        Why::Blank(Some(found)) => {
            mere_remarks(found, card.found.shown).map(Vec::from).chain(elsewhere(card, found)).collect()
        }
        _ => Vec::new(),
    };
    if !matches!(doubt.why, Why::Asked(_)) && !point.check.is_empty() {
        more.push(vec![aside("Find out: "), plain(point.check.clone())]);
    }
    Entry { head, more, room: Room::Tick }
}

fn why(card: &Card<'_>, doubt: &Doubt<'_>) -> Vec<Piece> {
    match &doubt.why {
        Why::Blank(_) => vec![alarm("blank"), plain(".")],
        Why::Disputed(found) => disputed(card, found),
        Why::Thin(found) => {
            vec![weak("thin"), plain(": "), value(sides(card, found, Grade::Thin)), plain("?")]
        }
        Why::Depends(_, dimensions) => {
            let titles = dimensions.iter().map(|name| card.language.vocabulary().title(name).to_owned());
            vec![weak("depends"), plain(format!(" on the {}.", listed(&titles.collect::<Vec<_>>(), "and")))]
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
    told.extend([plain(": "), value(sides(card, found, Grade::Disputed)), plain("?")]);
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
        let mut because: String = why(card, doubt).into_iter().map(|(_, text)| text).collect();
        if let Some((_, means)) = meaning(&doubt.why) {
            because.push_str(&format!(" {}.", capitalised(means)));
        }
        match rows.iter_mut().find(|row| row.point == doubt.point) {
            Some(row) => row.because = format!("{} {because}", row.because),
            None => rows.push(Wanted { point: doubt.point, because }),
        }
    }
    let none_of_this = card.labour.as_ref().is_none_or(|labour| !labour.for_this);
    if let (true, Some(point)) = (none_of_this, card.language.catalogue.point(LABOUR)) {
        let because = format!("no time of this job is recorded: job {}, and the minutes", card.job.name);
        rows.push(Wanted { point, because });
    }
    rows
}
