//! What a question asks: its phrases with all that they may mean, vehicles and people of the book among them, and its
//! typing errors forgiven.
//!
//! The phrases are cut by `cut`, slips mended by `mend`, vehicles found by the resolver of `lookup`. What each phrase
//! weighs is settled by `weigh`.

use std::collections::BTreeMap;
use std::ops::Range;

use super::cut::{Cutter, Phrase, written};
use super::figures;
use super::meaning::Meaning;
use super::mend::{Mended, Unknown, replaced};
use super::spell;
use super::term::Kind;
use crate::book::ModelId;
use crate::note::Basis;
use crate::resolve::{Name, Names, resolve};
use crate::value::colour::Colour;
use crate::value::place::DriveSide;
use crate::vehicle::names::fold;
use crate::vehicle::{ModelYear, Years};

/// What the notes of a book know: which terms there are.
pub(super) trait Known {
    /// How many notes have a term.
    fn count(&self, term: &str) -> u64;
    /// Tells every term between two, and how many notes have it.
    fn between(&self, from: &str, to: &str, tell: &mut dyn FnMut(&str, u64));
}

/// Names of the book that a question may name.
pub(super) struct Register<'a, N: Names> {
    pub(super) names: &'a N,
    /// The people, by number: key and name.
    pub(super) people: &'a BTreeMap<i64, (String, String)>,
}

/// One phrase of a question.
#[derive(Debug, Clone)]
pub(super) struct Asked {
    /// As it was written.
    pub(super) written: String,
    pub(super) meanings: Vec<Meaning>,
    /// What may be meant as well, less likely, and how likely.
    pub(super) hints: Vec<(Meaning, f32)>,
    /// Whether it is a word of the name of a point, which may be meant.
    pub(super) in_part: bool,
    /// Whether a typing error was forgiven in it.
    pub(super) forgiven: bool,
    /// Whether it says what is not meant: `not violet`.
    pub(super) denied: bool,
    /// The word as it was written, where a few notes have that very word.
    pub(super) literal: Option<String>,
}

/// A question as understood.
#[derive(Debug, Default)]
pub(super) struct Question {
    pub(super) asked: Vec<Asked>,
    /// What was written, and what it was taken for.
    pub(super) forgiven: Vec<(String, String)>,
    /// For words that are known neither to the language nor to any note, the nearest that notes have.
    pub(super) near: Vec<String>,
    /// What is wrong with words that were understood in part.
    pub(super) problems: Vec<String>,
}

impl Question {
    /// The terms of notes that say in full what is not meant.
    pub(super) fn denied_terms(&self) -> Vec<String> {
        let denied = self.asked.iter().filter(|asked| asked.denied).flat_map(|asked| &asked.meanings);
        let ways = denied.flat_map(Meaning::ways).filter(|way| way.strength >= FULLY);
        ways.map(|way| way.term).collect()
    }

    /// Where a person is named, a year is rather the one in which they wrote, and it may be where a vehicle is named,
    /// too.
    fn take_years_for_dates(&mut self) {
        let has = |wanted: fn(&Meaning) -> bool| {
            self.asked.iter().any(|asked| !asked.denied && asked.meanings.iter().any(wanted))
        };
        if !has(|meaning| matches!(meaning, Meaning::Person(_))) {
            return;
        }
        let of_vehicle = has(|meaning| matches!(meaning, Meaning::Model(_) | Meaning::Make(_)));
        for asked in &mut self.asked {
            let [Meaning::Year(year)] = asked.meanings[..] else { continue };
            let (first, other) = (Meaning::Year(year), Meaning::Written(year));
            let (first, other) = if of_vehicle { (first, other) } else { (other, first) };
            asked.meanings = vec![first];
            asked.hints.push((other, OTHER_YEAR));
        }
    }
}

/// How well a note answers at least that says all of a meaning.
pub(super) const FULLY: f32 = 0.85;

