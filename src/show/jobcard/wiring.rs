//! The circuits, the feeds and holes held against them, and how the cable runs.

use super::{Entry, Part, Piece, Section, alarm, aside, plain, value, weak};
use crate::card::{
    Bundle, Card, Circuit, End, Feed, Fits, GROUND, Hole, Objection, RecordedFeed, Route, Used,
};
use crate::circuit::choice::Choice;
use crate::circuit::passage::Opening;
use crate::circuit::path::Return;
use crate::circuit::units::{Metres, Millimetres};
use crate::job::Known;
use crate::show::circuit::{tools, words};
use crate::show::page::{Label, capitalised, counted, listed};
use crate::show::sentence::{hot_when, plain as in_words};
use crate::show::wired;

pub(super) fn circuits(card: &Card<'_>) -> Section {
    let entries = card.circuits.iter().map(|circuit| entry(card, circuit)).collect();
    Section { part: Part::Circuits, title: "Circuits", entries }
}

fn entry(card: &Card<'_>, circuit: &Circuit<'_>) -> Entry {
    let title = (Label::Title, format!("{}: ", capitalised(&circuit.worked.circuit.title)));
    let Some(choice) = circuit.worked.built() else { return refused(card, circuit, title) };
    let guard = wired::guard(&card.language.catalogue, card.job, &circuit.worked, choice);
    let head = vec![
        title,
        value(wired::size(&circuit.worked, choice)),
        plain(format!(
            ", {}, {}; {guard}.",
            wired::insulation(&circuit.worked),
            wired::terminals(&circuit.worked, choice)
        )),
    ];
    Entry { head, more: vec![way(card, circuit), figures(circuit, choice)], ..Entry::default() }
}

fn refused(card: &Card<'_>, circuit: &Circuit<'_>, title: Piece) -> Entry {
    let (reasons, ways) = wired::refusal(card.job, &circuit.worked);
    let mut more = vec![way(card, circuit)];
    more.extend(reasons.into_iter().map(|reason| vec![plain(reason)]));
    more.extend(ways.into_iter().map(|way| vec![aside("Or: "), plain(way)]));
    Entry { head: vec![title, alarm("it cannot be built.")], more, ..Entry::default() }
}

/// From where to where, through what, how it comes back, and how far.
fn way(card: &Card<'_>, circuit: &Circuit<'_>) -> Vec<Piece> {
    let request = &circuit.worked.answer.request;
    // Where a circuit ends at a ground its load is on the way, and the ground is told with how it comes back.
    let of = circuit.worked.circuit;
    let to = if card.language.catalogue.points[of.to].name == GROUND {
        of.feeds.clone().unwrap_or_else(|| "load".to_owned())
    } else {
        place(card, &circuit.to)
    };
    let mut told = vec![aside("From: "), plain(format!("{}. ", place(card, &circuit.from)))];
    told.extend([aside("To: "), plain(format!("{to}. "))]);
    let through = circuit.through.map(|end| [aside("Through: "), plain(format!("{}. ", place(card, &end)))]);
    told.extend(through.into_iter().flatten());
    told.extend([aside("Back: "), plain(format!("by {}", wired::back(request.path.by)))]);
    told.extend(ground(card, circuit));
    told.push(plain(format!(". {} over {}", words::amps(request.current), words::length(request.path.out))));
    told.extend(length_from(card, circuit));
    told.push(plain("."));
    told
}

/// The ground at which the return begins or ends, where one is recorded there.
fn ground(card: &Card<'_>, circuit: &Circuit<'_>) -> Vec<Piece> {
    let Some(end) = circuit.ground else { return Vec::new() };
    if end.used.is_none() {
        return vec![weak(format!("; choose a ground {}", wired::near(circuit.worked.circuit)))];
    }
    let way = match circuit.worked.circuit.by {
        Return::Own => "to",
        Return::Chassis => "from",
    };
    vec![plain(format!(" {way} the {}", place(card, &end)))]
}

