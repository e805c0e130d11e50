//! The card as JSON; its shape is written down in DEVELOPERS.md.

use serde_json::{Value as Json, json};

use crate::card::{Bundle, Card, Cut, Doubt, Feed, Labour, Objection, Over, Part, Reading, Route, Used, Why};
use crate::circuit::conductor::Conductor;
use crate::circuit::terminal::{self, Crimp};
use crate::circuit::units::{Metres, Millimetres};
use crate::show::answer_json;
use crate::show::circuit::{figure, passage_json};
use crate::show::ids::{cavity_code, note_code};
use crate::show::jobs::{circuit_json, parameters_json};

/// The card: what `lookup` tells of the points of the job, and beside it what the job makes of it.
#[must_use]
pub fn to_json(card: &Card<'_>, not_understood: &[String]) -> Json {
    let known = answer_json::to_json(card.language, card.found, not_understood);
    let mut json = serde_json::to_value(known).unwrap_or_default();
    json["job"] = json!(card.job.name);
    json["title"] = json!(card.job.title);
    json["known_model"] = json!(card.found.heard_of);
    json["parameters"] = parameters_json(card.job, &card.settings);
    json["doubts"] = card.doubts.iter().map(|it| doubt(card, it)).collect();
    json["cautions"] = json!(card.cautions().collect::<Vec<_>>());
    json["circuits"] = circuits(card);
    json["feeds"] = card.feeds.iter().map(|it| feed(card, it)).collect();
    json["bundles"] = card.bundles.iter().map(|it| bundle(card, it)).collect();
    json["routes"] = card.routes.iter().map(|it| route(card, it)).collect();
    json["cut"] = card.cuts.iter().map(|it| cut(card, it)).collect();
    json["parts"] = card.parts.iter().map(|it| part(card, it)).collect();
    json["not_listed"] = json!(card.job.not_listed);
    json["readings"] = card.readings.iter().map(|it| reading(card, it)).collect();
    json["test"] = json!(card.job.test);
    json["labour"] = card.labour.as_ref().map_or(Json::Null, |it| labour(card, it));
    json
}

fn point(card: &Card<'_>, at: usize) -> Json {
    json!(card.language.catalogue.points[at].name)
}

fn notes(card: &Card<'_>, used: &Used<'_>) -> Json {
    json!(used.notes().map(|note| note_code(note, card.found.shown)).collect::<Vec<_>>())
}

fn names(card: &Card<'_>, circuits: &[usize]) -> Json {
    json!(circuits.iter().map(|at| &card.circuits[*at].worked.circuit.name).collect::<Vec<_>>())
}

fn metres(length: Metres) -> Json {
    figure(length.0)
}

fn millimetres(size: Millimetres) -> Json {
    figure(size.0)
}

fn doubt(card: &Card<'_>, doubt: &Doubt<'_>) -> Json {
    let mut json = json!({ "point": point(card, doubt.point), "must": doubt.must, "why": doubt.why.word() });
    match &doubt.why {
        Why::Depends(_, dimensions) => json["depends_on"] = json!(dimensions),
        Why::Asked(task) => json["decision"] = json!(task.id.to_string()),
        Why::Cavity(conflict) => json["conflict"] = json!(cavity_code(conflict.anchor, card.found.shown)),
        Why::Blank(_) | Why::Disputed(_) | Why::Thin(_) => {}
    }
    json
}

fn circuits(card: &Card<'_>) -> Json {
    let circuits = card.circuits.iter().map(|circuit| {
        let mut json = circuit_json(&card.language.catalogue, card.job, &circuit.worked);
        let of = |used: Option<Used<'_>>| used.map(|used| notes(card, &used));
        json["from_notes"] = json!(of(circuit.from.used));
        json["to_notes"] = json!(of(circuit.to.used));
        json["ground_notes"] = json!(circuit.ground.and_then(|end| of(end.used)));
        json["at_notes"] = json!(circuit.at.and_then(|end| of(end.used)));
        json["through_notes"] = json!(circuit.through.and_then(|end| of(end.used)));
        json["run_notes"] = json!(of(circuit.length_from));
        json["rating_notes"] = json!(of(circuit.rating_from));
        json
    });
    circuits.collect()
}

fn feed(card: &Card<'_>, feed: &Feed<'_>) -> Json {
    let recorded = feed.recorded.iter().map(|place| {
        json!({
            "at": place.used.text(card.language, "at"),
            "slot": place.used.text(card.language, "slot"),
            "rating_a": place.rating.map(|rating| figure(rating.0)),
            "stud": place.stud.map(|stud| stud.to_string()),
            "hot": place.hot,
            "grade": place.used.grade(),
            "carries": place.objections.is_empty() && place.told_otherwise.is_empty() && place.rating.is_some(),
            "told_otherwise": place.told_otherwise,
            "objections": place.objections.iter().map(objection).collect::<Vec<_>>(),
            "notes": notes(card, &place.used),
        })
    });
    json!({
        "point": point(card, feed.point),
        "circuits": names(card, &feed.circuits),
        "load_a": figure(feed.load.0),
        "wants_a": figure(feed.wants.0),
        "hot": feed.hot,
        "recorded": recorded.collect::<Vec<_>>(),
    })
}