/// The most words of a question that are looked at.
pub(super) const MOST_WORDS: usize = 400;
/// The most years of a range that are looked for one by one.
const MOST_YEARS: u16 = 40;

/// How likely a point or a part is meant of whose name only a word was written.
const HINTED: f32 = 0.35;
/// How likely a point is meant by the first word of another name of it.
const ALIASED: f32 = 0.8;
/// How likely a part is meant that is called like the one that was written, and more.
const KIN: f32 = 0.85;

/// How likely a remark is meant by a word for what a vehicle has.
const TOLD: f32 = 0.6;
/// How likely a year is the less likely of the model year and the one in which somebody wrote.
const OTHER_YEAR: f32 = 0.6;

/// A word that so few notes have, and the language does not know, may be a slip in those notes.
const FEW: u64 = 3;

/// Understands the words of a question.
///
/// # Errors
/// The names of the book cannot be read.
pub(super) fn understand<N: Names<Id = ModelId>>(
    text: &str,
    cutter: &Cutter<'_>,
    register: &Register<'_, N>,
    known: &dyn Known,
) -> Result<Question, N::Error> {
    let reader = Reader { cutter, register, known };
    let (mut first, unknown) = reader.once(text, &[])?;
    let mended = reader.mend(text, &unknown);
    if mended.is_empty() {
        let misspelt = unknown.iter().filter(|word| spell::may_be_misspelt(&word.key));
        first.near = misspelt.filter_map(|word| reader.words_of_notes(&word.key, 2)).collect();
        return Ok(first);
    }
    let (text, mended) = replaced(text, mended);
    let (mut question, _) = reader.once(&text, &mended)?;
    for word in mended {
        let told = (word.was, word.by);
        if !question.forgiven.contains(&told) {
            question.forgiven.push(told);
        }
    }
    Ok(question)
}

/// Names of which only those that are written exactly are found: typing errors are forgiven later, and not where
/// a word means something else.
struct Exactly<'a, N>(&'a N);

impl<N: Names> Names for Exactly<'_, N> {
    type Id = N::Id;
    type Error = N::Error;

    fn called(&self, key: &str) -> Result<Vec<Name<N::Id>>, N::Error> {
        self.0.called(key)
    }

    fn all(&self) -> Result<Vec<Name<N::Id>>, N::Error> {
        Ok(Vec::new())
    }
}

pub(super) struct Reader<'a, 'l, N: Names> {
    pub(super) cutter: &'a Cutter<'l>,
    pub(super) register: &'a Register<'a, N>,
    pub(super) known: &'a dyn Known,
}

