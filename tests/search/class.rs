//! The seven classes of queries: what makes each hard, and what is remembered together.

/// What makes a query hard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Class {
    Synonym,
    Colour,
    Typing,
    Place,
    Vehicle,
    Units,
    Sentence,
}

impl Class {
    pub const ALL: [Self; 7] =
        [Self::Synonym, Self::Colour, Self::Typing, Self::Place, Self::Vehicle, Self::Units, Self::Sentence];

    pub fn name(self) -> &'static str {
        match self {
            Self::Synonym => "synonym",
            Self::Colour => "colour notation",
            Self::Typing => "typing error",
            Self::Place => "place words",
            Self::Vehicle => "vehicle mixed in",
            Self::Units => "units",
            Self::Sentence => "long sentence",
        }
    }

    /// What is remembered together, in turn.
    pub fn recipes(self) -> &'static [&'static [Clue]] {
        use Clue::{By, Choice, Code, Make, Model, Only, Place, Point, Scrap, Size, Slot, Wire, Year};
        match self {
            Self::Synonym => &[
                &[Place, Point],
                &[Point, Choice, Model],
                &[Wire, Place],
                &[Point, Code],
                &[Place, Choice],
                &[Make, Place, Point],
                &[Slot, Place],
                &[Point, Wire],
            ],
            Self::Colour => &[
                &[Wire],
                &[Wire, Point],
                &[Wire, Place],
                &[Model, Wire],
                &[Wire, Code],
                &[Point, Wire, Place],
                &[Wire, Make],
                &[Wire, Point, Year],
            ],
            Self::Typing => &[
                &[Place, Point],
                &[Wire, Place],
                &[Model, Point],
                &[Model, Year, Wire],
                &[Wire, Point],
                &[Make, Model, Place],
                &[Scrap],
                &[Size, Point, Model],
            ],
            Self::Place => &[
                &[Place, Point],
                &[Wire, Place],
                &[Place, Size],
                &[Model, Place],
                &[Place],
                &[Point, Place, Year],
                &[Make, Place, Point],
            ],
            Self::Vehicle => &[
                &[Model, Year, Wire],
                &[Year, Make, Model, Point],
                &[Model, Only, Point],
                &[Model, Year, Place],
                &[Point, Year, Model, Wire],
                &[Make, Year, Point, Wire],
                &[Model, Scrap],
                &[Model, By, Point],
                &[Year, Model, Point, Choice],
                &[Model, Code],
            ],
            Self::Units => &[
                &[Size, Point, Model],
                &[Place, Size],
                &[Size, Model],
                &[Point, Size, Make],
                &[Size, Place, Point],
                &[Year, Model, Size, Point],
                &[Slot, Size, Point],
            ],
            Self::Sentence => &[
                &[Point, Model, Year, Wire, Place],
                &[Wire, Place, Make],
                &[Point, Place, Size],
                &[Point, Model, Scrap],
                &[Model, Year, Point, Wire],
                &[By, Wire, Point, Place],
                &[Place, Scrap],
                &[Model, Point, Size],
            ],
        }
    }

    /// How many notes may mean all of it: more, and any of them would do.
    pub fn most(self) -> usize {
        if matches!(self, Self::Colour | Self::Place) { 30 } else { 14 }
    }
}

/// One thing that is remembered of a note.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Clue {
    Point,
    Wire,
    Place,
    Size,
    Choice,
    Code,
    Slot,
    Scrap,
    By,
    Make,
    Model,
    Year,
    Only,
}
