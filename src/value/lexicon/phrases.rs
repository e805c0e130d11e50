//! The tree of phrases, and the search for the longest one that begins at a word. It knows
//! keys and concepts, nothing of what they mean.

use std::borrow::Cow;

use super::fold::{Gap, Token};
use super::table::ConceptId;
use crate::schema::{List, Text};

/// The words that go on from one place of the tree, sorted, each with the number of the node that it leads to.
#[derive(Debug, Clone, Default)]
pub(super) struct Node {
    pub(super) next: List<(Text, u16)>,
    pub(super) concept: Option<ConceptId>,
}

/// All phrases of a lexicon, word by word.
#[derive(Debug, Clone)]
pub(super) struct Phrases {
    pub(super) nodes: List<Node>,
    /// Every word of them, sorted.
    pub(super) words: List<Text>,
}

impl Default for Phrases {
    fn default() -> Self {
        Self { nodes: Cow::Owned(vec![Node::default()]), words: Cow::Owned(Vec::new()) }
    }
}

impl Node {
    fn find(&self, key: &str) -> Result<usize, usize> {
        self.next.binary_search_by(|(known, _)| (**known).cmp(key))
    }

    fn after(&self, key: &str) -> Option<usize> {
        self.find(key).ok().map(|at| usize::from(self.next[at].1))
    }
}

impl Phrases {
    /// Adds a phrase; gives the concept that already had it, and then changes nothing. There is room for 65,536 nodes:
    /// beyond, nothing is added, and the phrase itself is given as one that was there.
    pub fn add<'k>(
        &mut self,
        keys: impl IntoIterator<Item = &'k str>,
        concept: ConceptId,
    ) -> Option<ConceptId> {
        let mut at = 0;
        for key in keys {
            at = match self.nodes[at].after(key) {
                Some(next) => next,
                None => self.grow(at, key)?,
            };
        }
        let taken = self.nodes[at].concept;
        self.nodes.to_mut()[at].concept = taken.or(Some(concept));
        taken
    }

    fn grow(&mut self, at: usize, key: &str) -> Option<usize> {
        if let Err(place) = self.words.binary_search_by(|known| (**known).cmp(key)) {
            self.words.to_mut().insert(place, Cow::Owned(key.to_owned()));
        }
        let nodes = self.nodes.to_mut();
        let new = nodes.len();
        let place = nodes[at].find(key).err()?;
        nodes[at].next.to_mut().insert(place, (Cow::Owned(key.to_owned()), u16::try_from(new).ok()?));
        nodes.push(Node::default());
        Some(new)
    }

    /// Whether any phrase has this word.
    pub fn have(&self, key: &str) -> bool {
        self.words.binary_search_by(|known| (**known).cmp(key)).is_ok()
    }

    /// The longest phrase that `tokens` begins with: its concept and how many words it takes.
    /// It does not go across a break, and passes over one article at a time.
    pub fn longest(&self, tokens: &[Token<'_>]) -> Option<(ConceptId, usize)> {
        let mut node = &self.nodes[0];
        let mut found = None;
        let mut skipped = false;
        for (at, token) in tokens.iter().enumerate() {
            if at > 0 && token.gap == Gap::Break {
                break;
            }
            if let Some(next) = node.after(&token.key) {
                node = &self.nodes[next];
                found = node.concept.map(|concept| (concept, at + 1)).or(found);
                skipped = false;
            } else if at > 0 && token.is_article() && !skipped && !self.begins(&tokens[at..]) {
                skipped = true;
            } else {
                break;
            }
        }
        found
    }

    /// Whether a phrase begins with the first two of `tokens`: `a pillar` after `rear`.
    fn begins(&self, tokens: &[Token<'_>]) -> bool {
        let first = tokens.first().and_then(|token| self.nodes[0].after(&token.key));
        first.zip(tokens.get(1)).is_some_and(|(first, second)| self.nodes[first].after(&second.key).is_some())
    }
}
