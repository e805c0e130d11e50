//! Which note stands in which file, and how that file looks: its columns, their order, its line ends.
//! Owns the folder; the notes come from `shop` and `stories`.

use std::path::Path;

use crate::note::Note;

/// The order in which a person lays out the columns.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Layout {
    /// Vehicle, point, fields, then who and when.
    FieldsInside,
    /// Vehicle, point, who and when, then fields.
    FieldsLast,
    /// When and who first.
    DiaryFirst,
}

/// One file of the folder.
#[derive(Debug)]
pub struct Sheet {
    pub file: &'static str,
    /// What the README says of it.
    pub about: &'static str,
    layout: Layout,
    /// Written by a spreadsheet that ends lines with CR LF.
    crlf: bool,
    /// Written by a spreadsheet that puts a byte order mark in front.
    bom: bool,
    by_vehicle: bool,
    /// Columns that this sheet never had.
    lacks: &'static [&'static str],
}

macro_rules! sheets {
    ($($file:literal, $about:literal, $layout:ident, crlf $crlf:literal, bom $bom:literal, by_vehicle $by:literal, lacks $lacks:expr;)+) => {
        &[$(Sheet { file: $file, about: $about, layout: Layout::$layout, crlf: $crlf, bom: $bom, by_vehicle: $by, lacks: &$lacks }),+]
    };
}

/// Every file, in the order of the README.
pub static SHEETS: &[Sheet] = sheets! {
    "okafor-2019-2021.csv", "R. Okafor's own sheet, first half. Careful, qualifies what he knows.", FieldsInside, crlf false, bom false, by_vehicle false, lacks ["section", "torque", "fuse"];
    "okafor-2022-2025.csv", "The same, carried on.", FieldsInside, crlf false, bom false, by_vehicle false, lacks ["section", "torque"];
    "lindqvist-notebook.csv", "G. Lindqvist's pocket notebook, typed in when he retired. Years as he claimed them; no column for qualifiers.", FieldsLast, crlf false, bom false, by_vehicle true, lacks ["only", "connector", "cavity", "section", "torque", "fuse", "how", "tool"];
    "pruett-trucks.csv", "D. Pruett, mostly trucks. Saved by a spreadsheet.", FieldsInside, crlf true, bom true, by_vehicle false, lacks ["section", "torque", "fuse", "how"];
    "haugli.csv", "M. Haugli: metric, colour codes, readings in columns of their own.", FieldsInside, crlf false, bom false, by_vehicle false, lacks [];
    "amadi-mobile.csv", "J. Amadi, who fits at the customer's yard.", DiaryFirst, crlf true, bom false, by_vehicle false, lacks ["section", "torque", "fuse", "how", "tool"];
    "szalai.csv", "T. Szalai, learning the trade: looks much, meters less, writes everything down.", FieldsInside, crlf false, bom false, by_vehicle false, lacks ["section", "torque"];
    "winter-2021-22.csv", "K. Oyelaran, who helped out for one winter.", FieldsLast, crlf false, bom false, by_vehicle false, lacks ["section", "torque"];
    "tow-season-2023.csv", "The clipboard of spring 2023, several hands.", DiaryFirst, crlf false, bom true, by_vehicle false, lacks ["section", "torque", "fuse"];
    "grounds-and-feeds-2020.csv", "Grounds and feeds collected in 2020, for the wall.", FieldsInside, crlf false, bom false, by_vehicle true, lacks ["torque", "section"];
    "holes-and-routes.csv", "Holes, routes and mounts since 2024, for the cut list.", FieldsLast, crlf false, bom false, by_vehicle true, lacks [];
    "labour-since-2023.csv", "Times since 2023.", FieldsLast, crlf false, bom false, by_vehicle false, lacks [];
    "counter.csv", "S. Brandvold at the counter: what was told, and what the makers' diagrams say.", FieldsInside, crlf false, bom false, by_vehicle false, lacks ["section", "torque", "fuse"];
};

/// Field columns in the order in which most people here keep them.
const FIELDS: &[&str] = &[
    "door",
    "shape",
    "carries",
    "colour",
    "at",
    "connector",
    "cavity",
    "signal",
    "idle",
    "active",
    "slot",
    "rating",
    "hot",
    "fuse",
    "stud",
    "resistance",
    "torque",
    "hole",
    "grommet",
    "suits",
    "length",
    "section",
    "fixing",
    "how",
    "tool",
    "job",
    "minutes",
];

