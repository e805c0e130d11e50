//! Splits a text into words and folds them, so that writings which differ only in case,
//! punctuation, a plural s or a British word are one. Knows nothing of phrases: the lexicon
//! matches those over the keys made here.

use std::borrow::Cow;
use std::ops::Range;

use crate::schema::{List, Text};

/// What stands between a word and the one before it, from the weakest to the strongest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Gap {
    /// Spaces, full stops, quotes: nothing that parts two words.
    Space,
    /// A hyphen alone: `under-dash`.
    Hyphen,
    /// An article, passed over.
    Article,
    /// A slash: one phrase where the lexicon knows it, else two.
    Slash,
    /// A comma, bracket, colon or dash: no phrase goes across. Also the start of the text.
    Break,
}

/// One word of a text. Most are borrowed from it: in small letters and without an apostrophe they are as written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Token<'t> {
    /// Where it stands, in bytes.
    pub span: Range<usize>,
    /// As written, in lower case, without apostrophes.
    pub written: Cow<'t, str>,
    /// What phrases are matched by.
    pub key: Cow<'t, str>,
    /// What parts it from the word before.
    pub gap: Gap,
}

impl Token<'_> {
    /// Whether it is `a`, `an` or `the`.
    pub fn is_article(&self) -> bool {
        matches!(&*self.key, "a" | "an" | "the")
    }

    /// Whether it begins like a number.
    pub fn is_number(&self) -> bool {
        self.written.starts_with(|c: char| c.is_ascii_digit())
    }
}

/// Words that stand for others, sorted by these; each is folded.
#[derive(Debug, Clone, Default)]
pub(super) struct Words {
    pub(super) list: List<(Text, Text)>,
}

impl Words {
    /// The word that stands for this one, where another does.
    fn for_one(&self, word: &str) -> Option<&str> {
        let at = self.list.binary_search_by(|(known, _)| (**known).cmp(word)).ok()?;
        Some(&self.list[at].1)
    }
}

/// Splits `text` into words; `words` gives the one that stands for another.
pub(super) fn tokens<'t>(text: &'t str, words: &'t Words) -> Vec<Token<'t>> {
    let mut found: Vec<Token<'t>> = Vec::with_capacity(text.len() / 5);
    let mut end = 0;
    for span in spans(text) {
        let gap = gap_of(&text[end..span.start], found.is_empty());
        end = span.end;
        if let Some(last) = found.last_mut().filter(|last| is_initialism(text, last, &span)) {
            last.span.end = span.end;
            last.written.to_mut().push_str(&written(&text[span]));
            continue;
        }
        found.push(Token { written: written(&text[span.clone()]), span, key: Cow::Borrowed(""), gap });
    }
    for token in &mut found {
        token.key = match &token.written {
            Cow::Borrowed(written) => key(written, words),
            Cow::Owned(written) => Cow::Owned(key(written, words).into_owned()),
        };
    }
    found
}

/// `d/s` and `L.H.` are one word: single letters with nothing but a slash or full stop between.
fn is_initialism(text: &str, last: &Token<'_>, next: &Range<usize>) -> bool {
    // Letters already joined stand at every other byte: `L.H` for `lh`.
    let letters = last.written.len() == last.span.len().div_ceil(2)
        && text[..last.span.end].ends_with(|c: char| c.is_ascii_alphabetic());
    let letter = next.len() == 1 && text[next.clone()].starts_with(|c: char| c.is_ascii_alphabetic());
    letters && letter && matches!(&text[last.span.end..next.start], "." | "/")
}

fn spans(text: &str) -> Vec<Range<usize>> {
    let mut spans: Vec<Range<usize>> = Vec::with_capacity(text.len() / 5);
    // Whether a word is open, and whether it is a number.
    let (mut open, mut number) = (false, false);
    let mut chars = text.char_indices();
    while let Some((at, c)) = chars.next() {
        let next = || chars.clone().next().map(|(_, c)| c);
        let inside = is_word(c) || (open && belongs_inside(c, number, next()));
        match spans.last_mut().filter(|_| open && inside) {
            Some(span) => span.end = at + c.len_utf8(),
            None if inside || matches!(c, '&' | '+' | '@') => {
                number = c.is_ascii_digit();
                spans.push(at..at + c.len_utf8());
            }
            None => {}
        }
        open = inside;
    }
    spans
}

fn is_word(c: char) -> bool {
    // Combining marks belong to the letter before them.
    c.is_ascii_alphanumeric() || (!c.is_ascii() && is_word_elsewhere(c))
}

fn is_word_elsewhere(c: char) -> bool {
    c.is_alphanumeric() || ('\u{300}'..='\u{36f}').contains(&c)
}

/// An apostrophe belongs inside a word; a number holds its point, its fraction and its inch mark.
fn belongs_inside(c: char, number: bool, next: Option<char>) -> bool {
    let next_is = |test: fn(char) -> bool| next.is_some_and(test);
    match c {
        '\'' | '\u{2019}' => next_is(char::is_alphabetic),
        '.' | '/' | '-' => number && next_is(|c| c.is_ascii_digit()),
        '"' | '\u{2033}' => number,
        _ => false,
    }
}

fn gap_of(between: &str, first: bool) -> Gap {
    if first || is_break(between) {
        Gap::Break
    } else if between.contains('/') {
        Gap::Slash
    } else if between == "-" {
        Gap::Hyphen
    } else {
        Gap::Space
    }
}

fn is_break(between: &str) -> bool {
    let mark = |c| {
        matches!(c, ',' | ';' | ':' | '(' | ')' | '[' | ']' | '{' | '}' | '|' | '\\' | '\n' | '?' | '!')
            || matches!(c, '\u{2013}' | '\u{2014}' | '\u{2192}' | '>' | '<' | '=' | '\u{b7}' | '\u{2022}')
    };
    between.contains(mark) || between.contains(" - ") || between.contains("--")
}

fn written(part: &str) -> Cow<'_, str> {
    if !part.is_ascii() || part.contains('\'') {
        let kept = part.chars().filter(|c| !matches!(c, '\'' | '\u{2019}'));
        Cow::Owned(kept.flat_map(char::to_lowercase).collect())
    } else if part.bytes().any(|byte| byte.is_ascii_uppercase()) {
        Cow::Owned(part.to_ascii_lowercase())
    } else {
        Cow::Borrowed(part)
    }
}

/// The key of a word: singular, and the one word that stands for its like.
fn key<'t>(written: &'t str, words: &'t Words) -> Cow<'t, str> {
    if written == "&" {
        return Cow::Borrowed("and");
    }
    let singular = singular(written);
    match words.for_one(&singular) {
        Some(other) => Cow::Borrowed(other),
        None => singular,
    }
}

/// Takes a plural ending off. Meant for matching, not for show: `lens` becomes `len`, in the
/// lexicon as in the text.
pub(super) fn singular(word: &str) -> Cow<'_, str> {
    let plural = word.len() > 3 && word.ends_with('s') && word.bytes().all(|b| b.is_ascii_alphabetic());
    if !plural || ["ss", "us", "is"].iter().any(|end| word.ends_with(end)) {
        return Cow::Borrowed(word);
    }
    if let Some(stem) = word.strip_suffix("ies") {
        return Cow::Owned(format!("{stem}y"));
    }
    let sibilant = ["xes", "ches", "shes", "sses"].iter().any(|end| word.ends_with(end));
    Cow::Borrowed(&word[..word.len() - if sibilant { 2 } else { 1 }])
}