impl<N: Names<Id = ModelId>> Reader<'_, '_, N> {
    /// Reads the text; gives the spans of the words that nobody knows as well.
    fn once(&self, text: &str, mended: &[Mended]) -> Result<(Question, Vec<Unknown>), N::Error> {
        let mut phrases = self.cutter.cut_question(text);
        let mut question = Question::default();
        self.vehicles(text, &mut phrases, &mut question)?;
        self.makers(text, &mut phrases);
        let names_a_point = |phrase: &Phrase| {
            phrase.meanings.iter().any(is_point) || self.cutter.begins_a_name(&text[phrase.span.clone()])
        };
        let named = phrases.iter().any(names_a_point);
        let said: Vec<Meaning> =
            phrases.iter().flat_map(|phrase| &phrase.meanings).filter(|own| is_point(own)).cloned().collect();
        let mut unknown = Vec::new();
        for phrase in phrases {
            question.problems.extend(problems(text, &phrase).filter(|_| mended.is_empty()));
            let words = text[phrase.span.clone()].to_owned();
            let mut slips = mended.iter().filter(|word| overlaps(&word.span, &phrase.span));
            let slip = slips.next();
            let (forgiven, literal) = (slip.is_some(), slip.and_then(|word| word.literal.clone()));
            let mut meanings = phrase.meanings;
            let mut hints = Vec::new();
            if let [Meaning::Word(key)] = &meanings[..] {
                let key = key.clone();
                let behind = &text[phrase.span.end..];
                meanings.splice(0..0, self.word(&words, &key, behind));
                hints.extend(self.cutter.hinted_by(&key).into_iter().map(|hint| (hint, HINTED)));
                let few = || self.known.count(&Kind::Word.term(&key)) <= FEW;
                if meanings.len() == 1 && hints.is_empty() && !forgiven && few() {
                    unknown.push(Unknown { span: phrase.span.clone(), key: key.clone() });
                }
                hints.extend(self.cutter.aliased_by(&key).into_iter().map(|hint| (hint, ALIASED)));
            }
            hints.extend(self.told_of(&meanings, &words));
            let spots = meanings.iter().filter_map(|meaning| match meaning {
                Meaning::Spot(spot) => Some(self.cutter.kin(spot)),
                _ => None,
            });
            hints.extend(spots.flatten().map(|kin| (kin, KIN)).collect::<Vec<_>>());
            if let [Meaning::Spot(spot)] = &meanings[..] {
                let mut points = self.cutter.namesakes(spot);
                points.retain(|point| !said.contains(point));
                hints.extend(points.into_iter().map(|point| (point, ALIASED)));
            }
            let before = &text[..phrase.span.start];
            let denied = is_deniable(&meanings) && is_denied(before);
            let mut points = Vec::new();
            if !named && !stands_somewhere(before) {
                points = self.cutter.named_in_part(&words, &meanings);
            }
            let in_part = !points.is_empty();
            meanings.splice(0..0, points);
            question.asked.push(Asked {
                written: words,
                meanings,
                hints,
                in_part,
                forgiven,
                denied,
                literal,
            });
        }
        question.take_years_for_dates();
        Ok((question, unknown))
    }

    /// What a vehicle has, a remark may tell of by the same word: `old alarm`.
    fn told_of(&self, meanings: &[Meaning], words: &str) -> Option<(Meaning, f32)> {
        match (meanings, &self.cutter.lexicon.words(words)[..]) {
            ([Meaning::Attribute(..)], [word]) => Some((Meaning::Word(fold(&word.key)), TOLD)),
            _ => None,
        }
    }

    /// Takes the words of a model and of a year from those that mean nothing else.
    fn vehicles(
        &self,
        text: &str,
        phrases: &mut Vec<Phrase>,
        question: &mut Question,
    ) -> Result<(), N::Error> {
        let free: Vec<usize> = (0..phrases.len()).filter(|at| is_free(&phrases[*at])).collect();
        if free.is_empty() {
            return Ok(());
        }
        let words: Vec<String> = free.iter().map(|at| text[phrases[*at].span.clone()].to_owned()).collect();
        let resolved = resolve(&words, self.cutter.language, &Exactly(self.register.names))?;
        let mut left = resolved.not_understood.iter().peekable();
        let mut taken: Vec<usize> = Vec::new();
        for (at, word) in free.iter().zip(&words) {
            match left.peek() {
                Some(next) if next.as_str() == word.trim_matches([',', ';']) => drop(left.next()),
                _ => taken.push(*at),
            }
        }
        let named = !resolved.models.is_empty();
        let year = resolved.vehicle.year().filter(|year| named || is_written_in_full(&words, *year));
        let spans: Vec<Range<usize>> = taken.iter().map(|at| phrases[*at].span.clone()).collect();
        let is_year = |span: &&Range<usize>| {
            year.is_some()
                && text[(*span).clone()].contains(|c: char| c.is_ascii_digit())
                && ModelYear::parse(&text[(*span).clone()], self.cutter.language.year()).ok() == year
        };
        let of_year = spans.iter().find(is_year).cloned();
        question.problems.extend(resolved.problems);
        // Attributes were cut before: what is taken beside the year is the name of the model.
        let of_model: Vec<&Range<usize>> =
            spans.iter().filter(|span| Some(*span) != of_year.as_ref()).collect();
        if named && let (Some(first), Some(last)) = (of_model.first(), of_model.last()) {
            let meanings = resolved.models.iter().map(|name| Meaning::Model(name.id)).collect();
            phrases.push(Phrase { span: first.start..last.end, meanings });
        }
        if let (Some(year), Some(span)) = (year, &of_year) {
            phrases.push(Phrase { span: span.clone(), meanings: vec![Meaning::Year(year)] });
        }
        let gone = |phrase: &Phrase| {
            is_free(phrase)
                && (of_year.as_ref() == Some(&phrase.span) || (named && of_model.contains(&&phrase.span)))
        };
        phrases.retain(|phrase| !gone(phrase));
        phrases.sort_by_key(|phrase| phrase.span.start);
        self.ranges(text, phrases);
        Ok(())
    }

