//! The vehicles that come to the invented shop: makers, models, their generations, and one vehicle
//! as it stands in the yard. Owns no wiring; that is `truth`.

use crate::dice::Dice;

/// What kind of body a model has, which decides the attributes worth noting.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Body {
    Pickup,
    Van,
    Suv,
    Car,
}

/// One model. All makers and models are invented.
#[derive(Debug)]
pub struct Model {
    pub make: &'static str,
    pub name: &'static str,
    pub body: Body,
    /// First model year of each generation; the last one is still built in 2025.
    pub generations: &'static [u16],
    /// How often one comes in, against the others.
    pub often: usize,
    /// Positions 4 and 5 of an invented VIN.
    pub vds: &'static str,
    pub fuels: &'static [&'static str],
}

const PETROL: &[&str] = &["petrol", "petrol", "diesel"];
const MIXED: &[&str] = &["petrol", "petrol", "hybrid"];
const ELECTRIC: &[&str] = &["electric"];

macro_rules! models {
    ($($make:literal: $(($name:literal, $body:ident, $gens:expr, $often:literal, $vds:literal, $fuels:ident)),+;)+) => {
        &[$($(Model { make: $make, name: $name, body: Body::$body, generations: &$gens, often: $often, vds: $vds, fuels: $fuels }),+),+]
    };
}

/// Every model but the few whose notes are all told one by one, in `stories`.
pub const MODELS: &[Model] = models! {
    "Quillon": ("Fell", Pickup, [2011, 2017], 13, "UF", PETROL), ("Beck", Suv, [2012, 2019], 5, "UB", MIXED),
        ("Scree", Van, [2010, 2016], 4, "US", PETROL), ("Corrie", Car, [2013, 2021], 2, "UC", MIXED);
    "Hathermoor": ("Drover", Pickup, [2009, 2015, 2021], 20, "HD", PETROL), ("Shepherd", Pickup, [2011, 2018], 5, "HS", PETROL),
        ("Packman", Van, [2008, 2014], 5, "HP", PETROL), ("Wether", Suv, [2013, 2020], 5, "HW", MIXED),
        ("Stile", Car, [2012, 2018], 2, "HT", MIXED);
    "Vostrand": ("Kaldur", Suv, [2011, 2018], 10, "VK", MIXED), ("Fjarre", Car, [2014, 2021], 2, "VF", MIXED),
        ("Isbre", Suv, [2019], 3, "VB", ELECTRIC), ("Havnar", Van, [2012, 2019], 3, "VH", PETROL),
        ("Nordlo", Suv, [2010, 2017], 2, "VN", PETROL);
    "Ombrel": ("Cirra", Car, [2011, 2017], 2, "MC", MIXED), ("Nimba", Suv, [2013, 2019], 4, "MN", MIXED),
        ("Cumula", Van, [2010, 2017], 3, "MU", MIXED), ("Velum", Car, [2015, 2022], 1, "MV", MIXED);
    "Kestwick": ("Whinchat", Suv, [2012, 2018], 5, "KW", PETROL), ("Dunlin", Car, [2010, 2016], 2, "KD", PETROL),
        ("Turnstone", Pickup, [2013, 2020], 12, "KT", PETROL), ("Pipit", Car, [2014, 2021], 1, "KP", MIXED),
        ("Knot", Van, [2011, 2018], 2, "KN", PETROL);
    "Zephane": ("Brizo", Suv, [2013, 2019], 3, "ZB", MIXED), ("Calima", Pickup, [2012, 2019], 5, "ZC", PETROL),
        ("Tramon", Car, [2011, 2018], 1, "ZT", MIXED), ("Mistra", Suv, [2016, 2023], 2, "ZM", MIXED);
    "Dravik": ("Oxhaul", Pickup, [2008, 2016], 6, "DX", PETROL), ("Cartage", Van, [2010, 2018], 4, "DC", PETROL),
        ("Tonner", Pickup, [2012, 2020], 4, "DT", PETROL), ("Ledger", Car, [2013, 2020], 1, "DL", PETROL);
    "Ironquay": ("Bollard", Pickup, [2010, 2016, 2022], 17, "YB", PETROL), ("Capstan", Pickup, [2011, 2019], 5, "YC", PETROL),
        ("Hawser", Van, [2012, 2019], 3, "YH", PETROL), ("Fathom", Suv, [2011, 2017], 5, "YF", MIXED),
        ("Tiller", Pickup, [2014, 2021], 4, "YT", PETROL);
    "Pelluna": ("Sorrel", Suv, [2012, 2018], 4, "PS", MIXED), ("Yarrow", Car, [2013, 2019], 2, "PY", MIXED),
        ("Bramble", Suv, [2015, 2022], 3, "PB", MIXED), ("Minoa", Van, [2011, 2019], 2, "PM", PETROL),
        ("Tansy", Car, [2016], 1, "PT", ELECTRIC);
};

