//! The terms of the index: each is one thing that a note means, as a short text that begins with the letter of its
//! kind. What a value means is told by `meaning`; how terms are stored is the business of `shelf`.

use std::fmt::Write as _;

/// The version of the terms: it changes with what is written here and in `meaning`, `cut`, `texts` and `notes`.
pub(super) const VERSION: &str = "6";

/// What parts the terms of one note; it stands in none of them.
pub(super) const SEPARATOR: char = '\u{1f}';

/// Stands before a term that a remark says, and no value.
const REMARK: char = '~';

/// The kinds of terms.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// The number of the model in the book.
    Model,
    /// The folded name of the maker.
    Make,
    /// A word of the names of makers and models, folded. Only one of the notes of a model needs to have it.
    Name,
    /// The name of the point.
    Point,
    /// The folded name of the writer.
    Person,
    /// The word of the basis.
    Basis,
    /// A model year that is claimed.
    Year,
    /// The year in which it was written.
    Written,
    /// A value of an attribute to which the claim is narrowed: `tow=yes`.
    Only,
    /// An attribute by which the claim is narrowed.
    Narrowed,
    /// A value of an attribute that the seen vehicle has.
    Seen,
    /// A colour, canonical.
    Colour,
    /// A colour with every shade left out, where it has one.
    Shadeless,
    /// The base of a colour with its shade, whatever its tracers.
    Tint,
    /// The base of a colour without its shade, whatever its tracers.
    Hue,
    /// The base, with its shade, of a colour of whose tracers nothing is said.
    Untraced,
    /// The hue of a tracer.
    Tracer,
    /// The whole place, canonical.
    Place,
    /// A part at which the place is.
    Part,
    /// The same where no side is said of it.
    BarePart,
    /// A part with a side: `left kick panel`, and `driver side kick panel` where it is known where the wheel is.
    SidedPart,
    /// What a part lies within.
    Within,
    /// A side on which the place lies, or of one of its parts.
    Side,
    /// How the place stands to a part: `above brake pedal`.
    Standing,
    /// A part to which the place stands somehow.
    Landmark,
    /// A code of one field: `cavity 14`.
    Code,
    /// A code of any field.
    AnyCode,
    /// A thread, canonical.
    Thread,
    /// The size of a thread.
    ThreadSize,
    /// A choice of one field: `signal positive`.
    Choice,
    /// A quantity of one field, in an order that follows its size.
    Quantity,
    /// A field of which something is told.
    Field,
    /// A word.
    Word,
}

impl Kind {
    /// The letter with which its terms begin.
    pub(super) fn letter(self) -> char {
        match self {
            Self::Model => 'm',
            Self::Make => 'k',
            Self::Name => 'N',
            Self::Point => 'n',
            Self::Person => 'a',
            Self::Basis => 'b',
            Self::Year => 'y',
            Self::Written => 'Y',
            Self::Only => 'u',
            Self::Narrowed => 'v',
            Self::Seen => 'z',
            Self::Colour => 'c',
            Self::Shadeless => 'l',
            Self::Tint => 't',
            Self::Hue => 'h',
            Self::Untraced => 'i',
            Self::Tracer => 'r',
            Self::Place => 'g',
            Self::Part => 'p',
            Self::BarePart => 'P',
            Self::SidedPart => 'q',
            Self::Within => 'w',
            Self::Side => 'd',
            Self::Standing => 'e',
            Self::Landmark => 'f',
            Self::Code => 'o',
            Self::AnyCode => 'x',
            Self::Thread => 's',
            Self::ThreadSize => 'j',
            Self::Choice => 'C',
            Self::Quantity => 'Q',
            Self::Field => 'F',
            Self::Word => '.',
        }
    }

    /// The term of this kind with this text.
    pub(super) fn term(self, text: &str) -> String {
        let mut term = String::with_capacity(text.len() + 1);
        term.push(self.letter());
        term.push_str(text);
        term
    }
}

/// The same term, said by a remark.
pub(super) fn in_remark(term: &str) -> String {
    let mut said = String::with_capacity(term.len() + 1);
    said.push(REMARK);
    said.push_str(term);
    said
}

/// The text of a quantity of a field that sorts by the size of its lower end (in the base unit), with its
/// canonical text behind it.
pub(super) fn quantity(field: &str, low: f64, canonical: &str) -> String {
    let mut text = quantity_key(field, low);
    let _ = write!(text, " {canonical}");
    text
}

/// Where the quantities of a field that are at least so large begin. Nothing that installers write is below minus a
/// thousand.
pub(super) fn quantity_key(field: &str, low: f64) -> String {
    format!("{field} {:013.3}", low + 1000.0)
}

/// The canonical text within the text of a quantity term.
pub(super) fn quantity_of(term: &str) -> Option<&str> {
    term.splitn(3, ' ').nth(2)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantities_sort_by_size_and_give_their_text_back() {
        let mut terms: Vec<String> = [(35.0, "35 mm"), (-0.5, "-0.5 V"), (9.5, "9.5 mm"), (120.0, "120 mm")]
            .map(|(low, text)| quantity("hole", low, text))
            .to_vec();
        terms.sort();
        let texts: Vec<_> = terms.iter().filter_map(|term| quantity_of(term)).collect();
        assert_eq!(texts, ["-0.5 V", "9.5 mm", "35 mm", "120 mm"]);
    }
}
