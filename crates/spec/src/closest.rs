//! What somebody may have meant.

/// The known name that a wrong one is spelt most like; none where it is far from all.
pub fn closest<N: AsRef<str>>(name: &str, known: impl IntoIterator<Item = N>) -> Option<N> {
    let (length, far) = (name.chars().count(), 1 + name.len() / 4);
    // No two words are nearer than their lengths.
    let near = known.into_iter().filter(|k| k.as_ref().chars().count().abs_diff(length) <= far);
    let distances = near.map(|k| (strsim::damerau_levenshtein(name, k.as_ref()), k));
    let (distance, known) = distances.min_by_key(|(distance, _)| *distance)?;
    (distance <= far).then_some(known)
}
