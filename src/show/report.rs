//! What became of a loading: for a person, or as JSON.

use serde_json::{Value as Json, json};

use super::decisions;
use super::ids::{cavity_code, conflict_code, note_code};
use super::page::{Label, Page, counted};
use crate::book::{BucketKey, Outcome};
use crate::intake::{FileReport, Report};
use crate::note::NoteId;
use crate::opposition::Opposition;

/// Strange words, lookalikes and opened conflicts that are listed before the rest is only counted.
const LISTED: usize = 12;

/// A conflict with the words for where.
#[derive(Debug, Clone)]
pub struct Placed {
    /// Its bucket.
    pub bucket: BucketKey,
    /// The note that names it.
    pub anchor: NoteId,
    /// Maker, model and point in words.
    pub place: String,
}

impl Placed {
    /// Its id.
    #[must_use]
    pub fn code(&self, shown: usize) -> String {
        if self.bucket.point() == 0 {
            cavity_code(self.anchor, shown)
        } else {
            conflict_code(self.anchor, shown)
        }
    }
}

/// What was refused and what is doubtful, one line for each.
pub fn refusals(page: &mut Page, report: &Report) {
    for folder in &report.without_sheets {
        let text = format!("{} holds no note sheet; their names end in .csv", folder.display());
        page.paragraph(0, &[(Label::Weak, "warning: "), (Label::Plain, &text)]);
    }
    for file in report.without_rows() {
        let text = match file.unfilled {
            0 => format!("{} has column names and no rows", file.file),
            rows => format!("{} has {}, of which none is filled in", file.file, counted(rows, "row")),
        };
        page.paragraph(0, &[(Label::Weak, "warning: "), (Label::Plain, &text)]);
    }
    for file in &report.files {
        for refusal in &file.refusals {
            page.paragraph(0, &[(Label::Alarm, "refused: "), (Label::Plain, &refusal.to_string())]);
        }
    }
}

/// The closing report.
pub fn closing(
    page: &mut Page,
    report: &Report,
    (opened, grown, reopened): (&[Placed], &[Placed], &[Placed]),
    shown: usize,
    dry_run: bool,
) {
    let totals = report.totals();
    let sums = [
        counted(totals.files, "file"),
        counted(totals.rows, "row"),
        format!("{} new", totals.new),
        format!("{} already known", totals.known),
        format!("{} refused", totals.refused),
        format!("{} opened", counted(totals.conflicts, "conflict")),
    ];
    let decisions: usize = report.files.iter().map(|file| file.decisions.len()).sum();
    let decided = format!("{}, {} of them new", counted(decisions, "decision"), totals.decisions);
    let sums: Vec<String> = sums.into_iter().chain((decisions > 0).then_some(decided)).collect();
    let lead = if dry_run { "Dry run, nothing was written: " } else { "" };
    page.paragraph(0, &[(Label::Title, lead), (Label::Title, &sums.join(", ")), (Label::Plain, ".")]);
    for file in report.files.iter().filter(|file| !file.refusals.is_empty()) {
        page.paragraph(2, &[(Label::Plain, &fate(file))]);
    }
    for file in report.files.iter().filter(|file| file.unfilled > 0 && file.rows > 0) {
        let text = format!("{}: {} not filled in, passed by", file.file, counted(file.unfilled, "row"));
        page.paragraph(2, &[(Label::Plain, &text)]);
    }
    conflicts(page, opened, shown, "");
    conflicts(page, grown, shown, ", has new notes");
    conflicts(page, reopened, shown, ", is open again");
    strange(page, report);
    if !report.passed_by.is_empty() {
        let names: Vec<String> =
            report.passed_by.iter().take(LISTED).map(|path| path.display().to_string()).collect();
        let names = names.join(", ") + &more(report.passed_by.len());
        page.paragraph(0, &[(Label::Aside, "Not note sheets, passed by: "), (Label::Plain, &names)]);
    }
}

/// What is said of those in a list that are not listed.
fn more(length: usize) -> String {
    if length > LISTED { format!(", and {} more", length - LISTED) } else { String::new() }
}

