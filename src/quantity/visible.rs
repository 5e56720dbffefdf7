//! Text that a terminal may show.

use std::borrow::Cow;

/// A text without anything that a terminal obeys instead of showing it: control characters of both sets (all but new line
/// and tab, and the carriage return of a line end), and marks that turn the direction of writing (Unicode Standard Annex 9,
/// from memory). Each becomes a sign of as many bytes, so that places in the text stay where they are.
pub fn visible(text: &str) -> Cow<'_, str> {
    if !text.char_indices().any(|(at, c)| hides(text, at, c)) {
        return Cow::Borrowed(text);
    }
    let shown = text.char_indices().map(|(at, c)| match (hides(text, at, c), c.len_utf8()) {
        (false, _) => c,
        (true, 1) => '?',
        (true, 2) => '\u{bf}',
        (true, _) => '\u{fffd}',
    });
    Cow::Owned(shown.collect())
}

fn hides(text: &str, at: usize, c: char) -> bool {
    match c {
        '\n' | '\t' => false,
        '\r' => text.as_bytes().get(at + 1) != Some(&b'\n'),
        '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => true,
        other => other.is_control(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every character of the sets that ECMA-48 calls C0 and C1, delete, and the marks of direction.
    #[test]
    fn nothing_that_a_terminal_obeys_is_left() {
        let obeyed =
            (0..0x20).chain(0x7f..0xa0).chain([0x61c, 0x200e, 0x200f]).chain(0x202a..=0x202e).chain(0x2066..=0x2069);
        let mut seen = 0;
        for code in obeyed.filter(|c| ![0x09, 0x0a].contains(c)) {
            let text: String = ["a", "\u{1f3e0}b"].join(&char::from_u32(code).unwrap().to_string());
            let shown = visible(&text);
            assert_eq!(shown.len(), text.len(), "{code:x}");
            assert!(shown.starts_with('a') && shown.ends_with("\u{1f3e0}b"), "{code:x}");
            assert!(!shown.contains(char::from_u32(code).unwrap()), "{code:x}");
            seen += 1;
        }
        assert_eq!(seen, 30 + 33 + 3 + 5 + 4);
    }

    #[test]
    fn what_is_shown_stays() {
        for text in ["", "S-B03.L05", "5\u{bd} in\t3\nnext\r\nlast", "Dachst\u{fc}hle \u{1f3e0}", "\u{5d0}\u{5d1}"] {
            assert!(matches!(visible(text), Cow::Borrowed(same) if same == text), "{text:?}");
        }
        assert_eq!(visible("a\rb"), "a?b");
    }
}
