//! The first row of a note sheet: which columns there are, and what is wrong with them.

use csv::ByteRecord;

use super::armour::text;
use super::cells::Column;
use super::desk::hint;
use super::refusal::Refusal;
use crate::catalogue::Catalogue;

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
pub(super) const FORM: &str =
    "a note sheet begins with a row of column names: make,model,years,point,basis,by,on and others";

/// The heading of a column.
pub(super) fn heading(column: Column, catalogue: &Catalogue) -> &str {
    match column {
        Column::Field(field) => &catalogue.fields[field].name,
        fixed => FIXED.iter().find(|(_, column)| *column == fixed).map_or("", |(heading, _)| heading),
    }
}

/// Reads the header: every column known, none twice, none missing.
pub(super) fn header(
    record: &ByteRecord,
    file: &str,
    catalogue: &Catalogue,
) -> Result<Vec<Column>, Vec<Refusal>> {
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

/// Cells up to the last that is not blank.
pub(super) fn filled(record: &ByteRecord) -> usize {
    let blank = |cell: &[u8]| cell.iter().all(u8::is_ascii_whitespace);
    record.len() - record.iter().rev().take_while(|cell| blank(cell)).count()
}
