//! Writes generated notes to standard output, for measuring: `make_notes COUNT [SEED]`.
//!
//! 60 makers, 1,500 models with a skewed share of the notes, all single-answer points and the common others, rows of
//! about 365 bytes. The names are counted, not invented: nobody takes `Maker 7 Model 3` for a vehicle.

use std::io::{self, BufWriter, Write};

/// SplitMix64 (Steele, Lea, Flood 2014): small, fast, the same everywhere.
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    fn below(&mut self, limit: usize) -> usize {
        (self.next() % limit as u64) as usize
    }

    fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn pick<'a>(&mut self, list: &[&'a str]) -> &'a str {
        list[self.below(list.len())]
    }
}

const MODELS: usize = 1_500;
const MAKERS: usize = 60;
const SIGNALS: [&str; 12] = [
    "brake-signal",
    "reverse-lamp",
    "illumination",
    "park-lamp",
    "left-turn",
    "right-turn",
    "horn",
    "start-signal",
    "speed-signal",
    "hood-switch",
    "ignition-feed",
    "accessory-feed",
];
const COLOURS: [&str; 18] = [
    "violet/white",
    "VT/WH",
    "PPL-WHT",
    "violet w/ white tracer",
    "green",
    "GRN",
    "light green/black",
    "lt grn/blk",
    "blue",
    "dk blue",
    "yellow/red",
    "YEL/RED",
    "brown",
    "BRN-WHT",
    "white/violet",
    "pink",
    "orange/black",
    "grey",
];
const PLACES: [&str; 14] = [
    "stop lamp switch",
    "driver kick panel",
    "LH kick panel",
    "passenger kick panel",
    "under dash left of the column",
    "steering column",
    "BPP sw",
    "brake switch",
    "fuse box under dash",
    "left inner fender",
    "right inner fender",
    "firewall",
    "driver door sill",
    "left frame rail",
];
const REMARKS: [&str; 8] = [
    "measured with the pedal down and again with the lamps on, the reading was steady both times and the wire was easy to reach",
    "the loom is taped to the bracket here, take the lower panel off first and mind the clip that breaks when it is cold",
    "not much room, a short arm and a mirror help; the connector has to come out of its holder before the wire can be seen",
    "checked against the rear lamp afterwards, the colour is the same on both ends and nothing else moved on the meter",
    "customer had an older unit fitted at the same place, its splice was cut out and the wire made good with heat shrink",
    "took longer than the sheet says because the seat had to be moved; everything else was as told and the panel is three screws",
    "second wire of the same colour runs beside it and is dead, do not be misled: prove it before the cutter comes out",
    "looked at with a lamp only, nothing was taken apart, the plug was already hanging loose from an earlier job on this one",
];
const PEOPLE: [&str; 9] = [
    "R. Okafor",
    "D. Pruett",
    "J. Amadi",
    "M. Haugli",
    "T. Szalai",
    "G. Lindqvist",
    "S. Brandvold",
    "P. Oyelaran",
    "K. Virtanen",
];

fn main() -> io::Result<()> {
    let mut arguments = std::env::args().skip(1);
    let count: usize = arguments.next().and_then(|text| text.parse().ok()).unwrap_or(10_000);
    let mut dice = Dice(arguments.next().and_then(|text| text.parse().ok()).unwrap_or(1));
    let mut out = BufWriter::with_capacity(1 << 20, io::stdout().lock());
    writeln!(
        out,
        "make,model,years,only,point,colour,at,connector,cavity,slot,signal,rating,stud,hole,idle,active,basis,by,on,seen,remark"
    )?;
    for _ in 0..count {
        row(&mut dice, &mut out)?;
    }
    out.flush()
}

/// A model by a skewed share: the most noted has about six notes in a hundred.
fn model(dice: &mut Dice) -> usize {
    let skewed = dice.share().powf(2.6) * MODELS as f64;
    (skewed as usize).min(MODELS - 1)
}

fn row(dice: &mut Dice, out: &mut impl Write) -> io::Result<()> {
    let model = model(dice);
    let first = 2005 + model % 14;
    let (from, to) = (first + dice.below(3), first + 3 + dice.below(4));
    let year = from + dice.below(to - from + 1);
    let tow = ["", "tow=yes", "tow=no"][dice.below(8).min(2)];
    let cab = dice.pick(&["crew", "extended", "regular"]);
    let seen_tow = if tow.is_empty() {
        if dice.below(2) == 0 { "; tow=yes" } else { "" }
    } else if tow == "tow=yes" {
        "; tow=yes"
    } else {
        "; tow=no"
    };
    let basis = dice.pick(&["metered", "metered", "fitted", "inspected", "diagram", "told"]);
    let seen = if matches!(basis, "told" | "diagram") {
        String::new()
    } else {
        format!("{year}; cab={cab}{seen_tow}")
    };
    let (point, fields) = said(dice, model);
    writeln!(
        out,
        "Maker {},Model {model},{from}-{to},{tow},{point},{fields},{basis},{},20{:02}-{:02}-{:02},{seen},\"{}, no {}\"",
        model % MAKERS,
        dice.pick(&PEOPLE),
        19 + dice.below(6),
        1 + dice.below(12),
        1 + dice.below(28),
        dice.pick(&REMARKS),
        dice.below(100_000),
    )
}

/// The point and its cells from `colour` to `active`. A model has its own truth; one note in eight differs from it.
fn said(dice: &mut Dice, model: usize) -> (&'static str, String) {
    let which = dice.below(24);
    let slip = if dice.below(8) == 0 { 1 + dice.below(3) } else { 0 };
    let own = model * 7 + which * 3 + slip;
    let place = PLACES[(own + dice.below(2)) % PLACES.len()];
    match which {
        0..=13 => {
            let point = SIGNALS[which % SIGNALS.len()];
            let colour = COLOURS[own % COLOURS.len()];
            let feed = point.ends_with("-feed");
            let (signal, idle) = if feed { ("", "") } else { ("positive", "0 V") };
            let rating = if feed { "15 A" } else { "" };
            let active = if feed { "" } else { "12.4 V" };
            (
                point,
                format!(
                    "{colour},{place},C{},{},,{signal},{rating},,,{idle},{active}",
                    100 + own % 40,
                    1 + own % 24
                ),
            )
        }
        14..=17 => ("ground", format!(",{place},,,,,,{},,,", ["M6", "M8", "M10"][own % 3])),
        18 | 19 => ("firewall-pass", format!(",{place},,,,,,,{},,", ["35 mm", "1-3/8 in", "22 mm"][own % 3])),
        20 | 21 => (
            "fused-feed",
            format!(",fuse box under dash,,,F{},,{} A,,,,", 1 + own % 40, [10, 15, 20][own % 3]),
        ),
        _ => ("battery-feed", format!(",{place},,,,,{} A,M8,,,", [40, 60][own % 2])),
    }
}
