//! The page that introduces the corpus. Owns its words only.

use crate::sheet::SHEETS;

const START: &str = "# The corpus

The note sheets of Dunmarrow Towing Electrics, a shop that does not exist, in the town of Dunmarrow, which does not
exist either. Every maker, model, person, vehicle and wire in here is invented; no colour or place holds for any real
vehicle. The identifiers of the vehicles (`9ZZ...`) are given to no maker.

Eight people wrote these lines between 2019 and 2025, each in their own way, and they were wrong in the usual ways:
notes claimed for more years than were seen, the tow package forgotten, a change in the middle of a model year, a faded
violet taken for blue, hearsay copied until it looked like agreement, one cavity given to two functions. Some things only
look like contradictions: one hole in inches and in millimetres, two good grounds in two places.

The Quillon Tarn is the vehicle to begin with.

| file | rows | what it is |
| --- | --- | --- |
";

const END: &str = "
The files are written by `cargo run --example make_corpus -- corpus`, always the same. Change the generator, not the files.
";

/// The page, with the number of rows of each sheet.
pub fn text(counts: &[usize]) -> String {
    let rows: String = SHEETS
        .iter()
        .zip(counts)
        .map(|(sheet, rows)| format!("| `{}` | {rows} | {} |\n", sheet.file, sheet.about))
        .collect();
    format!("{START}{rows}{END}")
}
