//! What each phrase of a question weighs, and by which ways it is looked for: the rarer and the more exact a meaning,
//! the heavier. The weights are our own, tuned on judged questions over invented notes; no source.

use super::find::Wanted;
use super::meaning::{How, Meaning, Way};
use super::question::{Asked, FULLY, Known, Question};
use super::term::{self, Kind};
use crate::language::Language;
use crate::value::lexicon::Side;
use crate::value::quantity::Quantity;
use crate::value::{FieldKind, Relation, Typed};

/// How well a note answers where a typing error was forgiven.
const FORGIVEN: f32 = 0.85;
/// The share of the weight that does not depend on how rare a meaning is.
const STEADY: f32 = 0.75;
/// The same of a word that means nothing by itself: whether it tells anything depends on how rare it is.
const STEADY_WORD: f32 = 0.3;
/// What the model weighs of all that is asked beside the vehicle: the right thing on another vehicle stands below it,
/// but above what has nothing of it on this one.
const MODEL: f32 = 0.6;
/// What it weighs where nothing else is asked.
const MODEL_ALONE: f32 = 2.5;
/// The same of the maker.
const MAKE: f32 = 0.6;
const MAKE_ALONE: f32 = 1.6;
/// And of the year, which people remember less well.
const YEAR: f32 = 0.2;
const YEAR_ALONE: f32 = 1.1;
/// How well a size answers that is the same within the tolerance of its field, and what it loses at most by how far off
/// it is, as a share.
const ALIKE: f32 = 0.97;
const MOST_OFF: f32 = 0.1;
/// What one of two meanings is worth that a phrase may have, where it is the less likely.
const SECOND: f32 = 0.6;

/// The sides that part the vehicle lengthwise.
const ACROSS: [Side; 4] = [Side::Left, Side::Right, Side::Driver, Side::Passenger];

fn weight(meaning: &Meaning) -> f32 {
    match meaning {
        Meaning::Model(_) => 0.0,
        Meaning::Make(_) => MAKE_ALONE,
        Meaning::Year(_) | Meaning::Written(_) => YEAR_ALONE,
        Meaning::Colour(_) | Meaning::Point(_) => 2.0,
        Meaning::Spot(spot) if spot.relation.is_some() => 2.5,
        Meaning::Spot(_) | Meaning::Thread(_) => 1.8,
        Meaning::Code(..) | Meaning::Quantity(..) => 1.6,
        Meaning::Person(_) => 1.4,
        Meaning::Choice(..) => 1.1,
        Meaning::Sides(sides, _) if ACROSS.iter().any(|side| sides.holds((*side).into())) => 0.9,
        Meaning::Sides(..) | Meaning::Attribute(..) | Meaning::Word(_) | Meaning::Field(_) => 0.7,
        Meaning::Basis(_) => 0.5,
    }
}

/// How sure it is that a phrase means this, where it may mean several things.
fn likelihood(meaning: &Meaning, among: &[Meaning]) -> f32 {
    let better = |other: &Meaning| weight(other) > weight(meaning) && !alike(other, meaning);
    let is_choice = matches!(meaning, Meaning::Choice(..) | Meaning::Word(_) | Meaning::Code(None, _));
    if is_choice && among.iter().any(better) {
        return SECOND;
    }
    let namesake = among.iter().find_map(|other| match other {
        Meaning::Spot(spot) if matches!(meaning, Meaning::Point(_)) => Some(spot),
        _ => None,
    });
    // A part of which the side is said is rather the place.
    namesake.map_or(1.0, |spot| if spot.sides.is_empty() { NAMESAKE } else { SECOND })
}

/// What a point is worth that is called like a part: of its notes those at the part come first.
const NAMESAKE: f32 = 0.95;

fn alike(a: &Meaning, b: &Meaning) -> bool {
    std::mem::discriminant(a) == std::mem::discriminant(b)
}

/// What a phrase that says of which vehicle weighs of all else that is asked, and what it weighs alone.
fn of_vehicle(asked: &Asked) -> Option<(f32, f32)> {
    match asked.meanings.first() {
        Some(Meaning::Model(_)) => Some((MODEL, MODEL_ALONE)),
        Some(Meaning::Make(_)) => Some((MAKE, MAKE_ALONE)),
        Some(Meaning::Year(_)) => Some((YEAR, YEAR_ALONE)),
        _ => None,
    }
}

/// A phrase as it is looked for, with how many notes answer to it in full.
#[derive(Debug, Clone)]
pub(super) struct Weighed {
    pub(super) wanted: Wanted,
    pub(super) notes: u64,
}

