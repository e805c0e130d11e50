//! What a question asks: its phrases with all that they may mean, vehicles and people of the book among them, and its
//! typing errors forgiven.
//!
//! The phrases are cut by `cut`, vehicles found by the resolver of `lookup`. What each phrase weighs is settled by
//! `weigh`.

use std::collections::BTreeMap;
use std::ops::Range;

use super::cut::{Cutter, Phrase, written};
use super::meaning::Meaning;
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

/// Tells makers with their models.
type EachName<'a, E> = dyn Fn(&mut dyn FnMut(&str, &str)) -> Result<(), E> + 'a;

/// Names of the book that a question may name.
pub(super) struct Register<'a, N: Names> {
    pub(super) names: &'a N,
    /// Tells the maker and the model of every name, in any order.
    pub(super) each_name: &'a EachName<'a, N::Error>,
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
    /// Whether a typing error was forgiven in it.
    pub(super) forgiven: bool,
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

/// The most words of a question that are looked at.
pub(super) const MOST_WORDS: usize = 400;
/// The most years of a range that are looked for one by one.
const MOST_YEARS: u16 = 40;

/// How likely a point or a part is meant of whose name only a word was written.
const HINTED: f32 = 0.35;
/// How likely a part is meant that is called like the one that was written, and more.
const KIN: f32 = 0.7;

/// A shorter word that notes have is taken as it is.
const LONG_ENOUGH: usize = 5;

/// A word that the language does not know, and hardly any note.
struct Unknown {
    span: Range<usize>,
    key: String,
}

/// A word of the question that was replaced by another.
struct Mended {
    span: Range<usize>,
    was: String,
    by: String,
    /// The word itself, where a few notes have it: it may be meant after all.
    literal: Option<String>,
}

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
    let mended = reader.mend(text, &unknown)?;
    if mended.is_empty() {
        first.near = unknown.iter().filter_map(|word| reader.words_of_notes(&word.key, 2)).collect();
        return Ok(first);
    }
    let (text, mended) = replaced(text, mended);
    let (mut question, _) = reader.once(&text, &mended)?;
    question.forgiven = mended.into_iter().map(|word| (word.was, word.by)).collect();
    Ok(question)
}

