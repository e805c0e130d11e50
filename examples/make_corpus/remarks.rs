//! Reads the phrases of `remarks.txt`. Owns that small format; how a hand puts a phrase is `voice`.

use std::collections::HashMap;

static TEXT: &str = include_str!("remarks.txt");

/// The phrases by the name of their section.
#[derive(Debug)]
pub struct Phrases(HashMap<&'static str, Vec<&'static str>>);

impl Phrases {
    /// All phrases of the file.
    pub fn read() -> Self {
        let mut sections: HashMap<&str, Vec<&str>> = HashMap::new();
        let mut section = "";
        for line in TEXT.lines().filter(|line| !line.is_empty() && !line.starts_with('#')) {
            match line.strip_prefix("== ") {
                Some(name) => section = name,
                None => sections.entry(section).or_default().push(line),
            }
        }
        Self(sections)
    }

    /// The phrases of one section; none where there is no such section.
    pub fn of(&self, section: &str) -> &[&'static str] {
        self.0.get(section).map_or(&[], Vec::as_slice)
    }
}
