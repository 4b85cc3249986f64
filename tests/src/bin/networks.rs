//! Random networks of readings and what the program makes of them, for another solver to solve.
//!
//! Usage: `networks FILE COUNT`. Places along a line or in a plan, read from each other and from fixed sides by a few calipers
//! whose errors several readings share, some much surer than others.

use bobbinwright_estimate::network::{Adjusted, Equation, adjust};
use bobbinwright_estimate::{Doubt, Doubts, Estimate, Length, Origin};
use rand::rngs::ChaCha8Rng;
use rand::{Rng, RngExt, SeedableRng};
use serde_json::{Value, json};

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [file, count] = &arguments[..] else { panic!("usage: networks FILE COUNT") };
    let count: u64 = count.parse().unwrap_or_else(|e| panic!("{count}: {e}"));
    let all: Vec<Value> =
        (0..count).filter_map(|number| one(&mut ChaCha8Rng::seed_from_u64(number))).collect();
    std::fs::write(file, Value::from(all).to_string()).unwrap_or_else(|e| panic!("{file}: {e}"));
}

/// None where nothing ties some place.
fn one(rng: &mut impl Rng) -> Option<Value> {
    let unknowns = rng.random_range(2..=20);
    let truth: Vec<f64> = (0..unknowns).map(|_| rng.random_range(-60.0..60.0)).collect();
    let mut doubts = Doubts::<()>::default();
    let mut cause = |u: f64| -> Estimate {
        doubts.enter(Doubt::new(None, Origin::Stated, f64::INFINITY), Length::from_mm(u))
    };
    let tools: Vec<Estimate> = (0..3).map(|n| cause([0.01, 0.02, 0.3][n])).collect();
    let count = unknowns + rng.random_range(0..=2 * unknowns);
    let equations: Vec<Equation> = (0..count)
        .map(|n| {
            let first = if n < unknowns { n } else { rng.random_range(0..unknowns) };
            let mut terms = vec![(first, 1.0)];
            let other = rng.random_range(0..unknowns);
            if other != first && rng.random_bool(0.7) {
                terms.push((other, if rng.random_bool(0.8) { -1.0 } else { rng.random_range(-1.0..1.0) }));
            }
            let read: f64 = terms.iter().map(|(i, factor)| factor * truth[*i]).sum();
            let scatter = 10f64.powf(rng.random_range(-2.5..-1.0));
            let off = rng.random_range(-2.0..2.0) * scatter;
            let tool = tools[rng.random_range(0..tools.len())].clone() * rng.random_range(0.5..1.5);
            let value = (cause(scatter) + tool).moved_to(Length::from_mm(read + off));
            Equation { terms, value }
        })
        .collect();
    let adjusted = adjust(&equations, unknowns).ok()?;
    Some(told(&equations, &adjusted))
}

fn told(equations: &[Equation], adjusted: &Adjusted) -> Value {
    let parts = |e: &Estimate| -> Vec<(String, f64)> {
        e.contributions().map(|(id, u)| (format!("{id:?}"), u.as_mm())).collect()
    };
    let unknowns = &adjusted.unknowns;
    json!({
        "readings": equations.iter().map(|e| json!({
            "terms": e.terms, "value": e.value.value().as_mm(), "parts": parts(&e.value),
        })).collect::<Vec<_>>(),
        "values": unknowns.iter().map(|e| e.value().as_mm()).collect::<Vec<_>>(),
        "covariances": unknowns.iter()
            .map(|a| unknowns.iter().map(|b| a.covariance(b)).collect::<Vec<_>>()).collect::<Vec<_>>(),
        "redundancies": adjusted.leftovers.iter().map(|l| l.redundancy).collect::<Vec<_>>(),
        "least_slips": adjusted.leftovers.iter().map(|l| l.least_slip().map(Length::as_mm)).collect::<Vec<_>>(),
    })
}
