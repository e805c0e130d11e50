//! Reads the notes that are told one by one in `stories.txt`. Owns that small format only.

use crate::dice::Dice;
use crate::fleet;
use crate::hands::{COUNTER, HANDS};
use crate::note::{Day, Note};

static TEXT: &str = include_str!("stories.txt");

/// The told notes, or the first line that is not one.
pub fn notes(seed: u64) -> Result<Vec<Note>, String> {
    TEXT.lines()
        .filter(|line| !line.trim().is_empty() && !line.starts_with('#'))
        .map(|line| note(line, seed).ok_or_else(|| format!("not a note: {line}")))
        .collect()
}

fn note(line: &'static str, seed: u64) -> Option<Note> {
    let cells: Vec<&'static str> = line.split('|').map(str::trim).collect();
    let [vehicle, years, only, point, fields, basis, by, on, seen, remark] = cells[..] else { return None };
    let (make, model) = vehicle.split_once(' ')?;
    let hand = HANDS.iter().map(|h| h.signs[0]).chain([COUNTER]).find(|name| *name == by)?;
    Some(Note {
        make,
        model,
        years: years.to_string(),
        only: only.to_string(),
        point,
        fields: fields.split('~').map(field).collect::<Option<_>>()?,
        basis,
        by: by.to_string(),
        hand,
        on: day(on)?,
        seen: seen_cell(seen, vehicle, seed)?,
        remark: remark.replace("\\n", "\n"),
    })
}

fn field(text: &'static str) -> Option<(&'static str, String)> {
    let (name, value) = text.trim().split_once('=')?;
    Some((name, value.to_string()))
}

fn day(text: &str) -> Option<Day> {
    let mut parts = text.split('-').map(|part| part.parse().ok());
    Some(Day { year: parts.next()??, month: parts.next()??, day: parts.next()?? })
}

fn seen_cell(text: &str, vehicle: &str, seed: u64) -> Option<String> {
    let Some(year) = text.strip_prefix("VIN") else { return Some(text.to_string()) };
    let codes = match vehicle {
        "Quillon Tarn" => "UT",
        "Kestwick Siskin" => "KS",
        _ => return None,
    };
    Some(fleet::vin(codes, year.parse().ok()?, &mut Dice::of(seed, &format!("{vehicle} {year}"))))
}
