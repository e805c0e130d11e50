//! The sizes and pitches that the standards have: ISO 261 for metric threads, ASME B1.1 for inch.
//!
//! Both tables are from memory of the standards' general tables, up to the largest size that a stud
//! or bolt on a vehicle could have. How they are written is the business of `reading`.

use std::fmt;

/// A length in thousandths of a millimetre, exact for every size and pitch. Its text is in
/// millimetres without trailing zeros: `1.25`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) struct Micrometres(pub(super) u32);

impl Micrometres {
    pub(super) fn millimetres(self) -> f64 {
        f64::from(self.0) / 1000.0
    }
}

impl fmt::Display for Micrometres {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.millimetres())
    }
}

/// Diameters with their pitches, coarse first where there is a coarse one; all in micrometres.
/// ISO 261:1998 table 2, first to third choice (from memory).
#[rustfmt::skip]
const METRIC: [(u32, &[u32]); 50] = [
    (1000, &[250, 200]),
    (1100, &[250, 200]),
    (1200, &[250, 200]),
    (1400, &[300, 200]),
    (1600, &[350, 200]),
    (1800, &[350, 200]),
    (2000, &[400, 250]),
    (2200, &[450, 250]),
    (2500, &[450, 350]),
    (3000, &[500, 350]),
    (3500, &[600, 350]),
    (4000, &[700, 500]),
    (4500, &[750, 500]),
    (5000, &[800, 500]),
    (5500, &[500]),
    (6000, &[1000, 750]),
    (7000, &[1000, 750]),
    (8000, &[1250, 1000, 750]),
    (9000, &[1250, 1000, 750]),
    (10000, &[1500, 1250, 1000, 750]),
    (11000, &[1500, 1000, 750]),
    (12000, &[1750, 1500, 1250, 1000]),
    (14000, &[2000, 1500, 1250, 1000]),
    (15000, &[1500, 1000]),
    (16000, &[2000, 1500, 1000]),
    (17000, &[1500, 1000]),
    (18000, &[2500, 2000, 1500, 1000]),
    (20000, &[2500, 2000, 1500, 1000]),
    (22000, &[2500, 2000, 1500, 1000]),
    (24000, &[3000, 2000, 1500, 1000]),
    (25000, &[2000, 1500, 1000]),
    (26000, &[1500]),
    (27000, &[3000, 2000, 1500, 1000]),
    (28000, &[2000, 1500, 1000]),
    (30000, &[3500, 3000, 2000, 1500, 1000]),
    (32000, &[2000, 1500]),
    (33000, &[3500, 3000, 2000, 1500]),
    (35000, &[1500]),
    (36000, &[4000, 3000, 2000, 1500]),
    (38000, &[1500]),
    (39000, &[4000, 3000, 2000, 1500]),
    (40000, &[3000, 2000, 1500]),
    (42000, &[4500, 4000, 3000, 2000, 1500]),
    (45000, &[4500, 4000, 3000, 2000, 1500]),
    (48000, &[5000, 4000, 3000, 2000, 1500]),
    (50000, &[3000, 2000, 1500]),
    (52000, &[5000, 4000, 3000, 2000, 1500]),
    (56000, &[5500, 4000, 3000, 2000, 1500]),
    (60000, &[5500, 4000, 3000, 2000, 1500]),
    (64000, &[6000, 4000, 3000, 2000, 1500]),
];

/// Diameters that ISO 261 has fine pitches for, but no coarse one (from memory).
const WITHOUT_COARSE: [u32; 11] =
    [5500, 15000, 17000, 25000, 26000, 28000, 32000, 35000, 38000, 40000, 50000];

/// A size of ASME B1.1: a number up to 12, or a fraction of an inch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) enum InchSize {
    Number(u8),
    Sixteenths(u8),
}

impl InchSize {
    pub(super) const ONE: Self = Self::Sixteenths(16);

    /// Nominal diameter in ten-thousandths of an inch. Number n is 0.060 in + n times 0.013 in
    /// (ASME B1.1, from memory).
    pub(super) fn ten_thousandths(self) -> u32 {
        match self {
            Self::Number(number) => 600 + 130 * u32::from(number),
            Self::Sixteenths(count) => 625 * u32::from(count),
        }
    }

    /// The nominal diameter, rounded to a micrometre; an inch is 25.4 mm.
    pub(super) fn diameter(self) -> Micrometres {
        Micrometres((self.ten_thousandths() * 254 + 50) / 100)
    }

    pub(super) fn plain(self) -> String {
        match self {
            Self::Number(number) => format!("number {number}"),
            Self::Sixteenths(_) => format!("{self} inch"),
        }
    }
}

