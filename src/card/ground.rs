//! The ground of a load: a recorded one at the end of the vehicle where the load is, else none, for a ground at the
//! other end is the wrong one however well it is known.

use super::{Desk, End, GROUND, Used};
use crate::job::{JobCircuit, Zone};
use crate::value::Value;
use crate::value::lexicon::Side;
use crate::value::place::Said;

/// Parts by which a place is told to be in a zone, by their names in the lexicon: common practice, no source.
const PARTS: [(Zone, &[&str]); 3] = [
    (
        Zone::Front,
        &[
            "engine bay",
            "front end",
            "firewall",
            "fender",
            "strut tower",
            "radiator support",
            "battery",
            "battery tray",
            "headlamp",
            "grille",
        ],
    ),
    (
        Zone::Rear,
        &[
            "trunk",
            "trunk lid",
            "load bed",
            "rear end",
            "tailgate",
            "quarter panel",
            "tow bar",
            "trailer connector",
            "tail lamp",
        ],
    ),
    (Zone::Cabin, &["cabin"]),
];

impl<'c> Desk<'c> {
    /// The ground of a circuit's load: the best known that lies where the job wants it; `None` where the catalogue knows
    /// no grounds.
    pub(super) fn ground_of(&self, circuit: &JobCircuit) -> Option<End<'c>> {
        let point = self.language.catalogue.point(GROUND)?;
        let near = |used: &&Used<'c>| circuit.ground.is_some() && self.zone(used) == circuit.ground;
        Some(End { point, used: self.usable(point).iter().find(near).copied() })
    }

    /// Where a place is; `None` where its words do not say, or say several.
    fn zone(&self, used: &Used<'_>) -> Option<Zone> {
        let Some(Value::Place(place)) = used.value(self.language, "at") else { return None };
        let mut zones: Vec<Zone> = place.says().filter_map(|said| zone_of(&said)).collect();
        let lengthwise = place.says().all(|said| zone_of(&said).is_none());
        if lengthwise {
            zones.extend(end_of(place.lies_on().iter()));
            zones.extend(place.says().flat_map(|said| end_of(said.sides.iter())));
        }
        let first = *zones.first()?;
        zones.iter().all(|zone| *zone == first).then_some(first)
    }
}

fn zone_of(said: &Said<'_>) -> Option<Zone> {
    let is_of =
        |parts: &[&str]| parts.contains(&said.subject) || said.within.iter().any(|at| parts.contains(at));
    // The front fenders are those that grounds are told of; a rear one is told so.
    let told = PARTS.iter().find(|(_, parts)| is_of(parts)).map(|(zone, _)| *zone)?;
    let opposed = told == Zone::Front && said.sides.iter().any(|side| side == Side::Rear);
    (!opposed).then_some(told)
}

fn end_of(sides: impl Iterator<Item = Side>) -> Vec<Zone> {
    let end = |side: Side| match side {
        Side::Front => Some(Zone::Front),
        Side::Rear => Some(Zone::Rear),
        _ => None,
    };
    sides.filter_map(end).collect()
}

#[cfg(test)]
mod tests {
    use super::PARTS;
    use crate::value::lexicon::Lexicon;

    /// A part that the lexicon calls otherwise would silently tell nothing.
    #[test]
    fn every_part_is_one_of_the_lexicon() {
        let lexicon = Lexicon::builtin();
        for part in PARTS.iter().flat_map(|(_, parts)| *parts) {
            assert!(lexicon.concepts().any(|(_, concept)| concept.name() == *part), "{part}");
        }
    }
}