fn fate(file: &FileReport) -> String {
    match (&file.written_back, file.refused) {
        (Some(path), _) => format!(
            "{}: {} refused, written to {}",
            file.file,
            counted(file.refused_rows, "row"),
            path.display()
        ),
        (None, true) => format!(
            "{}: {}, so nothing of it went in; mend it{}",
            file.file,
            counted(file.refusals.len(), "error"),
            if file.has_good_rows { ", or load the good rows with --partial" } else { "" }
        ),
        (None, false) => format!("{}: {} refused", file.file, counted(file.refused_rows, "row")),
    }
}

fn conflicts(page: &mut Page, opened: &[Placed], shown: usize, what: &str) {
    for conflict in opened.iter().take(LISTED) {
        page.paragraph(
            2,
            &[
                (Label::Id, &conflict.code(shown)),
                (Label::Plain, "  "),
                (Label::Plain, &conflict.place),
                (Label::Plain, what),
            ],
        );
    }
    if opened.len() > LISTED {
        let more = format!("and {} more; `baybook conflicts` lists them", opened.len() - LISTED);
        page.paragraph(2, &[(Label::Plain, &more)]);
    }
}

/// The decisions that came in and say the opposite of others.
pub fn opposed(page: &mut Page, opposed: &[Opposition], shown: usize) {
    opposed.iter().take(LISTED).for_each(|one| decisions::opposition(page, one, shown, 2));
    if opposed.len() > LISTED {
        let more = format!("and {} more; `baybook gaps --all` lists their notes", opposed.len() - LISTED);
        page.paragraph(2, &[(Label::Plain, &more)]);
    }
}

fn strange(page: &mut Page, report: &Report) {
    if !report.strange_words.is_empty() {
        let mut words: Vec<(&String, &usize)> = report.strange_words.iter().collect();
        words.sort_by(|a, b| b.1.cmp(a.1).then_with(|| a.0.cmp(b.0)));
        let listed: Vec<String> =
            words.iter().take(LISTED).map(|(word, count)| format!("{word} ({count})")).collect();
        let more = more(words.len());
        page.paragraph(
            0,
            &[
                (Label::Weak, "Words of places that the lexicon lacks: "),
                (Label::Plain, &listed.join(", ")),
                (Label::Plain, &more),
            ],
        );
    }
    for alike in &report.lookalikes {
        let text = format!("'{}' looks like a misspelling of '{}'", alike.written, alike.known);
        page.paragraph(0, &[(Label::Weak, "Misspelled? "), (Label::Plain, &text)]);
    }
}

/// The report as JSON; its shape is written down in DEVELOPERS.md.
#[must_use]
pub fn to_json(
    report: &Report,
    (opened, grown, reopened): (&[Placed], &[Placed], &[Placed]),
    shown: usize,
    dry_run: bool,
) -> Json {
    let files: Vec<Json> = report.files.iter().map(|file| file_json(file, shown)).collect();
    json!({
        "dry_run": dry_run,
        "totals": report.totals(),
        "files": files,
        "conflicts": placed_json(opened, shown),
        "grown": placed_json(grown, shown),
        "reopened": placed_json(reopened, shown),
        "unknown_place_words": report.strange_words,
        "misspelled": report.lookalikes,
        "passed_by": report.passed_by,
        "without_sheets": report.without_sheets,
        "without_rows": report.without_rows().map(|file| &file.file).collect::<Vec<_>>(),
    })
}

fn placed_json(list: &[Placed], shown: usize) -> Vec<Json> {
    list.iter().map(|conflict| json!({ "id": conflict.code(shown), "place": conflict.place })).collect()
}

fn file_json(file: &FileReport, shown: usize) -> Json {
    let rows: Vec<Json> = file
        .understood
        .iter()
        .map(|row| json!({ "line": row.line, "note": note_code(row.id, shown), "new": row.outcome.map(|outcome| outcome == Outcome::New) }))
        .collect();
    let decisions: Vec<Json> = file
        .decisions
        .iter()
        .map(|decision| json!({ "line": decision.line, "decision": decision.id.to_string(), "new": decision.outcome.map(|outcome| outcome == Outcome::New) }))
        .collect();
    json!({
        "file": file.file,
        "decisions": decisions,
        "read": file.rows,
        "unfilled": file.unfilled,
        "refused": file.refused,
        "rows": rows,
        "refusals": file.refusals,
        "written_back": file.written_back,
    })
}