/// Weighs the phrases of a question; `notes` is how many the book holds.
pub(super) fn weigh(question: &Question, language: &Language, known: &dyn Known, notes: u64) -> Vec<Weighed> {
    let mut weighed: Vec<Weighed> =
        question.asked.iter().map(|asked| of_phrase(asked, question, language, known, notes)).collect();
    let others: f32 = question
        .asked
        .iter()
        .zip(&weighed)
        .filter(|(asked, weighed)| of_vehicle(asked).is_none() && weighed.notes > 0)
        .map(|(_, weighed)| weighed.wanted.weight)
        .sum();
    for (asked, weighed) in question.asked.iter().zip(&mut weighed).filter(|(asked, _)| !asked.denied) {
        if let Some((share, alone)) = of_vehicle(asked) {
            weighed.wanted.weight = if others > 0.0 { share * others } else { alone };
        }
    }
    weighed
}

/// What is not meant is not looked for; how many notes have it is told.
fn denied(asked: &Asked, known: &dyn Known) -> Weighed {
    let ways = asked.meanings.iter().flat_map(Meaning::ways).filter(|way| way.strength >= FULLY);
    let notes = ways.map(|way| known.count(&way.term)).max().unwrap_or(0);
    Weighed { wanted: Wanted { weight: 0.0, ways: Vec::new(), against: Vec::new() }, notes }
}

/// Whether a point that goes by the name of a part is named by other words as well: then this part is the place, as in
/// `through the firewall, at the firewall grommet`.
fn is_named_elsewhere(meaning: &Meaning, asked: &Asked, question: &Question) -> bool {
    let is_spot = |meaning: &Meaning| matches!(meaning, Meaning::Spot(_));
    let means = |other: &Asked| other.meanings.contains(meaning);
    let clearer = |other: &Asked| means(other) && !other.meanings.iter().any(is_spot);
    let first = || question.asked.iter().find(|other| means(other));
    matches!(meaning, Meaning::Point(_))
        && asked.meanings.iter().any(is_spot)
        && (question.asked.iter().any(clearer) || first().is_some_and(|first| !std::ptr::eq(first, asked)))
}

/// Whether a choice tells which of several a point is that is named elsewhere in the question, which is then what is
/// meant: what is carried by a `trailer plug`.
fn is_of_named_point(meaning: &Meaning, asked: &Asked, question: &Question, language: &Language) -> bool {
    let Meaning::Choice(field, _) = meaning else { return false };
    let has_it = |point: &str| {
        let point = language.catalogue.point(point).map(|at| &language.catalogue.points[at]);
        point.is_some_and(|point| {
            point.identified_by.iter().any(|at| language.catalogue.fields[*at].name == *field)
        })
    };
    let others = question.asked.iter().filter(|other| !std::ptr::eq(*other, asked));
    let meant =
        others.flat_map(|other| other.meanings.iter().chain(other.hints.iter().map(|(hint, _)| hint)));
    let mut named = meant.filter_map(|meaning| match meaning {
        Meaning::Point(name) => Some(name),
        _ => None,
    });
    named.any(|name| has_it(name))
}

fn of_phrase(
    asked: &Asked,
    question: &Question,
    language: &Language,
    known: &dyn Known,
    notes: u64,
) -> Weighed {
    if asked.denied {
        return denied(asked, known);
    }
    let mut ways = Vec::new();
    for meaning in &asked.meanings {
        let likely = match meaning {
            // By a word of its name a point is meant as much as the part that goes by it.
            Meaning::Point(_) if asked.in_part => 1.0,
            point if is_named_elsewhere(point, asked, question) => SECOND,
            choice if is_of_named_point(choice, asked, question, language) => 1.0,
            _ => likelihood(meaning, &asked.meanings),
        };
        let found = match meaning {
            Meaning::Quantity(field, quantity) => quantities(field, quantity, language, known),
            _ => meaning.ways(),
        };
        ways.extend(found.into_iter().map(|way| Way { strength: way.strength * likely, ..way }));
    }
    for (hint, likely) in &asked.hints {
        let found = hint.ways().into_iter().filter(|way| way.how != How::Remark);
        ways.extend(found.map(|way| Way { strength: way.strength * likely, how: How::Near, ..way }));
    }
    if asked.forgiven {
        ways.iter_mut().for_each(|way| way.strength *= FORGIVEN);
    }
    if let Some(key) = &asked.literal {
        ways.push(Way { term: Kind::Word.term(key), strength: 1.0, how: How::Same });
    }
    ways.sort_by(|a, b| b.strength.total_cmp(&a.strength).then_with(|| a.term.cmp(&b.term)));
    let mut seen = std::collections::HashSet::new();
    ways.retain(|way| seen.insert(way.term.clone()));
    let full = ways.first().map_or(0.0, |way| way.strength) * 0.7;
    // Ways of one meaning hold notes in common: the commonest tells best how many there are.
    let counts: Vec<(f32, u64)> = ways.iter().map(|way| (way.strength, known.count(&way.term))).collect();
    let most = |least: f32| counts.iter().filter(|own| own.0 >= least).map(|own| own.1).max().unwrap_or(0);
    let (answering, any) = (most(full), most(0.0));
    let rare = rareness(if answering > 0 { answering } else { any }, notes);
    let word = matches!(asked.meanings[..], [Meaning::Word(_)]);
    let steady = if word { STEADY_WORD } else { STEADY };
    let heaviest = asked.meanings.iter().map(weight).fold(0.0, f32::max);
    let against = match &asked.meanings[..] {
        [one] => one.against(),
        _ => Vec::new(),
    };
    let weight = heaviest * (steady + (1.0 - steady) * rare);
    let notes = if answering > 0 { answering } else { any };
    Weighed { wanted: Wanted { weight, ways, against }, notes }
}