impl fmt::Display for InchSize {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let count = match *self {
            Self::Number(number) => return write!(f, "#{number}"),
            Self::Sixteenths(count) => count,
        };
        let (whole, part) = (count / 16, count % 16);
        let divisor = 1 << part.trailing_zeros().min(4);
        match (whole, part) {
            (whole, 0) => write!(f, "{whole}"),
            (0, part) => write!(f, "{}/{}", part / divisor, 16 / divisor),
            (whole, part) => write!(f, "{whole}-{}/{}", part / divisor, 16 / divisor),
        }
    }
}

/// How fine a thread is, as a written series names it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Series {
    Coarse,
    Fine,
    ExtraFine,
}

/// Sizes with their threads per inch in the coarse, fine and extra-fine series; 0 where the series
/// lacks the size. ASME B1.1 (from memory); the constant-pitch series are left out, no stud on a
/// vehicle is known by them.
#[rustfmt::skip]
const INCH: [(InchSize, [u8; 3]); 31] = {
    use InchSize::{Number as N, Sixteenths as S};
    [
        (N(0), [0, 80, 0]), (N(1), [64, 72, 0]), (N(2), [56, 64, 0]), (N(3), [48, 56, 0]),
        (N(4), [40, 48, 0]), (N(5), [40, 44, 0]), (N(6), [32, 40, 0]), (N(8), [32, 36, 0]),
        (N(10), [24, 32, 0]), (N(12), [24, 28, 32]),
        (S(4), [20, 28, 32]), (S(5), [18, 24, 32]), (S(6), [16, 24, 32]), (S(7), [14, 20, 28]),
        (S(8), [13, 20, 28]), (S(9), [12, 18, 24]), (S(10), [11, 18, 24]), (S(11), [0, 0, 24]),
        (S(12), [10, 16, 20]), (S(13), [0, 0, 20]), (S(14), [9, 14, 20]), (S(15), [0, 0, 20]),
        (S(16), [8, 12, 20]), (S(17), [0, 0, 18]), (S(18), [7, 12, 18]), (S(19), [0, 0, 18]),
        (S(20), [7, 12, 18]), (S(21), [0, 0, 18]), (S(22), [6, 12, 18]), (S(23), [0, 0, 18]),
        (S(24), [6, 12, 18]),
    ]
};

/// Every pitch of a metric diameter, the coarse one first; `None` for a diameter outside the series.
pub(super) fn metric_pitches(diameter: Micrometres) -> Option<Vec<Micrometres>> {
    let (_, pitches) = METRIC.iter().find(|(size, _)| *size == diameter.0)?;
    Some(pitches.iter().copied().map(Micrometres).collect())
}

/// The pitches of a metric diameter that a written series names.
pub(super) fn metric_series(diameter: Micrometres, series: Series) -> Vec<Micrometres> {
    let pitches = metric_pitches(diameter).unwrap_or_default();
    let coarse = usize::from(!WITHOUT_COARSE.contains(&diameter.0)).min(pitches.len());
    match series {
        Series::Coarse => pitches[..coarse].to_vec(),
        Series::Fine => pitches[coarse..].to_vec(),
        Series::ExtraFine => Vec::new(),
    }
}

/// The diameters of the series next below and above `diameter`.
pub(super) fn metric_neighbours(diameter: Micrometres) -> (Option<Micrometres>, Option<Micrometres>) {
    let below = METRIC.iter().rev().find(|(size, _)| *size < diameter.0);
    let above = METRIC.iter().find(|(size, _)| *size > diameter.0);
    (below.map(|(size, _)| Micrometres(*size)), above.map(|(size, _)| Micrometres(*size)))
}

/// Every count of threads per inch of a size; `None` for a size outside the series.
pub(super) fn inch_counts(size: InchSize) -> Option<Vec<u8>> {
    let (_, counts) = INCH.iter().find(|(known, _)| *known == size)?;
    Some(counts.iter().copied().filter(|count| *count > 0).collect())
}

/// The count that a written series names for a size.
pub(super) fn inch_series(size: InchSize, series: Series) -> Option<u8> {
    let (_, counts) = INCH.iter().find(|(known, _)| *known == size)?;
    Some(counts[series as usize]).filter(|count| *count > 0)
}

/// The sizes next below and above a diameter in ten-thousandths of an inch.
pub(super) fn inch_neighbours(diameter: u32) -> (Option<InchSize>, Option<InchSize>) {
    let sizes = || INCH.iter().map(|(size, _)| *size);
    let below =
        sizes().filter(|size| size.ten_thousandths() < diameter).max_by_key(|size| size.ten_thousandths());
    let above =
        sizes().filter(|size| size.ten_thousandths() > diameter).min_by_key(|size| size.ten_thousandths());
    (below, above)
}
