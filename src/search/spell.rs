//! Which known word a misspelt one was meant to be. Only words of letters are forgiven anything, and only those that are
//! no known words themselves: a colour, a number or a code never becomes another.

use strsim::osa_distance;

use crate::value::quantity::unit_named;

/// How many slips a word of so many letters may hold; a swapped pair of letters is one. Our own choice, no source.
pub(super) fn slips_allowed(letters: usize) -> usize {
    match letters {
        0..=3 => 0,
        4..=7 => 1,
        _ => 2,
    }
}

/// Common words of English that are one slip from a colour, a part or a point, and words for numbers: a blown fuse is
/// not a brown one.
const WELL_SPELT: [&str; 58] = [
    "blew", "blow", "blown", "brace", "brave", "break", "broke", "clue", "crown", "eight", "eleven",
    "fifteen", "fifty", "fight", "five", "forty", "four", "fright", "glue", "grain", "grand", "great",
    "greet", "grew", "grow", "grown", "house", "later", "link", "maxi", "might", "night", "nine", "pine",
    "pint", "plane", "quite", "reed", "seven", "sight", "sink", "sixteen", "sixty", "slack", "slight",
    "sock", "stick", "stock", "thirteen", "thirty", "three", "tight", "torx", "true", "twelve", "twenty",
    "whale", "write",
];

/// Words of three letters that are one letter short of a part or a side, and well spelt for all that.
const WELL_SPELT_SHORT: [&str; 9] = ["ear", "far", "fin", "let", "pan", "ran", "rim", "rub", "win"];

/// Whether a word of three letters may lack one.
pub(super) fn may_lack_a_letter(word: &str) -> bool {
    word.len() == 3
        && word.bytes().all(|byte| byte.is_ascii_alphabetic())
        && !WELL_SPELT_SHORT.contains(&word)
}

/// Whether a word may be forgiven anything.
pub(super) fn may_be_misspelt(word: &str) -> bool {
    !WELL_SPELT.contains(&word)
        && unit_named(word).is_none()
        && word.chars().all(char::is_alphabetic)
        && slips_allowed(word.chars().count()) > 0
}

/// How far a known word is from a misspelt one: the smaller the nearer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Distance {
    slips: usize,
    /// People seldom get the ends of a word wrong, but where they swap two letters.
    ends: usize,
    kind: Slip,
}

/// What went wrong, the commonest slip first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Slip {
    /// The letters are the right ones in another order.
    Swapped,
    /// A letter too few or too many.
    Length,
    /// A wrong letter.
    Wrong,
}

impl Distance {
    /// How many slips there are.
    pub(super) fn slips(self) -> usize {
        self.slips
    }
}

fn slip(word: &str, known: &str) -> Slip {
    let sorted = |text: &str| {
        let mut letters: Vec<char> = text.chars().collect();
        letters.sort_unstable();
        letters
    };
    let (word, known) = (sorted(word), sorted(known));
    match word.len() == known.len() {
        true if word == known => Slip::Swapped,
        true => Slip::Wrong,
        false => Slip::Length,
    }
}

/// Which of the letters a to z a text has, whatever their case, one bit for each.
fn letters_of(text: &str) -> u32 {
    let bit = |byte: u8| if byte.is_ascii_alphabetic() { 1 << (byte.to_ascii_lowercase() - b'a') } else { 0 };
    text.bytes().fold(0, |letters, byte| letters | bit(byte))
}

/// Whether so few slips can make one text of the other: each adds and takes away one letter at the most.
fn may_be_near(a: u32, b: u32, allowed: usize) -> bool {
    (a & !b).count_ones().max((b & !a).count_ones()) as usize <= allowed
}

/// A misspelt word, with what tells it from most known ones at a glance.
pub(super) struct Misspelt {
    letters: u32,
    length: usize,
    allowed: usize,
}

impl Misspelt {
    pub(super) fn new(word: &str) -> Self {
        let length = word.chars().count();
        Self { letters: letters_of(word), length, allowed: slips_allowed(length) }
    }

