//! Names without what people leave out when they type them.
//!
//! One job: two spellings of a name to one key: without case, accents, apostrophes and full stops,
//! hyphens as spaces. The table is sorted by it.

use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

/// The key under which a name is kept and looked up.
///
/// Letters that no decomposition (Unicode Standard Annex 15, form D) takes apart are written as
/// their land's own transliteration does: `ø` o, `ß` ss, `ł` l. Other scripts stay as they are.
///
/// # Example
/// ```
/// use tideover::places::folded;
///
/// assert_eq!(folded("São  Tomé"), folded("sao tome"));
/// assert_eq!(folded("L'Île-d'Yeu"), "lile dyeu");
/// assert_eq!(folded("Tromsø"), "tromso");
/// ```
#[must_use]
pub fn folded(name: &str) -> String {
    let mut key = String::with_capacity(name.len());
    if name.is_ascii() {
        name.chars().for_each(|letter| push(&mut key, letter));
    } else {
        name.nfd()
            .filter(|letter| !is_combining_mark(*letter))
            .flat_map(char::to_lowercase)
            .for_each(|letter| push(&mut key, letter));
    }
    if key.ends_with(' ') {
        key.pop();
    }
    key
}

fn push(key: &mut String, letter: char) {
    match letter {
        'A'..='Z' => key.push(letter.to_ascii_lowercase()),
        'a'..='z' | '0'..='9' => key.push(letter),
        'ı' => key.push('i'),
        'ł' => key.push('l'),
        'ß' => key.push_str("ss"),
        'ø' => key.push('o'),
        'đ' | 'ð' => key.push('d'),
        'æ' => key.push_str("ae"),
        'œ' => key.push_str("oe"),
        'ħ' => key.push('h'),
        'þ' => key.push_str("th"),
        _ if letter.is_alphanumeric() => key.push(letter),
        ' ' | '-' | '/' | '(' | ')' | ',' | '–' | '—' | '\u{a0}'
            if !key.is_empty() && !key.ends_with(' ') =>
        {
            key.push(' ');
        }
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_folding_twice_is_folding_once_and_no_space_is_left_over() {
        for name in [
            "  Coober  Pedy ",
            "St. John's",
            "Łódź",
            "Kırşehir",
            "Þórshöfn",
            "O‘tish-(1)",
            "東京",
            "",
            "-",
        ] {
            let once = folded(name);
            assert_eq!(folded(&once), once, "{name}");
            assert_eq!(once.trim(), once, "{name}");
            assert!(!once.contains("  "), "{name}");
        }
        assert_eq!(folded("Łódź"), "lodz");
        assert_eq!(folded("Kırşehir"), "kirsehir");
        assert_eq!(folded("St. John's"), "st johns");
    }
}
