//! The note sheet: a CSV file with a header row and one claim a row; a table of decisions may stand below it, or
//! alone.
//!
//! Owns the form of the file. What the cells of a note mean is the desk's business, what those of a decision mean
//! that of `rulings`.

use std::collections::BTreeSet;
use std::io::Read;

use csv::{ByteRecord, ReaderBuilder};

use super::cells::{Cells, Column};
use super::desk::{Desk, Trouble, hint};
use super::guard::{Endless, Guard};
use super::refusal::Refusal;
use super::rulings;
use crate::catalogue::Catalogue;
use crate::note::NoteId;

/// The heading of the column in which the reason of a refused row is written back.
pub const REASON: &str = "refused because";

/// The heading of the column that says why a row was laid out to be filled in.
pub const ASKED: &str = "asked because";

/// The fixed columns by their headings.
const FIXED: [(&str, Column); 12] = [
    ("make", Column::Make),
    ("model", Column::Model),
    ("years", Column::Years),
    ("only", Column::Only),
    ("point", Column::Point),
    ("basis", Column::Basis),
    ("by", Column::By),
    ("on", Column::On),
    ("seen", Column::Seen),
    ("remark", Column::Remark),
    (REASON, Column::Reason),
    (ASKED, Column::Asked),
];

/// The columns that a sheet must have.
const REQUIRED: [&str; 7] = ["make", "model", "years", "point", "basis", "by", "on"];

/// What the first row has to look like.
const FORM: &str =
    "a note sheet begins with a row of column names: make,model,years,point,basis,by,on and others";

/// What became of the rows of one sheet.
#[derive(Debug, Default)]
pub struct SheetRead {
    /// Rows that were read, the header and those that were not filled in left out.
    pub rows: usize,
    /// Rows that were laid out to be filled in, and were not.
    pub unfilled: usize,
    /// The line and the note of each row that was understood.
    pub understood: Vec<(u64, NoteId)>,
    /// Everything that was refused, by line.
    pub refusals: Vec<Refusal>,
    /// The header and the refused rows as they stood, for writing them back.
    pub header: Option<ByteRecord>,
    /// Each refused row with its reason.
    pub refused_rows: Vec<(ByteRecord, String)>,
    /// The decisions that were understood, each with the line of its first row.
    pub decisions: Vec<rulings::Read>,
    /// Rows of decisions among `rows`.
    pub decision_rows: usize,
    /// The header of the table of decisions, and its refused rows with their reasons: a decision goes whole.
    pub refused_decisions: Option<(ByteRecord, Vec<(ByteRecord, String)>)>,
    /// The file as a whole is of no use: no row of it can go in.
    pub useless: bool,
}

impl SheetRead {
    fn useless(&mut self, refusal: Refusal) {
        self.refusals.push(refusal);
        self.useless = true;
    }
}

/// Reads a sheet to the end and stages what can be understood. `name` is how the file is called in messages;
/// `keep` says whether refused rows are kept to be written back; `progress` is told how many rows were read.
pub fn read(
    source: impl Read,
    name: &str,
    desk: &mut Desk<'_>,
    keep: bool,
    progress: &mut dyn FnMut(usize),
) -> SheetRead {
    let mut result = SheetRead::default();
    let mut reader = ReaderBuilder::new().has_headers(false).flexible(true).from_reader(Guard::new(source));
    let mut record = ByteRecord::new();
    let columns = match reader.read_byte_record(&mut record) {
        Ok(true) if rulings::is_header(&record) => {
            desk.file(name);
            decisions(&mut reader, &record.clone(), name, desk, keep, &mut result);
            return result;
        }
        Ok(true) => header(&record, name, &desk.language().catalogue),
        Ok(false) => Err(vec![Refusal::of_file(name, format!("the file is empty; {FORM}"))]),
        Err(error) => Err(vec![broken(name, &error)]),
    };
    let columns = match columns {
        Ok(columns) => columns,
        Err(refusals) => {
            result.refusals = refusals;
            result.useless = true;
            return result;
        }
    };
    // A spreadsheet writes the empty columns behind the last one as well.
    let width = record.len();
    record.truncate(columns.len());
    result.header = Some(record.clone());
    desk.file(name);
    loop {
        match reader.read_byte_record(&mut record) {
            Ok(true) if rulings::is_header(&record) => {
                decisions(&mut reader, &record.clone(), name, desk, keep, &mut result);
                break;
            }
            Ok(true) => {
                if record.len() == width && filled(&record) <= columns.len() {
                    record.truncate(columns.len());
                }
                row(&record, &columns, name, desk, keep, &mut result);
            }
            Ok(false) => break,
            Err(error) => {
                result.useless(broken(name, &error));
                break;
            }
        }
        if result.rows % 1024 == 0 {
            progress(result.rows);
        }
    }
    result
}

