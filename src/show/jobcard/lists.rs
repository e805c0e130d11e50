//! What to cut and what to fetch.

use super::wiring::hole_made;
use super::{Entry, Part, Piece, Room, Section, aside, plain, value, weak};
use crate::card::{Card, Cut, LoomLength, Over, Part as Fetched, SLACK, SLACK_AT_EACH_END, Used};
use crate::circuit::conductor::Conductor;
use crate::circuit::passage::Opening;
use crate::circuit::protection::Device;
use crate::circuit::terminal::{Crimp, ring};
use crate::show::circuit::{classes, words};
use crate::show::page::listed;
use crate::show::wired;
use crate::value::thread::Thread;

pub(super) fn cut(card: &Card<'_>) -> Section {
    let mut entries: Vec<Entry> = card.cuts.iter().map(|cut| cut_entry(card, cut)).collect();
    if !entries.is_empty() {
        let slack = format!(
            "Slack is in it: {} for bends, and {} at each end of each conductor (common practice, no source).",
            words::per_cent(SLACK),
            words::length(SLACK_AT_EACH_END)
        );
        entries.push(Entry::of(vec![aside(slack)]));
    }
    Section { part: Part::Cut, title: "Cut list", entries }
}

fn cut_entry(card: &Card<'_>, cut: &Cut) -> Entry {
    let titles: Vec<String> =
        cut.circuits.iter().map(|at| card.circuits[*at].worked.circuit.title.clone()).collect();
    let metric = cut.metric.filter(|metric| *metric != cut.conductor);
    let metric = metric.map_or(String::new(), |metric| format!(" or {metric}"));
    let head = vec![
        value(format!("{} of {}{metric}", words::length(cut.length), cut.conductor)),
        plain(format!(", {}, for the {}", wired::insulated(cut.insulation), listed(&titles, "and the"))),
        plain(of_sae(cut)),
        estimated(cut.estimated),
        in_doubt(card, cut),
    ];
    Entry::of(head).with(Room::Tick)
}

/// What to take of cable by SAE gauge, where the same gauge will not do.
fn of_sae(cut: &Cut) -> String {
    match cut.sae {
        Some(sae) if sae.gauge() == cut.conductor.gauge() => String::new(),
        Some(sae) => format!("; of SAE cable, which has less copper, {sae}"),
        None => "; no SAE cable is thick enough".to_owned(),
    }
}

fn estimated(estimated: bool) -> Piece {
    if estimated { weak("; estimated: measure first") } else { plain("") }
}

/// That a recorded length is not sure: who cuts reads this list.
fn in_doubt(card: &Card<'_>, cut: &Cut) -> Piece {
    let lengths = cut.circuits.iter().filter_map(|at| card.circuits[*at].length_from);
    match lengths.filter(Used::is_doubtful).map(|used| used.grade()).max() {
        Some(grade) => weak(format!("; the length is {}: measure first", grade.word())),
        None => plain(""),
    }
}

pub(super) fn parts(card: &Card<'_>) -> Section {
    let mut entries: Vec<Entry> = card.parts.iter().map(|part| part_entry(card, part)).collect();
    entries.push(not_listed(card));
    Section { part: Part::Parts, title: "Parts", entries }
}

/// What the job takes and no list has.
fn not_listed(card: &Card<'_>) -> Entry {
    let drives = card.circuits.iter().filter(|circuit| circuit.drives());
    let leads: Vec<String> = drives.map(|circuit| circuit.worked.circuit.title.clone()).collect();
    let mut left_out = card.job.not_listed.clone();
    if !leads.is_empty() {
        let of = listed(&leads, "and the");
        left_out.push(format!(
            "the lead from the load to its ground, as thick as the {of}, and as long as it has to be"
        ));
    }
    left_out.push("what ties and tapes the cable".to_owned());
    Entry::of(vec![weak("Not in this list: "), plain(format!("{}.", left_out.join("; ")))])
}

