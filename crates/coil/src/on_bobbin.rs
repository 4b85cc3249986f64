//! The coils that a family's log knows, each begun with what those before it told.

use std::borrow::Cow;

use bobbinwright_geometry::parts::laid_out;
use bobbinwright_spec::wound::{Spool, Stop};
use bobbinwright_spec::{Estimate, Family, Hardware};

use crate::bobbin::wound;
use crate::stops::{Before, Follow, Known};

/// The coil on a position's bobbin, as far as it is wound.
#[derive(Clone, Debug)]
pub struct OnBobbin {
    /// The position.
    pub position: String,
    /// What its stops tell.
    pub follow: Follow,
    /// The stops that count, each with its entry in the log.
    pub stops: Vec<(usize, Stop)>,
    /// What the wire's spool is called.
    pub spool: Option<String>,
    /// The spool was known before the first stop.
    pub knew_spool: bool,
}

impl OnBobbin {
    /// Of every position for which a coil is stated and begun.
    pub fn all(family: &Family) -> Vec<Self> {
        Self::ever(family).into_iter().filter_map(|(coil, is_there)| is_there.then_some(coil)).collect()
    }

    /// What the coils of a spool tell of it and of who wound them, those too that are on no bobbin any more: the last one, with what
    /// those before it told.
    pub fn of_spool(family: &Family, name: &str) -> Option<Before> {
        let own = Self::ever(family).into_iter().rfind(|(coil, _)| coil.spool.as_deref() == Some(name));
        own.map(|(coil, _)| coil.follow.after(true))
    }

    /// All that were ever wound, in their order, and whether each is on its bobbin.
    fn ever(family: &Family) -> Vec<(Self, bool)> {
        let winds = &family.winds;
        let mut begun: Vec<(Option<&str>, Follow)> = Vec::new();
        let mut all = Vec::new();
        for of_log in &winds.coils {
            let position = family.positions.iter().find(|p| p.name == of_log.position);
            let hardware = with_rods(&family.hardware, of_log.rods.as_ref());
            let wanted =
                position.and_then(|p| Some((p, of_log.made(p.stated_coil?), laid_out(p, &hardware)?)));
            let Some((position, wanted, layout)) = wanted else { continue };
            let coil = wound(&layout, &hardware, &wanted, position.wanted.magnets);
            let spool = of_log.spool();
            let before = before(spool, spool.and_then(|name| winds.spool(name)), &begun);
            let follow = Follow::of(&coil, before, of_log.stops.iter().map(|(.., stop)| stop));
            begun.push((spool, follow.clone()));
            let coil = Self {
                position: of_log.position.clone(),
                follow,
                stops: of_log.stops.iter().map(|(entry, _, stop)| (*entry, stop.clone())).collect(),
                spool: spool.map(str::to_owned),
                knew_spool: before.per_metre.is_some(),
            };
            all.push((coil, of_log.is_last));
        }
        all
    }
}

/// What is bought, with the rods that a coil was wound on where they are there no more.
fn with_rods<'h>(hardware: &'h Hardware, rods: Option<&[Estimate; 2]>) -> Cow<'h, Hardware> {
    let Some([rod_diameter, rod_length]) = rods.cloned() else { return Cow::Borrowed(hardware) };
    Cow::Owned(Hardware { rod_diameter, rod_length, ..hardware.clone() })
}

/// What is known of spool and winder when a coil is begun: the best of what was stated and what earlier coils told.
fn before(spool: Option<&str>, stated: Option<&Spool>, begun: &[(Option<&str>, Follow)]) -> Before {
    let lays = stated.and_then(|s| s.packing);
    let lays = lays.map(|[share, within]| Known { value: share, doubt: within / 2.0 / share });
    let stated = stated.map(|s| Known { value: s.per_metre.0, doubt: s.within / 2.0 });
    let told = |(of, follow): &(Option<&str>, Follow)| follow.after(spool.is_some() && *of == spool);
    let better = |a: Option<Known>, b: Option<Known>| match (a, b) {
        (Some(a), Some(b)) => Some(if b.doubt <= a.doubt { b } else { a }),
        (a, b) => a.or(b),
    };
    let all = begun.iter().map(told);
    all.fold(Before { per_metre: stated, packing: lays }, |known, told| Before {
        per_metre: better(known.per_metre, told.per_metre),
        packing: better(known.packing, told.packing),
    })
}