/// The text with words replaced; the spans are those in the new text then.
fn replaced(text: &str, mended: Vec<Mended>) -> (String, Vec<Mended>) {
    let (mut out, mut end) = (String::with_capacity(text.len()), 0);
    let mut moved = Vec::with_capacity(mended.len());
    for word in mended {
        out.push_str(&text[end..word.span.start]);
        end = word.span.end;
        let start = out.len();
        out.push_str(&word.by);
        moved.push(Mended { span: start..out.len(), ..word });
    }
    out.push_str(&text[end..]);
    (out, moved)
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

struct Reader<'a, 'l, N: Names> {
    cutter: &'a Cutter<'l>,
    register: &'a Register<'a, N>,
    known: &'a dyn Known,
}

impl<N: Names<Id = ModelId>> Reader<'_, '_, N> {
    /// Reads the text; gives the spans of the words that nobody knows as well.
    fn once(&self, text: &str, mended: &[Mended]) -> Result<(Question, Vec<Unknown>), N::Error> {
        let mut phrases = self.cutter.cut_question(text);
        let mut question = Question::default();
        self.vehicles(text, &mut phrases, &mut question)?;
        self.makers(text, &mut phrases);
        let mut unknown = Vec::new();
        for phrase in phrases {
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
                    unknown.push(Unknown { span: phrase.span.clone(), key });
                }
            }
            let spots = meanings.iter().filter_map(|meaning| match meaning {
                Meaning::Spot(spot) => Some(self.cutter.kin(spot)),
                _ => None,
            });
            hints.extend(spots.flatten().map(|kin| (kin, KIN)).collect::<Vec<_>>());
            question.asked.push(Asked { written: words, meanings, hints, forgiven, literal });
        }
        Ok((question, unknown))
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
        if key.bytes().all(|byte| byte.is_ascii_digit()) {
            meanings.push(Meaning::Code(None, key.to_owned()));
        }
        let fields = self.cutter.language.catalogue.fields.iter();
        let fields = fields.filter(|field| field.title == key || field.name == key);
        meanings.extend(fields.map(|field| Meaning::Field(field.name.clone())));
        let folded = fold(written);
        let called = |name: &str| name.split_whitespace().any(|part| fold(part) == folded);
        let people = self.register.people.values();
        let called = people.filter(|(_, name)| folded.len() >= 3 && called(name));
        meanings.extend(called.map(|(key, _)| Meaning::Person(key.clone())));
        meanings
    }

    /// The known words that unknown ones were meant to be.
    fn mend(&self, text: &str, unknown: &[Unknown]) -> Result<Vec<Mended>, N::Error> {
        let mut mended = Vec::new();
        if unknown.is_empty() {
            return Ok(mended);
        }
        for Unknown { span, key } in unknown {
            let was = text[span.clone()].to_owned();
            let noted = self.known.count(&Kind::Word.term(key)) > 0;
            let beside = [
                text[..span.start].split_whitespace().next_back(),
                text[span.end..].split_whitespace().next(),
            ];
            if let Some(by) = self.meant(&fold(&was), beside.map(Option::unwrap_or_default), noted)? {
                mended.push(Mended { span: span.clone(), was, by, literal: noted.then(|| key.clone()) });
            }
        }
        Ok(mended)
    }

    /// The word or the phrase that an unknown word was meant to be: a word of the language, of a name, or of a note.
    /// A word that a few notes have is only taken for one of the language or of a name.
    fn meant(&self, word: &str, beside: [&str; 2], noted: bool) -> Result<Option<String>, N::Error> {
        if let Some(phrase) = self.run_together(word) {
            return Ok(Some(phrase));
        }
        if !spell::may_be_misspelt(word) || (noted && word.chars().count() < LONG_ENOUGH) {
            return Ok(None);
        }
        let own = self.own_words_like(word)?;
        let of_language = spell::nearest(word, own.iter().map(String::as_str), 0);
        if noted && (own.iter().any(|known| known == word) || of_language.is_empty()) {
            return Ok(None);
        }
        let of_notes = if noted { None } else { self.words_of_notes(word, 0) };
        // What the language knows is asked for more often than a word that some remark has.
        let slips = |known: &str| spell::distance(word, known, 0).map(spell::Distance::slips);
        Ok(match (of_language.first(), of_notes) {
            (Some(own), Some(noted)) if slips(&noted) < slips(own) => Some(noted),
            (Some(own), _) => {
                Some(self.makes_a_phrase(word, beside, slips(own)).unwrap_or_else(|| (*own).to_owned()))
            }
            (None, noted) => noted,
        })
    }

    /// The words of the language and of names that may be meant by a misspelt one, or are the same, folded; colours
    /// first, then words for places and points, models, people, bases and attributes.
    fn own_words_like(&self, word: &str) -> Result<Vec<String>, N::Error> {
        let mut own = Vec::new();
        let mut take = |text: &str| {
            let parts = text.split_whitespace().filter(|part| spell::may_be_meant(word, part));
            own.extend(parts.map(fold));
        };
        Colour::spoken_words().for_each(&mut take);
        self.cutter.known_words().for_each(&mut take);
        self.names_like(word)?
            .iter()
            .for_each(|(make, model)| [make, model].into_iter().for_each(|name| take(name)));
        self.register.people.values().for_each(|(_, name)| take(name));
        Basis::ALL.iter().for_each(|basis| take(basis.word()));
        let attributes = self.cutter.language.vocabulary().attributes().iter();
        attributes.flat_map(|attribute| &attribute.values).for_each(|value| take(&value.plain));
        Ok(own)
    }

    /// The makers and models of which a word may be meant by a misspelt one, in the order of their names.
    fn names_like(&self, word: &str) -> Result<Vec<(String, String)>, N::Error> {
        let mut like = BTreeMap::new();
        (self.register.each_name)(&mut |make, model| {
            let mut parts = make.split_whitespace().chain(model.split_whitespace());
            if parts.any(|part| spell::may_be_meant(word, part)) {
                like.insert((fold(make), fold(model)), (make.to_owned(), model.to_owned()));
            }
        })?;
        Ok(like.into_values().collect())
    }

    /// A word of the language that is as near to a misspelt one as any, and makes a phrase with the word before or
    /// behind it: `brae wire`.
    fn makes_a_phrase(
        &self,
        word: &str,
        [before, behind]: [&str; 2],
        slips: Option<usize>,
    ) -> Option<String> {
        let (before, behind) = (fold(before), fold(behind));
        let near = |known: &str| spell::distance(word, known, 0).map(spell::Distance::slips) == slips;
        let mut found = None;
        for phrase in self.cutter.known_phrases() {
            let words = phrase.split([' ', '-']);
            for (first, second) in words.clone().zip(words.skip(1)) {
                if folds_to(second, &behind) && near(&fold(first)) {
                    return Some(fold(first));
                }
                if found.is_none() && folds_to(first, &before) && near(&fold(second)) {
                    found = Some(fold(second));
                }
            }
        }
        found
    }

    /// The nearest word that notes have, the commonest of equally near ones. `more` slips are allowed beside the
    /// usual.
    fn words_of_notes(&self, word: &str, more: usize) -> Option<String> {
        let mut best: Option<(spell::Distance, std::cmp::Reverse<u64>, String)> = None;
        self.known.between(&Kind::Word.term("a"), &Kind::Word.term("{"), &mut |term, count| {
            let Some(known) = term.get(1..) else { return };
            let Some(distance) = spell::distance(word, known, more) else { return };
            let found = (distance, std::cmp::Reverse(count), known.to_owned());
            if best.as_ref().is_none_or(|best| found < *best) {
                best = Some(found);
            }
        });
        best.map(|(.., word)| word)
    }

    /// A phrase whose blanks were left out: `kickpanel`.
    fn run_together(&self, word: &str) -> Option<String> {
        let mut phrases = self.cutter.known_phrases();
        phrases.find(|phrase| folds_to(phrase, word) && phrase.contains([' ', '-'])).map(str::to_owned)
    }
}

/// Whether somebody stands behind a word: `told me` is said of how one knows, not of how the note knows.
fn is_told_to_somebody(behind: &str) -> bool {
    let next = behind.split_whitespace().next().map(fold).unwrap_or_default();
    ["me", "us", "him", "her", "them", "you"].contains(&next.as_str())
}

/// Whether a text folds to `folded`, which is not empty.
fn folds_to(text: &str, folded: &str) -> bool {
    if !text.is_ascii() {
        return !folded.is_empty() && fold(text) == folded;
    }
    let kept = text.bytes().filter(u8::is_ascii_alphanumeric);
    !folded.is_empty() && kept.map(|byte| byte.to_ascii_lowercase()).eq(folded.bytes())
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
