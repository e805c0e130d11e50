//! From words in any order to a vehicle: typing errors forgiven, ambiguity listed, nothing picked silently.
//!
//! Pure but for the names, which it asks of whoever knows them. Codes of a vehicle identification number are
//! read before it comes to this.

use std::collections::BTreeSet;

use crate::language::Language;
use crate::value::{Misread, Problem};
use crate::vehicle::names::{fold, nearest};
use crate::vehicle::{ModelYear, Vehicle};

/// A model as the resolver sees it: who knows it, its maker, its name.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Name<I> {
    /// Whatever tells it apart for the asker.
    pub id: I,
    /// The maker.
    pub make: String,
    /// The model.
    pub model: String,
}

/// Where model names come from.
pub trait Names {
    /// What tells a model apart.
    type Id: Clone + Ord;
    /// What can go wrong in asking.
    type Error;

    /// The models whose folded name is `key`.
    ///
    /// # Errors
    /// The names cannot be read.
    fn called(&self, key: &str) -> Result<Vec<Name<Self::Id>>, Self::Error>;

    /// All models.
    ///
    /// # Errors
    /// The names cannot be read.
    fn all(&self) -> Result<Vec<Name<Self::Id>>, Self::Error>;
}

/// What was understood.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Resolved<I> {
    /// The models that are meant: one, or several between which the words do not decide, or none.
    pub models: Vec<Name<I>>,
    /// What is known of the vehicle.
    pub vehicle: Vehicle,
    /// Words that were not understood.
    pub not_understood: Vec<String>,
    /// Words that were read as others: what was written, what it was taken for.
    pub forgiven: Vec<(String, String)>,
    /// What is wrong with words that were understood in part.
    pub problems: Vec<String>,
    /// What is wrong with the year, where words mean one and none can be taken from them.
    pub no_year: Option<Misread>,
    /// What is told of the vehicle in two ways that one vehicle cannot have.
    pub two_ways: Option<Misread>,
    /// Names that resemble what was written, where no model was found.
    pub near: Vec<String>,
    /// The maker that was understood, where no model of it was.
    pub make: Option<String>,
}

/// The most words that one name has.
const LONGEST_NAME: usize = 4;

/// Resolves `words`.
///
/// # Errors
/// The names cannot be read.
pub fn resolve<N: Names>(
    words: &[String],
    language: &Language,
    names: &N,
) -> Result<Resolved<N::Id>, N::Error> {
    let words = words.iter().flat_map(|word| word.split_whitespace());
    let words: Vec<&str> =
        words.map(|word| word.trim_matches([',', ';'])).filter(|word| !word.is_empty()).collect();
    let mut reading = Reading {
        free: vec![true; words.len()],
        words,
        language,
        resolved: Resolved {
            models: Vec::new(),
            vehicle: Vehicle::default(),
            not_understood: Vec::new(),
            forgiven: Vec::new(),
            problems: Vec::new(),
            no_year: None,
            two_ways: None,
            near: Vec::new(),
            make: None,
        },
    };
    reading.exact(names)?;
    reading.rest();
    reading.years();
    if reading.resolved.models.is_empty() {
        reading.forgiving(&names.all()?);
    } else if reading.free.contains(&true) {
        reading.check_make(&names.all()?);
    }
    Ok(reading.finish())
}

struct Reading<'a, I> {
    words: Vec<&'a str>,
    free: Vec<bool>,
    language: &'a Language,
    resolved: Resolved<I>,
}

