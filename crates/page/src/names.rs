//! Names of folders that are typed on the page.

/// A name of a folder that is no path.
///
/// # Errors
/// In words for whoever typed it.
pub(crate) fn checked(name: &str) -> Result<&str, String> {
    let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-' || c == '_';
    if name.is_empty() || name.len() > 40 || !name.chars().all(plain) {
        return Err("Name the folder with small letters, digits, - and _, like skiff.".into());
    }
    Ok(name)
}
