//! The colour of a wire in the judged set: what it is, how people write it in a note, and how they ask for it.

use crate::dice::Dice;
use crate::need::Level;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shade {
    Light,
    Dark,
}

/// A colour: base, perhaps a shade of it, perhaps a tracer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wire {
    pub shade: Option<Shade>,
    base: usize,
    pub tracer: Option<usize>,
}

/// One colour: its code after IEC 60757, then plain words, then the shorthand of the trade (common practice, no source).
struct Hue {
    code: &'static str,
    words: &'static [&'static str],
    short: &'static [&'static str],
    shades: bool,
}

const fn hue(
    code: &'static str,
    words: &'static [&'static str],
    short: &'static [&'static str],
    shades: bool,
) -> Hue {
    Hue { code, words, short, shades }
}

const HUES: [Hue; 11] = [
    hue("VT", &["violet", "purple"], &["VIO", "PPL", "PUR"], false),
    hue("WH", &["white"], &["WHT"], false),
    hue("GN", &["green"], &["GRN"], true),
    hue("BU", &["blue"], &["BLU"], true),
    hue("BK", &["black"], &["BLK"], false),
    hue("BN", &["brown"], &["BRN"], false),
    hue("RD", &["red"], &["RED"], false),
    hue("OG", &["orange"], &["ORG", "ORN"], false),
    hue("YE", &["yellow"], &["YEL"], false),
    hue("GY", &["grey", "gray"], &["GRY"], false),
    hue("PK", &["pink"], &["PNK"], false),
];

/// A way of writing a colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Notation {
    Code,
    CapsSlash,
    CapsDash,
    SmallSlash,
    WordSlash,
    Tracer,
    Stripe,
    StripeOn,
    Blank,
    SmallBlank,
    Joined,
}

use Notation::{
    Blank, CapsDash, CapsSlash, Code, Joined, SmallBlank, SmallSlash, Stripe, StripeOn, Tracer, WordSlash,
};

impl Wire {
    pub fn any(dice: &mut Dice) -> Self {
        let base = dice.below(HUES.len());
        let shade =
            (HUES[base].shades && dice.happens(0.4)).then(|| dice.one_of(&[Shade::Light, Shade::Dark]));
        let other = (base + 1 + dice.below(HUES.len() - 1)) % HUES.len();
        Self { shade, base, tracer: dice.happens(0.6).then_some(other) }
    }

    /// By the codes of its colours.
    #[cfg(test)]
    pub fn of(base: &str, tracer: Option<&str>) -> Self {
        let hue = |code| HUES.iter().position(|hue| hue.code == code).expect("a code");
        Self { shade: None, base: hue(base), tracer: tracer.map(hue) }
    }

    /// The same without what a hurried writer leaves out.
    pub fn coarser(self) -> Option<Self> {
        match (self.tracer, self.shade) {
            (Some(_), _) => Some(Self { tracer: None, ..self }),
            (None, Some(_)) => Some(Self { shade: None, ..self }),
            (None, None) => None,
        }
    }

    /// How far a note of this colour means the one that is asked for.
    pub fn level(self, asked: Self) -> Level {
        if self.base != asked.base {
            return Level::Other;
        }
        let part = |differs: bool, both: bool| match (differs, both) {
            (false, _) => Level::Same,
            (true, false) => Level::Near,
            (true, true) => Level::Other,
        };
        let shade = part(self.shade != asked.shade, self.shade.is_some() && asked.shade.is_some());
        let tracer = part(self.tracer != asked.tracer, self.tracer.is_some() && asked.tracer.is_some());
        shade.min(tracer)
    }

    /// As written in a note.
    pub fn written(self, dice: &mut Dice) -> String {
        let notation = dice.one_of(&[
            Code, CapsSlash, CapsSlash, CapsDash, SmallSlash, WordSlash, WordSlash, Tracer, Stripe,
        ]);
        self.in_notation(notation, dice)
    }

    /// The wire whose colours are those of this one, the other way round.
    fn turned(self) -> Option<Self> {
        self.tracer.map(|tracer| Self { shade: None, base: tracer, tracer: Some(self.base) })
    }

    /// As asked for: in a hurry, from memory, never twice the same; and the other wire that this may mean.
    pub fn asked(self, dice: &mut Dice) -> (String, Option<Self>) {
        let plain = [
            Code, CapsSlash, CapsDash, SmallSlash, WordSlash, Tracer, Stripe, StripeOn, Blank, Blank,
            SmallBlank,
        ];
        let joined = self.shade.is_none() && dice.below(plain.len() + 1) == 0;
        let notation = if joined { Joined } else { dice.one_of(&plain) };
        (self.in_notation(notation, dice), if joined { self.turned() } else { None })
    }

    /// As said in a sentence.
    pub fn said(self, dice: &mut Dice) -> String {
        let notation = dice.one_of(&[Tracer, Stripe, WordSlash, Blank]);
        self.in_notation(notation, dice)
    }

    fn in_notation(self, notation: Notation, dice: &mut Dice) -> String {
        let base = self.shaded(named(self.base, notation, dice), notation);
        let Some(tracer) = self.tracer else { return base };
        let tracer = named(tracer, notation, dice);
        match notation {
            Code | CapsSlash | SmallSlash | WordSlash => format!("{base}/{tracer}"),
            CapsDash => format!("{base}-{tracer}"),
            Blank | SmallBlank => format!("{base} {tracer}"),
            Joined => format!("{base}{tracer}"),
            Tracer => format!("{base} {} {tracer} tracer", dice.one_of(&["with", "w/", "with a"])),
            Stripe => format!("{base} {} {tracer} stripe", dice.one_of(&["with", "w/"])),
            StripeOn => format!("{tracer} stripe on {base}"),
        }
    }

    fn shaded(self, base: String, notation: Notation) -> String {
        let (light, dark) = match notation {
            CapsSlash | CapsDash => ("LT", "DK"),
            SmallSlash | SmallBlank => ("lt", "dk"),
            _ => ("light", "dark"),
        };
        match self.shade {
            None => base,
            Some(Shade::Light) => format!("{light} {base}"),
            Some(Shade::Dark) => format!("{dark} {base}"),
        }
    }
}

fn named(at: usize, notation: Notation, dice: &mut Dice) -> String {
    let hue = &HUES[at];
    match notation {
        Code | Joined => hue.code.to_owned(),
        CapsSlash | CapsDash => dice.one_of(hue.short).to_owned(),
        SmallSlash | SmallBlank => dice.one_of(hue.short).to_lowercase(),
        _ => dice.one_of(hue.words).to_owned(),
    }
}
