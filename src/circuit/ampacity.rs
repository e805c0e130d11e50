//! How much a conductor may carry where it lies: 33 CFR 183.425 Table 5 by insulation, corrected for heat and for
//! the conductors beside it; and how warm it gets.
//!
//! The table is for boats at 30 °C. Road vehicles have none of their own that is public, so it stands in for one.

use super::conductor::Conductor;
use super::tables;
use super::units::{Amps, Celsius, Kelvins, Share, larger, smaller};

/// The ambient for which Table 5 holds (33 CFR 183.425).
const TABLE_AMBIENT: Celsius = Celsius(30.0);
/// What note 1 of Table 5 takes an engine space to be (33 CFR 183.425).
pub const ENGINE_SPACE: Celsius = Celsius(50.0);

/// What insulation is rated for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Insulation {
    rated: Celsius,
    column: usize,
}

impl Insulation {
    /// The ratings that the table has a column for.
    pub fn columns() -> impl Iterator<Item = Celsius> {
        tables::conductors().insulations.iter().map(tables::Insulation::rated)
    }

    /// Insulation of this rating, which uses the column at or below it; `None` below the lowest.
    #[must_use]
    pub fn rated(rated: Celsius) -> Option<Self> {
        let column = Self::columns().take_while(|column| *column <= rated).count().checked_sub(1)?;
        Some(Self { rated, column })
    }

    /// The next better column.
    #[must_use]
    pub fn better(self) -> Option<Self> {
        Self::columns().nth(self.column + 1).and_then(Self::rated)
    }

    /// What was said of it.
    #[must_use]
    pub fn rating(self) -> Celsius {
        self.rated
    }

    /// The temperature of the column that is used, which nothing here lets the conductor exceed.
    #[must_use]
    pub fn column(self) -> Celsius {
        self.row().rated()
    }

    /// What it survives for a few seconds.
    #[must_use]
    pub fn limit(self) -> Celsius {
        self.row().limit()
    }

    fn row(self) -> &'static tables::Insulation {
        &tables::conductors().insulations[self.column]
    }
}

/// Where a conductor lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surroundings {
    /// Its insulation.
    pub insulation: Insulation,
    /// What is around it.
    pub ambient: Celsius,
    /// Whether some of it lies beside the engine.
    pub engine_space: bool,
    /// How many conductors that carry current are bundled, itself counted.
    pub bundled: u32,
}

impl Surroundings {
    /// The ambient that counts: an engine space is never taken to be cooler than the table does.
    #[must_use]
    pub fn ambient(&self) -> Celsius {
        if self.engine_space { larger(self.ambient, ENGINE_SPACE) } else { self.ambient }
    }

    /// What is left for heat of its own; zero where it is too hot already.
    #[must_use]
    pub fn allowance(&self) -> Kelvins {
        larger(self.insulation.column() - self.ambient(), Kelvins(0.0))
    }

    /// Note 2 of Table 5. Below 50 V no regulation asks for it: our conservative choice.
    #[must_use]
    pub fn bundling(&self) -> Share {
        let rows = &tables::conductors().bundles;
        let row = rows.iter().rev().find(|row| row.from <= self.bundled);
        Share(row.map_or(1.0, |row| row.factor))
    }

    /// The factor for heat. A conductor warms with the square of its current, so what it may carry goes with the
    /// root of what is left; this gives note 1 of Table 5 at 50 °C to its two digits, and holds for other
    /// temperatures too. Never more than one: cold is no licence.
    #[must_use]
    pub fn heat(&self) -> Share {
        let left = self.allowance() / (self.insulation.column() - TABLE_AMBIENT);
        let factor = left.sqrt().min(1.0);
        Share(if self.engine_space { factor.min(self.insulation.row().engine_space) } else { factor })
    }

    /// What the table gives, uncorrected.
    #[must_use]
    pub fn table(&self, conductor: Conductor) -> Amps {
        conductor.ampacity_row().map_or(Amps(0.0), |row| Amps(row.amps[self.insulation.column]))
    }

    /// What the conductor may carry here.
    #[must_use]
    pub fn ampacity(&self, conductor: Conductor) -> Amps {
        self.table(conductor) * self.bundling() * self.heat()
    }

    /// How warm the conductor gets in the long run. The table's current warms it from the table's ambient to its
    /// rating, in a bundle a smaller current does; the rise goes with the square. Told at most as its rating,
    /// which it must not exceed.
    #[must_use]
    pub fn temperature(&self, conductor: Conductor, load: Amps) -> Celsius {
        let full = self.table(conductor) * self.bundling();
        let rise = (self.insulation.column() - TABLE_AMBIENT) * (load / full).powi(2);
        let most = larger(self.insulation.column(), self.ambient());
        smaller(self.ambient() + rise, most)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::circuit::conductor::Series;
    use crate::circuit::units::Awg;

    fn at(rated: f64, ambient: f64, engine_space: bool, bundled: u32) -> Surroundings {
        let insulation = Insulation::rated(Celsius(rated)).expect("a rating");
        Surroundings { insulation, ambient: Celsius(ambient), engine_space, bundled }
    }

    fn twelve() -> Conductor {
        Awg::new(12).and_then(|gauge| Conductor::gauged(Series::Awg, gauge)).expect("12 AWG")
    }

    #[test]
    fn insulation_between_two_columns_uses_the_lower() {
        let column = |rated| Insulation::rated(Celsius(rated)).map(|it| it.column().0);
        assert_eq!(column(59.0), None);
        assert_eq!(
            [60.0, 85.0, 100.0, 105.0, 150.0, 250.0].map(column),
            [60.0, 80.0, 90.0, 105.0, 125.0, 200.0].map(Some)
        );
    }

    #[test]
    fn the_root_of_what_is_left_is_note_1_of_the_table() {
        for rated in [60.0, 75.0, 80.0, 90.0, 105.0, 125.0] {
            let surroundings = at(rated, 50.0, false, 1);
            let note = surroundings.insulation.row().engine_space;
            assert!((surroundings.heat().0 - note).abs() < 0.0076, "{rated}: {}", surroundings.heat().0);
        }
    }

    #[test]
    fn an_engine_space_is_at_least_as_hot_as_the_table_says() {
        assert_eq!(at(105.0, 20.0, true, 1).ambient(), ENGINE_SPACE);
        assert_eq!(at(105.0, 70.0, true, 1).ambient(), Celsius(70.0));
        assert!(at(105.0, 70.0, true, 1).heat().0 < 0.85);
        assert_eq!(at(60.0, 65.0, false, 1).heat(), Share(0.0));
        assert_eq!(at(60.0, -10.0, false, 1).heat(), Share(1.0));
    }

    #[test]
    fn full_current_warms_to_the_rating_and_half_of_it_a_quarter_as_much() {
        let free = at(105.0, 30.0, false, 1);
        assert_eq!(free.temperature(twelve(), Amps(45.0)), Celsius(105.0));
        assert_eq!(free.temperature(twelve(), Amps(22.5)), Celsius(30.0 + 75.0 / 4.0));
        let hot = at(105.0, 60.0, false, 5);
        let warmed = hot.temperature(twelve(), hot.ampacity(twelve()));
        assert!((warmed.0 - 105.0).abs() < 1e-9, "{warmed:?}");
    }
}
