//! A place in a cut text, and the small steps forward that reading needs.

use super::lex::Token;

/// The pieces of a text and how many of them are read.
pub(super) struct Cursor<'a> {
    tokens: &'a [Token<'a>],
    /// How many pieces are read; set back to try another reading.
    pub(super) at: usize,
}

impl<'a> Cursor<'a> {
    pub(super) fn new(tokens: &'a [Token<'a>]) -> Self {
        Self { tokens, at: 0 }
    }

    /// The piece so many ahead, 0 being the next.
    pub(super) fn peek(&self, ahead: usize) -> Option<Token<'a>> {
        self.tokens.get(self.at + ahead).copied()
    }

    /// The number so many pieces ahead, as text.
    pub(super) fn number(&self, ahead: usize) -> Option<&'a str> {
        match self.peek(ahead) {
            Some(Token::Number(text)) => Some(text),
            _ => None,
        }
    }

    pub(super) fn is_mark(&self, ahead: usize, mark: char) -> bool {
        self.peek(ahead) == Some(Token::Mark(mark))
    }

    pub(super) fn take_mark(&mut self, mark: char) -> bool {
        let found = self.is_mark(0, mark);
        self.at += usize::from(found);
        found
    }

    /// Steps over the words of `phrase`, given in lower case with single spaces, if they come next.
    pub(super) fn take_phrase(&mut self, phrase: &str) -> bool {
        let words = phrase.split(' ');
        let found = words.clone().enumerate().all(|(ahead, word)| self.is_word(ahead, word));
        self.at += if found { words.count() } else { 0 };
        found
    }

    fn is_word(&self, ahead: usize, word: &str) -> bool {
        matches!(self.peek(ahead), Some(Token::Word(text)) if text.to_lowercase() == word)
    }

    /// The next `count` pieces with single spaces, if all of them are words.
    pub(super) fn words(&self, count: usize) -> Option<String> {
        let words = (0..count).map(|ahead| match self.peek(ahead) {
            Some(Token::Word(text)) => Some(text),
            _ => None,
        });
        words.collect::<Option<Vec<_>>>().map(|words| words.join(" "))
    }
}
