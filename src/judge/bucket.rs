//! A bucket: everything that is known of one point of one model, folded so that each distinct thing
//! stands in it once. It is what a lookup reads, and all that a judgement needs.
//!
//! Owns the folded form and how claims in it compare. It is derived from the notes and can be rebuilt from
//! them in the order of their numbers. How it is stored is the book's business.

use serde::{Deserialize, Serialize};

use crate::catalogue::{Answers, Catalogue, Point};
use crate::decision::{DecisionId, Kind};
use crate::note::{Basis, NoteId};
use crate::value::Relation;
use crate::vehicle::{Scope, Vehicle};

/// What a compared field is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Role {
    /// Says which instance a note speaks of.
    Identifies,
    /// Has to agree for one instance.
    Agrees,
    /// Has to agree, but only where both notes name the same connector.
    AgreesWithinConnector,
    /// The connector, where it is not compared by itself.
    Connector,
}

/// The distinct values of one compared field, with how each pair of them relates.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Column {
    /// The name of the field.
    pub field: String,
    /// What it is compared for.
    pub role: Role,
    /// Canonical texts, in the order in which they came.
    pub values: Vec<String>,
    /// For each pair of values `i < j`, at `j * (j - 1) / 2 + i`, how `i` relates to `j`.
    relations: Vec<u8>,
}

/// The compared values of one claim: for each column 0 where nothing is given, else the number of its
/// value plus one.
pub type Claim = Vec<u16>;

/// One note, folded.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Entry {
    /// Its number within the bucket.
    pub number: u32,
    /// Its id.
    pub id: NoteId,
    /// Its compared values: a number into `Bucket::claims`.
    pub claim: u32,
    /// Its other typed values: a number into `Bucket::extras`.
    pub extra: u32,
    /// The vehicles that it holds for: a number into `Bucket::scopes`. What it claimed before a decision narrowed
    /// it, `Bucket::claimed` knows.
    pub scope: u32,
    /// The vehicle it was seen on: 0 for none, else a number into `Bucket::seen` plus one.
    pub seen: u32,
    /// Who wrote it: a number into `Bucket::people`.
    pub person: u32,
    /// How the writer knows.
    pub basis: Basis,
    /// When, in days since 1970-01-01.
    pub on: i32,
    /// Whether it says something in prose, of which nothing is folded.
    pub prose: bool,
    /// 0 while it stands; `RETIRED` where a decision retired it; else the entry that replaced it, plus one.
    pub replaced_by: u32,
}

/// Stands in `Entry::replaced_by` where a decision, and no other note, took a note away.
pub const RETIRED: u32 = u32::MAX;

impl Entry {
    /// Whether the note still stands.
    #[must_use]
    pub fn is_live(&self) -> bool {
        self.replaced_by == 0
    }

    /// Whether its writer stood before a vehicle that is named.
    #[must_use]
    pub fn is_observation(&self) -> bool {
        self.basis.is_observation() && self.seen != 0
    }

    /// One number for the hand and the seen vehicle; the hand comes first.
    #[must_use]
    pub fn sighting(&self) -> u64 {
        u64::from(self.person) << 32 | u64::from(self.seen)
    }

    /// For putting the strongest first: by basis, then the latest, then by id.
    #[must_use]
    pub fn strength(&self) -> u128 {
        let id = self.id.0.iter().fold(0, |id, byte| id << 8 | u128::from(*byte));
        let day = u128::from(self.on.abs_diff(i32::MAX));
        (self.basis as u128) << 112 | day << 80 | id
    }

    /// Whether a decision retired it.
    #[must_use]
    pub fn is_retired(&self) -> bool {
        self.replaced_by == RETIRED
    }

    /// The entry that replaced it.
    #[must_use]
    pub fn replacer(&self) -> Option<usize> {
        (!self.is_live() && !self.is_retired()).then(|| self.replaced_by as usize - 1)
    }
}

/// A decision as a bucket knows it: what it does to the notes here is done to the entries already.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Decided {
    /// Its id.
    pub id: DecisionId,
    /// What kind it is.
    pub kind: Kind,
    /// When, in days since 1970-01-01.
    pub day: i32,
    /// Whether it counts: it is not taken back, and none opposes it.
    pub counts: bool,
    /// How many notes it is about, those of other points and those that are not in the book among them.
    pub notes: u32,
    /// The notes of it that are here, ascending: numbers into `Bucket::entries`, each with the place that it is of
    /// where the decision tells places apart, else 0.
    pub entries: Vec<(u32, u16)>,
}

