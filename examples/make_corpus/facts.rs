//! What a fact of the invented world is before anybody writes it down: a wire, a place, a number.
//! Owns the facts and how one of them may be misread; `hands` decides how it is spelled.

use crate::dice::Dice;
use crate::places::Place;

/// A hue with its spellings: full word, IEC 60757 code, capitals, small letters.
#[derive(Debug, PartialEq, Eq)]
pub struct Hue {
    pub word: &'static str,
    pub iec: &'static str,
    pub caps: &'static [&'static str],
    pub small: &'static str,
}

macro_rules! hues {
    ($($name:ident $word:literal $iec:literal $caps:expr, $small:literal;)+) => {
        $(pub static $name: Hue = Hue { word: $word, iec: $iec, caps: &$caps, small: $small };)+
    };
}

hues! {
    BLACK "black" "BK" ["BLK"], "blk";
    BROWN "brown" "BN" ["BRN"], "brn";
    RED "red" "RD" ["RED"], "red";
    ORANGE "orange" "OG" ["ORG", "ORN"], "org";
    YELLOW "yellow" "YE" ["YEL"], "yel";
    GREEN "green" "GN" ["GRN"], "grn";
    BLUE "blue" "BU" ["BLU"], "blu";
    VIOLET "violet" "VT" ["PPL", "PUR"], "ppl";
    GREY "grey" "GY" ["GRY"], "gry";
    WHITE "white" "WH" ["WHT"], "wht";
    PINK "pink" "PK" ["PNK"], "pnk";
    TAN "tan" "tan" ["TAN"], "tan";
}

/// Light, dark or neither.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shade {
    Plain,
    Light,
    Dark,
}

/// A wire: shade and base, and at most one tracer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wire {
    pub shade: Shade,
    pub base: &'static Hue,
    pub tracer: Option<&'static Hue>,
}

impl Wire {
    /// What a tired eye may take this wire for, on a faded or dirty harness.
    pub fn misread(self) -> Option<Self> {
        let base = match self.base.word {
            "violet" => &BLUE,
            "blue" => &VIOLET,
            "grey" => &WHITE,
            "white" => &GREY,
            "orange" => &RED,
            "pink" => &WHITE,
            "tan" => &BROWN,
            "brown" => &TAN,
            _ => return None,
        };
        let distinct = self.tracer.is_none_or(|tracer| tracer != base);
        distinct.then_some(Self { shade: Shade::Plain, base, tracer: self.tracer })
    }

    /// The same wire with its tracer overlooked.
    pub fn without_tracer(self) -> Self {
        Self { tracer: None, ..self }
    }
}

/// A fact of the world.
#[derive(Debug, Clone, PartialEq)]
pub enum Fact {
    Wire(Wire),
    Place(Place),
    /// A connector, cavity or slot.
    Code(String),
    /// One of a closed list: the plain word first, then what else is written for it.
    Choice(&'static [&'static str]),
    /// Tenths of an ampere.
    Amps(u16),
    Stud(&'static str),
    /// Millimetres, and the hole saw in inches.
    Hole(u16, &'static str),
    /// Tenths of a metre.
    Metres(u16),
    Minutes(u16),
    NewtonMetres(u16),
    /// AWG number.
    Gauge(u16),
    Prose(&'static str),
}

pub const STUDS: &[&str] = &["M6", "M8", "M10", "5/16-18", "1/4-20", "3/8-16"];
pub const HOLES: &[(u16, &str)] = &[
    (16, "5/8"),
    (19, "3/4"),
    (22, "7/8"),
    (25, "1"),
    (28, "1-1/8"),
    (32, "1-1/4"),
    (35, "1-3/8"),
    (38, "1-1/2"),
    (44, "1-3/4"),
];
pub const FUSES: &[u16] = &[50, 75, 100, 150, 200, 250, 300];
pub const HEAVY: &[u16] = &[300, 400, 500, 600, 800, 1000];

impl Fact {
    /// Another fact of the same kind: what the maker may have fitted instead.
    pub fn other(&self, spare: Wire, dice: &mut Dice) -> Self {
        match self {
            Self::Wire(_) => Self::Wire(spare),
            Self::Amps(a) => Self::Amps(neighbour(*a)),
            Self::Stud(s) => Self::Stud(if *s == "M8" { "M6" } else { "M8" }),
            Self::Hole(mm, _) => {
                let (mm, inch) = dice
                    .one_of(HOLES.iter().filter(|h| h.0.abs_diff(*mm) > 4).collect::<Vec<_>>().as_slice());
                Self::Hole(*mm, inch)
            }
            Self::Metres(tenths) => Self::Metres(tenths + 9),
            same => same.clone(),
        }
    }
}

/// The next fuse that exists: up, or down from the largest.
fn neighbour(tenths: u16) -> u16 {
    let list = if tenths > 300 { HEAVY } else { FUSES };
    let larger = list.iter().copied().find(|a| *a > tenths);
    larger.or_else(|| list.iter().copied().rfind(|a| *a < tenths)).unwrap_or(tenths)
}

/// The wires of a harness: plain ones, and the usual pairs of base and tracer.
pub fn palette() -> Vec<Wire> {
    const BASES: [&Hue; 12] =
        [&BROWN, &RED, &ORANGE, &YELLOW, &GREEN, &BLUE, &VIOLET, &GREY, &WHITE, &PINK, &TAN, &BLACK];
    const TRACERS: [&Hue; 8] = [&BLACK, &WHITE, &RED, &YELLOW, &GREEN, &BLUE, &ORANGE, &VIOLET];
    let mut list = Vec::new();
    for (i, base) in BASES.into_iter().enumerate() {
        if i < 8 {
            list.push(Wire { shade: Shade::Plain, base, tracer: None });
        }
        let tracers = [0, 3, 5].map(|step| TRACERS[(i + step) % TRACERS.len()]);
        list.extend(tracers.into_iter().filter(|t| *t != base).map(|t| Wire {
            shade: Shade::Plain,
            base,
            tracer: Some(t),
        }));
    }
    for base in [&GREEN, &BLUE] {
        list.push(Wire { shade: Shade::Light, base, tracer: None });
        list.push(Wire { shade: Shade::Dark, base, tracer: None });
        list.push(Wire { shade: Shade::Light, base, tracer: Some(&BLACK) });
        list.push(Wire { shade: Shade::Dark, base, tracer: Some(&WHITE) });
        list.push(Wire { shade: Shade::Dark, base, tracer: Some(&YELLOW) });
    }
    list
}
