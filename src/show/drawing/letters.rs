//! How wide a text is likely to be, and where it is broken: an SVG has no paragraphs of its own.

use unicode_width::UnicodeWidthChar as _;

/// The size of every text, in units of the drawing: above 11 pixels where the drawing is 328 pixels wide.
pub(super) const SIZE: i32 = 12;
/// From one line to the next.
pub(super) const LINE: i32 = 15;

/// Thick or thin letters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Weight {
    Plain,
    Bold,
}

/// Widths of the printable ASCII characters in thousandths of the size: Helvetica as in the Adobe Core 14 font
/// metrics, from memory.
const WIDTHS: [u16; 95] = [
    278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278, 556, 556, 556, 556, 556,
    556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556, 1015, 667, 667, 722, 722, 667, 611, 778, 722, 278,
    500, 667, 556, 833, 722, 778, 667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469,
    556, 333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556, 556, 556, 333, 500,
    278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,
];

/// A printer or a telephone may put a wider fount in its place (our allowance).
const ALLOWANCE: f64 = 1.08;

fn thousandths(c: char, weight: Weight) -> f64 {
    let at = u32::from(c).checked_sub(32).and_then(|at| usize::try_from(at).ok());
    let plain = match at.and_then(|at| WIDTHS.get(at)) {
        Some(width) => f64::from(*width),
        None if c.width() == Some(2) => 1000.0,
        None => 600.0,
    };
    // Helvetica Bold is at most a tenth wider over a line of text (the same metrics).
    if weight == Weight::Bold { plain * 1.1 } else { plain }
}

/// The width of a text in units of the drawing, rather too much than too little.
pub(super) fn width(text: &str, weight: Weight) -> i32 {
    let sum: f64 = text.chars().map(|c| thousandths(c, weight)).sum();
    #[expect(clippy::cast_possible_truncation, reason = "saturates, and no text is that long")]
    let units = (sum * f64::from(SIZE) * ALLOWANCE / 1000.0).ceil() as i32;
    units
}

/// The text in lines that fit into `room`; a word that does not is broken.
pub(super) fn wrap(text: &str, weight: Weight, room: i32) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace().flat_map(|word| pieces(word, weight, room)) {
        let longer = if line.is_empty() { word.clone() } else { format!("{line} {word}") };
        if width(&longer, weight) <= room {
            line = longer;
        } else {
            lines.push(std::mem::replace(&mut line, word));
        }
    }
    lines.push(line);
    lines.retain(|line| !line.is_empty());
    lines
}

/// A word, or the parts of one that is longer than a line.
fn pieces(word: &str, weight: Weight, room: i32) -> Vec<String> {
    let mut pieces = vec![String::new()];
    for c in word.chars() {
        let last = pieces.last().map_or(0, |piece| width(piece, weight));
        let fits = last + width(c.encode_utf8(&mut [0; 4]), weight) <= room;
        match pieces.last_mut() {
            Some(piece) if fits || piece.is_empty() => piece.push(c),
            _ => pieces.push(c.to_string()),
        }
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_fit_and_lose_nothing() {
        let texts = ["", "one", "violet with white tracer (VT/WH) at the stop lamp switch", &"W".repeat(90)];
        for text in texts {
            for room in [60, 140, 280] {
                let lines = wrap(text, Weight::Bold, room);
                assert!(lines.iter().all(|line| width(line, Weight::Bold) <= room), "{room}: {lines:?}");
                let squeezed = |text: &str| text.replace(' ', "");
                assert_eq!(squeezed(&lines.concat()), squeezed(text));
            }
        }
    }

    /// Widths in em as a browser measures them in Liberation Sans, which is as wide as Arial and Helvetica.
    #[test]
    fn a_text_is_no_wider_than_thought() {
        let measured = [
            ("The quick brown fox jumps over the lazy dog", Weight::Plain, 19.788),
            ("The quick brown fox jumps over the lazy dog", Weight::Bold, 21.392),
            ("violet with white tracer (VT/WH)", Weight::Plain, 14.002),
            ("violet with white tracer (VT/WH)", Weight::Bold, 14.946),
            ("Type II or III, within 7 in (180 mm) of the stud", Weight::Plain, 19.786),
            ("n-jv45td, connector C212, cavity 14", Weight::Bold, 16.673),
            ("WWWMMM", Weight::Bold, 5.331),
        ];
        for (text, weight, em) in measured {
            let thought = f64::from(width(text, weight)) / f64::from(SIZE);
            assert!((em * 1.05..em * 1.3).contains(&thought), "{text}: {thought} against {em}");
        }
    }
}