fn objection(objection: &Objection) -> Json {
    match objection {
        Objection::Rating { has, wants } => {
            json!({ "field": "rating", "has_a": figure(has.0), "wants_a": figure(wants.0) })
        }
        Objection::Hot { has, wants } => json!({ "field": "hot", "has": has, "wants": wants }),
        Objection::Stud(stud) => json!({ "field": "stud", "has": stud.to_string() }),
    }
}

fn bundle(card: &Card<'_>, bundle: &Bundle<'_>) -> Json {
    let holes = bundle.holes.iter().map(|hole| {
        json!({
            "at": hole.used.text(card.language, "at"),
            "hole_mm": hole.size.map(millimetres),
            "grommet": hole.grommet,
            "bore_mm": hole.opening.map(|opening| millimetres(opening.bore)),
            "fits": hole.fits.word(),
            "grade": hole.used.grade(),
            "notes": notes(card, &hole.used),
        })
    });
    json!({
        "point": point(card, bundle.point),
        "circuits": names(card, &bundle.circuits),
        "conductors": bundle.conductors,
        "passage": passage_json(&bundle.passage),
        "holes": holes.collect::<Vec<_>>(),
    })
}

fn route(card: &Card<'_>, route: &Route<'_>) -> Json {
    json!({
        "point": point(card, route.point),
        "at": route.used.text(card.language, "at"),
        "length_m": route.length.map(metres),
        "circuits": names(card, &route.circuits),
        "avoid": route.used.text(card.language, "avoid"),
        "grade": route.used.grade(),
        "notes": notes(card, &route.used),
    })
}

fn cut(card: &Card<'_>, cut: &Cut) -> Json {
    json!({
        "conductor": cut.conductor.to_string(),
        "metric": cut.metric.map(|metric| metric.to_string()),
        "sae": cut.sae.map(|sae| sae.to_string()),
        "insulation_c": figure(cut.insulation.rating().0),
        "length_m": metres(cut.length),
        "estimated": cut.estimated,
        "circuits": names(card, &cut.circuits),
    })
}

/// What rings and butts have in common.
fn barrels(part: &str, count: u32, conductor: Conductor, metric: Option<Conductor>, crimp: Crimp) -> Json {
    json!({
        "part": part,
        "count": count,
        "conductor": conductor.to_string(),
        "metric": metric.map(|metric| metric.to_string()),
        "crimp": crimp.word(),
        "metric_crimp": metric.map(|metric| terminal::crimp(metric).word()),
    })
}

fn part(card: &Card<'_>, part: &Part<'_>) -> Json {
    match part {
        Part::Device { device, circuit } => json!({
            "part": device.kind().word(),
            "count": 1,
            "rating_a": figure(device.rating().0),
            "family": device.family(),
            "circuit": card.circuits[*circuit].worked.circuit.name,
        }),
        Part::Rings { count, conductor, metric, crimp, over } => {
            let mut ring = barrels("ring", *count, *conductor, *metric, *crimp);
            ring["ring"] = json!(over.stud().and_then(|stud| terminal::ring(stud.diameter())));
            ring["over"] = self::over(card, over);
            ring
        }
        Part::Butts { count, conductor, metric, crimp } => {
            barrels("butt", *count, *conductor, *metric, *crimp)
        }
        Part::Loom(loom) => json!({
            "part": "loom",
            "inside_mm": millimetres(loom.sleeve.inside),
            "length_m": metres(loom.length),
            "estimated": loom.estimated,
        }),
        Part::Grommet { opening, recorded, .. } => json!({
            "part": "grommet",
            "count": 1,
            "bore_mm": millimetres(opening.bore),
            "hole_mm": millimetres(opening.hole),
            "saw_mm": opening.saw.map(millimetres),
            "step_drill_mm": opening.step.map(millimetres),
            "notes": recorded.map(|used| notes(card, &used)),
        }),
    }
}

fn over(card: &Card<'_>, over: &Over<'_>) -> Json {
    match over {
        Over::Stud(stud, end) => json!({
            "point": point(card, end.point),
            "stud": stud.to_string(),
            "notes": end.used.map(|used| notes(card, &used)),
        }),
        Over::Unmeasured(at) => json!({ "point": point(card, *at), "stud": null }),
        Over::Breaker(stud) => json!({ "device": "breaker", "stud": stud.to_string() }),
        Over::Holder => json!({ "device": "fuse holder", "stud": null }),
    }
}

fn reading(card: &Card<'_>, reading: &Reading<'_>) -> Json {
    match reading {
        Reading::Job(check) => {
            json!({ "when": check.when.word(), "measure": check.measure, "expect": check.expect })
        }
        Reading::Drop { circuit, load, at_most, metric } => json!({
            "when": reading.when().word(),
            "circuit": card.circuits[*circuit].worked.circuit.name,
            "load_a": figure(load.0),
            "drop_v": figure(at_most.0),
            "metric_drop_v": metric.map(|(_, drop)| figure(drop.0)),
        }),
    }
}

fn labour(card: &Card<'_>, labour: &Labour<'_>) -> Json {
    let spread = &labour.spread;
    json!({
        "median": spread.median.to_string(),
        "low": spread.low.to_string(),
        "high": spread.high.to_string(),
        "notes": spread.notes,
        "for_this": labour.for_this,
        "ids": labour.notes.iter().map(|note| note_code(*note, card.found.shown)).collect::<Vec<_>>(),
    })
}
