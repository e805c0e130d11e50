//! The lexicon that comes with the program, and the comparison of places held against a plain
//! reading of its definition: sets of facts, built here from nothing that the program built.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use baybook::value::lexicon::{Kind, Lexicon};
use baybook::value::place::{DriveSide, Place};
use baybook::value::{Relation, Typed};
use proptest::prelude::*;

fn read(text: &str, lexicon: &Lexicon) -> Place {
    Place::parse(text, lexicon, DriveSide::Either).unwrap_or_else(|misread| panic!("{text}: {misread}"))
}

/// The file as plain TOML, so that what the lexicon offers is not asked of the lexicon itself.
fn entries() -> Vec<(String, toml::Table)> {
    let file: toml::Table = include_str!("../schema/lexicon.toml").parse().expect("TOML");
    let tables = |kind: &str| -> Vec<(String, toml::Table)> {
        let list = file[kind].as_array().expect("a list of entries");
        list.iter().map(|entry| (kind.to_owned(), entry.as_table().expect("an entry").clone())).collect()
    };
    ["component", "landmark", "side", "relation"].into_iter().flat_map(tables).collect()
}

fn phrases(entry: &toml::Table) -> Vec<String> {
    let also = entry.get("also").and_then(toml::Value::as_array).into_iter().flatten();
    let all = std::iter::once(&entry["name"]).chain(also);
    all.map(|phrase| phrase.as_str().expect("a phrase").to_owned()).collect()
}

#[test]
fn the_lexicon_is_large_enough() {
    let count = |kind: &str| entries().iter().filter(|(own, _)| own == kind).count();
    assert!(count("component") + count("landmark") >= 80);
    assert!(count("side") >= 11);
    assert!(count("relation") >= 12);
}

#[test]
fn no_phrase_stands_twice() {
    let mut seen = HashMap::new();
    for (_, entry) in entries() {
        for phrase in phrases(&entry) {
            let folded = phrase.to_lowercase().replace(['-', '/', '.'], " ");
            let before = seen.insert(folded, entry["name"].clone());
            assert_eq!(before, None, "{phrase}");
        }
    }
    assert!(Lexicon::parse(include_str!("../schema/lexicon.toml")).is_ok());
}

#[test]
fn every_synonym_is_read_as_its_entry() {
    let lexicon = Lexicon::builtin();
    for (kind, entry) in entries() {
        let name = entry["name"].as_str().expect("a name");
        for phrase in phrases(&entry) {
            let (text, expected) = match (kind.as_str(), name) {
                ("relation", "at") => (format!("{phrase} battery"), "battery".to_owned()),
                ("relation", _) => (format!("{phrase} battery"), format!("{name} battery")),
                _ => (phrase.clone(), name.to_owned()),
            };
            assert_eq!(read(&text, lexicon).to_string(), expected, "{phrase}");
            assert_eq!(read(&text, lexicon).unknown_words(), [""; 0], "{phrase}");
        }
    }
}

/// Case does not matter in reading; in the file it would hide a phrase that stands twice.
#[test]
fn phrases_are_short_and_in_lower_case() {
    for (_, entry) in entries() {
        for phrase in phrases(&entry) {
            assert!(phrase.ends_with("-pillar") || phrase == phrase.to_lowercase(), "{phrase}");
            assert!(phrase.split(' ').count() <= 6, "{phrase}");
        }
    }
}

#[test]
fn what_is_said_in_parts_is_the_whole() {
    let lexicon = Lexicon::builtin();
    let name = |id| lexicon.concept(id).name();
    let mut ways = 0;
    for (_, whole) in lexicon.concepts() {
        for way in whole.made_of() {
            let text = format!("{}, {} {}", name(way.component), name(way.relation), name(way.landmark));
            assert_eq!(read(&text, lexicon).to_string(), whole.name(), "{text}");
            ways += 1;
        }
    }
    assert!(ways > 0);
}