impl Decided {
    /// Whether all its notes are here: one about a cavity has notes of other points, too.
    #[must_use]
    pub fn is_of_one_point(&self) -> bool {
        self.notes as usize == self.entries.len()
    }
}

/// The field that gives a cavity its meaning.
pub(super) const CONNECTOR: &str = "connector";

/// Everything that is known of one point of one model.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Bucket {
    /// Whether a vehicle has several answers here.
    pub several: bool,
    /// The compared fields.
    pub columns: Vec<Column>,
    /// Each distinct combination of compared values.
    pub claims: Vec<Claim>,
    /// The names of the other typed fields that occur.
    pub extra_fields: Vec<String>,
    /// Each distinct combination of other typed values: numbers into `extra_fields`, canonical texts.
    pub extras: Vec<Vec<(u16, String)>>,
    /// Each distinct scope; those that notes claim first, then those to which decisions narrowed notes.
    pub scopes: Vec<Scope>,
    /// Each distinct seen vehicle.
    pub seen: Vec<Vehicle>,
    /// Each person, as first written.
    pub people: Vec<String>,
    /// The notes, by number.
    pub entries: Vec<Entry>,
    /// The scopes that narrowed notes claimed: numbers into `entries`, ascending, and into `scopes`.
    pub claimed: Vec<(u32, u32)>,
    /// What decisions hold to be right of different places: for each the claims by place.
    pub separate: Vec<Vec<Vec<u32>>>,
    /// The decisions about notes here, by id.
    pub decided: Vec<Decided>,
}

/// How two claims contradict each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Clash {
    /// They can both be true of one vehicle.
    None,
    /// They may speak of one instance, and then cannot both be true.
    Possible,
    /// They speak of one instance and cannot both be true.
    Certain,
}

const RELATIONS: [Relation; 5] =
    [Relation::Same, Relation::FirstFiner, Relation::SecondFiner, Relation::Different, Relation::Unknown];

impl Column {
    fn new(field: &str, role: Role) -> Self {
        Self { field: field.to_owned(), role, values: Vec::new(), relations: Vec::new() }
    }

    /// Adds a value that is not there yet, related to each that is, and returns its number plus one.
    pub fn push(&mut self, text: &str, mut relate: impl FnMut(usize) -> Relation) -> u16 {
        for earlier in 0..self.values.len() {
            self.relations.push(relate(earlier) as u8);
        }
        self.values.push(text.to_owned());
        u16::try_from(self.values.len()).unwrap_or(u16::MAX)
    }

    /// How two cells of this column relate: unknown where one is not given.
    #[must_use]
    pub fn relation(&self, a: u16, b: u16) -> Relation {
        match (usize::from(a), usize::from(b)) {
            (0, _) | (_, 0) => Relation::Unknown,
            (a, b) if a == b => Relation::Same,
            (a, b) if a < b => self.stored(a - 1, b - 1),
            (a, b) => self.stored(b - 1, a - 1).flipped(),
        }
    }

    fn stored(&self, low: usize, high: usize) -> Relation {
        self.relations
            .get(high * (high - 1) / 2 + low)
            .map_or(Relation::Unknown, |at| RELATIONS[usize::from(*at)])
    }

    /// The canonical text of a cell, where one is given.
    #[must_use]
    pub fn text(&self, cell: u16) -> Option<&str> {
        self.values.get(usize::from(cell).wrapping_sub(1)).map(String::as_str)
    }
}

impl Bucket {
    /// An empty bucket of `point`.
    #[must_use]
    pub fn new(catalogue: &Catalogue, point: &Point) -> Self {
        Self {
            several: point.answers == Answers::Several,
            columns: columns(catalogue, point),
            claims: Vec::new(),
            extra_fields: Vec::new(),
            extras: Vec::new(),
            scopes: Vec::new(),
            seen: Vec::new(),
            people: Vec::new(),
            entries: Vec::new(),
            claimed: Vec::new(),
            separate: Vec::new(),
            decided: Vec::new(),
        }
    }

    /// The claim of an entry.
    #[must_use]
    pub fn claim(&self, entry: &Entry) -> &Claim {
        &self.claims[entry.claim as usize]
    }

