//! From words in any order to a vehicle: typing errors forgiven, ambiguity listed, nothing picked silently.
//!
//! Pure but for the names, which it asks of whoever knows them. Codes of a vehicle identification number are
//! read before it comes to this.

use std::collections::BTreeSet;

use crate::language::Language;
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
    /// Names that resemble what was written, where no model was found.
    pub near: Vec<String>,
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
    let words: Vec<&str> = words.iter().flat_map(|word| word.split_whitespace()).collect();
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
            near: Vec::new(),
        },
    };
    reading.exact(names)?;
    reading.rest();
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
            if key.is_empty() || self.is_year(&run) {
                continue;
            }
            let found = names.called(&key)?;
            if !found.is_empty() {
                self.take(run);
                self.resolved.models = self.decided_by_make(found);
                return Ok(());
            }
        }
        Ok(())
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

    fn merge(&mut self, read: &Vehicle) {
        if !read.built().is_all() {
            self.resolved.vehicle = std::mem::take(&mut self.resolved.vehicle).with_built(read.built());
        }
        for (attribute, value) in read.attributes() {
            self.attribute(attribute, value);
        }
    }

    fn attribute(&mut self, attribute: &str, value: &str) {
        match self.resolved.vehicle.attributes().get(attribute) {
            Some(known) if known != value => self
                .resolved
                .problems
                .push(format!("{attribute} is given twice: {known} and {value}; the first counts")),
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