/// Where the length is from.
fn length_from(card: &Card<'_>, circuit: &Circuit<'_>) -> Vec<Piece> {
    match (circuit.worked.run, circuit.length_from) {
        (Known::Told, _) => vec![aside(" (told)")],
        (Known::Recorded, Some(used)) => {
            let grade = if used.is_doubtful() { format!("{}, ", used.grade().word()) } else { String::new() };
            vec![aside(" (recorded, "), weak(grade), super::ids(card, &used), aside(")")]
        }
        (Known::Recorded, None) => vec![aside(" (recorded)")],
        (Known::Estimate, _) => vec![weak(" (an estimate: measure it)")],
    }
}

fn figures(circuit: &Circuit<'_>, choice: &Choice) -> Vec<Piece> {
    let trial = &choice.trial;
    let carries = format!(" It may carry {} there.", words::amps(trial.ampacity));
    let worked = &circuit.worked;
    let doubtful = circuit.length_from.filter(Used::is_doubtful);
    let doubtful = doubtful.map(|used| weak(format!("The length is {}: measure. ", used.grade().word())));
    let text = format!("{}{carries}", wired::loses(worked, choice));
    doubtful.into_iter().chain([plain(text)]).collect()
}

/// A point with the place, the wire and the cavity that are used there, and that they are in doubt where they are:
/// `brake signal, stop lamp switch, violet with white tracer (VT/WH) (disputed)`.
fn place(card: &Card<'_>, end: &End<'_>) -> String {
    let title = card.title(end.point);
    let Some(used) = end.used else { return title.to_owned() };
    let words = |field: &str| {
        let text = used.text(card.language, field)?;
        Some(in_words(card.language, card.language.catalogue.field(field)?, &text))
    };
    let cavity = words("cavity").map(|cavity| format!("cavity {cavity}"));
    let told = words("at")
        .into_iter()
        .chain(words("slot").map(|slot| format!("slot {slot}")))
        .chain(words("colour"))
        .chain(cavity);
    let told: Vec<String> = std::iter::once(title.to_owned()).chain(told).collect();
    let doubt = if used.is_doubtful() { format!(" ({})", used.grade().word()) } else { String::new() };
    format!("{}{doubt}", told.join(", "))
}

/// The place of an answer, in words.
fn at(card: &Card<'_>, used: &Used<'_>) -> Option<String> {
    let field = card.language.catalogue.field("at")?;
    Some(in_words(card.language, field, &used.text(card.language, "at")?))
}

/// The place of an answer, or that none is told.
fn somewhere(card: &Card<'_>, used: &Used<'_>) -> String {
    at(card, used).map_or_else(|| "At a place that is not told".to_owned(), |place| capitalised(&place))
}

pub(super) fn feeds(card: &Card<'_>) -> Section {
    let entries = card.feeds.iter().map(|feed| feed_entry(card, feed)).collect();
    Section { part: Part::Feeds, title: "Whether the feed carries it", entries }
}

fn feed_entry(card: &Card<'_>, feed: &Feed<'_>) -> Entry {
    let hot = feed.hot.as_ref().map_or(String::new(), |hot| format!(", and it has to be {}", hot_when(hot)));
    let head = vec![
        (Label::Title, format!("{}: ", capitalised(card.title(feed.point)))),
        plain(format!(
            "the job draws {} there and wants a rating of {} at least{hot}.",
            words::amps(feed.load),
            words::amps(feed.wants),
        )),
    ];
    let mut more: Vec<Vec<Piece>> = feed.recorded.iter().map(|place| recorded(card, place)).collect();
    if more.is_empty() {
        more.push(vec![weak("None is recorded"), plain(": read the rating of its fuse before joining on.")]);
    }
    Entry { head, more, ..Entry::default() }
}

