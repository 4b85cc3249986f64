//! `bobbinwright aim`.

use bobbinwright_export::winding::{Measured, aim};

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
    family::with(&options.family, None, false, |_, prepared| {
        if let Some(lines) = aim(prepared, &options.coil, &measured) {
            lines.iter().for_each(say::line);
            return Outcome::Fine;
        }
        let names: Vec<&str> = prepared.family.positions.iter().map(|p| p.name.as_str()).collect();
        let why = format!("there is no position {:?}; there is {}", options.coil, names.join(", "));
        complain::failure(&why, false)
    })
}
