//! Folding notes into a bucket, in the order of their numbers, and settling which notes replace others. What
//! decisions do to them is done last, by `decided`.
//!
//! Reading and comparing values is expensive and the same few recur, so a `Memo` remembers every distinct value
//! and every compared pair. Nothing here decides what contradicts; that is `conflict`.

use foldhash::{HashMap, HashMapExt};

use super::bucket::{Bucket, Entry};
use super::decided::{self, Ruling};
use crate::decision::DecisionId;
use crate::language::Language;
use crate::note::{Basis, NoteId};
use crate::value::{Misread, Relation, Value};
use crate::vehicle::{Scope, Vehicle, names};

/// The number of a distinct thing in a `Memo`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Known(pub u32);

/// Distinct things of one kind, each with a number.
#[derive(Debug)]
struct Things<T> {
    by_text: HashMap<Box<str>, Known>,
    things: Vec<(Box<str>, T)>,
}

impl<T> Default for Things<T> {
    fn default() -> Self {
        Self { by_text: HashMap::new(), things: Vec::new() }
    }
}

impl<T> Things<T> {
    fn put(&mut self, text: &str, thing: impl FnOnce() -> T) -> Known {
        if let Some(known) = self.by_text.get(text) {
            return *known;
        }
        let known = Known(u32::try_from(self.things.len()).unwrap_or(u32::MAX));
        self.by_text.insert(text.into(), known);
        self.things.push((text.into(), thing()));
        known
    }

    fn text(&self, known: Known) -> &str {
        &self.things[known.0 as usize].0
    }

    fn get(&self, known: Known) -> &T {
        &self.things[known.0 as usize].1
    }

    fn get_mut(&mut self, known: Known) -> &mut T {
        &mut self.things[known.0 as usize].1
    }
}

/// Remembers values, scopes, vehicles and people by their canonical texts, and compared pairs.
#[derive(Debug)]
pub struct Memo<'l> {
    /// How texts are read.
    pub language: &'l Language,
    values: Vec<Things<Value>>,
    relations: HashMap<(u16, Known, Known), Relation>,
    scopes: Things<Scope>,
    seen: Things<Vehicle>,
    people: Things<String>,
}

impl<'l> Memo<'l> {
    /// An empty memory.
    #[must_use]
    pub fn new(language: &'l Language) -> Self {
        Self {
            language,
            values: language.catalogue.fields.iter().map(|_| Things::default()).collect(),
            relations: HashMap::new(),
            scopes: Things::default(),
            seen: Things::default(),
            people: Things::default(),
        }
    }

    /// Remembers a value of `field`.
    pub fn value(&mut self, field: usize, value: &Value) -> Known {
        self.values[field].put(&value.to_string(), || value.clone())
    }

    /// Remembers a value of `field` by its canonical text.
    ///
    /// # Errors
    /// A text that is not canonical in this language (a catalogue or lexicon that changed).
    pub fn value_by_text(&mut self, field: usize, text: &str) -> Result<Known, Misread> {
        if let Some(known) = self.values[field].by_text.get(text) {
            return Ok(*known);
        }
        let value = self.language.read(field, text)?;
        Ok(self.values[field].put(text, || value))
    }

    /// The canonical text of a value.
    #[must_use]
    pub fn text(&self, field: usize, known: Known) -> &str {
        self.values[field].text(known)
    }

    /// The value itself.
    #[must_use]
    pub fn parsed(&self, field: usize, known: Known) -> &Value {
        self.values[field].get(known)
    }

    /// How two values of one field relate.
    pub fn relation(&mut self, field: usize, a: Known, b: Known) -> Relation {
        if a == b {
            return Relation::Same;
        }
        if a > b {
            return self.relation(field, b, a).flipped();
        }
        let key = (u16::try_from(field).unwrap_or(u16::MAX), a, b);
        let values = &self.values[field];
        *self.relations.entry(key).or_insert_with(|| values.get(a).relation(values.get(b)))
    }

    /// Remembers a scope.
    pub fn scope(&mut self, scope: &Scope) -> Known {
        let text = scope_text(&scope.years().to_string(), &scope.only_text());
        self.scopes.put(&text, || scope.clone())
    }

    /// Remembers a scope by the canonical texts of its years and its qualifiers.
    pub fn scope_by_texts(&mut self, years: &str, only: &str) -> Known {
        let language = self.language;
        self.scopes.put(&scope_text(years, only), || {
            Scope::parse(years, only, language.vocabulary(), language.year()).unwrap_or_default()
        })
    }