impl<I: Clone + Ord> Reading<'_, I> {
    /// Runs of free words, the longest first.
    fn runs(&self) -> Vec<std::ops::Range<usize>> {
        let mut runs = Vec::new();
        for length in (1..=LONGEST_NAME.min(self.words.len())).rev() {
            runs.extend((0..=self.words.len() - length).map(|start| start..start + length));
        }
        runs.retain(|run| self.free[run.clone()].iter().all(|free| *free));
        runs
    }

    fn text(&self, run: std::ops::Range<usize>) -> String {
        self.words[run].join(" ")
    }

    fn take(&mut self, run: std::ops::Range<usize>) {
        self.free[run].fill(false);
    }

    /// Finds models by their exact names; the maker decides between equal names.
    fn exact<N: Names<Id = I>>(&mut self, names: &N) -> Result<(), N::Error> {
        for run in self.runs() {
            let key = fold(&self.text(run.clone()));
            let more = !self.resolved.models.is_empty();
            if key.is_empty() || self.is_year(&run) || (more && !self.may_be_another(&run)) {
                continue;
            }
            let found = names.called(&key)?;
            if found.is_empty() {
                continue;
            }
            self.take(run);
            let meant = self.decided_by_make(found);
            self.resolved.models.extend(meant);
            // Two models are two vehicles; which is meant is for the person to say.
            if more {
                return Ok(());
            }
        }
        Ok(())
    }

    /// Whether free words may name a second model: they say nothing else of the vehicle.
    fn may_be_another(&self, run: &std::ops::Range<usize>) -> bool {
        let attribute = || self.language.vocabulary().read_words(&self.words[run.clone()]);
        self.free[run.clone()].iter().all(|free| *free) && attribute().found.is_empty()
    }

    /// A lone year is a year, not a model that is called like one, unless another year stands beside it.
    fn is_year(&self, run: &std::ops::Range<usize>) -> bool {
        let year = |word: &str| ModelYear::parse(word, self.language.year()).is_ok();
        run.len() == 1
            && year(self.words[run.start])
            && self.words.iter().filter(|word| year(word)).count() == 1
    }

    fn decided_by_make(&mut self, found: Vec<Name<I>>) -> Vec<Name<I>> {
        for run in self.runs() {
            let key = fold(&self.text(run.clone()));
            let of_make: Vec<Name<I>> =
                found.iter().filter(|name| fold(&name.make) == key).cloned().collect();
            if !of_make.is_empty() {
                self.take(run);
                return of_make;
            }
        }
        found
    }

    /// Reads what is left: the year, attributes, `name=value`.
    fn rest(&mut self) {
        let left: Vec<usize> = (0..self.words.len()).filter(|at| self.free[*at]).collect();
        for at in left {
            self.year_or_assignment(at);
        }
        let left: Vec<usize> = (0..self.words.len()).filter(|at| self.free[*at]).collect();
        if left.is_empty() {
            return;
        }
        let words: Vec<&str> = left.iter().map(|at| self.words[*at]).collect();
        for found in self.language.vocabulary().read_words(&words).found {
            self.attribute(&found.attribute, &found.value);
            for at in &left[found.words] {
                self.free[*at] = false;
            }
        }
    }

    fn year_or_assignment(&mut self, at: usize) {
        let (word, today) = (self.words[at], self.language.year());
        if word.contains('=') {
            match Vehicle::parse_seen(word, self.language.vocabulary(), today) {
                Ok(read) => {
                    self.free[at] = false;
                    self.merge(&read);
                }
                Err(misread) => {
                    self.free[at] = false;
                    self.resolved.problems.push(misread.message);
                }
            }
        } else if let Ok(year) = ModelYear::parse(word, today)
            && self.resolved.vehicle.year().is_none()
        {
            self.free[at] = false;
            self.resolved.vehicle = std::mem::take(&mut self.resolved.vehicle).with_year(year);
        }
    }

    /// Looks at the words that are left for a further year, or for one that could not be read.
    fn years(&mut self) {
        let today = self.language.year();
        let left: Vec<usize> = (0..self.words.len()).filter(|at| self.free[*at]).collect();
        for at in left {
            let word = self.words[at];
            match (ModelYear::parse(word, today), self.resolved.vehicle.year()) {
                (Ok(year), Some(known)) if year == known => self.free[at] = false,
                (Ok(year), Some(known)) => self.two_years(known, year),
                (Err(misread), None) if is_meant_as_year(word) => {
                    self.resolved.no_year.get_or_insert(misread);
                }
                _ => {}
            }
        }
    }

    fn two_years(&mut self, known: ModelYear, other: ModelYear) {
        let message = format!("two model years are given, {known} and {other}; a vehicle has one");
        self.resolved.no_year.get_or_insert(Misread::new(Problem::Ambiguous, message));
    }

    fn merge(&mut self, read: &Vehicle) {
        match (read.year(), self.resolved.vehicle.year()) {
            (Some(year), None) => {
                self.resolved.vehicle = std::mem::take(&mut self.resolved.vehicle).with_year(year);
            }
            (Some(year), Some(known)) if year != known => self.two_years(known, year),
            _ => {}
        }
        if !read.built().is_all() {
            self.resolved.vehicle = std::mem::take(&mut self.resolved.vehicle).with_built(read.built());
        }
        for (attribute, value) in read.attributes() {
            self.attribute(attribute, value);
        }
    }

    fn attribute(&mut self, attribute: &str, value: &str) {
        match self.resolved.vehicle.attributes().get(attribute) {
            Some(known) if known != value => {
                let message = format!("{attribute} is given twice, {known} and {value}; a vehicle has one");
                self.resolved.two_ways.get_or_insert(Misread::new(Problem::Ambiguous, message));
            }
            _ => self.resolved.vehicle = std::mem::take(&mut self.resolved.vehicle).with(attribute, value),
        }
    }

    /// Where the model was found without its maker: a word that is nearly the maker's name is forgiven, and a
    /// maker that has no such model is told.
    fn check_make(&mut self, all: &[Name<I>]) {
        let models = self.resolved.models.clone();
        for run in self.runs() {
            let text = self.text(run.clone());
            let makes: BTreeSet<&str> = models.iter().map(|name| name.make.as_str()).collect();
            let keys: Vec<(String, &str)> = makes.iter().map(|make| (fold(make), *make)).collect();
            if let Some(near) = nearest(&fold(&text), keys.iter().map(|(key, _)| key.as_str())).first() {
                let make = keys.iter().find(|(key, _)| key == near).map_or("", |(_, make)| make).to_owned();
                self.resolved.models.retain(|name| name.make == make);
                self.resolved.forgiven.push((text, make));
                self.take(run);
                return;
            }
            if let Some(stranger) = all.iter().find(|name| fold(&name.make) == fold(&text)) {
                self.resolved
                    .problems
                    .push(format!("{} has no model of that name in this book", stranger.make));
                self.resolved.near =
                    models.iter().map(|name| format!("{} {}", name.make, name.model)).collect();
                self.resolved.models.clear();
                self.take(run);
                return;
            }
        }
    }

    /// Finds the maker exactly or nearly, then the model nearly.
    fn forgiving(&mut self, all: &[Name<I>]) {
        let makes: BTreeSet<(String, &str)> =
            all.iter().map(|name| (fold(&name.make), name.make.as_str())).collect();
        let make = self.forgiven_name(makes.iter().map(|(key, name)| (key.as_str(), *name)));
        let candidates: Vec<&Name<I>> = all
            .iter()
            .filter(|name| make.as_ref().is_none_or(|make| fold(&name.make) == fold(make)))
            .collect();
        let models: BTreeSet<(String, &str)> =
            candidates.iter().map(|name| (fold(&name.model), name.model.as_str())).collect();
        match self.forgiven_name(models.iter().map(|(key, name)| (key.as_str(), *name))) {
            Some(model) => {
                let meant = candidates.iter().filter(|name| fold(&name.model) == fold(&model));
                self.resolved.models = meant.map(|name| (*name).clone()).collect();
            }
            None if make.is_some() => {
                self.resolved.near =
                    candidates.iter().map(|name| format!("{} {}", name.make, name.model)).collect();
                self.resolved.make = make;
            }
            None => {}
        }
    }

    /// The one name that a run of free words is, exactly or nearly; its words are taken.
    fn forgiven_name<'n>(
        &mut self,
        names: impl Iterator<Item = (&'n str, &'n str)> + Clone,
    ) -> Option<String> {
        for exactly in [true, false] {
            for run in self.runs() {
                let text = self.text(run.clone());
                let key = fold(&text);
                let known = if exactly {
                    names.clone().find(|(known, _)| *known == key)
                } else {
                    // Words that only resemble a name must not be ones that mean something themselves.
                    let near = nearest(&key, names.clone().map(|(known, _)| known));
                    match near.as_slice() {
                        [one] => names.clone().find(|(known, _)| known == one),
                        _ => None,
                    }
                };
                if let Some((_, name)) = known {
                    self.take(run);
                    if !exactly {
                        self.resolved.forgiven.push((text, name.to_owned()));
                    }
                    return Some(name.to_owned());
                }
            }
        }
        None
    }

    fn finish(mut self) -> Resolved<I> {
        self.resolved.not_understood =
            (0..self.words.len()).filter(|at| self.free[*at]).map(|at| self.words[at].to_owned()).collect();
        self.resolved.models.sort_by(|a, b| (&a.make, &a.model).cmp(&(&b.make, &b.model)));
        self.resolved
    }
}

