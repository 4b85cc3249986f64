//! `bobbinwright aim`.

use bobbinwright_coil::alike::Measured;
use bobbinwright_export::winding::aim;

use crate::outcome::Outcome;
use crate::{arguments, complain, family, say};

/// Says which coil comes closest to a pickup that was measured.
pub(crate) fn run(options: &arguments::Aim) -> Outcome {
    let measured = Measured {
        ohms: options.ohms,
        celsius: options.celsius,
        henries: options.henries,
        hertz: options.hertz,
        peak: options.peak,
        turns: options.turns,
    };
    family::with(&options.family, None, false, |_, prepared| match aim(prepared, &options.coil, &measured) {
        Some(lines) => {
            lines.iter().for_each(say::line);
            Outcome::Fine
        }
        None => {
            let names: Vec<&str> = prepared.family.positions.iter().map(|p| p.name.as_str()).collect();
            let why = format!("there is no position {:?}; there is {}", options.coil, names.join(", "));
            complain::failure(&why, false)
        }
    })
}
