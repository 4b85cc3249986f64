//! The middle of some figures.

/// Half of `all` is below, half above; nothing has none, which reads as zero.
pub(crate) fn median(mut all: Vec<f64>) -> f64 {
    all.sort_by(f64::total_cmp);
    let Some(last) = all.len().checked_sub(1) else { return 0.0 };
    f64::midpoint(all[last / 2], all[all.len() / 2])
}
