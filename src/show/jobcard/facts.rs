//! What is known, point by point, each answer with its grade.

use super::{Entry, Part, Piece, Section, aside, plain, value, weak};
use crate::card::{Card, Fact, Used};
use crate::judge::grade::Grade;
use crate::note::date_text;
use crate::show::answers::{contested, label};
use crate::show::decisions::opposition_told;
use crate::show::page::{Label, capitalised, listed};
use crate::show::sentence::{claimed, reason, sentence};

/// Answers of one point that are told; the rest is for `lookup`.
pub(super) const TOLD: usize = 3;

pub(super) fn section(card: &Card<'_>) -> Section {
    let entries = card.facts.iter().map(|fact| entry(card, fact)).collect();
    Section { part: Part::Facts, title: "What is known", entries }
}

fn entry(card: &Card<'_>, fact: &Fact<'_>) -> Entry {
    let point = &card.language.catalogue.points[fact.found.point];
    let judged = &fact.found.judged;
    let grade = judged.grade;
    let head = vec![
        (Label::Title, format!("{}: ", capitalised(&point.title))),
        (label(grade), grade.word().to_owned()),
    ];
    let several = judged.answers.len() > 1;
    let mut more = Vec::new();
    for (at, found) in judged.answers.iter().take(TOLD).enumerate() {
        let used = Used { found: fact.found, answer: found };
        let number = if several { format!("{}. ", at + 1) } else { String::new() };
        more.extend(answer(card, &used, number));
    }
    if judged.answers.len() > TOLD {
        let rest = format!("and {} more; `baybook lookup` shows them.", judged.answers.len() - TOLD);
        more.push(vec![aside(rest)]);
    }
    more.extend(fact.found.opposed.iter().map(|one| {
        let [lead, told] = opposition_told(one, card.found.shown);
        vec![(Label::Alarm, lead), plain(told)]
    }));
    let contested_here = card.found.cavities.iter().filter(|one| one.is_claimed_by(fact.found.point));
    more.extend(contested_here.map(|one| contested(card.language, one, card.found.shown).to_vec()));
    more.extend(point.cautions.iter().map(|caution| vec![weak("Caution: "), plain(caution.clone())]));
    Entry { head, more, ..Entry::default() }
}

/// What it says, why it is believed, and the words of the strongest note.
fn answer(card: &Card<'_>, used: &Used<'_>, number: String) -> Vec<Vec<Piece>> {
    let (language, answer) = (card.language, used.answer);
    let values = used.found.values_of(answer, language);
    let mut said = sentence(language, &values);
    if said.is_empty() {
        said = "Only in words".to_owned();
    }
    let several = !number.is_empty();
    let grade = if several { format!("{}: ", capitalised(answer.grade.word())) } else { String::new() };
    let odds = match answer.grade {
        Grade::Disputed | Grade::Thin | Grade::Between => format!("; about {} to be right", answer.support),
        Grade::Proven | Grade::Backed | Grade::Blank => String::new(),
    };
    let why = reason(language, answer.grade, &answer.evidence, &card.found.vehicle);
    let why = if several { why } else { capitalised(&why) };
    // What has to be looked at stands with the doubts; what it has to show stands here, also where evidence is left out.
    let depends = !used.surely();
    let only = format!("Only on {}. ", answer.scope.describe(language.vocabulary()));
    let why = if depends {
        format!("{why}{odds}. ")
    } else {
        format!("{why}{odds}; {}. ", claimed(language, &answer.scope))
    };
    let mut told = vec![vec![
        plain(number),
        value(said),
        plain(". "),
        weak(if depends { only } else { String::new() }),
        (label(answer.grade), grade),
        (Label::Evidence, why),
        super::ids(card, used),
    ]];
    let prose = values.iter().filter(|(field, _)| language.catalogue.fields[*field].kind.is_prose());
    told.extend(prose.map(|(field, text)| {
        let title = format!("{}: ", capitalised(&language.catalogue.fields[*field].title));
        vec![aside(title), plain(text.clone())]
    }));
    told.extend(places(card, used));
    told.extend(remark(card, used));
    told
}

/// Other places at which the same was met.
fn places(card: &Card<'_>, used: &Used<'_>) -> Option<Vec<Piece>> {
    let language = card.language;
    let tally = used.answer.tallies.iter().find(|tally| tally.field == "at" && tally.texts.len() > 1)?;
    let field = language.catalogue.field("at")?;
    let others = tally.texts[1..].iter().take(TOLD);
    let others: Vec<String> =
        others.map(|(text, _)| crate::show::sentence::plain(language, field, text)).collect();
    Some(vec![aside("Also at: "), plain(listed(&others, "or"))])
}

/// The remark of the strongest note that has one.
///
/// Why a place does not suit is part of what is known of it, and is printed where evidence is left out.
fn remark(card: &Card<'_>, used: &Used<'_>) -> Option<Vec<Piece>> {
    let note = used.found.notes_of(used.answer).find(|note| !note.remark.is_empty())?;
    let said = format!("“{}” ({}, {})", note.remark, note.by, date_text(note.day));
    let unfit = used.text(card.language, "suits").as_deref() == Some("no");
    Some(vec![if unfit { weak(said) } else { (Label::Evidence, said) }])
}
