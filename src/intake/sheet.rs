//! The note sheet: a CSV file with a header row and one claim a row; a table of decisions may stand below it, or
//! alone.
//!
//! Owns the form of the file. What the cells of a note mean is the desk's business, what those of a decision mean
//! that of `rulings`.

use std::collections::BTreeSet;
use std::io::Read;
use std::sync::mpsc::{channel, sync_channel};
use std::thread;

use csv::{ByteRecord, ReaderBuilder};

use super::armour::{disarmed, text, whole};
use super::cells::{Cells, Column};
use super::desk::{Desk, Trouble};
use super::guard::{Endless, Guard};
use super::heading::{FORM, filled, header, heading};
use super::refusal::Refusal;
use super::rulings;
use crate::note::NoteId;

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
    progress(0);
    let form = Form { columns: &columns, width, name, keep };
    match rows(&mut reader, &form, desk, &mut result, progress) {
        Ok(Some(header)) => decisions(&mut reader, &header, name, desk, keep, &mut result),
        Ok(None) => {}
        Err(error) => result.useless(broken(name, &error)),
    }
    result
}

/// How the rows of one sheet look.
struct Form<'f> {
    columns: &'f [Column],
    /// Cells of the first row.
    width: usize,
    name: &'f str,
    keep: bool,
}

/// Rows that are read before the desk looks at them.
const BATCH: usize = 256;
/// Batches that wait for the desk before the reader of the file has to.
const WAITING: usize = 8;

/// Reads rows to the end, or to the header of a table of decisions, which is given. Where there are many, a thread of
/// its own understands them while the next are read.
fn rows(
    reader: &mut csv::Reader<impl Read>,
    form: &Form<'_>,
    desk: &mut Desk<'_>,
    result: &mut SheetRead,
    progress: &mut dyn FnMut(usize),
) -> Result<Option<ByteRecord>, csv::Error> {
    let mut batch = Batch::default();
    let first = batch.fill(reader);
    if batch.filled < BATCH {
        batch.understand(form, desk, result);
        return first;
    }
    thread::scope(|scope| {
        let (to_desk, inbox) = sync_channel::<Batch>(WAITING);
        let (back, spare) = channel();
        scope.spawn(move || {
            for mut batch in inbox {
                batch.understand(form, desk, result);
                // Whoever reads may have come to the end, and wants none back.
                let _ = back.send(batch);
            }
        });
        let (mut end, mut read) = (first, 0);
        while batch.filled == BATCH && matches!(end, Ok(None)) {
            read += batch.filled;
            progress(read);
            if to_desk.send(batch).is_err() {
                return end;
            }
            batch = spare.try_recv().unwrap_or_default();
            end = batch.fill(reader);
        }
        let _ = to_desk.send(batch);
        end
    })
}

/// Rows as they stand in the file.
#[derive(Default)]
struct Batch {
    /// These are used again: only the first `filled` of them hold rows.
    records: Vec<ByteRecord>,
    filled: usize,
}

impl Batch {
    /// Reads rows until it is full or there are no more; gives the header of a table of decisions, where one came.
    fn fill(&mut self, reader: &mut csv::Reader<impl Read>) -> Result<Option<ByteRecord>, csv::Error> {
        self.filled = 0;
        while self.filled < BATCH {
            if self.filled == self.records.len() {
                self.records.push(ByteRecord::new());
            }
            let record = &mut self.records[self.filled];
            if !reader.read_byte_record(record)? {
                break;
            }
            if rulings::is_header(&*record) {
                return Ok(Some(record.clone()));
            }
            self.filled += 1;
        }
        Ok(None)
    }

    /// Understands its rows.
    fn understand(&mut self, form: &Form<'_>, desk: &mut Desk<'_>, result: &mut SheetRead) {
        for record in &mut self.records[..self.filled] {
            if record.len() == form.width && filled(record) <= form.columns.len() {
                record.truncate(form.columns.len());
            }
            row(record, form, desk, result);
        }
    }
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

fn row(record: &ByteRecord, form: &Form<'_>, desk: &mut Desk<'_>, result: &mut SheetRead) {
    let Form { columns, name, keep, .. } = *form;
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
