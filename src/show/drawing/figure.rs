//! A drawing that was laid out, as SVG: lines, then symbols over them, then words. Everything that came from a note is
//! escaped here.

use maud::{Markup, html};

use super::super::page::harmless;
use super::letters::{LINE, SIZE, Weight, width};
use super::sheet::{BESIDE, EDGE, FIRST, Line, Mark, Row, Sheet};
use super::symbol;

/// Founts that are nearly as wide as each other, so that texts end where they were thought to.
const FOUNTS: &str = "Arial, Helvetica, 'Liberation Sans', Roboto, sans-serif";

/// One sheet under a title. `key` begins the names of its parts, of which a page has each once.
pub(super) fn figure(sheet: &Sheet<'_>, called: &str, key: &str) -> Markup {
    let (title, told) = (format!("{key}-title"), format!("{key}-told"));
    html! {
        svg xmlns="http://www.w3.org/2000/svg" viewBox=(format!("0 0 {} {}", sheet.width, sheet.height)) role="img"
            aria-labelledby=(format!("{title} {told}")) font-family=(FOUNTS) font-size=(SIZE) {
            title id=(title) { (harmless(called)) }
            desc id=(told) { (harmless(&sheet.told.join(" "))) }
            rect width=(sheet.width) height=(sheet.height) fill="#fff" {}
            g fill="none" stroke="#000" stroke-width="1.6" stroke-linecap="round" stroke-linejoin="round" {
                @for strand in &sheet.strands {
                    path d=(format!("M{} {} V{}", strand.x, strand.top, strand.bottom))
                        stroke-dasharray=[strand.broken.then_some("2 5")] {}
                }
                @for row in &sheet.rows { (mark(row, sheet.width)) }
            }
            @for row in &sheet.rows { (words(row, sheet.width)) }
        }
    }
}

fn mark(row: &Row<'_>, width: i32) -> Markup {
    let (x, y) = (row.x, row.middle());
    match &row.mark {
        Mark::Number(number) => symbol::number(x, row.top + 11, *number),
        Mark::Battery => symbol::battery(x, y),
        Mark::Wire(colour) => symbol::wire(x, y, *colour),
        Mark::Slot => symbol::slot(x, y),
        Mark::Terminal => symbol::terminal(x, y),
        Mark::Fuse(whose) => symbol::fuse(x, y, *whose),
        Mark::Breaker(whose) => symbol::breaker(x, y, *whose),
        Mark::Contact => symbol::contact_of_relay(x, y),
        Mark::Nothing => html! {},
        Mark::Metal(back) => symbol::metal(x, y, *back),
        Mark::Ground => symbol::chassis(x, y, 0),
        Mark::Back => symbol::chassis_above(x + BESIDE, y),
        Mark::Load { looks, entries, on } => {
            let frame = symbol::Frame { width, top: row.top, height: row.height };
            symbol::load(*looks, entries, on.then_some(FIRST), frame)
        }
    }
}

fn words(row: &Row<'_>, width: i32) -> Markup {
    let lines = i32::try_from(row.text.len()).unwrap_or(i32::MAX / LINE);
    // The foot of the letters of the first line; the block of lines stands in the middle of its row.
    let first = row.middle() - lines * LINE / 2 + LINE - 4;
    html! {
        @for (line, y) in row.text.iter().zip((first..).step_by(LINE.unsigned_abs() as usize)) {
            (line_of(line, row.text_x, y, width - EDGE))
        }
    }
}

fn line_of(line: &Line, x: i32, y: i32, right: i32) -> Markup {
    let bold = (line.weight == Weight::Bold).then_some("bold");
    html! {
        text x=(x) y=(y) font-weight=[bold] { (line.text) }
        @if line.write {
            path d=(format!("M{} {} H{}", x + width(&line.text, line.weight) + 4, y + 2, right))
                stroke="#000" stroke-width="0.7" stroke-dasharray="1 2" {}
        }
    }
}