fn part_entry(card: &Card<'_>, part: &Fetched<'_>) -> Entry {
    let entry = match part {
        Fetched::Device { device, circuit } => device_entry(card, *device, *circuit),
        Fetched::Rings { count, conductor, metric, crimp, over } => {
            let what = format!("{count} × {}", barrel(*crimp, "ring", *count, *conductor));
            let other = wired::other_barrel(*conductor, *metric);
            Entry::of(vec![value(what), plain(format!("{other}, ")), plain(over_what(card, over))])
        }
        Fetched::Butts { count, conductor, metric, crimp } => {
            let what = format!("{count} × {}", barrel(*crimp, "butt connector", *count, *conductor));
            Entry::of(vec![value(what), plain(wired::other_barrel(*conductor, *metric))])
        }
        Fetched::Loom(loom) => loom_entry(loom),
        Fetched::Grommet { bundle, opening, recorded } => {
            let new = card.bundles[*bundle].passage.opening;
            grommet_entry(card, opening, recorded.as_ref(), new.as_ref())
        }
    };
    entry.with(Room::Tick)
}

fn device_entry(card: &Card<'_>, device: Device, circuit: usize) -> Entry {
    let title = &card.circuits[circuit].worked.circuit.title;
    let colour = device.colour().map_or(String::new(), |colour| format!(", {colour}"));
    let holder = match device.kind() {
        crate::circuit::Kind::Fuse => " with its holder",
        crate::circuit::Kind::Breaker => "",
    };
    let what = format!("1 × {}{holder}{colour}", wired::device(device));
    Entry::of(vec![value(what), plain(format!("{}, for the {title}", classes(device.kind())))])
}

/// `yellow rings for 12 AWG`.
fn barrel(crimp: Crimp, kind: &str, count: u32, conductor: Conductor) -> String {
    let plural = if count == 1 { "" } else { "s" };
    match crimp {
        Crimp::Insulated(colour) => format!("{colour} {kind}{plural} for {conductor}"),
        Crimp::Bare => format!("bare {kind}{plural} for {conductor}, with heat-shrink tubing"),
        Crimp::Nothing => {
            format!("{kind}{plural} for {conductor}: no common barrel holds it, take the next size")
        }
    }
}

fn over_what(card: &Card<'_>, over: &Over<'_>) -> String {
    match over {
        Over::Stud(stud, end) => {
            let note = end.used.map_or(String::new(), |used| format!(" ({})", super::ids(card, &used).1));
            format!(
                "{} over the recorded {stud} stud of the {}{note}",
                ring_for(*stud),
                card.title(end.point)
            )
        }
        Over::Unmeasured(point) => format!(
            "over the stud of the {}, which is not recorded: usually 5/16 to 3/8 or M8 to M10, measure",
            card.title(*point)
        ),
        Over::Breaker(stud) => {
            format!("{} over the studs of the breaker, as most have them: look at yours", ring_for(*stud))
        }
        Over::Holder => "over the studs of the fuse holder: measure".to_owned(),
    }
}

fn ring_for(stud: Thread) -> String {
    match ring(stud.diameter()) {
        Some([inch, metric]) => format!("size {inch} or {metric},"),
        None => "of no common size,".to_owned(),
    }
}

/// `new` is what a hole that is made for it would be.
fn grommet_entry(
    card: &Card<'_>,
    opening: &Opening,
    recorded: Option<&Used<'_>>,
    new: Option<&Opening>,
) -> Entry {
    let hole = words::millimetres(opening.hole);
    let bore = words::millimetres(opening.bore);
    let mut head = match recorded {
        Some(used) => vec![
            value(format!("1 × grommet for the recorded hole of {hole}")),
            plain(" ("),
            super::ids(card, used),
            plain(")"),
        ],
        None => vec![value(format!("1 × grommet for a hole of {hole}"))],
    };
    head.push(plain(format!(", with a bore of {bore} at least.")));
    let more = new.into_iter().map(|new| vec![plain(hole_made(new, recorded.is_some()))]).collect();
    Entry { head, more, ..Entry::default() }
}

fn loom_entry(loom: &LoomLength) -> Entry {
    let what =
        format!("{} of loom, inside {}", words::length(loom.length), words::millimetres(loom.sleeve.inside));
    Entry::of(vec![value(what), estimated(loom.estimated)])
}