/// Reads the table of decisions that goes on to the end of the file.
fn decisions(
    reader: &mut csv::Reader<impl Read>,
    header: &ByteRecord,
    name: &str,
    desk: &Desk<'_>,
    keep: bool,
    result: &mut SheetRead,
) {
    let first = header.position().map_or(1, csv::Position::line);
    let columns = match rulings::columns(header) {
        Ok(columns) => columns,
        Err(wrong) => {
            result.refusals.extend(wrong.into_iter().map(|told| Refusal::of_line(name, first, told)));
            result.useless = true;
            return;
        }
    };
    let (mut rows, mut record) = (rulings::Rows::default(), ByteRecord::new());
    let mut kept: Vec<(ByteRecord, Option<String>)> = Vec::new();
    loop {
        match reader.read_byte_record(&mut record) {
            Ok(true) if record.iter().all(|cell| cell.iter().all(u8::is_ascii_whitespace)) => {}
            Ok(true) => {
                (result.rows, result.decision_rows) = (result.rows + 1, result.decision_rows + 1);
                let line = record.position().map_or(0, csv::Position::line);
                let read = decision_row(&record, header.len(), &columns, (name, line), desk, &mut rows);
                if keep {
                    kept.push((record.clone(), read.as_ref().err().map(reason)));
                }
                result.refusals.extend(read.err());
            }
            Ok(false) => break,
            Err(error) => {
                result.useless(broken(name, &error));
                break;
            }
        }
    }
    let (read, refusals) = rows.finish(name);
    let id = |record: &ByteRecord| {
        let cell = record.get(columns[0]).unwrap_or_default();
        String::from_utf8_lossy(cell).trim().to_lowercase()
    };
    let good: BTreeSet<String> = read.iter().map(|(_, id, _)| id.to_string()).collect();
    kept.retain(|(record, _)| !good.contains(&id(record)));
    let of_decision = |record: &ByteRecord| {
        let own = |refusal: &&Refusal| refusal.text.as_deref().is_some_and(|text| text == id(record));
        refusals
            .iter()
            .find(own)
            .map_or_else(|| "another row of the same decision is refused".to_owned(), reason)
    };
    if !kept.is_empty() {
        let with_reason = |(record, own): (ByteRecord, Option<String>)| {
            let told = own.unwrap_or_else(|| of_decision(&record));
            (record, told)
        };
        result.refused_decisions = Some((header.clone(), kept.into_iter().map(with_reason).collect()));
    }
    result.decisions = read;
    result.refusals.extend(refusals);
}

/// Why a row was refused: the column and what is wrong with it.
fn reason(refusal: &Refusal) -> String {
    match &refusal.column {
        Some(column) => format!("{column}: {}", refusal.message),
        None => refusal.message.clone(),
    }
}

fn decision_row(
    record: &ByteRecord,
    cells_wanted: usize,
    columns: &[usize; 10],
    (name, line): (&str, u64),
    desk: &Desk<'_>,
    rows: &mut rulings::Rows,
) -> Result<(), Refusal> {
    if record.len() != cells_wanted {
        let told = format!("the row has {} cells and the header {cells_wanted}", record.len());
        return Err(Refusal::of_line(name, line, told));
    }
    let mut cells = [""; 10];
    for (at, (cell, column)) in cells.iter_mut().zip(columns).enumerate() {
        let bytes = &record[*column];
        *cell = text(bytes).map_err(|told| {
            Refusal::of_cell(name, line, rulings::COLUMNS[at], &String::from_utf8_lossy(bytes), told)
        })?;
    }
    rows.row(cells, line, desk.language())
        .map_err(|(at, told)| Refusal::of_cell(name, line, rulings::COLUMNS[at], cells[at], told))
}