/// Whether a word is meant as a year or years although it may not be read as one: four digits of these centuries or of
/// those beside them, the same with a part of a year, or figures with the signs that stand in years. A number such as
/// 3500 is not: models are called like that.
fn is_meant_as_year(word: &str) -> bool {
    const SIGNS: [char; 8] = ['\'', '`', '\u{2018}', '\u{2019}', '-', '/', '+', '\u{2013}'];
    const CENTURIES: [&str; 5] = ["17", "18", "19", "20", "21"];
    let all_digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    let century = |digits: &str| digits.len() == 4 && CENTURIES.iter().any(|first| digits.starts_with(first));
    if let Some((year, part)) = word.split_once('.') {
        return all_digits(year) && century(year) && !part.is_empty() && all_digits(part);
    }
    let pieces: Vec<&str> = word.split(SIGNS).filter(|piece| !piece.is_empty()).collect();
    let short = |digits: &&str| digits.len() == 2;
    !pieces.is_empty()
        && pieces.iter().all(|piece| all_digits(piece) && (century(piece) || short(piece)))
        && (pieces.len() > 1 || century(pieces[0]) || word.contains(SIGNS))
}

#[cfg(test)]
mod tests {
    use std::convert::Infallible;

    use super::*;
    use crate::value::place::DriveSide;

