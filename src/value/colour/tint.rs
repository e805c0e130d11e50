//! One colour of insulation or tracer: a hue, with a shade where one was written.
//!
//! This file owns the codes of IEC 60757, the plain words beside them and which single colours look
//! alike. What installers write for them is the business of `words`.

use std::fmt;

use crate::value::Relation;

/// A colour by name. The order is that of IEC 60757:2021 Table 1, then the three colours of vehicle
/// wiring that the standard has no code for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each is the colour that its name says")]
pub enum Hue {
    Black,
    Brown,
    Red,
    Orange,
    Yellow,
    Green,
    Blue,
    Violet,
    Grey,
    White,
    Pink,
    Gold,
    Turquoise,
    Silver,
    Tan,
    Beige,
    Clear,
}

impl Hue {
    /// Every hue, in the order of the standard's table.
    pub const ALL: [Self; 17] = [
        Self::Black,
        Self::Brown,
        Self::Red,
        Self::Orange,
        Self::Yellow,
        Self::Green,
        Self::Blue,
        Self::Violet,
        Self::Grey,
        Self::White,
        Self::Pink,
        Self::Gold,
        Self::Turquoise,
        Self::Silver,
        Self::Tan,
        Self::Beige,
        Self::Clear,
    ];

    /// The code of IEC 60757:2021 Table 1; the plain word where the standard has none.
    #[must_use]
    pub fn code(self) -> &'static str {
        match self {
            Self::Black => "BK",
            Self::Brown => "BN",
            Self::Red => "RD",
            Self::Orange => "OG",
            Self::Yellow => "YE",
            Self::Green => "GN",
            Self::Blue => "BU",
            Self::Violet => "VT",
            Self::Grey => "GY",
            Self::White => "WH",
            Self::Pink => "PK",
            Self::Gold => "GD",
            Self::Turquoise => "TQ",
            Self::Silver => "SR",
            Self::Tan | Self::Beige | Self::Clear => self.plain(),
        }
    }

    /// The plain word, as the standard spells it.
    #[must_use]
    pub fn plain(self) -> &'static str {
        match self {
            Self::Black => "black",
            Self::Brown => "brown",
            Self::Red => "red",
            Self::Orange => "orange",
            Self::Yellow => "yellow",
            Self::Green => "green",
            Self::Blue => "blue",
            Self::Violet => "violet",
            Self::Grey => "grey",
            Self::White => "white",
            Self::Pink => "pink",
            Self::Gold => "gold",
            Self::Turquoise => "turquoise",
            Self::Silver => "silver",
            Self::Tan => "tan",
            Self::Beige => "beige",
            Self::Clear => "clear",
        }
    }

    /// Pairs that fading, dirt, heat and poor light make alike. Common practice, no source.
    fn looks_like(self, other: Self) -> bool {
        use Hue::{
            Beige, Black, Blue, Brown, Clear, Gold, Green, Grey, Orange, Pink, Red, Silver, Tan, Turquoise,
            Violet, White, Yellow,
        };
        let pair = (self.min(other), self.max(other));
        matches!(
            pair,
            (Black, Brown | Blue | Violet)
                | (Brown, Red | Orange | Violet | Tan)
                | (Red, Orange | Pink)
                | (Orange, Yellow | Pink)
                | (Yellow, White | Gold | Tan | Beige)
                | (Green, Blue | Turquoise)
                | (Blue, Violet | Grey | Turquoise)
                | (Violet, Grey | Pink)
                | (Grey, White | Silver)
                | (White, Pink | Tan | Beige | Clear)
                | (Pink, Tan)
                | (Gold, Tan)
                | (Tan, Beige)
                | (Beige, Clear)
        )
    }
}

/// How light a colour is, where the writer says so. IEC 60757 has no code for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each is the shade that its name says")]
pub enum Shade {
    Light,
    Dark,
}

impl Shade {
    /// `light` or `dark`.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Light => "light",
            Self::Dark => "dark",
        }
    }
}

/// A hue with its shade. Its text is the code, with the shade as a word before it: `light BU`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Tint {
    /// The shade, where one was written.
    pub shade: Option<Shade>,
    /// The colour.
    pub hue: Hue,
}

impl Tint {
    /// A hue of which no shade was written.
    #[must_use]
    pub const fn of(hue: Hue) -> Self {
        Self { shade: None, hue }
    }

    /// A light hue.
    #[must_use]
    pub const fn light(hue: Hue) -> Self {
        Self { shade: Some(Shade::Light), hue }
    }

    /// A dark hue.
    #[must_use]
    pub const fn dark(hue: Hue) -> Self {
        Self { shade: Some(Shade::Dark), hue }
    }

    /// The same hue in `shade`; `None` where it has a shade already.
    pub(super) fn shaded(self, shade: Shade) -> Option<Self> {
        self.shade.is_none().then_some(Self { shade: Some(shade), ..self })
    }

    /// The plain words: `light blue`.
    #[must_use]
    pub fn plain(self) -> String {
        match self.shade {
            Some(shade) => format!("{} {}", shade.word(), self.hue.plain()),
            None => self.hue.plain().to_owned(),
        }
    }

    /// A shade makes a colour finer; two shades of one hue are different colours.
    pub(super) fn relation(self, other: Self) -> Relation {
        match (self.shade, other.shade) {
            _ if self.hue != other.hue => Relation::Different,
            (a, b) if a == b => Relation::Same,
            (_, None) => Relation::FirstFiner,
            (None, _) => Relation::SecondFiner,
            _ => Relation::Different,
        }
    }

    /// Whether the eye may take one for the other: one hue in any shade, or two hues alike.
    pub(super) fn looks_like(self, other: Self) -> bool {
        self.hue == other.hue || self.hue.looks_like(other.hue)
    }
}

impl fmt::Display for Tint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(shade) = self.shade {
            write!(f, "{} ", shade.word())?;
        }
        f.write_str(self.hue.code())
    }
}
