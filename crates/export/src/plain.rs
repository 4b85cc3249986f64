//! What a person wrote, in Markdown.

/// A title so that nothing in it is taken for more than text, by a reader of Markdown or of the HTML that comes of it.
pub(crate) fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        // CommonMark: a backslash before any of these makes it a letter.
        if matches!(c, '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '#' | '|' | '&' | '~') {
            out.push('\\');
        }
        out.push(c);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::plain;

    #[test]
    fn what_a_person_wrote_is_no_markup() {
        assert_eq!(plain("Skiff, 6 strings (short)"), "Skiff, 6 strings (short)");
        assert_eq!(plain("a <b>x</b> | [l](x) & `y`"), "a \\<b\\>x\\</b\\> \\| \\[l\\](x) \\& \\`y\\`");
    }
}