    struct Known;

    impl Names for Known {
        type Id = usize;
        type Error = Infallible;

        fn called(&self, key: &str) -> Result<Vec<Name<usize>>, Infallible> {
            Ok(self.all()?.into_iter().filter(|name| fold(&name.model) == key).collect())
        }

        fn all(&self) -> Result<Vec<Name<usize>>, Infallible> {
            let named = [("Quillon", "Tarn"), ("Hathermoor", "Drover 3500")];
            let name = |(id, (make, model)): (usize, &(&str, &str))| Name {
                id,
                make: (*make).to_owned(),
                model: (*model).to_owned(),
            };
            Ok(named.iter().enumerate().map(name).collect())
        }
    }

    /// The year that the words tell, or what is said of them; then the words that were not understood.
    fn check(words: &str, expected: &str) {
        let today = jiff::civil::date(2025, 6, 1);
        let language = Language::new(None, DriveSide::Lhd, today).expect("the built-in language");
        let Ok(resolved) = resolve(&[words.to_owned()], &language, &Known);
        let year = resolved.vehicle.year().map_or("none".to_owned(), |year| year.to_string());
        let wrong = resolved.no_year.or(resolved.two_ways);
        let told = wrong.map_or(year, |misread| misread.message);
        let left: String = resolved.not_understood.iter().map(|word| format!(" [{word}]")).collect();
        assert_eq!(format!("{told}{left}"), expected, "{words}");
    }

    #[test]
    fn a_vehicle_has_one_year() {
        check("2016 quillon tarn", "2016");
        check("tarn '16 2016 16", "2016");
        check("year=2016 tarn", "2016");
        check("2016 2018 tarn", "two model years are given, 2016 and 2018; a vehicle has one [2018]");
        check("16 tarn 18", "two model years are given, 2016 and 2018; a vehicle has one [18]");
        check("2016 tarn year=2018", "two model years are given, 2016 and 2018; a vehicle has one");
        check("2016 drover 3500", "2016");
    }

    /// One vehicle has one cab; said twice alike, it is said once.
    #[test]
    fn what_is_told_in_two_ways_is_refused() {
        let told = "cab is given twice, crew and regular; a vehicle has one";
        check("2016 tarn cab=crew cab=regular", told);
        check("2016 tarn crew regular", told);
        check("2016 tarn crew cab=crew", "2016");
    }

    #[test]
    fn what_is_meant_as_a_year_and_is_none_is_told() {
        let unread = "write 2016, 2015-2019, 2015- (and later) or -2018 (and earlier)";
        check("16' tarn", &format!("\"16'\" is not read as model years; {unread} [16']"));
        check("tarn", "none");
        check("tarn 2500", "none [2500]");
        check("1800 tarn", "\"1800\" is before 1930, the earliest model year that is read [1800]");
        check("1800", "\"1800\" is before 1930, the earliest model year that is read [1800]");
        let within = "a change within a year is written as only built=2016-05..";
        let told = format!("\"2016.5\" is not read as model years; {unread}; {within} [2016.5]");
        check("2016.5 tarn", &told);
        check("2.5 tarn", "none [2.5]");
        check("2016 tarn 2030", "2016 [2030]");
        check("2016 tarn 12-14", "2016 [12-14]");
    }
}
