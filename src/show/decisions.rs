//! Decisions for a person: what was decided, and what it makes of notes. The same as JSON.

use serde_json::{Value as Json, json};

use super::ids::{cavity_code, conflict_code, decision_code, note_code};
use super::page::{Label, Page, counted, listed};
use super::preview;
use crate::decision::force::{Force, Opponent};
use crate::decision::{Becomes, Decision, DecisionId, Kind};
use crate::judge::conflict::State;
use crate::judge::decided::Ruling;
use crate::language::Language;
use crate::note::{NoteId, date_text};
use crate::opposition::Opposition;
use crate::preview::Difference;
use crate::reconcile::{Outlook, Turn};
use crate::vehicle::Scope;

/// What a note becomes by a decision of this kind, in words: `narrowed to 2015-2019, tow package`.
#[must_use]
pub fn becomes(language: &Language, kind: Kind, becomes: &Becomes) -> String {
    match becomes {
        Becomes::Kept => match kind {
            Kind::Uphold => "upheld".to_owned(),
            Kind::Recheck => "to be rechecked".to_owned(),
            Kind::Reopen => "again what it says".to_owned(),
            Kind::Narrow | Kind::Split | Kind::Separate | Kind::Retire => "stays".to_owned(),
        },
        Becomes::Retired => "retired".to_owned(),
        Becomes::Narrowed { .. } => {
            format!("narrowed to {}", scope_of(language, becomes).describe(language.vocabulary()))
        }
        Becomes::Separate(place) => format!("right, of place {place}"),
    }
}

/// The scope that stands beside a narrowed note.
#[must_use]
pub fn scope_of(language: &Language, becomes: &Becomes) -> Scope {
    let (years, only) = becomes.scope_texts();
    Scope::parse(years, only, language.vocabulary(), language.year()).unwrap_or_default()
}

/// One decision: who, when, why, and what becomes of its notes.
pub fn one(page: &mut Page, language: &Language, ruling: &Ruling, shown: usize, indent: usize) {
    let decision = &ruling.decision;
    let code = decision_code(ruling.id, shown);
    let who = format!("  {}, {}: ", date_text(decision.day), decision.by);
    let what = if decision.kind == Kind::Reopen {
        let codes: Vec<String> = decision.follows.iter().map(|id| decision_code(*id, shown)).collect();
        format!("took back {}. ", listed(&codes, "and"))
    } else {
        format!("{}. ", decision.kind.done())
    };
    let back = force(&ruling.force, shown);
    page.paragraph(
        indent,
        &[
            (Label::Id, &code),
            (Label::Plain, &who),
            (Label::Title, &what),
            (Label::Plain, "“"),
            (Label::Plain, &decision.because),
            (Label::Plain, "”"),
            (Label::Weak, &back),
        ],
    );
    if !matches!(decision.kind, Kind::Recheck | Kind::Reopen) {
        outcomes(page, language, decision, shown, indent + 4);
    }
}

/// Why a decision does not count, where it does not: ` Taken back later.`
#[must_use]
pub fn force(force: &Force, shown: usize) -> String {
    if force.taken_back {
        return " Taken back later.".to_owned();
    }
    if force.opposed_by.is_empty() {
        return String::new();
    }
    let opponent = |other: &Opponent| format!("{} of {}", decision_code(other.id, shown), other.by);
    let others: Vec<String> = force.opposed_by.iter().map(opponent).collect();
    let until = match force.opposed_by.iter().all(|other| other.decided_anew) {
        true => "somebody decided anew",
        false => "neither counts until somebody decides anew",
    };
    let verb = if others.len() == 1 { "says" } else { "say" };
    format!(" {} {verb} the opposite: {until}.", listed(&others, "and"))
}

/// Decisions that say the opposite of each other: which, about what, and what to do.
pub fn opposition(page: &mut Page, one: &Opposition, shown: usize, indent: usize) {
    let [lead, told] = opposition_told(one, shown);
    page.paragraph(indent, &[(Label::Alarm, &lead), (Label::Plain, &told)]);
}

/// The same in words: what is wrong, then whose decisions they are and what to do.
#[must_use]
pub fn opposition_told(one: &Opposition, shown: usize) -> [String; 2] {
    const LISTED: usize = 3;
    let count = one.rulings.len();
    let (many, none) = if count == 2 { ("Two".to_owned(), "neither") } else { (count.to_string(), "none") };
    let notes: Vec<String> = one.notes.iter().map(|note| note_code(*note, shown)).collect();
    let more = notes.len().saturating_sub(LISTED);
    let more = (more > 0).then(|| format!("{more} more"));
    let about: Vec<String> = notes.iter().take(LISTED).cloned().chain(more).collect();
    let who = |ruling: &Ruling| format!("{} of {}", decision_code(ruling.id, shown), ruling.decision.by);
    let who: Vec<String> = one.rulings.iter().map(who).collect();
    let lead =
        format!("{many} decisions about {} say the opposite, and {none} counts: ", listed(&about, "and"));
    let anew = notes.first().map(|note| format!("; decide anew with `baybook reconcile {note}`"));
    [lead, format!("{}{}.", who.join(", "), anew.unwrap_or_default())]
}

/// The same as JSON.
#[must_use]
pub fn opposition_json(one: &Opposition, shown: usize) -> Json {
    let decision = |ruling: &Ruling| {
        let (id, on) = (ruling.id.to_string(), date_text(ruling.decision.day));
        json!({ "id": id, "by": ruling.decision.by, "on": on })
    };
    json!({
        "notes": one.notes.iter().map(|note| note_code(*note, shown)).collect::<Vec<_>>(),
        "decisions": one.rulings.iter().map(decision).collect::<Vec<_>>(),
    })
}