    /// The words of a text that are near enough, or the same, once they are folded, and some that are not.
    pub(super) fn may_be_of<'t>(&self, text: &'t str) -> impl Iterator<Item = &'t str> {
        // No word of a text has more letters than all of it.
        let lacking = (self.letters & !letters_of(text)).count_ones() as usize;
        let text = if lacking <= self.allowed || !text.is_ascii() { text } else { "" };
        let words = text.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
        words.filter(|word| self.may_be(word))
    }

    fn may_be(&self, known: &str) -> bool {
        !known.is_ascii()
            || (known.len() + self.allowed >= self.length
                && may_be_near(self.letters, letters_of(known), self.allowed))
    }
}

/// The distance of `known` from `word`, where it is near enough. `more` slips are allowed beside the usual.
pub(super) fn distance(word: &str, known: &str, more: usize) -> Option<Distance> {
    let (letters, other) = (word.chars().count(), known.chars().count());
    let allowed = slips_allowed(letters) + more;
    if other < 4
        || letters.abs_diff(other) > allowed
        || !may_be_near(letters_of(word), letters_of(known), allowed)
    {
        return None;
    }
    let slips = osa_distance(word, known);
    let differs = |a: Option<char>, b: Option<char>| usize::from(a != b);
    let ends = 2 * differs(word.chars().next(), known.chars().next())
        + differs(word.chars().last(), known.chars().last());
    if slips == 0 || slips > allowed {
        return None;
    }
    let kind = slip(word, known);
    Some(Distance { slips, ends: if kind == Slip::Swapped { 0 } else { ends }, kind })
}

/// The nearest of known words, all of them where several are equally near; the first of equal words counts.
pub(super) fn nearest<'k>(word: &str, known: impl Iterator<Item = &'k str>, more: usize) -> Vec<&'k str> {
    let mut best: Option<Distance> = None;
    let mut found: Vec<&str> = Vec::new();
    for known in known {
        let Some(distance) = distance(word, known, more) else { continue };
        if best.is_none_or(|best| distance < best) {
            best = Some(distance);
            found.clear();
        }
        if best == Some(distance) && !found.contains(&known) {
            found.push(known);
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        /// What is told apart by its letters is further away than so many slips, as the crate strsim counts them.
        #[test]
        fn letters_never_tell_apart_what_is_near(a in "[a-e]{3,9}", b in "[a-eA-E. ]{3,9}", allowed in 0..4_usize) {
            let folded = crate::vehicle::names::fold(&b);
            if osa_distance(&a, &folded) <= allowed {
                prop_assert!(may_be_near(letters_of(&a), letters_of(&b), allowed), "{} {}", a, b);
            }
            for word in b.split([' ', '.']).filter(|word| !word.is_empty()) {
                if osa_distance(&a, &crate::vehicle::names::fold(word)) <= slips_allowed(a.len()) {
                    prop_assert!(Misspelt::new(&a).may_be_of(&b).any(|near| near == word), "{} {}", a, b);
                }
            }
        }
    }

    #[test]
    fn slips_are_forgiven_by_the_length_of_the_word() {
        const KNOWN: [&str; 10] =
            ["violet", "green", "grey", "switch", "brake", "firewall", "grommet", "panel", "pedal", "drover"];
        let check = |word: &str, expected: &[&str]| {
            assert_eq!(nearest(word, KNOWN.into_iter(), 0), expected, "{word}");
        };
        check("vilet", &["violet"]);
        check("gren", &["green"]);
        check("swtich", &["switch"]);
        check("brke", &["brake"]);
        check("firwal", &[]);
        check("firewal", &["firewall"]);
        check("frewalll", &["firewall"]);
        check("gromet", &["grommet"]);
        check("drovr", &["drover"]);
        check("red", &[]);
        check("violet", &[]);
    }

    #[test]
    fn short_words_figures_and_codes_are_forgiven_nothing() {
        for (word, expected) in [
            ("red", false),
            ("c212", false),
            ("35mm", false),
            ("brke", true),
            ("2016", false),
            ("blown", false),
            ("amps", false),
            ("volts", false),
            ("seven", false),
            ("twenty", false),
        ] {
            assert_eq!(may_be_misspelt(word), expected, "{word}");
        }
    }
}