    /// The scope that an entry holds for.
    #[must_use]
    pub fn scope(&self, entry: &Entry) -> &Scope {
        &self.scopes[entry.scope as usize]
    }

    /// The vehicle on which an entry was seen.
    #[must_use]
    pub fn seen(&self, entry: &Entry) -> Option<&Vehicle> {
        self.seen.get((entry.seen as usize).wrapping_sub(1))
    }

    /// The entries that still stand.
    pub fn live(&self) -> impl Iterator<Item = &Entry> {
        self.entries.iter().filter(|entry| entry.is_live())
    }

    /// Whether a note fills in no field of its point: it has a remark at most, and claims nothing.
    #[must_use]
    pub fn claims_nothing(&self, entry: &Entry) -> bool {
        !entry.prose
            && self.claim(entry).iter().all(|cell| *cell == 0)
            && self.extras[entry.extra as usize].is_empty()
    }

    /// How two cells of one column relate within their claims: a cavity is compared only within one connector.
    #[must_use]
    pub fn cell(&self, column: usize, a: &[u16], b: &[u16]) -> Relation {
        let here = &self.columns[column];
        if here.role == Role::AgreesWithinConnector && !self.one_connector(a, b) {
            return Relation::Unknown;
        }
        here.relation(a[column], b[column])
    }

    fn one_connector(&self, a: &[u16], b: &[u16]) -> bool {
        self.connector().is_some_and(|at| self.columns[at].relation(a[at], b[at]) == Relation::Same)
    }

    /// The column of the connector that gives a cavity its meaning. It may say which instance as well.
    #[must_use]
    pub fn connector(&self) -> Option<usize> {
        self.columns.iter().position(|column| column.field == CONNECTOR)
    }

    /// The columns that have to agree.
    pub fn agreeing(&self) -> impl Iterator<Item = usize> {
        self.with_role(|role| matches!(role, Role::Agrees | Role::AgreesWithinConnector))
    }

    /// The columns that say which instance.
    pub fn identifying(&self) -> impl Iterator<Item = usize> {
        self.with_role(|role| role == Role::Identifies)
    }

    fn with_role(&self, wanted: impl Fn(Role) -> bool) -> impl Iterator<Item = usize> {
        self.columns.iter().enumerate().filter(move |(_, column)| wanted(column.role)).map(|(at, _)| at)
    }