fn recorded(card: &Card<'_>, place: &RecordedFeed<'_>) -> Vec<Piece> {
    let slot = place.used.text(card.language, "slot").map_or(String::new(), |slot| format!(", slot {slot}"));
    let mut told = vec![plain(format!("{}{slot}: ", somewhere(card, &place.used)))];
    let why: Vec<String> = place.objections.iter().map(objection).collect();
    let times: Vec<String> = place.hot.iter().chain(&place.told_otherwise).map(|hot| hot_when(hot)).collect();
    if why.is_empty() && !place.told_otherwise.is_empty() {
        told.push(alarm(format!("notes say {}: meter it in every key position", listed(&times, "and"))));
        told.push(plain("; "));
    }
    told.push(match (why.is_empty(), place.rating) {
        (false, _) => alarm(format!("will not do: {}", why.join("; "))),
        (true, Some(rating)) => (Label::Sure, format!("carries it, it is rated {}", words::amps(rating))),
        (true, None) => weak("its rating is not recorded: read its fuse"),
    });
    let stud = place.stud.map_or(String::new(), |stud| format!(", stud {stud}"));
    told.extend([
        plain(format!("{stud}. ")),
        aside(format!("{} ", place.used.grade().word())),
        super::ids(card, &place.used),
    ]);
    told
}

fn objection(objection: &Objection) -> String {
    match objection {
        Objection::Rating { has, wants } => {
            format!("it is rated {}, and {} are wanted", words::amps(*has), words::amps(*wants))
        }
        Objection::Hot { has, wants } => format!("it is hot: {has}, and it has to be hot: {wants}"),
        Objection::Stud(stud) => format!("no common ring goes over its {stud} stud"),
    }
}

pub(super) fn holes(card: &Card<'_>) -> Section {
    let built = card.bundles.iter().filter(|bundle| bundle.conductors > 0);
    let entries = built.map(|bundle| bundle_entry(card, bundle)).collect();
    Section { part: Part::Holes, title: "Through metal", entries }
}

fn bundle_entry(card: &Card<'_>, bundle: &Bundle<'_>) -> Entry {
    let passage = &bundle.passage;
    let mut text = format!(
        "{}, about {} mm thick together",
        counted(bundle.conductors, "conductor"),
        words::number(passage.bundle.0, 3)
    );
    match (passage.loom, passage.opening) {
        (Some(loom), Some(opening)) => text.push_str(&format!(
            ", in loom of {}: wants {}.",
            words::millimetres(loom.inside),
            hole_wanted(&opening, loom.outside)
        )),
        (Some(loom), None) => {
            text.push_str(&format!(
                ", in loom of {}: no common grommet is so wide.",
                words::millimetres(loom.inside)
            ));
        }
        _ => text.push_str(": no common loom is so wide."),
    }
    let mut more: Vec<Vec<Piece>> = bundle.holes.iter().map(|hole| hole_told(card, hole)).collect();
    if more.is_empty() {
        more.push(vec![
            weak("No hole is recorded"),
            plain(": look for one, or drill where both sides are clear."),
        ]);
    }
    let head = vec![(Label::Title, format!("{}: ", capitalised(card.title(bundle.point)))), plain(text)];
    Entry { head, more, ..Entry::default() }
}

fn hole_wanted(opening: &Opening, thick: Millimetres) -> String {
    format!(
        "a hole of {} at least, for a grommet with a bore of {} at least",
        words::millimetres(opening.hole),
        words::millimetres(thick)
    )
}

