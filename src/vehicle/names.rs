//! Names of makes, models, people and attributes: when two of them are the same name, and which
//! known name a misspelt one may have been.
//!
//! It owns the distance; the folding is in `fold`. Which names are known is told by the caller.

mod fold;

pub use fold::fold;

/// How many slips of the pen a folded word of `letters` may hold before it counts as another word:
/// short words have too many neighbours to forgive any. Our own choice, no source.
#[must_use]
pub fn slips_allowed(letters: usize) -> usize {
    match letters {
        0..=3 => 0,
        4..=5 => 1,
        6..=11 => 2,
        _ => 3,
    }
}

/// The candidates nearest to `word`, all of them where several are equally near, in the order
/// given; none where even the nearest is further than [`slips_allowed`]. Compared folded, by
/// Damerau-Levenshtein distance (a swapped pair of letters is one slip).
#[must_use]
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Vec<&'a str> {
    let word = fold(word);
    nearest_within(&word, slips_allowed(word.chars().count()), candidates)
}

/// As [`nearest`], for the hint of an error: it corrects nothing, so one slip is forgiven to a short
/// word, too.
#[must_use]
pub fn suggestions<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Vec<&'a str> {
    let word = fold(word);
    nearest_within(&word, slips_allowed(word.chars().count()).max(1), candidates)
}

/// The candidates nearest to a folded word, at most `limit` slips away.
fn nearest_within<'a>(
    word: &str,
    limit: usize,
    candidates: impl IntoIterator<Item = &'a str>,
) -> Vec<&'a str> {
    let letters = word.chars().count();
    let mut best = limit;
    let mut found = Vec::new();
    for candidate in candidates {
        let Some(distance) = distance_within(word, letters, candidate, best) else { continue };
        if distance < best {
            found.clear();
            best = distance;
        }
        found.push(candidate);
    }
    found
}

/// The distance of `candidate` from a folded word, where it is at most `limit`.
fn distance_within(word: &str, letters: usize, candidate: &str, limit: usize) -> Option<usize> {
    let candidate = fold(candidate);
    if letters == 0 || candidate.is_empty() || candidate.chars().count().abs_diff(letters) > limit {
        return None;
    }
    let distance = strsim::damerau_levenshtein(word, &candidate);
    (distance <= limit).then_some(distance)
}

/// The better of two spellings of one name, whatever the order in which they came: capitals and small letters
/// before all of one kind, then the one that stands first in the alphabet.
#[must_use]
pub fn better_spelling<'a>(a: &'a str, b: &'a str) -> &'a str {
    let rank = |text: &str| {
        let mixed = text.chars().any(char::is_uppercase) && text.chars().any(char::is_lowercase);
        (!mixed, std::cmp::Reverse(text.chars().count()), text.to_owned())
    };
    if rank(a) <= rank(b) { a } else { b }
}

#[cfg(test)]
mod tests {
    use super::{better_spelling, fold, nearest};
    use proptest::prelude::*;
    use unicode_normalization::UnicodeNormalization;

    #[test]
    fn spellings_of_one_name_fold_to_one_text() {
        let check = |expected: &str, spellings: &[&str]| {
            for spelling in spellings {
                assert_eq!(fold(spelling), expected, "{spelling}");
            }
        };
        check("rokafor", &["R. Okafor", "r okafor", "R.OKAFOR", " R  Okafor ", "R-Okafor"]);
        check("tarnx4", &["Tarn X-4", "TARN X4", "tarn x 4"]);
        check("jozsef", &["József", "JÓZSEF", "Jo\u{301}zsef", "jozsef"]);
        check("strasse", &["Straße", "STRASSE", "STRA\u{1e9e}E"]);
        check("smorrebrod", &["Smørrebrød", "smorrebrod"]);
        check("", &["", " ", "--", "'"]);
    }

    /// Unicode's canonical decompositions, through the crate unicode-normalization: an accented
    /// Latin letter folds to its base letter.
    #[test]
    fn accents_agree_with_the_unicode_decompositions() {
        let mut checked = 0;
        for c in ('\u{c0}'..='\u{17f}').chain('\u{218}'..='\u{21b}') {
            let base = std::iter::once(c).nfd().next().expect("a character decomposes to at least itself");
            if base != c && base.is_ascii_alphabetic() {
                assert_eq!(fold(&c.to_string()), base.to_ascii_lowercase().to_string(), "{c}");
                checked += 1;
            }
        }
        assert!(checked > 150, "only {checked} letters were checked");
    }

    #[test]
    fn the_nearest_names_are_offered_and_far_ones_are_not() {
        let known = ["Quillon", "Quellon", "Tarn", "Torn", "Varga", "Ost", "Brackenridge"];
        let check = |word: &str, expected: &[&str]| assert_eq!(nearest(word, known), expected, "{word}");
        check("quillon", &["Quillon"]);
        check("Qiullon", &["Quillon"]);
        check("Quollon", &["Quillon", "Quellon"]);
        check("tarn", &["Tarn"]);
        check("tern", &["Tarn", "Torn"]);
        check("trn", &[]);
        check("ost", &["Ost"]);
        check("osd", &[]);
        check("Brakenrigde", &["Brackenridge"]);
        check("zzzzzzz", &[]);
        check("", &[]);
        assert_eq!(super::suggestions("osd", known), ["Ost"]);
        assert_eq!(super::suggestions("", ["a"]), [""; 0]);
    }

    proptest! {
        #[test]
        fn folding_twice_is_folding_once(name in "\\PC*") {
            prop_assert_eq!(fold(&fold(&name)), fold(&name));
        }

        #[test]
        fn nearest_never_panics(word in any::<String>(), known in any::<Vec<String>>()) {
            let offered = nearest(&word, known.iter().map(String::as_str));
            prop_assert!(offered.len() <= known.len());
        }
    }

    #[test]
    fn the_best_spelling_does_not_depend_on_the_order() {
        for (a, b, expected) in
            [("QUILLON", "Quillon", "Quillon"), ("quillon", "QUILLON", "QUILLON"), ("Ta-rn", "Tarn", "Ta-rn")]
        {
            assert_eq!(better_spelling(a, b), expected);
            assert_eq!(better_spelling(b, a), expected);
        }
    }
}
