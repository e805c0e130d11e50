//! Writes what the files of `schema/` say as constants of the program, each an expression that is read where those stand
//! who know what it means: the lexicon in `src/value/lexicon/builtin.rs`, the catalogue in `src/catalogue.rs`, the phrases of its points in
//! `src/search/phrasebook.rs`, the vocabulary in `src/vehicle/attribute/mod.rs`, the model for doubt in
//! `src/judge/pattern/doubt.rs`.

use std::collections::BTreeMap;
use std::fmt::Debug;

use crate::build::Made;
use crate::constant::Text;
use crate::doubt;
use crate::fold::tokens;
use crate::list::Choices;
use crate::made::{Attribute, Value, Vocabulary};
use crate::names::fold;
use crate::phrases::Node;
use crate::points::{Field, File, Point};
use crate::side::Sides;
use crate::table::{Composition, Concept, ConceptId};

/// The expression for the whole lexicon.
pub fn lexicon(made: &Made) -> String {
    let whole = |(id, way): &(ConceptId, Composition)| format!("({}, {})", number(*id), composition(way));
    let pair = |(from, to): &_| format!("({}, {})", text(from), text(to));
    format!(
        "Made {{ concepts: {}, wholes: {}, phrases: Phrases {{ nodes: {}, words: {} }}, words: Words {{ list: {} }} }}",
        list(&made.concepts, concept),
        list(&made.wholes, whole),
        list(&made.phrases.nodes, node),
        texts(&made.phrases.words),
        list(&made.words.list, pair),
    )
}

/// The expression for the phrases by which points go, sorted, each with the numbers of the points.
pub fn phrases(points: &File, lexicon: &Made) -> String {
    let mut found: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    for (at, (name, point)) in points.point.0.iter().enumerate() {
        for phrase in [name, &point.title].into_iter().chain(&point.aliases) {
            let key = tokens(phrase, &lexicon.words).iter().map(|token| fold(&token.key)).collect();
            let points = found.entry(key).or_default();
            if points.last() != Some(&at) {
                points.push(at);
            }
        }
    }
    let one = |(key, points)| format!("({key:?}, &{points:?})");
    format!("&[{}]", found.iter().map(one).collect::<Vec<_>>().join(",\n"))
}

/// The expression for the constants of the model for doubt: as they are shown to those who look for errors, they are read.
pub fn doubt(file: &doubt::File) -> String {
    format!("{file:?}")
}

/// The expression for the vocabulary of attributes.
pub fn vocabulary(made: &Vocabulary) -> String {
    let value =
        |value: &Value| format!("Value {{ name: {}, plain: {} }}", text(&value.name), text(&value.plain));
    let attribute = |Attribute { name, title, look, open, complete, values, spellings }: &Attribute| {
        format!(
            "Attribute {{ name: {}, title: {}, look: {}, open: {open}, complete: {complete}, values: {}, spellings: {} }}",
            text(name),
            text(title),
            text(look),
            list(values, value),
            sorted(spellings),
        )
    };
    format!(
        "Vocabulary {{ attributes: {}, names: {}, phrases: {}, longest_phrase: {} }}",
        list(&made.attributes, attribute),
        sorted(&made.names),
        sorted(&made.phrases),
        made.longest_phrase,
    )
}

/// The expression for the catalogue of points.
///
/// # Errors
/// What the file says does not hold together. The tests of the catalogue see the rest.
pub fn catalogue(file: File) -> Result<String, String> {
    if file.version != 1 {
        return Err(format!("version {} is not known", file.version));
    }
    let names: Vec<String> = file.field.keys().cloned().collect();
    let fields = file.field.into_iter().map(|(name, entry)| field(&name, entry));
    let fields = fields.collect::<Result<Vec<_>, _>>()?;
    let points = file.point.0.iter().map(|(name, entry)| point(name, entry, &names));
    let points = points.collect::<Result<Vec<_>, _>>()?;
    Ok(format!(
        "Catalogue {{ fields: {}, points: {}, cautions: {} }}",
        list(&fields, String::clone),
        list(&points, String::clone),
        texts(&file.cautions.general),
    ))
}

fn point(name: &str, entry: &Point, fields: &[String]) -> Result<String, String> {
    let numbers = |list: &[String]| -> Result<String, String> {
        let number = |field| fields.iter().position(|known| known == field);
        let numbers =
            list.iter().map(|field| number(field).ok_or_else(|| format!("[point.{name}]: no '{field}'")));
        Ok(format!("Borrowed(&{:?})", numbers.collect::<Result<Vec<_>, _>>()?))
    };
    Ok(format!(
        "Point {{ name: {}, title: {}, aliases: {}, answers: Answers::{:?}, fields: {}, identified_by: {}, must_agree: {}, \
         may_share: {}, about: {}, check: {}, cautions: {}, own: false }}",
        text(name),
        text(&entry.title),
        texts(&entry.aliases),
        entry.answers,
        numbers(&entry.fields)?,
        numbers(&entry.identified_by)?,
        numbers(&entry.must_agree)?,
        texts(&entry.may_share),
        text(&entry.about),
        text(&entry.check),
        texts(&entry.cautions),
    ))
}

