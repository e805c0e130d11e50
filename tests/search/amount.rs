//! Quantities and threads in the judged set: one size of a field, as people write it in a note and ask for it.
//!
//! The sizes of a field lie further apart than its tolerance, so two of them never mean the same.

use crate::dice::Dice;

/// One size.
#[derive(Debug)]
pub struct Size {
    /// The field of the catalogue.
    pub field: &'static str,
    written: &'static [&'static str],
    asked: &'static [&'static str],
}

const fn size(field: &'static str, written: &'static [&'static str], asked: &'static [&'static str]) -> Size {
    Size { field, written, asked }
}

/// Holes: saws by inch and millimetre of one size lie within 1 mm.
pub static HOLES: [Size; 8] = [
    size(
        "hole",
        &["16 mm", "16mm", "5/8 in", "5/8\""],
        &["16 millimetres", "5/8 inch", "0.625 in", "1.6 cm"],
    ),
    size("hole", &["19 mm", "19mm", "3/4 in", "3/4\""], &["19 millimetres", "3/4 inch", "0.75 in", "1.9 cm"]),
    size(
        "hole",
        &["22 mm", "22mm", "7/8 in", "7/8\""],
        &["22 millimetres", "7/8 inch", "0.875 in", "2.2 cm"],
    ),
    size("hole", &["25 mm", "25mm", "1 in", "1\""], &["25.4 mm", "1 inch", "2.5 cm"]),
    size("hole", &["28 mm", "28.5mm", "1-1/8 in", "1-1/8\""], &["28.6 mm", "1 1/8 inch", "1.125 in"]),
    size("hole", &["32 mm", "32mm", "1-1/4 in", "1-1/4\""], &["3.2 cm", "1 1/4 inch", "1.25 in"]),
    size(
        "hole",
        &["35 mm", "35mm", "1-3/8 in", "1-3/8\""],
        &["35 millimetres", "1 3/8 inch", "1.375 in", "3.5 cm"],
    ),
    size("hole", &["38 mm", "38mm", "1-1/2 in", "1-1/2\""], &["3.8 cm", "1 1/2 inch", "1.5 in"]),
];

pub static RATINGS: [Size; 8] = [
    size("rating", &["5 A", "5A", "5"], &["5 amp", "5 amps"]),
    size("rating", &["10 A", "10A", "10"], &["10 amp", "10 amps"]),
    size("rating", &["15 A", "15A", "15"], &["15 amp", "15 amps"]),
    size("rating", &["20 A", "20A", "20"], &["20 amp", "20 amps"]),
    size("rating", &["25 A", "25A", "25"], &["25 amp", "25 amps"]),
    size("rating", &["30 A", "30A", "30"], &["30 amp", "30 amps"]),
    size("rating", &["40 A", "40A", "40"], &["40 amp", "40 amps"]),
    size("rating", &["60 A", "60A", "60"], &["60 amp", "60 amps"]),
];

/// Lengths of a run: a tenth more or less is the same.
pub static LENGTHS: [Size; 6] = [
    size("length", &["1.8 m", "6 ft"], &["6 feet", "180 cm", "6 foot"]),
    size("length", &["3.0 m", "10 ft"], &["10 feet", "300 cm", "10 foot"]),
    size("length", &["4.3 m", "14 ft"], &["14 feet", "430 cm", "4,3 m"]),
    size("length", &["5.5 m", "18 ft"], &["18 feet", "550 cm", "18 foot"]),
    size("length", &["6.7 m", "22 ft"], &["22 feet", "670 cm", "6,7 m"]),
    size("length", &["8.2 m", "27 ft"], &["27 feet", "820 cm", "27 foot"]),
];

pub static MINUTES: [Size; 6] = [
    size("minutes", &["45 min", "45"], &["45 minutes", "0.75 h", "45 mins"]),
    size("minutes", &["60 min", "60", "1:00"], &["60 minutes", "1 hour"]),
    size("minutes", &["90 min", "90", "1:30", "1h30"], &["1.5 hours", "90 minutes"]),
    size("minutes", &["120 min", "120", "2:00"], &["2 hours", "120 minutes"]),
    size("minutes", &["150 min", "150", "2:30", "2h30"], &["2.5 hours", "150 minutes"]),
    size("minutes", &["210 min", "210", "3:30", "3h30"], &["3.5 hours", "210 minutes"]),
];

/// 1 lb-ft is 1.3558 N·m (NIST SP 811).
pub static TORQUES: [Size; 5] = [
    size("torque", &["8 Nm", "8 N·m", "6 lb-ft"], &["6 ft-lb", "8 newton metres", "6 ft lbs"]),
    size("torque", &["11 Nm", "11 N·m", "8 lb-ft"], &["8 ft-lb", "11 newton metres", "8 ft lbs"]),
    size("torque", &["15 Nm", "15 N·m", "11 lb-ft"], &["11 ft-lb", "15 newton metres", "11 ft lbs"]),
    size("torque", &["20 Nm", "20 N·m", "15 lb-ft"], &["15 ft-lb", "20 newton metres", "15 ft lbs"]),
    size("torque", &["27 Nm", "27 N·m", "20 lb-ft"], &["20 ft-lb", "27 newton metres", "20 ft lbs"]),
];

/// AWG by the formula of ASTM B258; the areas are those of its table.
pub static SECTIONS: [Size; 6] = [
    size("section", &["18 AWG", "18 ga"], &["18 gauge", "0.82 mm2"]),
    size("section", &["16 AWG", "16 ga"], &["16 gauge", "1.31 mm2"]),
    size("section", &["14 AWG", "14 ga"], &["14 gauge", "2.08 mm2"]),
    size("section", &["12 AWG", "12 ga"], &["12 gauge", "3.31 mm2"]),
    size("section", &["10 AWG", "10 ga"], &["10 gauge", "5.26 mm2"]),
    size("section", &["8 AWG", "8 ga"], &["8 gauge", "8.37 mm2"]),
];

/// Threads: M8 and 5/16 are different studs although nearly one size.
pub static STUDS: [Size; 5] = [
    size("stud", &["M6"], &["m6", "M6"]),
    size("stud", &["M8"], &["m8", "M8"]),
    size("stud", &["M10"], &["m10", "M10"]),
    size("stud", &["5/16-18"], &["5/16-18", "5/16-18 UNC"]),
    size("stud", &["3/8-16"], &["3/8-16", "3/8-16 UNC"]),
];

impl Size {
    pub fn written(&self, dice: &mut Dice) -> &'static str {
        dice.one_of(self.written)
    }

    /// In another unit or spelling than notes have, now and then in one that they have.
    pub fn asked(&self, dice: &mut Dice) -> &'static str {
        if dice.happens(0.75) { dice.one_of(self.asked) } else { dice.one_of(&self.written[..1]) }
    }

    pub fn is(&self, other: &Self) -> bool {
        std::ptr::eq(self, other)
    }
}
