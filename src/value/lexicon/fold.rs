//! Splits a text into words and folds them, so that writings which differ only in case,
//! punctuation, a plural s or a British word are one. Knows nothing of phrases: the lexicon
//! matches those over the keys made here.

use std::ops::Range;

use foldhash::HashMap;

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

/// One word of a text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Token {
    /// Where it stands, in bytes.
    pub span: Range<usize>,
    /// As written, in lower case, without apostrophes.
    pub written: String,
    /// What phrases are matched by.
    pub key: String,
    /// What parts it from the word before.
    pub gap: Gap,
}

impl Token {
    /// Whether it is `a`, `an` or `the`.
    pub fn is_article(&self) -> bool {
        matches!(self.key.as_str(), "a" | "an" | "the")
    }

    /// Whether it begins like a number.
    pub fn is_number(&self) -> bool {
        self.written.starts_with(|c: char| c.is_ascii_digit())
    }
}

/// Splits `text` into words; `words` gives the one that stands for another.
pub(super) fn tokens(text: &str, words: &HashMap<String, String>) -> Vec<Token> {
    let mut found: Vec<Token> = Vec::new();
    let mut end = 0;
    for span in spans(text) {
        let gap = gap_of(&text[end..span.start], found.is_empty());
        end = span.end;
        if let Some(last) = found.last_mut().filter(|last| is_initialism(text, last, &span)) {
            last.span.end = span.end;
            last.written.push_str(&written(&text[span]));
            continue;
        }
        found.push(Token { written: written(&text[span.clone()]), span, key: String::new(), gap });
    }
    for token in &mut found {
        token.key = key(&token.written, words);
    }
    found
}

/// `d/s` and `L.H.` are one word: single letters with nothing but a slash or full stop between.
fn is_initialism(text: &str, last: &Token, next: &Range<usize>) -> bool {
    // Letters already joined stand at every other byte: `L.H` for `lh`.
    let letters = last.written.len() == last.span.len().div_ceil(2)
        && text[..last.span.end].ends_with(|c: char| c.is_ascii_alphabetic());
    let letter = next.len() == 1 && text[next.clone()].starts_with(|c: char| c.is_ascii_alphabetic());
    letters && letter && matches!(&text[last.span.end..next.start], "." | "/")
}

fn spans(text: &str) -> Vec<Range<usize>> {
    let mut spans: Vec<Range<usize>> = Vec::new();
    let mut open = false;
    let mut chars = text.char_indices().peekable();
    while let Some((at, c)) = chars.next() {
        let next = chars.peek().map(|&(_, c)| c);
        let number =
            open && spans.last().is_some_and(|s| text[s.clone()].starts_with(|c: char| c.is_ascii_digit()));
        let inside = is_word(c) || (open && belongs_inside(c, number, next));
        match spans.last_mut().filter(|_| open && inside) {
            Some(span) => span.end = at + c.len_utf8(),
            None if inside || matches!(c, '&' | '+' | '@') => spans.push(at..at + c.len_utf8()),
            None => {}
        }
        open = inside;
    }
    spans
}

fn is_word(c: char) -> bool {
    // Combining marks belong to the letter before them.
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

fn written(part: &str) -> String {
    if part.is_ascii() && !part.contains('\'') {
        return part.to_ascii_lowercase();
    }
    part.chars().filter(|c| !matches!(c, '\'' | '\u{2019}')).flat_map(char::to_lowercase).collect()
}

/// The key of a word: singular, and the one word that stands for its like.
pub(super) fn key(written: &str, words: &HashMap<String, String>) -> String {
    if written == "&" {
        return "and".to_owned();
    }
    let singular = singular(written);
    words.get(&singular).cloned().unwrap_or(singular)
}

/// Takes a plural ending off. Meant for matching, not for show: `lens` becomes `len`, in the
/// lexicon as in the text.
pub(super) fn singular(word: &str) -> String {
    let short = word.len() <= 3 || !word.bytes().all(|b| b.is_ascii_alphabetic());
    if short || ["ss", "us", "is"].iter().any(|end| word.ends_with(end)) {
        return word.to_owned();
    }
    if let Some(stem) = word.strip_suffix("ies") {
        return format!("{stem}y");
    }
    let sibilant = ["xes", "ches", "shes", "sses"].iter().any(|end| word.ends_with(end));
    let cut = if sibilant { 2 } else { usize::from(word.ends_with('s')) };
    word[..word.len() - cut].to_owned()
}