fn hole_told(card: &Card<'_>, hole: &Hole<'_>) -> Vec<Piece> {
    let bore = hole.opening.map_or_else(
        || "no common grommet snaps into it".to_owned(),
        |opening| format!("its widest common grommet has a bore of {}", words::millimetres(opening.bore)),
    );
    let size = hole.size.map_or(String::new(), |size| format!("the hole of {}", words::millimetres(size)));
    let verdict = match hole.fits {
        Fits::Yes => (Label::Sure, format!("{size} is big enough")),
        Fits::WithoutLoom => weak(format!("{size} takes the conductors without loom only, {bore}")),
        Fits::No => alarm(format!("{size} is too small, {bore}")),
        Fits::Unknown => weak("the hole is not measured"),
    };
    let grommet = match hole.grommet.as_deref() {
        Some("existing") => ". Look what lies in its grommet already",
        Some("none") => ". It has no grommet yet",
        _ => "",
    };
    vec![
        plain(format!("{}: ", somewhere(card, &hole.used))),
        verdict,
        plain(format!("{grommet}. ")),
        aside(format!("{} ", hole.used.grade().word())),
        super::ids(card, &hole.used),
    ]
}

/// What a new hole is made with, and how far from everything.
pub(super) fn hole_made(opening: &Opening, instead: bool) -> String {
    let lead = if instead { "Where one is made instead" } else { "Where the hole has to be made" };
    format!(
        "{lead}: {}{}; its middle {} mm from any edge, bend or other hole.",
        words::millimetres(opening.hole),
        tools(opening),
        words::number(opening.edge.0.ceil(), 3)
    )
}

pub(super) fn route(card: &Card<'_>) -> Section {
    let mut entries: Vec<Entry> = card.routes.iter().map(|route| route_entry(card, route)).collect();
    let along: Vec<String> = card
        .circuits
        .iter()
        .filter(|circuit| circuit.worked.circuit.along.is_some() && circuit.worked.run != Known::Recorded)
        .map(|circuit| circuit.worked.circuit.title.clone())
        .collect();
    let no_length = |routes: &[Route<'_>]| routes.iter().all(|route| route.length.is_none());
    if !along.is_empty() && no_length(&card.routes) {
        let text = format!(" for the {}: measure before you cut.", listed(&along, "and the"));
        entries.push(Entry::of(vec![weak("No length is recorded"), plain(text)]));
    }
    let mut points: Vec<usize> =
        card.circuits.iter().filter_map(|circuit| circuit.worked.circuit.along).collect();
    points.sort_unstable();
    points.dedup();
    entries.extend(points.iter().map(|point| support(card, *point)));
    Section { part: Part::Route, title: "How the cable runs", entries }
}

fn route_entry(card: &Card<'_>, route: &Route<'_>) -> Entry {
    let mut head = vec![value(somewhere(card, &route.used))];
    let length = |length: Metres| plain(format!(", {}", words::length(length)));
    head.extend(route.length.map(length));
    if !route.circuits.is_empty() {
        let runs = route.circuits.iter().map(|at| card.circuits[*at].worked.circuit.title.clone());
        let runs: Vec<String> = runs.collect();
        head.push(plain(format!(", taken for the {}", listed(&runs, "and the"))));
    }
    head.extend([
        plain(". "),
        aside(format!("{} ", route.used.grade().word())),
        super::ids(card, &route.used),
    ]);
    let avoid = route.used.text(card.language, "avoid");
    let more = avoid.into_iter().map(|text| vec![weak("Keep away from: "), plain(text)]).collect();
    Entry { head, more, ..Entry::default() }
}

/// How a cable is laid, from the catalogue: supports, heat, moving parts; its cautions where they do not stand with
/// what is known.
fn support(card: &Card<'_>, point: usize) -> Entry {
    let of = &card.language.catalogue.points[point];
    let mut entry = match super::doubts::tells_how(card, point) {
        true => Entry::of(vec![aside("Laid so: "), plain("as stands with what is in doubt.")]),
        false => Entry::of(vec![aside("Laid so: "), plain(of.check.clone())]),
    };
    if card.facts.iter().all(|fact| fact.found.point != point) {
        entry.more =
            of.cautions.iter().map(|caution| vec![weak("Caution: "), plain(caution.clone())]).collect();
    }
    entry
}