/// What becomes of notes, those that become the same in one line.
pub fn outcomes(page: &mut Page, language: &Language, decision: &Decision, shown: usize, indent: usize) {
    let mut groups: Vec<(&Becomes, Vec<NoteId>)> = Vec::new();
    for (note, becomes) in &decision.about {
        match groups.iter_mut().find(|(known, _)| *known == becomes) {
            Some((_, notes)) => notes.push(*note),
            None => groups.push((becomes, vec![*note])),
        }
    }
    groups.sort_by_key(|(becomes, _)| *becomes);
    for (becomes, notes) in groups {
        let codes: Vec<String> = notes.iter().map(|note| note_code(*note, shown)).collect();
        let told = format!(": {}", self::becomes(language, decision.kind, becomes));
        page.paragraph(indent, &[(Label::Id, &codes.join(" ")), (Label::Plain, &told)]);
    }
}

/// The other conflicts that a decision settles, opens again or leaves to be rechecked.
pub fn turns(page: &mut Page, language: &Language, turns: &[&Turn], shown: usize) {
    let leads = [
        (State::Settled, "Also settles: ", Label::Sure),
        (State::Open, "Also opens again: ", Label::Alarm),
        (State::Recheck, "Also to be rechecked: ", Label::Weak),
    ];
    for (state, lead, label) in leads {
        let told = |turn: &&Turn| {
            let title = &language.catalogue.points[turn.point].title;
            format!("{}, {title}", turn_code(turn, shown))
        };
        let told: Vec<String> = turns.iter().filter(|turn| turn.becomes == state).map(told).collect();
        if !told.is_empty() {
            page.paragraph(2, &[(label, lead), (Label::Plain, &told.join("; "))]);
        }
    }
}

fn turn_code(turn: &Turn, shown: usize) -> String {
    if turn.is_cavity { cavity_code(turn.anchor, shown) } else { conflict_code(turn.anchor, shown) }
}

/// The pairs of notes that contradict each other.
pub fn contradicting(page: &mut Page, lead: &str, pairs: &[(NoteId, NoteId)], shown: usize) {
    const LISTED: usize = 6;
    if pairs.is_empty() {
        return;
    }
    let told: Vec<String> = pairs
        .iter()
        .take(LISTED)
        .map(|(a, b)| format!("{} against {}", note_code(*a, shown), note_code(*b, shown)))
        .collect();
    let more = pairs.len().saturating_sub(LISTED);
    let more = if more > 0 { format!(", and {}", counted(more, "more pair")) } else { String::new() };
    page.paragraph(2, &[(Label::Weak, lead), (Label::Plain, &told.join(", ")), (Label::Plain, &more)]);
}

/// A decision as JSON; its shape is written down in DEVELOPERS.md.
#[must_use]
pub fn to_json(language: &Language, id: DecisionId, decision: &Decision) -> Json {
    let about: Vec<Json> = decision
        .about
        .iter()
        .map(|(note, becomes)| {
            let mut json = json!({ "note": note.to_string(), "becomes": becomes.word() });
            if let Becomes::Narrowed { .. } = becomes {
                json["scope"] = json!(scope_of(language, becomes).to_json());
            }
            json
        })
        .collect();
    json!({
        "id": id.to_string(),
        "kind": decision.kind,
        "by": decision.by,
        "on": date_text(decision.day),
        "because": decision.because,
        "follows": decision.follows.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "about": about,
    })
}

/// A decision as JSON, with whether another takes it back, and which oppose it.
#[must_use]
pub fn ruling_json(language: &Language, ruling: &Ruling) -> Json {
    let mut json = to_json(language, ruling.id, &ruling.decision);
    json["taken_back"] = json!(ruling.force.taken_back);
    let opponent = |other: &Opponent| {
        let (id, on) = (other.id.to_string(), date_text(other.day));
        json!({ "id": id, "by": other.by, "on": on, "decided_anew": other.decided_anew })
    };
    json["opposed_by"] = json!(ruling.force.opposed_by.iter().map(opponent).collect::<Vec<_>>());
    json
}

/// The same where there is nothing to decide.
#[must_use]
pub fn nothing_json() -> Json {
    json!({ "decision": null, "written": false, "changes": [], "new_contradictions": [], "left_contradictions": [], "conflicts": [] })
}

/// What would come of a decision, as JSON.
#[must_use]
pub fn outlook_json(
    language: &Language,
    decision: &Decision,
    outlook: &Outlook,
    differences: &[Difference],
    written: bool,
    shown: usize,
) -> Json {
    let turn =
        |turn: &Turn| json!({ "id": turn_code(turn, shown), "was": turn.was, "becomes": turn.becomes });
    let pairs = |pairs: &[(NoteId, NoteId)]| {
        pairs.iter().map(|(a, b)| json!([a.to_string(), b.to_string()])).collect::<Vec<_>>()
    };
    json!({
        "decision": to_json(language, decision.id(), decision),
        "written": written,
        "changes": preview::to_json(language, differences),
        "new_contradictions": pairs(&outlook.new),
        "left_contradictions": pairs(&outlook.left),
        "conflicts": outlook.turns.iter().map(turn).collect::<Vec<_>>(),
    })
}