/// The file in which a note was written down.
fn file_of(note: &Note) -> &'static str {
    let on = note.on;
    let shared = matches!(note.hand, "D. Pruett" | "J. Amadi" | "T. Szalai" | "M. Haugli");
    match note.point {
        _ if note.basis == "told" && note.hand == crate::hands::COUNTER || note.basis == "diagram" => {
            "counter.csv"
        }
        "labour" if on.year >= 2023 => "labour-since-2023.csv",
        "ground" | "battery-feed" | "fused-feed" if on.year == 2020 && note.hand != "G. Lindqvist" => {
            "grounds-and-feeds-2020.csv"
        }
        "firewall-pass" | "cable-route" | "breaker-mount" | "controller-mount"
            if on.year >= 2024 && note.hand != "R. Okafor" =>
        {
            "holes-and-routes.csv"
        }
        _ if shared && on.year == 2023 && (4..=6).contains(&on.month) => "tow-season-2023.csv",
        _ => match note.hand {
            "R. Okafor" if on.year < 2022 => "okafor-2019-2021.csv",
            "R. Okafor" => "okafor-2022-2025.csv",
            "D. Pruett" => "pruett-trucks.csv",
            "M. Haugli" => "haugli.csv",
            "J. Amadi" => "amadi-mobile.csv",
            "T. Szalai" => "szalai.csv",
            "K. Oyelaran" => "winter-2021-22.csv",
            "G. Lindqvist" => "lindqvist-notebook.csv",
            _ => "counter.csv",
        },
    }
}

impl Sheet {
    /// Writes this sheet with its share of `notes` into `folder`; the number of rows.
    pub fn write(&self, folder: &Path, notes: &[Note]) -> Result<usize, Box<dyn std::error::Error>> {
        let mut rows: Vec<Note> = notes
            .iter()
            .filter(|n| file_of(n) == self.file)
            .map(|n| self.cut(n))
            .filter(|n| !n.fields.is_empty())
            .collect();
        if self.by_vehicle {
            rows.sort_by(|a, b| (a.make, a.model, a.on).cmp(&(b.make, b.model, b.on)));
        } else {
            rows.sort_by_key(|n| n.on);
        }
        std::fs::write(folder.join(self.file), self.bytes(&rows)?)?;
        Ok(rows.len())
    }

    fn cut(&self, note: &Note) -> Note {
        let mut note = note.clone();
        note.fields.retain(|(name, _)| !self.lacks.contains(name));
        if self.lacks.contains(&"only") {
            note.only.clear();
        }
        note
    }

    fn bytes(&self, rows: &[Note]) -> Result<Vec<u8>, csv::Error> {
        let columns = self.columns(rows);
        let end = if self.crlf { csv::Terminator::CRLF } else { csv::Terminator::Any(b'\n') };
        let start = if self.bom { "\u{feff}".as_bytes().to_vec() } else { Vec::new() };
        let mut writer = csv::WriterBuilder::new().terminator(end).from_writer(start);
        writer.write_record(&columns)?;
        for row in rows {
            writer.write_record(columns.iter().map(|column| cell(row, column)))?;
        }
        writer.into_inner().map_err(|error| csv::Error::from(error.into_error()))
    }

    fn columns(&self, rows: &[Note]) -> Vec<&'static str> {
        let used = FIELDS
            .iter()
            .copied()
            .filter(|f| rows.iter().any(|r| r.fields.iter().any(|(name, _)| name == f)));
        let fixed = |names: &[&'static str]| {
            names.iter().copied().filter(|n| !self.lacks.contains(n)).collect::<Vec<_>>()
        };
        match self.layout {
            Layout::FieldsInside => {
                let start = fixed(&["make", "model", "years", "only", "point"]);
                start.into_iter().chain(used).chain(fixed(&["basis", "by", "on", "seen", "remark"])).collect()
            }
            Layout::FieldsLast => {
                let start = fixed(&["make", "model", "years", "only", "seen", "point", "basis", "by", "on"]);
                start.into_iter().chain(used).chain(["remark"]).collect()
            }
            Layout::DiaryFirst => {
                let start = fixed(&["on", "by", "make", "model", "years", "only", "seen", "point"]);
                start.into_iter().chain(used).chain(["basis", "remark"]).collect()
            }
        }
    }
}

fn cell(note: &Note, column: &str) -> String {
    match column {
        "make" => note.make.to_string(),
        "model" => note.model.to_string(),
        "years" => note.years.clone(),
        "only" => note.only.clone(),
        "point" => note.point.to_string(),
        "basis" => note.basis.to_string(),
        "by" => note.by.clone(),
        "on" => note.on.to_string(),
        "seen" => note.seen.clone(),
        "remark" => note.remark.clone(),
        field => note
            .fields
            .iter()
            .find(|(name, _)| *name == field)
            .map(|(_, value)| value.clone())
            .unwrap_or_default(),
    }
}