impl Model {
    /// Index, first and last model year of the generation that `year` falls into; `None` for the
    /// last year while it is still built.
    pub fn generation(&self, year: u16) -> (usize, u16, Option<u16>) {
        let index = self.generations.iter().rposition(|first| *first <= year).unwrap_or(0);
        (index, self.generations[index], self.generations.get(index + 1).map(|next| next - 1))
    }
}

/// One vehicle in the yard, with everything that could be read off it.
#[derive(Debug, Clone)]
pub struct Vehicle {
    pub year: u16,
    /// Year and month in which it was built.
    pub built: (u16, u16),
    /// Attribute and value, in the order people write them.
    pub attributes: Vec<(&'static str, &'static str)>,
    pub vin: String,
}

impl Vehicle {
    /// The value of `attribute` on this vehicle.
    pub fn has(&self, attribute: &str) -> Option<&'static str> {
        self.attributes.iter().find(|(name, _)| *name == attribute).map(|(_, value)| *value)
    }

    /// A vehicle of `model` as it may come in during the calendar year `now`.
    pub fn draw(model: &Model, now: u16, dice: &mut Dice) -> Self {
        let newest = now.min(2025);
        let oldest = model.generations[0].max(newest.saturating_sub(11));
        let year = newest - dice.between(0, newest - oldest).min(dice.between(0, newest - oldest) + 2);
        let month = dice.between(1, 12);
        let built = if month >= 8 { (year - 1, month) } else { (year, month) };
        let attributes = attributes(model, year, dice);
        let vin = vin(model.vds, year, dice);
        Self { year, built, attributes, vin }
    }
}

fn attributes(model: &Model, year: u16, dice: &mut Dice) -> Vec<(&'static str, &'static str)> {
    let mut list = Vec::new();
    if model.body == Body::Pickup {
        list.push(("cab", dice.weigh(&[("crew", 5), ("extended", 3), ("regular", 2)])));
    }
    list.push(("tow", if dice.chance(52) { "yes" } else { "no" }));
    list.push(("trim", dice.one_of(&["LX", "EX", "Work", "Trail"])));
    list.push(("fuel", dice.one_of(model.fuels)));
    let button = if year >= 2018 { 70 } else { 25 };
    list.push(("start", if dice.chance(button) { "push-button" } else { "key" }));
    let led = if year >= 2019 { 65 } else { 15 };
    list.push(("lamps", if dice.chance(led) { "led" } else { "halogen" }));
    list
}

const YEAR_CODES: &[u8] = b"ABCDEFGHJKLMNPRSTVWXY123456789";

/// An invented VIN: the identifier 9ZZ belongs to no maker; check digit and year code after 49 CFR 565.15.
pub fn vin(codes: &str, year: u16, dice: &mut Dice) -> String {
    let code = char::from(YEAR_CODES[usize::from(year - 1980) % 30]);
    // Position 7 is a letter from 2010 on, a digit before (light vehicles).
    let seventh = if year >= 2010 { dice.one_of(&['A', 'C', 'E']) } else { dice.one_of(&['1', '2', '4']) };
    let serial = 10_000 + dice.below(80_000);
    let body = dice.between(1, 4);
    let open = format!("9ZZ{codes}{body}{seventh}X0{code}90{serial:05}");
    let check = check_digit(&open);
    open.char_indices().map(|(i, c)| if i == 8 { check } else { c }).collect()
}

fn check_digit(vin: &str) -> char {
    const WEIGHTS: [u32; 17] = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2];
    let sum: u32 = vin.chars().zip(WEIGHTS).map(|(c, w)| w * transliterated(c)).sum();
    char::from_digit(sum % 11, 10).unwrap_or('X')
}

fn transliterated(c: char) -> u32 {
    match c {
        'A'..='H' => c as u32 - 'A' as u32 + 1,
        'J'..='R' => c as u32 - 'J' as u32 + 1,
        'S'..='Z' => c as u32 - 'S' as u32 + 2,
        digit => digit.to_digit(10).unwrap_or(0),
    }
}
