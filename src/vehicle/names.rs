//! Names of makes, models, people and attributes: when two of them are the same name, and which
//! known name a misspelt one may have been.
//!
//! It owns the folding and the distance. Which names are known is told by the caller.

/// The text that two spellings of one name share: lower case, without accents, punctuation and
/// spaces. `R. Okafor` and `r okafor` fold to `rokafor`. A name of punctuation alone folds to an
/// empty text. Letters of other scripts than Latin stay as they are, in lower case.
#[must_use]
pub fn fold(name: &str) -> String {
    let mut out = String::with_capacity(name.len());
    if name.is_ascii() {
        let kept = name.bytes().filter(u8::is_ascii_alphanumeric);
        out.extend(kept.map(|byte| char::from(byte.to_ascii_lowercase())));
        return out;
    }
    for c in name.chars().flat_map(char::to_lowercase) {
        match without_accent(c) {
            Some(plain) => out.push_str(plain),
            None if c.is_alphanumeric() => out.push(c),
            None => {}
        }
    }
    out
}

/// The plain letters for an accented lower-case letter of the blocks Latin-1 Supplement and Latin
/// Extended-A, and the Romanian comma letters. Letters that no decomposition reaches (ø, ł, þ …)
/// are written as is usual without them (from memory). The rest is checked against the Unicode
/// decompositions in the tests.
fn without_accent(c: char) -> Option<&'static str> {
    Some(match c {
        'à'..='å' | 'ā' | 'ă' | 'ą' => "a",
        'æ' => "ae",
        'ç' | 'ć' | 'ĉ' | 'ċ' | 'č' => "c",
        'ď' | 'đ' | 'ð' => "d",
        'è'..='ë' | 'ē' | 'ĕ' | 'ė' | 'ę' | 'ě' => "e",
        'ĝ' | 'ğ' | 'ġ' | 'ģ' => "g",
        'ĥ' | 'ħ' => "h",
        'ì'..='ï' | 'ĩ' | 'ī' | 'ĭ' | 'į' | 'ı' => "i",
        'ĵ' => "j",
        'ķ' => "k",
        'ĺ' | 'ļ' | 'ľ' | 'ł' => "l",
        'ñ' | 'ń' | 'ņ' | 'ň' => "n",
        'ò'..='ö' | 'ø' | 'ō' | 'ŏ' | 'ő' => "o",
        'œ' => "oe",
        'ŕ' | 'ŗ' | 'ř' => "r",
        'ś' | 'ŝ' | 'ş' | 'š' | 'ș' => "s",
        'ß' => "ss",
        'ţ' | 'ť' | 'ŧ' | 'ț' => "t",
        'þ' => "th",
        'ù'..='ü' | 'ũ' | 'ū' | 'ŭ' | 'ů' | 'ű' | 'ų' => "u",
        'ŵ' => "w",
        'ý' | 'ÿ' | 'ŷ' => "y",
        'ź' | 'ż' | 'ž' => "z",
        _ => return None,
    })
}

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