#[test]
fn relations_have_mutual_opposites() {
    let lexicon = Lexicon::builtin();
    for (id, relation) in lexicon.concepts().filter(|(_, concept)| concept.kind() == Kind::Relation) {
        if let Some(opposite) = relation.opposite() {
            assert_eq!(lexicon.concept(opposite).opposite(), Some(id), "{}", relation.name());
        }
    }
}

// --- the definition, read plainly ----------------------------------------------------------------

/// A small world: the words of it are invented so that none is in two phrases.
const WORLD: &str = r#"
[[component]]
name = "alpha"
within = ["north"]
sided = true
[[component]]
name = "beta"
within = ["alpha"]
sided = true
[[component]]
name = "gamma"
[[component]]
name = "delta"
within = ["south"]
[[landmark]]
name = "north"
apart = true
sided = true
[[landmark]]
name = "south"
apart = true
[[landmark]]
name = "stone"
sided = true
[[side]]
name = "left"
[[side]]
name = "right"
[[side]]
name = "centre"
[[side]]
name = "front"
[[side]]
name = "rear"
[[relation]]
name = "above"
opposite = "below"
keeps_side = true
[[relation]]
name = "below"
opposite = "above"
keeps_side = true
[[relation]]
name = "left of"
opposite = "right of"
[[relation]]
name = "right of"
opposite = "left of"
"#;

/// Nouns of the world, then two words that it lacks.
const NOUNS: [&str; 9] = ["alpha", "beta", "gamma", "delta", "north", "south", "stone", "quux", "zork"];
const SIDES: [&str; 5] = ["left", "right", "centre", "front", "rear"];
const RELATIONS: [&str; 4] = ["above", "below", "left of", "right of"];
const LATERAL: [&str; 3] = ["left", "right", "centre"];

fn around(noun: &str) -> &'static [&'static str] {
    match noun {
        "alpha" => &["north"],
        "beta" => &["alpha", "north"],
        "delta" => &["south"],
        _ => &[],
    }
}

fn sided(noun: &str) -> bool {
    ["alpha", "beta", "north", "stone"].contains(&noun)
}

fn known(noun: &str) -> bool {
    !["quux", "zork"].contains(&noun)
}

fn opposed(a: &str, b: &str) -> bool {
    let lateral = LATERAL.contains(&a) && LATERAL.contains(&b) && a != b;
    let pair = |x, y| (a, b) == (x, y) || (b, a) == (x, y);
    lateral || pair("front", "rear") || pair("above", "below") || pair("left of", "right of")
}

type SideSet = BTreeSet<&'static str>;

/// What somebody means by a place, before it is written.
#[derive(Debug, Clone, Default)]
struct Meant {
    bare: SideSet,
    parts: BTreeMap<&'static str, SideSet>,
    standings: BTreeMap<(&'static str, &'static str), SideSet>,
}

impl Meant {
    fn written(&self) -> String {
        let words = |sides: &SideSet| sides.iter().map(|side| format!("{side} ")).collect::<String>();
        let bare = (!self.bare.is_empty()).then(|| words(&self.bare));
        let parts = self.parts.iter().map(|(noun, sides)| format!("{}{noun}", words(sides)));
        let standings =
            self.standings.iter().map(|((rel, noun), sides)| format!("{rel} {}{noun}", words(sides)));
        bare.into_iter().chain(parts).chain(standings).collect::<Vec<_>>().join(", ")
    }

    /// Whether it can be true at all, and says each thing where it belongs.
    fn is_sound(&self) -> bool {
        let consistent = |sides: &SideSet| !sides.iter().any(|a| sides.iter().any(|b| opposed(a, b)));
        let both = |(rel, noun): &(&str, &str), sides: &SideSet| {
            self.standings
                .iter()
                .any(|((other, same), also)| same == noun && also == sides && opposed(rel, other))
        };
        let all_sides = self.parts.values().chain(self.standings.values()).chain([&self.bare]);
        let something = !(self.bare.is_empty() && self.parts.is_empty() && self.standings.is_empty());
        let placed = self.bare.is_empty() || self.parts.is_empty();
        something
            && placed
            && !self.denies_an_area()
            && !self.denies_its_side()
            && all_sides.into_iter().all(consistent)
            && !self.standings.iter().any(|(k, s)| both(k, s))
    }