    /// Words such as `2015-2019`: any of these years.
    fn ranges(&self, text: &str, phrases: &mut [Phrase]) {
        let today = self.cutter.language.year();
        for phrase in phrases.iter_mut().filter(|phrase| is_free(phrase)) {
            let written = &text[phrase.span.clone()];
            let Ok(years) = Years::parse(written, today) else { continue };
            let [Some(from), Some(to)] = years.ends() else { continue };
            if from < to && to.get() - from.get() < MOST_YEARS {
                phrase.meanings =
                    (from.get()..=to.get()).map(|year| Meaning::Year(ModelYear::new(year))).collect();
            }
        }
    }

    /// Finds makers among the words that are left.
    fn makers(&self, text: &str, phrases: &mut Vec<Phrase>) {
        let mut at = 0;
        while at < phrases.len() {
            let run = [3, 2, 1].into_iter().find_map(|length| {
                let run = phrases.get(at..at + length)?;
                let key = fold(&text[run[0].span.start..run[length - 1].span.end]);
                let known = run.iter().all(is_free) && self.known.count(&Kind::Make.term(&key)) > 0;
                known.then_some((length, key))
            });
            if let Some((length, key)) = run {
                let span = phrases[at].span.start..phrases[at + length - 1].span.end;
                phrases.splice(at..at + length, [Phrase { span, meanings: vec![Meaning::Make(key)] }]);
            }
            at += 1;
        }
    }

    /// What a word that the language does not know may mean in this book.
    fn word(&self, written: &str, key: &str, behind: &str) -> Vec<Meaning> {
        let mut meanings = Vec::new();
        if let Some(basis) = Basis::parse(written).filter(|_| !is_told_to_somebody(behind)) {
            meanings.push(Meaning::Basis(basis));
        }
        if figures::is_decimal(written) {
            meanings.extend(figures::bare(self.cutter.language, written));
        } else if key.bytes().all(|byte| byte.is_ascii_digit()) {
            meanings.push(Meaning::Code(None, key.to_owned()));
        }
        let fields = self.cutter.language.catalogue.fields.iter();
        let fields = fields.filter(|field| field.title == key || field.name == key);
        meanings.extend(fields.map(|field| Meaning::Field(field.name.to_string())));
        meanings.extend(figures::measured_in(self.cutter.language, &written.to_lowercase()));
        let folded = fold(written);
        let called = |name: &str| name.split_whitespace().any(|part| fold(part) == folded);
        let people = self.register.people.values();
        let called = people.filter(|(_, name)| folded.len() >= 3 && called(name));
        meanings.extend(called.map(|(key, _)| Meaning::Person(key.clone())));
        meanings
    }
}

/// Whether somebody stands behind a word: `told me` is said of how one knows, not of how the note knows.
fn is_told_to_somebody(behind: &str) -> bool {
    let next = behind.split_whitespace().next().map(fold).unwrap_or_default();
    ["me", "us", "him", "her", "them", "you"].contains(&next.as_str())
}

