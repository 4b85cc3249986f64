//! What the program says, on either stream. Files may come from a stranger: nothing of theirs reaches a terminal as a
//! command. Whoever reads it may stop reading (`… | head`); that is no error.

use std::borrow::Cow;
use std::fmt::Display;
use std::io::Write;
use std::path::Path;

/// A path as it is typed after a command: in quotes where a shell would take it for several words or for more than words.
pub(crate) fn typed(path: &Path) -> String {
    let shown = path.display().to_string();
    let is_plain = |c: char| c.is_alphanumeric() || "/._-+@%:,\\".contains(c);
    if !shown.is_empty() && shown.chars().all(is_plain) {
        return shown;
    }
    format!("'{}'", shown.replace('\'', "'\\''"))
}

/// A text as it is.
pub(crate) fn text(text: impl Display) {
    let _ = write!(std::io::stdout(), "{}", harmless(&text.to_string()));
}

/// A text and the end of its line.
pub(crate) fn line(text: impl Display) {
    let _ = writeln!(std::io::stdout(), "{}", harmless(&text.to_string()));
}

/// A text and the end of its line where what is wrong is said.
pub(crate) fn aside(text: impl Display) {
    let _ = writeln!(std::io::stderr(), "{}", harmless(&text.to_string()));
}

/// The text with a sign in place of everything that a terminal would obey or that turns text round; each as many
/// bytes long as what it stands for, so that places in it stay.
pub(crate) fn harmless(text: &str) -> Cow<'_, str> {
    let obeyed = |c: char| c.is_control() && !matches!(c, '\n' | '\t');
    let turns = |c: char| matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    if !text.contains(|c| obeyed(c) || turns(c)) {
        return Cow::Borrowed(text);
    }
    // A line may end as on some systems.
    if text.contains("\r\n") {
        let lines: Vec<Cow<'_, str>> = text.split("\r\n").map(harmless).collect();
        return Cow::Owned(lines.join("\r\n"));
    }
    let sign = |c: char| match (obeyed(c) || turns(c), c.len_utf8()) {
        (false, _) => c,
        (true, 1) => '?',
        (true, 2) => '\u{bf}',
        (true, _) => char::REPLACEMENT_CHARACTER,
    };
    Cow::Owned(text.chars().map(sign).collect())
}

#[cfg(test)]
mod tests {
    use super::{harmless, typed};
    use std::path::Path;

    #[test]
    fn a_path_is_typed_as_one_word() {
        for (path, as_typed) in [
            ("specs/skiff", "specs/skiff"),
            ("my bass", "'my bass'"),
            ("it's", "'it'\\''s'"),
            ("a;b", "'a;b'"),
        ] {
            assert_eq!(typed(Path::new(path)), as_typed);
        }
    }

    #[test]
    fn what_a_terminal_would_obey_is_replaced() {
        for (raw, shown) in [
            ("a\u{1b}]0;x\u{7}b", "a?]0;x?b"),
            ("a\u{9b}2Jb", "a\u{bf}2Jb"),
            ("a\u{202e}b", "a\u{fffd}b"),
            ("two\nlines\tand \u{b1} \u{2212}", "two\nlines\tand \u{b1} \u{2212}"),
            ("back\rspace\u{8}", "back?space?"),
            ("one\r\ntwo\rthree\r\n", "one\r\ntwo?three\r\n"),
        ] {
            assert_eq!(harmless(raw), shown);
            assert_eq!(harmless(raw).len(), raw.len());
        }
    }
}