fn row(
    record: &ByteRecord,
    columns: &[Column],
    name: &str,
    desk: &mut Desk<'_>,
    keep: bool,
    result: &mut SheetRead,
) {
    if record.iter().all(|cell| cell.iter().all(u8::is_ascii_whitespace)) {
        return;
    }
    if is_unfilled(record, columns) {
        result.unfilled += 1;
        return;
    }
    result.rows += 1;
    let line = record.position().map_or(0, csv::Position::line);
    let refusals = match understand(record, columns, name, line, desk) {
        Ok(id) => {
            result.understood.push((line, id));
            return;
        }
        Err(refusals) => refusals,
    };
    if keep {
        let reasons: Vec<String> = refusals.iter().map(reason).collect();
        result.refused_rows.push((record.clone(), reasons.join("; ")));
    }
    result.refusals.extend(refusals);
}

/// Whether a row was laid out to be filled in, and nothing was told in it. Who, when and how do not count: they are
/// drawn down a whole column. A row that nobody laid out is no such row, and has to say something.
fn is_unfilled(record: &ByteRecord, columns: &[Column]) -> bool {
    let told = |column: &Column| matches!(column, Column::Field(_) | Column::Remark);
    let blank = |cell: &[u8]| cell.iter().all(u8::is_ascii_whitespace);
    let asked = columns.iter().position(|column| *column == Column::Asked);
    let mut cells = columns.iter().zip(record);
    record.len() == columns.len()
        && asked.is_some_and(|at| !blank(&record[at]))
        && cells.all(|(column, cell)| !told(column) || blank(cell))
}

/// Cells up to the last that is not blank.
fn filled(record: &ByteRecord) -> usize {
    let blank = |cell: &[u8]| cell.iter().all(u8::is_ascii_whitespace);
    record.len() - record.iter().rev().take_while(|cell| blank(cell)).count()
}

fn understand(
    record: &ByteRecord,
    columns: &[Column],
    name: &str,
    line: u64,
    desk: &mut Desk<'_>,
) -> Result<NoteId, Vec<Refusal>> {
    if record.len() != columns.len() {
        let message = format!(
            "the row has {} cells and the header {}; a cell that holds a comma needs quotation marks around it",
            record.len(),
            columns.len()
        );
        return Err(vec![Refusal::of_line(name, line, message)]);
    }
    let mut cells = Cells::default();
    let mut unreadable = Vec::new();
    let whole = whole(record);
    for (at, column) in columns.iter().enumerate() {
        let Some(range) = record.range(at).filter(|range| !range.is_empty()) else { continue };
        let bytes = &record.as_slice()[range.clone()];
        let cell = whole.and_then(|whole| whole.get(range));
        match cell.map_or_else(|| text(bytes), |cell| Ok(disarmed(cell))) {
            Ok(text) => cells.push(*column, text),
            Err(message) => {
                let heading = heading(*column, &desk.language().catalogue);
                unreadable.push(Refusal::of_cell(
                    name,
                    line,
                    heading,
                    &String::from_utf8_lossy(bytes),
                    message,
                ));
            }
        }
    }
    if !unreadable.is_empty() {
        return Err(unreadable);
    }
    desk.row(&cells, u32::try_from(line).unwrap_or(u32::MAX)).map_err(|troubles| {
        troubles.into_iter().map(|trouble| refusal(trouble, &cells, name, line, desk)).collect()
    })
}

fn refusal(trouble: Trouble, cells: &Cells<'_>, name: &str, line: u64, desk: &Desk<'_>) -> Refusal {
    match trouble.column {
        Some(column) => {
            let heading = heading(column, &desk.language().catalogue);
            Refusal::of_cell(name, line, heading, cells.get(column), trouble.message)
        }
        None => Refusal::of_line(name, line, trouble.message),
    }
}

/// All cells as one text, where that is UTF-8 without NUL: read at once, it takes a fraction of the time.
fn whole(record: &ByteRecord) -> Option<&str> {
    std::str::from_utf8(record.as_slice()).ok().filter(|text| !text.contains('\0'))
}

