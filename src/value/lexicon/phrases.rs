//! The tree of phrases, and the search for the longest one that begins at a word. It knows
//! keys and concepts, nothing of what they mean.

use foldhash::HashMap;

use super::ConceptId;
use super::fold::{Gap, Token};

#[derive(Debug, Clone, Default)]
struct Node {
    next: HashMap<String, usize>,
    concept: Option<ConceptId>,
}

/// All phrases of a lexicon, word by word.
#[derive(Debug, Clone)]
pub(super) struct Phrases {
    nodes: Vec<Node>,
}

impl Default for Phrases {
    fn default() -> Self {
        Self { nodes: vec![Node::default()] }
    }
}

impl Phrases {
    /// Adds a phrase; gives the concept that already had it, and then changes nothing.
    pub fn add(&mut self, keys: &[String], concept: ConceptId) -> Option<ConceptId> {
        let mut at = 0;
        for key in keys {
            at = match self.nodes[at].next.get(key) {
                Some(&next) => next,
                None => self.grow(at, key),
            };
        }
        let taken = self.nodes[at].concept;
        self.nodes[at].concept = taken.or(Some(concept));
        taken
    }

    fn grow(&mut self, at: usize, key: &str) -> usize {
        let new = self.nodes.len();
        self.nodes.push(Node::default());
        self.nodes[at].next.insert(key.to_owned(), new);
        new
    }

    /// The longest phrase that `tokens` begins with: its concept and how many words it takes.
    /// It does not go across a break, and passes over one article at a time.
    pub fn longest(&self, tokens: &[Token]) -> Option<(ConceptId, usize)> {
        let mut node = &self.nodes[0];
        let mut found = None;
        let mut skipped = false;
        for (at, token) in tokens.iter().enumerate() {
            if at > 0 && token.gap == Gap::Break {
                break;
            }
            if let Some(&next) = node.next.get(&token.key) {
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
    fn begins(&self, tokens: &[Token]) -> bool {
        let first = tokens.first().and_then(|token| self.nodes[0].next.get(&token.key));
        first
            .zip(tokens.get(1))
            .is_some_and(|(&first, second)| self.nodes[first].next.contains_key(&second.key))
    }
}
