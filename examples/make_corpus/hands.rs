//! The people of the invented shop and their habits: how each spells a colour, how far each claims,
//! what each bothers to write down. Owns who writes how; `spelling` does the writing.

use crate::note::Day;

/// How a colour is put down.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Colours {
    /// violet/white
    Slash,
    /// violet with white tracer
    Wordy,
    /// violet w/ white stripe
    Short,
    /// PPL/WHT
    Caps,
    /// PPL-WHT
    Dash,
    /// ppl/wht
    Small,
    /// VT/WH
    Iec,
}

/// How years are put down.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Years {
    /// 2015-2019
    Full,
    /// 15-19
    Short,
    /// 2015-19
    Half,
}

/// How far a claim reaches.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Claim {
    Exact,
    Pair,
    Generation,
    Open,
    Wide,
}

/// What is written about the vehicle that was looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Seen {
    Full,
    Year,
    Vin,
    Nothing,
}

/// How a remark sounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Voice {
    Sentence,
    Terse,
    Chatty,
}

/// One hand of the shop.
#[derive(Debug)]
pub struct Hand {
    pub signs: &'static [&'static str],
    /// First and last month: year times twelve plus month.
    pub here: (u16, u16),
    pub colours: &'static [(Colours, usize)],
    pub american: bool,
    pub years: Years,
    /// Share of place names written in full.
    pub formal: usize,
    /// Share of measures written in metric units.
    pub metric: usize,
    pub claims: &'static [(Claim, usize)],
    /// Share of differences that this hand knows to qualify.
    pub careful: usize,
    pub seen: &'static [(Seen, usize)],
    pub remarks: usize,
    pub voice: Voice,
    /// metered, fitted, inspected
    pub basis: [usize; 3],
    pub often: usize,
}

impl Hand {
    /// Whether this hand was in the shop on `day`.
    pub fn works_on(&self, day: Day) -> bool {
        (self.here.0..=self.here.1).contains(&day.months())
    }
}

const fn month(year: u16, month: u16) -> u16 {
    year * 12 + month
}

/// Everybody who works on vehicles; the counter writes only what it was told and what a diagram says.
pub static HANDS: &[Hand] = &[
    Hand {
        signs: &["R. Okafor", "R. Okafor", "r. okafor", "R Okafor"],
        here: (month(2019, 1), month(2025, 11)),
        colours: &[(Colours::Slash, 9), (Colours::Short, 1)],
        american: false,
        years: Years::Full,
        formal: 85,
        metric: 60,
        claims: &[(Claim::Exact, 3), (Claim::Generation, 5), (Claim::Pair, 2), (Claim::Open, 1)],
        careful: 80,
        seen: &[(Seen::Full, 8), (Seen::Year, 1), (Seen::Vin, 1)],
        remarks: 70,
        voice: Voice::Sentence,
        basis: [7, 2, 1],
        often: 7,
    },
    Hand {
        signs: &["D. Pruett", "D. Pruett", "D PRUETT"],
        here: (month(2019, 1), month(2023, 9)),
        colours: &[(Colours::Caps, 7), (Colours::Dash, 2), (Colours::Small, 1)],
        american: true,
        years: Years::Short,
        formal: 20,
        metric: 3,
        claims: &[(Claim::Wide, 4), (Claim::Generation, 5), (Claim::Open, 2)],
        careful: 12,
        seen: &[(Seen::Year, 7), (Seen::Nothing, 2), (Seen::Full, 1)],
        remarks: 50,
        voice: Voice::Terse,
        basis: [5, 4, 1],
        often: 8,
    },
    Hand {
        signs: &["M. Haugli"],
        here: (month(2020, 3), month(2025, 11)),
        colours: &[(Colours::Iec, 9), (Colours::Slash, 1)],
        american: false,
        years: Years::Half,
        formal: 60,
        metric: 100,
        claims: &[(Claim::Exact, 4), (Claim::Pair, 2), (Claim::Generation, 4)],
        careful: 70,
        seen: &[(Seen::Vin, 4), (Seen::Full, 6)],
        remarks: 45,
        voice: Voice::Terse,
        basis: [8, 1, 1],
        often: 7,
    },
    Hand {
        signs: &["J. Amadi", "J. Amadi", "j amadi"],
        here: (month(2020, 1), month(2025, 11)),
        colours: &[(Colours::Small, 7), (Colours::Short, 3)],
        american: false,
        years: Years::Short,
        formal: 35,
        metric: 45,
        claims: &[(Claim::Exact, 1), (Claim::Generation, 5), (Claim::Open, 3), (Claim::Wide, 2)],
        careful: 30,
        seen: &[(Seen::Year, 5), (Seen::Full, 4), (Seen::Vin, 1)],
        remarks: 55,
        voice: Voice::Terse,
        basis: [5, 4, 1],
        often: 6,
    },
    Hand {
        signs: &["T. Szalai"],
        here: (month(2022, 2), month(2025, 11)),
        colours: &[(Colours::Wordy, 6), (Colours::Short, 4)],
        american: false,
        years: Years::Full,
        formal: 70,
        metric: 80,
        claims: &[(Claim::Exact, 7), (Claim::Pair, 2), (Claim::Generation, 2)],
        careful: 45,
        seen: &[(Seen::Full, 8), (Seen::Year, 2)],
        remarks: 80,
        voice: Voice::Chatty,
        basis: [4, 1, 5],
        often: 6,
    },
    Hand {
        signs: &["K. Oyelaran"],
        here: (month(2021, 10), month(2022, 4)),
        colours: &[(Colours::Dash, 5), (Colours::Slash, 3), (Colours::Wordy, 1)],
        american: false,
        years: Years::Half,
        formal: 50,
        metric: 60,
        claims: &[(Claim::Exact, 3), (Claim::Wide, 2), (Claim::Generation, 4)],
        careful: 25,
        seen: &[(Seen::Year, 4), (Seen::Full, 4), (Seen::Nothing, 1)],
        remarks: 40,
        voice: Voice::Sentence,
        basis: [6, 2, 2],
        often: 16,
    },
    Hand {
        signs: &["G. Lindqvist"],
        here: (month(2019, 1), month(2020, 6)),
        colours: &[(Colours::Slash, 3), (Colours::Caps, 2), (Colours::Short, 3)],
        american: true,
        years: Years::Short,
        formal: 45,
        metric: 10,
        claims: &[(Claim::Wide, 3), (Claim::Generation, 5), (Claim::Exact, 1)],
        careful: 0,
        seen: &[(Seen::Year, 6), (Seen::Nothing, 3)],
        remarks: 45,
        voice: Voice::Terse,
        basis: [5, 4, 1],
        often: 7,
    },
];

/// Who stands at the counter and writes down what was said.
pub const COUNTER: &str = "S. Brandvold";