fn is_point(meaning: &Meaning) -> bool {
    matches!(meaning, Meaning::Point(_))
}

/// What can be left out: a colour, a model or a maker.
fn is_deniable(meanings: &[Meaning]) -> bool {
    let vehicle = |meaning: &Meaning| matches!(meaning, Meaning::Model(_) | Meaning::Make(_));
    matches!(meanings, [Meaning::Colour(_)]) || (!meanings.is_empty() && meanings.iter().all(vehicle))
}

/// Whether a place is spoken of: `at the battery` is no battery feed.
fn stands_somewhere(before: &str) -> bool {
    let words = before.split_whitespace().rev().map(fold);
    let mut words = words.skip_while(|word| ["a", "an", "the"].contains(&word.as_str()));
    words
        .next()
        .is_some_and(|word| ["at", "by", "from", "in", "inside", "on", "to", "with"].contains(&word.as_str()))
}

/// What a person should know of how a phrase is read: that a colour is doubtful, that a `not` is passed over.
fn problems(text: &str, phrase: &Phrase) -> impl Iterator<Item = String> {
    let written = &text[phrase.span.clone()];
    let colours = phrase.meanings.len() > 1
        && phrase.meanings.iter().all(|meaning| matches!(meaning, Meaning::Colour(_)));
    let doubtful = Colour::parse(written)
        .err()
        .filter(|_| colours)
        .map(|misread| format!("{}; all of these are looked for", misread.message));
    let before = text[..phrase.span.start].split_whitespace().next_back().map(fold);
    let passed_over = before.as_deref() == Some("not") && !is_free(phrase) && !is_deniable(&phrase.meanings);
    let passed_over = passed_over.then(|| {
        format!("the 'not' before '{written}' is passed over: only a colour or a vehicle can be left out")
    });
    doubtful.into_iter().chain(passed_over)
}

/// Whether the words before a colour or a vehicle take it away: `not violet`, `not the violet`.
fn is_denied(before: &str) -> bool {
    let words = before.split_whitespace().rev().map(fold);
    let mut words = words.skip_while(|word| ["a", "an", "any", "the"].contains(&word.as_str()));
    words.next().is_some_and(|word| ["not", "no", "never", "isnt", "aint"].contains(&word.as_str()))
}

/// Whether nothing but a word is known of a phrase.
fn is_free(phrase: &Phrase) -> bool {
    matches!(phrase.meanings[..], [Meaning::Word(_)])
}

/// Two digits are a year only beside a vehicle.
fn is_written_in_full(words: &[String], year: ModelYear) -> bool {
    words.iter().any(|word| word.contains(&year.to_string()) || word.starts_with(['\'', '\u{2019}']))
}

fn overlaps(a: &Range<usize>, b: &Range<usize>) -> bool {
    a.start < b.end && b.start < a.end
}

/// The words without small ones at their beginning: `the gas` is no longer a phrase than `gas`, and `with` says no
/// more.
fn carrying(texts: &[&str], words: Range<usize>) -> Range<usize> {
    let small = |word: &&str| ["the", "a", "with", "and", "w"].contains(&fold(word).as_str());
    let start = words.start + texts[words.clone()].iter().take_while(|word| small(word)).count();
    start.min(words.end - 1)..words.end
}

impl Cutter<'_> {
    /// Cuts a question: as any text, and by the attributes of vehicles that it names.
    fn cut_question(&self, text: &str) -> Vec<Phrase> {
        let words = self.lexicon.words(text);
        let texts: Vec<&str> = words.iter().map(|word| written(text, word)).collect();
        let found = self.language.vocabulary().read_words(&texts).found;
        let attributes = found
            .into_iter()
            .map(|found| (carrying(&texts, found.words), Meaning::Attribute(found.attribute, found.value)))
            .collect();
        // On which side the driver side is, each note says for itself.
        self.cut(text, DriveSide::Either, attributes)
    }
}
