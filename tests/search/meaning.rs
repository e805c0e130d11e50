//! One note of the judged set: what it means, and the row that says so.

use std::collections::BTreeMap;

use crate::amount::Size;
use crate::kinds::{Choice, Kind};
use crate::spot::Spot;
use crate::wire::Wire;

/// What a note means; nothing of it is read back from its words.
#[derive(Debug, Clone)]
pub struct Meaning {
    pub make: &'static str,
    pub model: &'static str,
    pub years: (u16, u16),
    /// Whether the driver sits on the right.
    pub rhd: bool,
    /// What narrows the claim, beside the side of the driver.
    pub only: Option<(&'static str, &'static str)>,
    pub point: &'static Kind,
    pub wire: Option<Wire>,
    pub spot: Option<Spot>,
    pub sizes: Vec<&'static Size>,
    pub choices: Vec<&'static Choice>,
    /// Connector and cavity.
    pub code: Option<(u16, u16)>,
    pub slot: Option<u16>,
    /// The number of the remark, and a colour that the remark mentions.
    pub scrap: Option<usize>,
    pub mention: Option<Wire>,
    /// The number of the person.
    pub by: usize,
}

/// A note as it stands in the sheet, and what it means.
#[derive(Debug)]
pub struct Note {
    pub meaning: Meaning,
    pub row: BTreeMap<&'static str, String>,
}

/// The columns of the sheet.
pub const COLUMNS: [&str; 31] = [
    "make",
    "model",
    "years",
    "only",
    "point",
    "colour",
    "at",
    "connector",
    "cavity",
    "slot",
    "signal",
    "rating",
    "stud",
    "hole",
    "grommet",
    "hot",
    "length",
    "minutes",
    "torque",
    "section",
    "idle",
    "active",
    "carries",
    "suits",
    "fixing",
    "job",
    "basis",
    "by",
    "on",
    "seen",
    "remark",
];

impl Note {
    /// A cell, empty where nothing was written.
    pub fn cell(&self, column: &str) -> &str {
        self.row.get(column).map_or("", String::as_str)
    }
}

/// All notes as a sheet; the first stands in line 2.
pub fn sheet(notes: &[Note]) -> Vec<u8> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(COLUMNS).expect("a header");
    for note in notes {
        writer.write_record(COLUMNS.map(|column| note.cell(column))).expect("a row");
    }
    writer.into_inner().expect("a sheet")
}