    /// Whether it gives an area another side than a part within it: `left glove box, right dash`.
    fn denies_an_area(&self) -> bool {
        let denied = |inner: &str, sides: &SideSet| {
            let outer = around(inner).iter().filter(|outer| sided(inner) && sided(outer));
            outer.filter_map(|outer| self.parts.get(outer)).any(|given| {
                given.iter().any(|side| LATERAL.contains(side) && sides.iter().any(|own| opposed(own, side)))
            })
        };
        self.parts.iter().any(|(noun, sides)| denied(noun, sides))
    }

    /// Whether it is on one side of the vehicle, and below or above a part on another: `right, below the left fender`.
    fn denies_its_side(&self) -> bool {
        let keeps = |rel: &str| ["above", "below"].contains(&rel);
        let kept = self.standings.iter().filter(|((rel, noun), _)| keeps(rel) && sided(noun));
        let kept: SideSet = kept.flat_map(|(_, sides)| sides).copied().collect();
        let parts = self.parts.iter().filter(|(noun, _)| sided(noun)).flat_map(|(_, sides)| sides);
        let own: SideSet = self.bare.iter().chain(parts).chain(&kept).copied().collect();
        kept.iter().any(|side| LATERAL.contains(side) && own.iter().any(|own| opposed(own, side)))
    }

    /// The lateral sides of the vehicle that it says, where they agree.
    fn across(&self) -> SideSet {
        let keeps = |rel: &str| ["above", "below"].contains(&rel);
        let mut found: SideSet = self.bare.clone();
        for (noun, sides) in &self.parts {
            found.extend(sides.iter().filter(|_| sided(noun)));
        }
        for ((rel, noun), sides) in &self.standings {
            found.extend(sides.iter().filter(|_| sided(noun) && keeps(rel)));
        }
        found.retain(|side| LATERAL.contains(side));
        if found.len() > 1 { SideSet::new() } else { found }
    }

    /// What it says in so many words.
    fn own_facts(&self) -> BTreeSet<String> {
        let mut facts: BTreeSet<String> = self.bare.iter().map(|side| format!("on {side}")).collect();
        for (noun, sides) in &self.parts {
            facts.insert(format!("at {noun}"));
            facts.extend(sides.iter().map(|side| format!("at {noun}, {side}")));
        }
        for ((rel, noun), sides) in &self.standings {
            facts.insert(format!("{rel} {noun}"));
            facts.extend(sides.iter().map(|side| format!("{rel} {noun}, which is {side}")));
        }
        facts
    }

    /// What follows from it.
    fn all_facts(&self) -> BTreeSet<String> {
        let mut facts = self.own_facts();
        facts.extend(self.across().iter().map(|side| format!("on {side}")));
        for (noun, sides) in &self.parts {
            for outer in around(noun) {
                facts.insert(format!("at {outer}"));
                let inherited =
                    sides.iter().filter(|side| LATERAL.contains(side) && sided(noun) && sided(outer));
                facts.extend(inherited.map(|side| format!("at {outer}, {side}")));
            }
        }
        facts
    }

    /// The known parts that no other part already says.
    fn named(&self) -> Vec<&'static str> {
        let alone = |noun: &str| {
            let parts = self.parts.iter().filter(|(own, _)| **own == noun);
            Self { parts: parts.map(|(noun, sides)| (*noun, sides.clone())).collect(), ..Self::default() }
        };
        let others = |noun: &str| {
            let mut rest = Self { parts: self.parts.clone(), ..Self::default() };
            rest.parts.remove(noun);
            rest.all_facts()
        };
        let nouns = self.parts.keys().copied().filter(|noun| known(noun));
        nouns.filter(|noun| !alone(noun).own_facts().is_subset(&others(noun))).collect()
    }
}