    /// The canonical texts of the years and the qualifiers of a scope.
    #[must_use]
    pub fn scope_texts(&self, known: Known) -> (&str, &str) {
        self.scopes.text(known).split_once('\n').unwrap_or_default()
    }

    /// A remembered scope.
    #[must_use]
    pub fn scope_of(&self, known: Known) -> &Scope {
        self.scopes.get(known)
    }

    /// Remembers a seen vehicle by its canonical text.
    pub fn seen(&mut self, text: &str, vehicle: impl FnOnce() -> Vehicle) -> Known {
        self.seen.put(text, vehicle)
    }

    /// A remembered vehicle with its canonical text.
    #[must_use]
    pub fn seen_of(&self, known: Known) -> (&str, &Vehicle) {
        (self.seen.text(known), self.seen.get(known))
    }

    /// Remembers a person by name; the best spelling is kept.
    pub fn person(&mut self, name: &str) -> Known {
        let known = self.people.put(&names::fold(name), || name.to_owned());
        let kept = self.people.get_mut(known);
        *kept = names::better_spelling(kept, name).to_owned();
        known
    }

    /// The key and the name of a remembered person.
    #[must_use]
    pub fn person_of(&self, known: Known) -> (&str, &str) {
        (self.people.text(known), self.people.get(known))
    }
}

/// The text under which a scope is remembered.
fn scope_text(years: &str, only: &str) -> String {
    [years, only].join("\n")
}

/// A note as it goes into a bucket: everything by its number in a `Memo`.
#[derive(Debug, Clone, Copy)]
pub struct Fact<'a> {
    /// Its number within the bucket.
    pub number: u32,
    /// Its id.
    pub id: NoteId,
    /// Typed values, prose left out: numbers of fields and of values, sorted by the names of the fields.
    pub values: &'a [(u16, Known)],
    /// Whether it says something in prose.
    pub prose: bool,
    /// The claimed vehicles.
    pub scope: Known,
    /// The seen vehicle.
    pub seen: Option<Known>,
    /// Who.
    pub person: Known,
    /// How the writer knows.
    pub basis: Basis,
    /// When, in days since 1970-01-01.
    pub on: i32,
}

/// A bucket being folded, with the numbers that its parts have in the memo.
#[derive(Debug)]
pub struct Folding {
    bucket: Bucket,
    column_of: Vec<Option<usize>>,
    column_values: Vec<HashMap<Known, u16>>,
    column_known: Vec<Vec<Known>>,
    claims: HashMap<Vec<u16>, u32>,
    extras: HashMap<Vec<(u16, Known)>, u32>,
    extra_fields: HashMap<u16, u16>,
    scopes: HashMap<Known, u32>,
    seen: HashMap<Known, u32>,
    people: HashMap<Known, u32>,
    decided: Option<Vec<DecisionId>>,
    /// The compared values of the note at hand.
    claim: Vec<u16>,
    /// Its other values.
    extra: Vec<(u16, Known)>,
}

impl Folding {
    /// Starts from an empty bucket of the point with this number in the catalogue.
    #[must_use]
    pub fn new(language: &Language, point: usize) -> Self {
        let catalogue = &language.catalogue;
        let bucket = Bucket::new(catalogue, &catalogue.points[point]);
        let mut column_of = vec![None; catalogue.fields.len()];
        for field in &*catalogue.points[point].fields {
            let name = &catalogue.fields[*field].name;
            column_of[*field] = bucket.columns.iter().position(|column| column.field == *name);
        }
        let columns = bucket.columns.len();
        Self {
            bucket,
            column_of,
            column_values: vec![HashMap::new(); columns],
            column_known: vec![Vec::new(); columns],
            claims: HashMap::new(),
            extras: HashMap::new(),
            extra_fields: HashMap::new(),
            scopes: HashMap::new(),
            seen: HashMap::new(),
            people: HashMap::new(),
            decided: None,
            claim: Vec::new(),
            extra: Vec::new(),
        }
    }

