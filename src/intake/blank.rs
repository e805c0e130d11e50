//! A note sheet laid out for one vehicle, to be filled in: which points are wanted is told, the values, the basis and the
//! name are left to whoever looks.
//!
//! It is read again like any other sheet; a row that was not filled in is known by its reason, and passed by.

use super::armour::armed;
use super::heading::ASKED;
use crate::language::Language;
use crate::vehicle::Vehicle;

/// A row to be filled in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wanted {
    /// The point, by number in the catalogue.
    pub point: usize,
    /// Why it is wanted, for whoever fills it in.
    pub because: String,
}

/// The sheet as CSV, dated today. The notes are claimed for vehicles like this one: its year, and what is known of it.
#[must_use]
pub fn sheet(
    language: &Language,
    (make, model): (&str, &str),
    vehicle: &Vehicle,
    rows: &[Wanted],
) -> Vec<u8> {
    let catalogue = &language.catalogue;
    let fields = fields(language, rows);
    let names = fields.iter().map(|field| &*catalogue.fields[*field].name);
    let begin = ["make", "model", "years", "only", "point", ASKED];
    let end = ["basis", "by", "on", "seen", "remark"];
    let mut text = line(begin.into_iter().chain(names).chain(end));
    let year = vehicle.year().map(|year| year.to_string()).unwrap_or_default();
    let only = vehicle.clone().without_year().without_vin().to_string();
    let (today, seen) = (language.today.to_string(), vehicle.to_string());
    for row in rows {
        let point = &catalogue.points[row.point];
        let begin = [make, model, &year, &only, &point.name, &row.because];
        let end = ["", "", &today, &seen, ""];
        text.extend(line(begin.into_iter().chain(fields.iter().map(|_| "")).chain(end)));
    }
    text
}

/// The fields of these points: values in the order in which a point has them, then those that take free words.
fn fields(language: &Language, rows: &[Wanted]) -> Vec<usize> {
    let catalogue = &language.catalogue;
    let mut fields: Vec<usize> = Vec::new();
    for field in rows.iter().flat_map(|row| &*catalogue.points[row.point].fields) {
        if !fields.contains(field) {
            fields.push(*field);
        }
    }
    fields.sort_by_key(|field| catalogue.fields[*field].kind.is_prose());
    fields
}

fn line<'t>(cells: impl Iterator<Item = &'t str>) -> Vec<u8> {
    let cells: Vec<_> = cells.map(armed).collect();
    let mut writer = csv::WriterBuilder::new().from_writer(Vec::new());
    // Nothing can go wrong in memory; what did not go in would be missing.
    let written = writer.write_record(cells.iter().map(|cell| cell.as_bytes()));
    debug_assert!(written.is_ok());
    writer.into_inner().unwrap_or_default()
}
