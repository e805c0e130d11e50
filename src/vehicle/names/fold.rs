//! The folding of names: what two spellings of one name have in common. `schema/build.rs` compiles it, too, for what the
//! program carries folded already.

/// The text that two spellings of one name share: lower case, without accents, punctuation and
/// spaces. `R. Okafor` and `r okafor` fold to `rokafor`. A name of punctuation alone folds to an
/// empty text. Letters of other scripts than Latin stay as they are, in lower case.
#[must_use]
pub fn fold(name: &str) -> String {
    let mut out = String::with_capacity(name.len());
    if name.is_ascii() {
        let kept = name.bytes().filter(u8::is_ascii_alphanumeric);
        out.extend(kept.map(|byte| char::from(byte.to_ascii_lowercase())));
        return out;
    }
    for c in name.chars().flat_map(char::to_lowercase) {
        match without_accent(c) {
            Some(plain) => out.push_str(plain),
            None if c.is_alphanumeric() => out.push(c),
            None => {}
        }
    }
    out
}

/// The plain letters for an accented lower-case letter of the blocks Latin-1 Supplement and Latin
/// Extended-A, and the Romanian comma letters. Letters that no decomposition reaches (ø, ł, þ …)
/// are written as is usual without them (from memory). The rest is checked against the Unicode
/// decompositions in the tests.
fn without_accent(c: char) -> Option<&'static str> {
    Some(match c {
        'à'..='å' | 'ā' | 'ă' | 'ą' => "a",
        'æ' => "ae",
        'ç' | 'ć' | 'ĉ' | 'ċ' | 'č' => "c",
        'ď' | 'đ' | 'ð' => "d",
        'è'..='ë' | 'ē' | 'ĕ' | 'ė' | 'ę' | 'ě' => "e",
        'ĝ' | 'ğ' | 'ġ' | 'ģ' => "g",
        'ĥ' | 'ħ' => "h",
        'ì'..='ï' | 'ĩ' | 'ī' | 'ĭ' | 'į' | 'ı' => "i",
        'ĵ' => "j",
        'ķ' => "k",
        'ĺ' | 'ļ' | 'ľ' | 'ł' => "l",
        'ñ' | 'ń' | 'ņ' | 'ň' => "n",
        'ò'..='ö' | 'ø' | 'ō' | 'ŏ' | 'ő' => "o",
        'œ' => "oe",
        'ŕ' | 'ŗ' | 'ř' => "r",
        'ś' | 'ŝ' | 'ş' | 'š' | 'ș' => "s",
        'ß' => "ss",
        'ţ' | 'ť' | 'ŧ' | 'ț' => "t",
        'þ' => "th",
        'ù'..='ü' | 'ũ' | 'ū' | 'ŭ' | 'ů' | 'ű' | 'ų' => "u",
        'ŵ' => "w",
        'ý' | 'ÿ' | 'ŷ' => "y",
        'ź' | 'ż' | 'ž' => "z",
        _ => return None,
    })
}