    /// Takes up a bucket that was folded before.
    ///
    /// # Errors
    /// A stored text that this language does not read: the bucket has to be rebuilt from the notes.
    pub fn resume(mut bucket: Bucket, memo: &mut Memo<'_>, point: usize) -> Result<Self, Misread> {
        let known = bucket.decided.iter().map(|decided| decided.id).collect();
        decided::undo(&mut bucket);
        let mut folding = Self::new(memo.language, point);
        folding.decided = Some(known);
        for (at, column) in bucket.columns.iter().enumerate() {
            let field = memo.language.catalogue.field(&column.field).unwrap_or_default();
            for (number, text) in column.values.iter().enumerate() {
                let known = memo.value_by_text(field, text)?;
                folding.column_values[at].insert(known, u16::try_from(number + 1).unwrap_or(u16::MAX));
                folding.column_known[at].push(known);
            }
        }
        for (number, claim) in bucket.claims.iter().enumerate() {
            folding.claims.insert(claim.clone(), number as u32);
        }
        for (number, name) in bucket.extra_fields.iter().enumerate() {
            let field = memo.language.catalogue.field(name).unwrap_or_default();
            folding.extra_fields.insert(field as u16, number as u16);
        }
        for (number, extra) in bucket.extras.iter().enumerate() {
            let mut key = Vec::with_capacity(extra.len());
            for (name, text) in extra {
                let field = memo
                    .language
                    .catalogue
                    .field(&bucket.extra_fields[usize::from(*name)])
                    .unwrap_or_default();
                key.push((field as u16, memo.value_by_text(field, text)?));
            }
            folding.extras.insert(key, number as u32);
        }
        for (number, scope) in bucket.scopes.iter().enumerate() {
            folding.scopes.insert(memo.scope(scope), number as u32);
        }
        for (number, seen) in bucket.seen.iter().enumerate() {
            folding.seen.insert(memo.seen(&seen.to_string(), || seen.clone()), number as u32);
        }
        for (number, person) in bucket.people.iter().enumerate() {
            folding.people.insert(memo.person(person), number as u32);
        }
        folding.bucket = bucket;
        Ok(folding)
    }

    /// The bucket as folded so far.
    #[must_use]
    pub fn bucket(&self) -> &Bucket {
        &self.bucket
    }

    /// The decisions about the notes that were folded before; `None` where it was begun anew.
    #[must_use]
    pub fn decided(&self) -> Option<&[DecisionId]> {
        self.decided.as_deref()
    }

    /// Adds a note. Notes come in the order of their numbers; the caller knows that the id is new.
    pub fn push(&mut self, fact: &Fact<'_>, memo: &mut Memo<'_>) {
        let (claim, extra) = self.values(fact, memo);
        let bucket = &mut self.bucket;
        let scope =
            number_of(&mut self.scopes, fact.scope, &mut bucket.scopes, || memo.scope_of(fact.scope).clone());
        let seen = fact.seen.map_or(0, |seen| {
            1 + number_of(&mut self.seen, seen, &mut bucket.seen, || memo.seen_of(seen).1.clone())
        });
        let person = number_of(&mut self.people, fact.person, &mut bucket.people, || {
            memo.person_of(fact.person).1.to_owned()
        });
        bucket.entries.push(Entry {
            number: fact.number,
            id: fact.id,
            claim,
            extra,
            scope,
            seen,
            person,
            basis: fact.basis,
            on: fact.on,
            prose: fact.prose,
            replaced_by: 0,
        });
    }

    fn values(&mut self, fact: &Fact<'_>, memo: &mut Memo<'_>) -> (u32, u32) {
        let mut claim = std::mem::take(&mut self.claim);
        claim.clear();
        claim.resize(self.bucket.columns.len(), 0);
        let mut extra = std::mem::take(&mut self.extra);
        extra.clear();
        for (field, known) in fact.values {
            match self.column_of[usize::from(*field)] {
                Some(column) => claim[column] = self.cell(column, usize::from(*field), *known, memo),
                None => extra.push((*field, *known)),
            }
        }
        let bucket = &mut self.bucket;
        let claim_number = match self.claims.get(&claim) {
            Some(number) => *number,
            None => number_of(&mut self.claims, claim.clone(), &mut bucket.claims, || claim.clone()),
        };
        let (fields, names) = (&mut self.extra_fields, &mut bucket.extra_fields);
        let told = |(field, known): &(u16, Known)| {
            (extra_field(fields, names, *field, memo), memo.text(usize::from(*field), *known).to_owned())
        };
        let extra_number = match self.extras.get(&extra) {
            Some(number) => *number,
            None => number_of(&mut self.extras, extra.clone(), &mut bucket.extras, || {
                extra.iter().map(told).collect()
            }),
        };
        (self.claim, self.extra) = (claim, extra);
        (claim_number, extra_number)
    }