    /// The columns that have to agree and in which the two differ.
    pub fn differing<'a>(&'a self, a: &'a [u16], b: &'a [u16]) -> impl Iterator<Item = usize> + 'a {
        self.agreeing().filter(move |at| self.cell(*at, a, b) == Relation::Different)
    }

    /// Whether the two cannot speak of one instance: some identifying field is different.
    #[must_use]
    pub fn apart(&self, a: &[u16], b: &[u16]) -> bool {
        self.identifying().any(|at| self.cell(at, a, b) == Relation::Different)
    }

    /// How two claims contradict, among the live claims `known` that could be other instances.
    #[must_use]
    pub fn clash(&self, a: &[u16], b: &[u16], known: &[u32]) -> Clash {
        if self.differing(a, b).next().is_none() || self.apart(a, b) {
            return Clash::None;
        }
        if !self.separate.is_empty() && self.is_separated(a, b) {
            return Clash::None;
        }
        if !self.several {
            return Clash::Certain;
        }
        let mut vaguer = None;
        for at in self.identifying() {
            match self.cell(at, a, b) {
                Relation::Same => {}
                Relation::FirstFiner if vaguer != Some(0) => vaguer = Some(1),
                Relation::SecondFiner if vaguer != Some(1) => vaguer = Some(0),
                _ => return Clash::Possible,
            }
        }
        let elsewhere = match vaguer {
            None => false,
            Some(0) => self.fits_another(a, b, known),
            Some(_) => self.fits_another(b, a, known),
        };
        if elsewhere { Clash::Possible } else { Clash::Certain }
    }

    /// Whether a decision holds the two to be right of different places: one says what is said of one place, and
    /// the other what is said of another, in every field in which they differ.
    fn is_separated(&self, a: &[u16], b: &[u16]) -> bool {
        let says = |claim: &[u16], place: &[u32]| {
            place.iter().map(|at| &self.claims[*at as usize]).any(|known| {
                let same = |column| {
                    !matches!(self.cell(column, claim, known), Relation::Different | Relation::Unknown)
                };
                !self.apart(claim, known) && self.differing(a, b).all(same)
            })
        };
        let of = |places: &[Vec<u32>], claim: &[u16]| -> Vec<usize> {
            (0..places.len()).filter(|at| says(claim, &places[*at])).collect()
        };
        self.separate.iter().any(|places| {
            let (here, there) = (of(places, a), of(places, b));
            here.iter().any(|place| there.iter().any(|other| other != place))
        })
    }

    /// Whether the vaguer claim could as well speak of a known instance other than the finer one's.
    fn fits_another(&self, vaguer: &[u16], finer: &[u16], known: &[u32]) -> bool {
        known.iter().map(|at| self.claims[*at as usize].as_slice()).any(|other| {
            self.apart(other, finer)
                && self.identifying().all(|at| {
                    matches!(
                        self.cell(at, vaguer, other),
                        Relation::Same | Relation::SecondFiner | Relation::FirstFiner
                    )
                })
        })
    }

    /// The claims that live entries make, each once, in order.
    #[must_use]
    pub fn live_claims(&self) -> Vec<u32> {
        distinct(self.claims.len(), self.live().map(|entry| entry.claim))
    }

    /// The scopes for which live entries hold, each once.
    pub fn live_scopes(&self) -> impl Iterator<Item = &Scope> {
        let live = distinct(self.scopes.len(), self.live().map(|entry| entry.scope));
        live.into_iter().map(|at| &self.scopes[at as usize])
    }

    /// The claims of these entries, each once, in order.
    #[must_use]
    pub fn claims_of(&self, entries: &[usize]) -> Vec<u32> {
        distinct(self.claims.len(), entries.iter().map(|at| self.entries[*at].claim))
    }

    /// The scopes of these entries, each once, in order.
    #[must_use]
    pub fn scopes_of(&self, entries: &[usize]) -> Vec<u32> {
        distinct(self.scopes.len(), entries.iter().map(|at| self.entries[*at].scope))
    }

    /// Whether `coarse` says nothing that `fine` does not say at least as exactly, in the columns `over`.
    #[must_use]
    pub fn refines(&self, fine: &[u16], coarse: &[u16], over: &[usize]) -> bool {
        over.iter().all(|at| {
            coarse[*at] == 0
                || matches!(self.cell_alone(*at, coarse, fine), Relation::Same | Relation::SecondFiner)
        })
    }

    /// A cell compared by itself; two equal cavities are one text even where no connector is named.
    fn cell_alone(&self, column: usize, a: &[u16], b: &[u16]) -> Relation {
        self.columns[column].relation(a[column], b[column])
    }

    /// The given cells of a claim: field and canonical text, in the order of the columns.
    pub fn texts<'a>(&'a self, claim: &'a [u16]) -> impl Iterator<Item = (&'a str, &'a str)> {
        self.columns
            .iter()
            .zip(claim)
            .filter_map(|(column, cell)| column.text(*cell).map(|text| (column.field.as_str(), text)))
    }
}

/// Numbers below `count`, each once, in order: thousands of notes share some hundreds, and need no sorting.
fn distinct(count: usize, numbers: impl Iterator<Item = u32>) -> Vec<u32> {
    let mut is_there = vec![false; count];
    numbers.for_each(|number| is_there[number as usize] = true);
    (0..).zip(is_there).filter(|(_, is_there)| *is_there).map(|(number, _)| number).collect()
}

/// The compared fields of a point: what identifies, what must agree, and the connector where a cavity must.
fn columns(catalogue: &Catalogue, point: &Point) -> Vec<Column> {
    let name = |field: &usize| &*catalogue.fields[*field].name;
    let connector = point.fields.iter().map(name).find(|field| *field == CONNECTOR);
    let mut columns: Vec<Column> =
        point.identified_by.iter().map(|field| Column::new(name(field), Role::Identifies)).collect();
    for field in point.must_agree.iter().filter(|field| !point.identified_by.contains(field)) {
        let role = match name(field) {
            "cavity" if connector.is_some() => Role::AgreesWithinConnector,
            _ => Role::Agrees,
        };
        columns.push(Column::new(name(field), role));
    }
    if let Some(field) = connector.filter(|field| columns.iter().all(|column| column.field != *field)) {
        columns.push(Column::new(field, Role::Connector));
    }
    columns
}
