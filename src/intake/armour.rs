//! Cells as texts, and what a spreadsheet would run in them: it goes out with an apostrophe before it, which is taken
//! off on the way in.

use csv::ByteRecord;

/// All cells as one text, where that is UTF-8 without NUL: read at once, it takes a fraction of the time.
pub(super) fn whole(record: &ByteRecord) -> Option<&str> {
    std::str::from_utf8(record.as_slice()).ok().filter(|text| !text.contains('\0'))
}

/// A cell as text: UTF-8 without NUL, and without the mark that keeps a spreadsheet from running it.
pub(super) fn text(bytes: &[u8]) -> Result<&str, String> {
    let text = std::str::from_utf8(bytes).map_err(|error| {
        let at = error.valid_up_to();
        format!("byte {} of the cell (0x{:02X}) is not UTF-8; save the sheet as UTF-8", at + 1, bytes[at])
    })?;
    if text.contains('\0') {
        return Err("the cell holds a NUL byte; save the sheet as plain text in UTF-8".to_owned());
    }
    Ok(disarmed(text))
}

/// A text that begins with one of these would be run by a spreadsheet, the wide signs of East Asian keyboards among
/// them (OWASP, "CSV Injection"; from memory).
const RUNNABLE: [char; 10] = ['=', '+', '-', '@', '\t', '\r', '＝', '＋', '－', '＠'];

/// Whether a text, after any apostrophes, begins like a formula.
fn is_runnable(text: &str) -> bool {
    text.trim_start_matches('\'').starts_with(RUNNABLE)
}

/// A cell with an apostrophe before what a spreadsheet would run.
#[must_use]
pub fn armed(text: &str) -> std::borrow::Cow<'_, str> {
    if is_runnable(text) { format!("'{text}").into() } else { text.into() }
}

/// A cell of a file with an apostrophe before what a spreadsheet would run; one that has its apostrophe already stays
/// as it is.
#[must_use]
pub fn armed_again(cell: &[u8]) -> Vec<u8> {
    let runnable = String::from_utf8_lossy(cell).starts_with(RUNNABLE);
    if runnable { [b"'", cell].concat() } else { cell.to_vec() }
}

/// Takes back what `armed` did.
pub(super) fn disarmed(text: &str) -> &str {
    if text.as_bytes().first() != Some(&b'\'') {
        return text;
    }
    match text.strip_prefix('\'') {
        Some(rest) if is_runnable(rest) => rest,
        _ => text,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_spreadsheet_would_run_is_disarmed_and_comes_back() {
        for text in ["=1+1", "-2018", "+12 V", "@x", "＝1", "'=1", "''-", "plain", "'quoted'", "", "'"] {
            let written = armed(text);
            assert!(!written.starts_with(RUNNABLE), "{text:?} is written as {written:?}");
            assert_eq!(disarmed(&written), text);
        }
    }

    #[test]
    fn a_refused_cell_is_disarmed_once_however_often_it_goes_round() {
        for (cell, expected) in
            [("=1+1", "'=1+1"), ("'=1+1", "'=1+1"), ("-2018", "'-2018"), ("plain", "plain"), ("", "")]
        {
            assert_eq!(armed_again(cell.as_bytes()), expected.as_bytes());
        }
        assert_eq!(armed_again(b"=\xFF"), b"'=\xFF");
    }
}
