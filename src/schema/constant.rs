//! Texts and lists that are borrowed where they come with the program, and owned where a file that was read at a start
//! says them. What they mean is for those to say who hold them.

use std::borrow::Cow;

/// A text that may come with the program.
pub type Text = Cow<'static, str>;

/// A list that may come with the program.
pub type List<T> = Cow<'static, [T]>;

/// Texts in the order of their bytes, each once, with what they stand for.
pub type Sorted<T> = List<(Text, T)>;

/// What a text stands for.
#[must_use]
pub fn meaning<T: Copy>(sorted: &[(Text, T)], text: &str) -> Option<T> {
    let at = sorted.binary_search_by(|(known, _)| (**known).cmp(text)).ok()?;
    Some(sorted[at].1)
}