fn field(name: &str, entry: Field) -> Result<String, String> {
    let kind = match (entry.r#type.as_str(), entry.choices, entry.dimension.and(entry.unit)) {
        ("colour", None, None) => "Colour".to_owned(),
        ("place", None, None) => "Place".to_owned(),
        ("code", None, None) => "Code".to_owned(),
        ("thread", None, None) => "Thread".to_owned(),
        ("prose", None, None) => "Prose".to_owned(),
        ("choice", Some(entries), None) => {
            let Choices { spellings, words } = Choices::new(entries)?;
            let (spellings, words) = (sorted(&spellings), texts(&words));
            format!("Choice(Choices::of({spellings}, {words}))")
        }
        ("quantity", None, Some(unit)) => {
            let (bare, tolerance) = (entry.bare, tolerance(entry.tolerance.as_deref(), &unit)?);
            format!(
                "Quantity(Rule {{ unit: Unit::with_symbol({unit:?}), bare: {bare}, tolerance: {tolerance} }})"
            )
        }
        _ => return Err(format!("[field.{name}] is not what its type says")),
    };
    let title = entry.title.as_deref().unwrap_or(name);
    Ok(format!("Field {{ name: {}, title: {}, kind: FieldKind::{kind} }}", text(name), text(title)))
}

/// `0.5 mm` or `3 %`; that of the unit where nothing is said.
fn tolerance(told: Option<&str>, unit: &str) -> Result<String, String> {
    let Some(told) = told else {
        return Ok(format!("Rule::for_unit(Unit::with_symbol({unit:?})).tolerance"));
    };
    let read = told.split_once(' ').and_then(|(number, unit)| Some((number.parse::<f64>().ok()?, unit)));
    match read.ok_or_else(|| format!("'{told}' is no tolerance"))? {
        (number, "%") => Ok(format!("Tolerance::Relative({number:?} / 100.0)")),
        (number, unit) => {
            Ok(format!("Tolerance::Absolute(Measure::new({number:?}, Unit::with_symbol({unit:?})))"))
        }
    }
}

fn sorted<T: Copy + Debug>(meanings: &[(Text, T)]) -> String {
    list(meanings, |(known, meaning)| format!("({}, {meaning:?})", text(known)))
}

fn list<T>(items: &[T], one: impl Fn(&T) -> String) -> String {
    format!("Borrowed(&[{}])", items.iter().map(one).collect::<Vec<_>>().join(",\n"))
}

fn texts<T: AsRef<str>>(items: &[T]) -> String {
    list(items, |one| text(one))
}

fn text(text: impl AsRef<str>) -> String {
    format!("Borrowed({:?})", text.as_ref())
}

fn number(id: ConceptId) -> String {
    format!("ConceptId({})", id.0)
}

fn maybe(id: Option<ConceptId>) -> String {
    id.map_or_else(|| "None".to_owned(), |id| format!("Some({})", number(id)))
}

fn sides(sides: Sides) -> String {
    format!("Sides({})", sides.0)
}

fn composition(way: &Composition) -> String {
    let [component, relation, landmark] = [way.component, way.relation, way.landmark].map(number);
    format!("Composition {{ component: {component}, relation: {relation}, landmark: {landmark} }}")
}

fn concept(concept: &Concept) -> String {
    let Concept { sided, apart, keeps_side, neutral, several, .. } = concept;
    format!(
        "Concept {{ name: {}, synonyms: {}, kind: Kind::{:?}, within: {}, sided: {sided}, apart: {apart}, area: {}, \
         implied: {}, made_of: {}, sides: {}, opposite: {}, keeps_side: {keeps_side}, neutral: {neutral}, \
         several: {several} }}",
        text(&concept.name),
        texts(&concept.synonyms),
        concept.kind,
        list(&concept.within, |id| number(*id)),
        maybe(concept.area),
        sides(concept.implied),
        list(&concept.made_of, composition),
        sides(concept.sides),
        maybe(concept.opposite),
    )
}

fn node(node: &Node) -> String {
    let next = list(&node.next, |(key, to)| format!("({}, {to})", text(key)));
    format!("Node {{ next: {next}, concept: {} }}", maybe(node.concept))
}