/// A cell as text: UTF-8 without NUL, and without the mark that keeps a spreadsheet from running it.
fn text(bytes: &[u8]) -> Result<&str, String> {
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
fn disarmed(text: &str) -> &str {
    match text.strip_prefix('\'') {
        Some(rest) if is_runnable(rest) => rest,
        _ => text,
    }
}

fn heading(column: Column, catalogue: &Catalogue) -> &str {
    match column {
        Column::Field(field) => &catalogue.fields[field].name,
        fixed => FIXED.iter().find(|(_, column)| *column == fixed).map_or("", |(heading, _)| heading),
    }
}

/// Reads the header: every column known, none twice, none missing.
fn header(record: &ByteRecord, file: &str, catalogue: &Catalogue) -> Result<Vec<Column>, Vec<Refusal>> {
    if [b"\xFF\xFE", b"\xFE\xFF"].into_iter().any(|mark| record.as_slice().starts_with(mark)) {
        return Err(vec![Refusal::of_file(file, "the file is UTF-16; save the sheet as UTF-8")]);
    }
    if record.as_slice().contains(&0) {
        let message =
            "the column names hold NUL bytes: it is UTF-16, or no text at all; save the sheet as UTF-8";
        return Err(vec![Refusal::of_line(file, 1, message)]);
    }
    let mut refusals = Vec::new();
    let mut columns = Vec::new();
    for (number, bytes) in record.iter().take(filled(record)).enumerate() {
        let bytes = if number == 0 { bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes) } else { bytes };
        match text(bytes) {
            Err(message) => {
                refusals.push(Refusal::of_line(file, 1, format!("heading {}: {message}", number + 1)))
            }
            Ok(text) => match column(text, catalogue) {
                Ok(column) if columns.contains(&column) => {
                    refusals.push(Refusal::of_line(
                        file,
                        1,
                        format!("the column '{}' stands twice", text.trim()),
                    ));
                }
                Ok(column) => columns.push(column),
                Err(message) if text.trim().is_empty() => {
                    refusals.push(Refusal::of_line(file, 1, format!("heading {}: {message}", number + 1)));
                }
                Err(message) => refusals.push(Refusal::of_cell(file, 1, text.trim(), text.trim(), message)),
            },
        }
    }
    if let Some(refusal) = wrong_delimiter(record, file) {
        return Err(vec![refusal]);
    }
    if columns.is_empty() {
        return Err(vec![Refusal::of_line(file, 1, format!("no column names stand here; {FORM}"))]);
    }
    let missing: Vec<&str> = REQUIRED
        .into_iter()
        .filter(|name| !columns.iter().any(|column| heading(*column, catalogue) == *name))
        .collect();
    if !missing.is_empty() {
        refusals.push(Refusal::of_line(
            file,
            1,
            format!(
                "the sheet lacks the column{} '{}'",
                if missing.len() == 1 { "" } else { "s" },
                missing.join("', '")
            ),
        ));
    }
    if refusals.is_empty() { Ok(columns) } else { Err(refusals) }
}

fn column(text: &str, catalogue: &Catalogue) -> Result<Column, String> {
    let wanted = text.trim().to_lowercase();
    if let Some((_, column)) = FIXED.iter().find(|(heading, _)| *heading == wanted) {
        return Ok(*column);
    }
    if let Some(field) = catalogue.field(&wanted) {
        return Ok(Column::Field(field));
    }
    if wanted.is_empty() {
        return Err("a column has no name; name it or take it out".to_owned());
    }
    let known: Vec<&str> = FIXED
        .iter()
        .map(|(heading, _)| *heading)
        .chain(catalogue.fields.iter().map(|field| &*field.name))
        .collect();
    let near = hint(&wanted, &known);
    let near = if near.is_empty() {
        "; `baybook points POINT` lists the fields of a point".to_owned()
    } else {
        near
    };
    Err(format!("'{}' is no column of a note sheet{near}", text.trim()))
}

/// A header of one cell that holds another delimiter.
fn wrong_delimiter(record: &ByteRecord, file: &str) -> Option<Refusal> {
    let only = record.get(0).filter(|_| record.len() == 1)?;
    let found = [(b';', "semicolons"), (b'\t', "tabs"), (b'|', "bars")]
        .into_iter()
        .find(|(sign, _)| only.contains(sign))?;
    Some(Refusal::of_line(
        file,
        1,
        format!("the columns are separated by {}; save the sheet with commas", found.1),
    ))
}

/// What the reader of the file said.
fn broken(file: &str, error: &csv::Error) -> Refusal {
    if let csv::ErrorKind::Io(io) = error.kind() {
        if let Some(endless) = io.get_ref().and_then(|inner| inner.downcast_ref::<Endless>()) {
            return Refusal::of_line(file, endless.line(), endless.to_string());
        }
        return Refusal::of_file(file, io.to_string());
    }
    Refusal::of_file(file, error.to_string())
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
