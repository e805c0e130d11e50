//! A table whose order counts: the points are shown in the order in which they are written.

use std::fmt;
use std::marker::PhantomData;

use serde::de::{Deserialize, Deserializer, MapAccess, Visitor};

/// Names with their entries, in the order of the file.
pub struct Pairs<T>(pub Vec<(String, T)>);

impl<T> Default for Pairs<T> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Pairs<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_map(InOrder(PhantomData))
    }
}

struct InOrder<T>(PhantomData<T>);

impl<'de, T: Deserialize<'de>> Visitor<'de> for InOrder<T> {
    type Value = Pairs<T>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a table")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
        let mut pairs = Vec::new();
        while let Some(pair) = map.next_entry()? {
            pairs.push(pair);
        }
        Ok(Pairs(pairs))
    }
}
