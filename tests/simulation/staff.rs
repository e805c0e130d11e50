//! The people of a simulated shop, and how each of them sees, claims and spells.

use crate::dice::Dice;
use crate::world::{HUES, Wire, World};

pub struct Hand {
    pub name: String,
    /// Chance that a colour is misread.
    pub misread: f64,
    pub neighbour: f64,
    /// Chance that each attribute of the seen vehicle is written down.
    pub recorded: f64,
    pub over_claimed: f64,
    /// Chance that a facelift is known, and limits what is claimed.
    pub knows: f64,
    /// Chance that the attribute that decides is written down as a qualifier.
    pub knows_kind: f64,
    pub tracer_left_out: f64,
    pub year_off: f64,
    pub no_vehicle: f64,
    style: usize,
}

/// Each hue as people write it, the code first.
const SPELLINGS: [&[&str]; HUES] = [
    &["BK", "black", "BLK"],
    &["BN", "brown", "BRN"],
    &["RD", "red", "RED"],
    &["OG", "orange", "ORG"],
    &["YE", "yellow", "YEL"],
    &["GN", "green", "GRN"],
    &["BU", "blue", "BLU"],
    &["VT", "violet", "purple"],
    &["GY", "grey", "gray"],
    &["WH", "white", "WHT"],
    &["PK", "pink", "pink"],
    &["tan", "tan", "TAN"],
];

/// Hues that a faded wire or a bad lamp make alike. Common practice, no source.
const ALIKE: [&[usize]; HUES] = [
    &[1, 6],
    &[0, 2, 11],
    &[3, 10],
    &[2, 4],
    &[3, 9],
    &[6],
    &[7, 5],
    &[6, 10],
    &[9],
    &[8, 4],
    &[2, 7],
    &[1, 4],
];

impl Hand {
    fn drawn(world: &World, number: usize, dice: &mut Dice) -> Self {
        // One care for all: who misreads colours also leaves out qualifiers.
        let care = dice.share();
        let along = |(most, least): (f64, f64)| most + (least - most) * (1.0 - care);
        Self {
            name: format!("Hand {number}"),
            misread: along(world.misread),
            neighbour: world.neighbour * (1.5 - care),
            recorded: world.recorded.0 + (world.recorded.1 - world.recorded.0) * care,
            over_claimed: (world.over_claimed + 0.3 * (dice.share() - 0.5)).clamp(0.0, 1.0),
            knows: 0.15 + 0.3 * care,
            knows_kind: 0.4 + 0.4 * care,
            tracer_left_out: 0.02 + 0.15 * (1.0 - care),
            year_off: world.year_off * (1.5 - care),
            no_vehicle: 0.05,
            style: dice.below(3),
        }
    }

    /// The wire as this hand reads it.
    pub fn read(&self, wire: Wire, neighbour: Wire, dice: &mut Dice) -> Wire {
        let mut read = if dice.happens(self.neighbour) { neighbour } else { wire };
        if dice.happens(self.misread) {
            read = misread(read, dice);
        }
        if read.tracer.is_some() && dice.happens(self.tracer_left_out) {
            read.tracer = None;
        }
        read
    }

    /// As this hand writes it.
    pub fn spell(&self, wire: Wire) -> String {
        let hue = |hue: usize| SPELLINGS[hue][self.style];
        match (wire.tracer, self.style) {
            (None, _) => hue(wire.base).to_owned(),
            (Some(tracer), 0) => format!("{}/{}", hue(wire.base), hue(tracer)),
            (Some(tracer), 1) => format!("{} with {} tracer", hue(wire.base), hue(tracer)),
            (Some(tracer), _) => format!("{}/{}", hue(wire.base), hue(tracer)),
        }
    }
}

fn misread(wire: Wire, dice: &mut Dice) -> Wire {
    let kind = dice.share();
    match wire.tracer {
        Some(tracer) if kind < 0.1 => Wire { base: tracer, tracer: Some(wire.base) },
        Some(tracer) if kind < 0.4 => {
            Wire { tracer: Some(dice.one_of(ALIKE[tracer])).filter(|hue| *hue != wire.base), ..wire }
        }
        _ if kind < 0.75 => {
            let base = dice.one_of(ALIKE[wire.base]);
            Wire { base, tracer: wire.tracer.filter(|tracer| *tracer != base) }
        }
        _ => Wire::any(dice),
    }
}

/// The people of one shop.
pub fn hands(world: &World, dice: &mut Dice) -> Vec<Hand> {
    (0..10).map(|number| Hand::drawn(world, number, dice)).collect()
}
