//! The vocabulary: what installers write for colours, shades and tracers.
//!
//! This file owns single words only. A shorthand that the trade uses for more than one colour is
//! listed with all of them, so that none is picked. Apart from the codes of IEC 60757 the
//! shorthand is common practice, no source. How words combine is the business of `phrase`.

use super::tint::{Hue, Shade, Tint};

/// What one word says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Word {
    /// One colour, whatever stands beside it.
    Tint(Tint),
    /// A word that people use for several colours, or for none of the standard's exactly.
    OneOf(&'static [Tint]),
    /// A single letter: too little by itself, good enough among its like (`R/W`).
    Letter(&'static [Tint]),
    Shade(Shade),
    With,
    And,
    /// The word "or"; beside a slash it is short for orange.
    Or,
    /// "no" or "without", which want the word tracer after them.
    No,
    /// It says what the wire is not.
    Not,
    /// The writer was not sure.
    Doubt,
    /// "stripe", "tracer": the colour before it is a tracer.
    Mark,
    /// "striped": the colour after it is a tracer.
    Striped,
    /// "plain", "solid": there is no tracer.
    Bare,
    /// "on", as in "white stripe on violet".
    On,
    /// How broad or how many a tracer is: says nothing of its colour.
    Width,
    /// "wire", "cable": the thing that has the colour.
    Noun,
    /// A word without weight.
    Filler,
}

const fn hue(hue: Hue) -> Word {
    Word::Tint(Tint::of(hue))
}

/// What `word` says; it is given in lower case. `None` for a word that is not known.
pub(super) fn look_up(word: &str) -> Option<Word> {
    colour(word).or_else(|| loose_colour(word)).or_else(|| other(word))
}

/// Codes, plain words and shorthand with one meaning.
fn colour(word: &str) -> Option<Word> {
    Some(hue(match word {
        "bk" | "black" | "blk" | "blck" => Hue::Black,
        "bn" | "brown" | "brn" | "brwn" | "bro" | "br" => Hue::Brown,
        "rd" | "red" => Hue::Red,
        "og" | "orange" | "org" | "orn" | "orng" | "ora" | "oran" => Hue::Orange,
        "ye" | "yellow" | "yel" | "yell" | "ylw" | "yl" => Hue::Yellow,
        "gn" | "green" | "grn" => Hue::Green,
        "bu" | "blue" | "blu" => Hue::Blue,
        "vt" | "violet" | "vio" | "viol" | "vlt" | "vi" => Hue::Violet,
        "purple" | "pur" | "purp" | "ppl" | "prp" | "prpl" | "pu" => Hue::Violet,
        "gy" | "grey" | "gray" | "gry" | "gra" | "slate" => Hue::Grey,
        "wh" | "white" | "wht" | "whi" | "wt" => Hue::White,
        "pk" | "pink" | "pnk" => Hue::Pink,
        "gd" | "gold" | "gld" => Hue::Gold,
        "tq" | "turquoise" | "turq" | "trq" | "tur" => Hue::Turquoise,
        "sr" | "silver" | "slvr" | "slv" | "sil" => Hue::Silver,
        "tan" | "tn" => Hue::Tan,
        "beige" | "bge" | "bei" => Hue::Beige,
        "clear" | "clr" | "natural" | "nat" | "transparent" => Hue::Clear,
        _ => return None,
    }))
}

/// Words for more than one colour, and letters.
fn loose_colour(word: &str) -> Option<Word> {
    use Hue::{
        Beige, Black, Blue, Brown, Green, Grey, Orange, Pink, Red, Silver, Tan, Turquoise, Violet, White,
        Yellow,
    };
    const fn t(hue: Hue) -> Tint {
        Tint::of(hue)
    }
    Some(match word {
        "bl" => Word::OneOf(const { &[t(Blue), t(Black)] }),
        "gr" | "gre" => Word::OneOf(const { &[t(Green), t(Grey)] }),
        "lg" => Word::OneOf(const { &[Tint::light(Green), Tint::light(Grey)] }),
        "dg" => Word::OneOf(const { &[Tint::dark(Green), Tint::dark(Grey)] }),
        "lb" => Word::OneOf(const { &[Tint::light(Blue), Tint::light(Brown)] }),
        "db" => Word::OneOf(const { &[Tint::dark(Blue), Tint::dark(Brown)] }),
        "mauve" | "lilac" | "lavender" => Word::OneOf(const { &[Tint::light(Violet), t(Violet)] }),
        "navy" => Word::OneOf(const { &[Tint::dark(Blue)] }),
        "sky" => Word::OneOf(const { &[Tint::light(Blue)] }),
        "lime" => Word::OneOf(const { &[Tint::light(Green)] }),
        "olive" => Word::OneOf(const { &[Tint::dark(Green)] }),
        "maroon" | "burgundy" => Word::OneOf(const { &[Tint::dark(Red), t(Brown)] }),
        "magenta" => Word::OneOf(const { &[t(Pink), t(Violet)] }),
        "rose" => Word::OneOf(const { &[t(Pink)] }),
        "amber" => Word::OneOf(const { &[t(Orange), t(Yellow)] }),
        "cream" | "ivory" => Word::OneOf(const { &[t(Beige), t(White)] }),
        "cyan" | "aqua" | "teal" => Word::OneOf(const { &[t(Turquoise), t(Blue), t(Green)] }),
        "r" => Word::Letter(const { &[t(Red)] }),
        "w" => Word::Letter(const { &[t(White)] }),
        "y" => Word::Letter(const { &[t(Yellow)] }),
        "o" => Word::Letter(const { &[t(Orange)] }),
        "v" => Word::Letter(const { &[t(Violet)] }),
        "b" => Word::Letter(const { &[t(Black), t(Blue), t(Brown)] }),
        "g" => Word::Letter(const { &[t(Green), t(Grey)] }),
        "p" => Word::Letter(const { &[t(Violet), t(Pink)] }),
        "s" => Word::Letter(const { &[t(Grey), t(Silver)] }),
        "t" => Word::Letter(const { &[t(Tan), t(Turquoise)] }),
        _ => return None,
    })
}

fn other(word: &str) -> Option<Word> {
    Some(match word {
        "light" | "lite" | "lt" | "lgt" | "pale" => Word::Shade(Shade::Light),
        "dark" | "dk" | "drk" => Word::Shade(Shade::Dark),
        "with" => Word::With,
        "and" | "plus" => Word::And,
        "or" => Word::Or,
        "no" | "without" => Word::No,
        "not" | "isn't" | "isnt" | "never" => Word::Not,
        "maybe" | "perhaps" | "probably" | "prob" | "possibly" | "poss" | "likely" | "unsure" | "either"
        | "faded" => Word::Doubt,
        "stripe" | "stripes" | "strp" | "str" | "tracer" | "tracers" | "trace" | "trc" | "trcr" | "tr" => {
            Word::Mark
        }
        "striped" | "traced" => Word::Striped,
        "plain" | "solid" | "untraced" | "unstriped" => Word::Bare,
        "on" => Word::On,
        "thin" | "thick" | "narrow" | "wide" | "fine" | "single" | "one" => Word::Width,
        "wire" | "cable" | "lead" | "conductor" => Word::Noun,
        "a" | "an" | "the" | "colour" | "color" | "coloured" | "colored" => Word::Filler,
        _ => return None,
    })
}

/// A shade and a colour written as one word: `ltblu`, `darkgreen`, `DGRN`. The colours are all that
/// the rest can mean.
pub(super) fn with_glued_shade(word: &str) -> Option<Vec<Tint>> {
    const PREFIXES: [(&str, Shade, usize); 7] = [
        ("light", Shade::Light, 2),
        ("lite", Shade::Light, 2),
        ("lt", Shade::Light, 2),
        ("dark", Shade::Dark, 2),
        ("dk", Shade::Dark, 2),
        // A lone letter before a code of two would make English words: "dog", "log".
        ("l", Shade::Light, 3),
        ("d", Shade::Dark, 3),
    ];
    PREFIXES.iter().find_map(|&(prefix, shade, least)| {
        let rest = word.strip_prefix(prefix).filter(|rest| rest.len() >= least)?;
        let tints: &[Tint] = match look_up(rest)? {
            Word::Tint(tint) => &[tint],
            Word::OneOf(tints) => tints,
            _ => return None,
        };
        tints.iter().map(|tint| tint.shaded(shade)).collect()
    })
}

/// Two or three colours written as one word, as IEC 60757 joins its codes: `RDBU`, `BLKWHT`.
pub(super) fn joined(word: &str) -> Option<Vec<Tint>> {
    if !word.is_ascii() {
        return None;
    }
    (2..=3).find_map(|count| split_into(word, count))
}

fn split_into(word: &str, count: usize) -> Option<Vec<Tint>> {
    if count == 1 {
        return joinable(word).map(|tint| vec![tint]);
    }
    (2..word.len().min(12)).find_map(|cut| {
        let mut tints = vec![joinable(&word[..cut])?];
        tints.extend(split_into(&word[cut..], count - 1)?);
        Some(tints)
    })
}

/// A part of a joined word: a code of the standard or a word of three letters and more, because
/// shorter shorthand turns up by chance inside other words.
fn joinable(part: &str) -> Option<Tint> {
    match colour(part) {
        Some(Word::Tint(tint)) if part.len() > 2 || tint.hue.code().eq_ignore_ascii_case(part) => Some(tint),
        _ => None,
    }
}

/// Whether a word says a colour or a shade, so that a phrase of colour may begin with it.
pub(super) fn begins_colour(word: &str) -> bool {
    let says = |word: Word| matches!(word, Word::Tint(_) | Word::OneOf(_) | Word::Shade(_) | Word::Bare);
    look_up(word).is_some_and(says) || with_glued_shade(word).is_some() || joined(word).is_some()
}

/// The words of colour that are long enough to be recognised when they are misspelt.
pub(super) fn spoken() -> impl Iterator<Item = &'static str> {
    const SPOKEN: [&str; 5] = ["purple", "gray", "natural", "stripe", "tracer"];
    Hue::ALL.iter().map(|hue| hue.plain()).chain(SPOKEN).filter(|known| known.len() > 3)
}

/// The known word that a misspelt one most likely stands for; nothing is corrected by it, it is
/// only offered. Words of three letters and fewer are too near to each other.
pub(super) fn nearest(word: &str) -> Option<&'static str> {
    let allowed = match word.chars().count() {
        0..=3 => return None,
        4..=5 => 1,
        6..=16 => 2,
        _ => return None,
    };
    spoken()
        .map(|known| (strsim::osa_distance(word, known), known))
        .filter(|&(distance, _)| distance <= allowed)
        .min_by_key(|&(distance, _)| distance)
        .map(|(_, known)| known)
}