/// Whether nothing is at both of two nouns.
fn exclusive(a: &str, b: &str) -> bool {
    let nested = a == b || around(a).contains(&b) || around(b).contains(&a);
    let area = |noun: &str| match noun {
        "alpha" | "beta" | "north" => Some("north"),
        "delta" | "south" => Some("south"),
        _ => None,
    };
    let areas = area(a).is_some() && area(b).is_some() && area(a) != area(b);
    !nested && (areas || (component(a) && component(b)))
}

fn component(noun: &str) -> bool {
    ["alpha", "beta", "gamma", "delta"].contains(&noun)
}

/// Whether no noun of one list can be one of the other.
fn all_exclusive(a: &[&str], b: &[&str]) -> bool {
    !a.is_empty() && !b.is_empty() && a.iter().all(|m| b.iter().all(|n| exclusive(m, n)))
}

fn contradict(a: &Meant, b: &Meant) -> bool {
    let clash = |x: &SideSet, y: &SideSet| x.iter().any(|s| y.iter().any(|t| opposed(s, t)));
    let (x, y) = (a.named(), b.named());
    let components =
        |nouns: &[&'static str]| nouns.iter().copied().filter(|n| component(n)).collect::<Vec<_>>();
    let parts = all_exclusive(&x, &y) || all_exclusive(&components(&x), &components(&y));
    let denied = |x: &Meant, y: &Meant| {
        x.parts.iter().any(|(noun, sides)| {
            let said = y.all_facts();
            let says = |side: &&str| said.contains(&format!("at {noun}, {side}"));
            clash(sides, &SIDES.into_iter().filter(|side| says(side)).collect())
        })
    };
    let sides = denied(a, b) || denied(b, a);
    let ways = a.standings.iter().any(|((rel, noun), s)| {
        b.standings.iter().any(|((other, same), t)| noun == same && s == t && opposed(rel, other))
    });
    let whole = |meant: &Meant| meant.bare.union(&meant.across()).copied().collect();
    parts || sides || ways || clash(&whole(a), &whole(b))
}

fn expected(a: &Meant, b: &Meant) -> Relation {
    let (a_says_b, b_says_a) =
        (b.own_facts().is_subset(&a.all_facts()), a.own_facts().is_subset(&b.all_facts()));
    match (a_says_b, b_says_a) {
        (true, true) => Relation::Same,
        (true, false) => Relation::FirstFiner,
        (false, true) => Relation::SecondFiner,
        _ if contradict(a, b) => Relation::Different,
        _ => Relation::Unknown,
    }
}

fn side_sets() -> impl Strategy<Value = SideSet> {
    prop::collection::vec(prop::sample::select(SIDES.to_vec()), 0..3)
        .prop_map(|sides| sides.into_iter().collect())
}

fn meant() -> impl Strategy<Value = Meant> {
    let noun = || prop::sample::select(NOUNS.to_vec());
    let parts = prop::collection::btree_map(noun(), side_sets(), 0..3);
    let relation = prop::sample::select(RELATIONS.to_vec());
    let standings = prop::collection::btree_map((relation, noun()), side_sets(), 0..3);
    let whole = (side_sets(), parts, standings);
    whole.prop_map(|(bare, parts, standings)| {
        let bare = if parts.is_empty() { bare } else { SideSet::new() };
        Meant { bare, parts, standings }
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 20_000, max_global_rejects: 200_000, ..ProptestConfig::default() })]

    #[test]
    fn places_relate_as_the_definition_says(a in meant(), b in meant()) {
        prop_assume!(a.is_sound() && b.is_sound());
        let world = Lexicon::parse(WORLD).expect("a lexicon");
        let (x, y) = (read(&a.written(), &world), read(&b.written(), &world));
        prop_assert_eq!(x.relation(&y), expected(&a, &b), "{} / {}", a.written(), b.written());
        prop_assert_eq!(x == y, expected(&a, &b) == Relation::Same, "{} / {}", x, y);
    }
}