/// For the sizes that no note has, the nearest that some note does have, in words.
pub(super) fn nearest_sizes<'q>(
    question: &'q Question,
    weighed: &'q [Weighed],
    language: &'q Language,
    known: &'q dyn Known,
) -> impl Iterator<Item = String> + 'q {
    let lacking = question.asked.iter().zip(weighed).filter(|(_, own)| own.notes == 0);
    lacking.filter_map(move |(asked, _)| {
        let near = asked.meanings.iter().filter_map(|meaning| match meaning {
            Meaning::Quantity(field, size) => nearest_size(field, size, language, known),
            _ => None,
        });
        near.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, text)| text)
    })
}

/// How far off as a share of what is asked, and in words.
fn nearest_size(
    field: &str,
    asked: &Quantity,
    language: &Language,
    known: &dyn Known,
) -> Option<(f64, String)> {
    let field = &language.catalogue.fields[language.catalogue.field(field)?];
    let FieldKind::Quantity(rule) = &field.kind else { return None };
    let mut nearest: Option<(f64, Quantity)> = None;
    let (from, to) = (format!("{} ", field.name), format!("{}!", field.name));
    known.between(&Kind::Quantity.term(&from), &Kind::Quantity.term(&to), &mut |term, _| {
        let size = term::quantity_of(term).and_then(|text| Quantity::parse(text, rule).ok());
        let Some(size) = size else { return };
        // As a share, since fields measure in units of their own.
        let off = (size.rank() - asked.rank()).abs() / asked.rank().abs().max(f64::EPSILON);
        if nearest.as_ref().is_none_or(|(least, _)| off < *least) {
            nearest = Some((off, size));
        }
    });
    nearest.map(|(off, size)| (off, format!("{} {}", field.title, size.plain())))
}

/// How rare something is that so many of all notes have: 1 where hardly any has it, 0 where all do.
fn rareness(having: u64, notes: u64) -> f32 {
    let share = |count: u64| (count as f32 + 1.0).ln();
    (1.0 - share(having) / share(notes.max(having).max(1))).clamp(0.0, 1.0)
}

/// The quantities of a field, among those that notes have, that say the same as the one that is asked, whatever unit
/// they were written in.
fn quantities(field: &str, asked: &Quantity, language: &Language, known: &dyn Known) -> Vec<Way> {
    let Some(FieldKind::Quantity(rule)) =
        language.catalogue.field(field).map(|at| &language.catalogue.fields[at].kind)
    else {
        return Vec::new();
    };
    let (low, high) = asked.ranks_alike();
    let (from, to) = (term::quantity_key(field, low), term::quantity_key(field, high.min(1e8)) + "~");
    let text = asked.to_string();
    let mut ways = Vec::new();
    let mut take = |term: &str| {
        let Some(canonical) = term::quantity_of(term) else { return };
        let Ok(other) = Quantity::parse(canonical, rule) else { return };
        if other.relation(asked) == Relation::Same {
            let off = (other.rank() - asked.rank()).abs() / asked.rank().abs().max(f64::EPSILON);
            let (strength, how) = match canonical == text {
                true => (1.0, How::Same),
                false => (ALIKE - (off as f32).min(MOST_OFF), How::Near),
            };
            ways.push(Way { term: term.to_owned(), strength, how });
        }
    };
    known.between(&Kind::Quantity.term(&from), &Kind::Quantity.term(&to), &mut |term, _| take(term));
    let said: Vec<Way> = ways
        .iter()
        .map(|way| Way { term: term::in_remark(&way.term), strength: 0.4, how: How::Remark })
        .collect();
    ways.extend(said);
    ways.extend(
        Meaning::Quantity(field.to_owned(), asked.clone())
            .ways()
            .into_iter()
            .filter(|way| way.how == How::Remark),
    );
    ways
}