    fn cell(&mut self, column: usize, field: usize, known: Known, memo: &mut Memo<'_>) -> u16 {
        if let Some(number) = self.column_values[column].get(&known) {
            return *number;
        }
        let earlier = &self.column_known[column];
        let text = memo.text(field, known).to_owned();
        let number = self.bucket.columns[column].push(&text, |at| memo.relation(field, earlier[at], known));
        self.column_values[column].insert(known, number);
        self.column_known[column].push(known);
        number
    }

    /// Settles which notes are replaced, and gives the bucket back.
    #[must_use]
    pub fn finish(mut self) -> Bucket {
        settle_replaced(&mut self.bucket);
        self.bucket
    }

    /// The same, with what decisions about its notes do to them.
    #[must_use]
    pub fn finish_with(self, rulings: &[Ruling], memo: &mut Memo<'_>) -> Bucket {
        let mut bucket = self.finish();
        decided::apply(&mut bucket, rulings, |years, only| {
            let known = memo.scope_by_texts(years, only);
            memo.scope_of(known).clone()
        });
        bucket
    }
}

fn number_of<K: std::hash::Hash + Eq, T>(
    numbers: &mut HashMap<K, u32>,
    key: K,
    list: &mut Vec<T>,
    make: impl FnOnce() -> T,
) -> u32 {
    *numbers.entry(key).or_insert_with(|| {
        list.push(make());
        (list.len() - 1) as u32
    })
}

fn extra_field(numbers: &mut HashMap<u16, u16>, names: &mut Vec<String>, field: u16, memo: &Memo<'_>) -> u16 {
    *numbers.entry(field).or_insert_with(|| {
        names.push(memo.language.catalogue.fields[usize::from(field)].name.to_string());
        (names.len() - 1) as u16
    })
}

/// A later note by the same hand on the same seen vehicle replaces an earlier one about the same instance, where
/// it corrects it or says all that the earlier one said. A later note that is silent on something replaces
/// nothing: both stand, as one observation, and nothing is lost.
fn settle_replaced(bucket: &mut Bucket) {
    if bucket.entries.len() < 2 {
        return;
    }
    let seen = bucket.entries.iter().enumerate().filter(|(_, entry)| entry.seen != 0);
    let mut by_hand: Vec<(u32, u32, usize)> =
        seen.map(|(at, entry)| (entry.person, entry.seen, at)).collect();
    by_hand.sort_unstable();
    let mut replaced = Vec::new();
    let of_one = by_hand.chunk_by(|a, b| (a.0, a.1) == (b.0, b.1));
    for notes in of_one.filter(|notes| notes.len() > 1) {
        for (.., earlier) in notes {
            let later = notes.iter().map(|(.., later)| *later);
            let later = later.filter(|later| replaces(bucket, *later, *earlier)).max_by_key(|later| {
                let entry = &bucket.entries[*later];
                (entry.on, entry.id)
            });
            replaced.push((*earlier, later.map_or(0, |later| later as u32 + 1)));
        }
    }
    for (earlier, by) in replaced {
        bucket.entries[earlier].replaced_by = by;
    }
}

fn replaces(bucket: &Bucket, later: usize, earlier: usize) -> bool {
    let (later, earlier) = (&bucket.entries[later], &bucket.entries[earlier]);
    if later.on <= earlier.on {
        return false;
    }
    let (new, old) = (bucket.claim(later), bucket.claim(earlier));
    if bucket.several && !same_instance(bucket, new, old) {
        return false;
    }
    bucket.differing(new, old).next().is_some() || says_all(bucket, later, earlier)
}

fn same_instance(bucket: &Bucket, a: &[u16], b: &[u16]) -> bool {
    bucket.identifying().all(|at| !matches!(bucket.cell(at, a, b), Relation::Different | Relation::Unknown))
}

fn says_all(bucket: &Bucket, later: &Entry, earlier: &Entry) -> bool {
    let compared =
        bucket.claim(earlier).iter().zip(bucket.claim(later)).all(|(old, new)| *old == 0 || *new != 0);
    let others = |entry: &Entry| {
        bucket.extras[entry.extra as usize].iter().map(|(field, _)| *field).collect::<Vec<_>>()
    };
    let new = others(later);
    compared && others(earlier).iter().all(|field| new.contains(field))
}
