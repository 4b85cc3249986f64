//! The lead-out against the lead, and on the wire channel's side.

use bobbinwright_geometry::parts::{Layout, Slanted, on_body, on_side};
use bobbinwright_kernel::plane::{Point, Vector};
use bobbinwright_spec::printer::coupon::Axis;
use bobbinwright_spec::printer::profile::Made;
use bobbinwright_spec::{Estimate, LeadOut, Length, PartKind, Side, sentence};

use crate::bench::{Bench, Draft, figure};
use crate::help::Help;
use crate::kind::{CheckKind, Where};
use crate::{pose, screws};

pub(crate) fn check(bench: &mut Bench) {
    let cover = bench.layout(PartKind::Cover);
    let lead_out = cover.wanted.cover.lead_out;
    let lead = bench.family.hardware.lead_diameter.clone();
    let (size, parameter) = if lead_out.width < lead_out.height {
        (lead_out.width, "cover.lead_out.width")
    } else {
        (lead_out.height, "cover.lead_out.height")
    };
    let opening = bench.unread(PartKind::Cover, size, Made::Inner(Axis::X));
    let margin = opening.clone() - lead.clone();
    bench.enter(Draft {
        kind: CheckKind::LeadThroughLeadOut,
        at: Where::Alike,
        title: "Lead through the lead-out".into(),
        why: "The lead is too thick for the lead-out.".into(),
        help: vec![Help::Dimension(parameter)],
        figures: vec![figure("lead", &lead), figure("lead-out, the smaller way", &opening)],
        margin,
        others: Vec::new(),
    });
    through_baseplate(bench, &lead);
    let Some(channel) = bench.position.rout.channel.as_ref() else { return };
    let (rout, handed) = (&bench.position.rout, bench.position.handed);
    let from = opens_at(cover);
    let moved = moved_along(bench, lead_out.side);
    let inputs = [&rout.length, &rout.width, &channel.offset, &moved, &lead];
    let straight = |v: &[Length]| on_side(channel.side, v[2], v[0], v[1], handed);
    // On a slanted rout a side's middle is elsewhere, and what lies along it as well.
    let aside = Slanted::of(rout.outline, &rout.sides, handed).map(|slanted| {
        let there = slanted.on_side(channel.side, channel.offset.value(), handed);
        there - straight(&inputs.map(Estimate::value))
    });
    let mouth = |v: &[Length]| straight(v) + aside.unwrap_or_default();
    // The lead-out goes with the cover, along its side.
    let [along_x, along_y] = along(lead_out.side);
    let at = |moved: Length| from + Vector::new(along_x * handed.treble(), along_y) * moved.as_mm();
    // Between cover and rout is no room to bend: the lead goes straight across, as far beside the lead-out's middle as that is wider
    // than the lead. How wide the channel is nobody asks: its middle is where a lead goes in.
    let room = |lead: Length| (lead_out.width - lead) / 2.0;
    let same_side = lead_out.side == channel.side;
    // On one side both ways along it count, and not the gap between cover and rout.
    let [x, y] = [along_x * handed.treble(), along_y];
    let beside = |v: &[Length]| Length::from_mm((mouth(v) - at(v[3])).dot(&Vector::new(x, y)));
    let all = if same_side {
        [1.0, -1.0].map(|sign| (Estimate::of(&inputs, |v| room(v[4]) + beside(v) * sign), ())).to_vec()
    } else {
        vec![(Estimate::of(&inputs, |v| room(v[4]) - Length::from_mm((mouth(v) - at(v[3])).norm())), ())]
    };
    let Some((margin, (), others)) = bench.least_likely(all) else { return };
    bench.enter(Draft {
        kind: CheckKind::LeadOutAtChannel,
        at: Where::Alike,
        title: "Lead-out at the wire channel".into(),
        why: if same_side {
            "The lead-out is too far from the channel's mouth.".into()
        } else {
            let (out, mouth) = (lead_out.side.name(), channel.side.name());
            sentence!("The lead-out is on the {} side, the wire channel on the {} side.", out, mouth)
        },
        // Where the channel is, not only as near to it as will do.
        help: vec![
            Help::LeadOut(channel.side, channel.offset.value()),
            Help::Dimension("cover.lead_out.offset"),
            Help::Dimension("cover.lead_out.width"),
        ],
        figures: vec![
            figure(format!("channel on the {} side, from its middle", channel.side.name()), &channel.offset),
            figure(
                format!("lead-out on the {} side, from its middle", lead_out.side.name()),
                &lead_out.offset.into(),
            ),
        ],
        margin,
        others,
    });
}

/// Where a cover's lead-out opens, mm.
fn opens_at(layout: &Layout) -> Point {
    let LeadOut { side, offset, .. } = layout.wanted.cover.lead_out;
    on_body(layout.slanted.as_ref(), side, offset, [layout.length, layout.width], layout.handed)
}

/// The direction along a side, treble positive.
fn along(side: Side) -> [f64; 2] {
    match side {
        Side::Neck | Side::Bridge => [1.0, 0.0],
        Side::Bass | Side::Treble => [0.0, 1.0],
    }
}

/// How far the cover may be moved along a side: anywhere where rout and screws let it lie.
fn moved_along(bench: &mut Bench, side: Side) -> Estimate {
    let plays = screws::plays(bench, PartKind::Cover);
    pose::Lies::of(bench, &plays, [0.0; 2], along(side)).at
}

/// A baseplate of another build has its slot and its lip's opening where that build's lead-out was.
fn through_baseplate(bench: &mut Bench, lead: &Estimate) {
    let (cover, base) = (bench.layout(PartKind::Cover), bench.layout(PartKind::Baseplate));
    let open = base.wanted.baseplate.lip.is_some() || base.wanted.baseplate.lead_depth.is_some();
    if std::ptr::eq(cover, base) || !open {
        return;
    }
    let apart = Length::from_mm((opens_at(cover) - opens_at(base)).norm());
    let width = cover.wanted.cover.lead_out.width.min(base.wanted.cover.lead_out.width);
    // Walls that moved a little with the whole outline are no hindrance.
    let margin = Estimate::exact(width - apart) - lead.clone();
    bench.enter(Draft {
        kind: CheckKind::LeadThroughBaseplate,
        at: Where::Alike,
        title: "Lead past the baseplate".into(),
        why: "The baseplate's opening is where another build has its lead-out.".into(),
        help: vec![Help::PrintAgain],
        figures: vec![figure("lead", lead), figure("openings apart", &apart.into())],
        margin,
        others: Vec::new(),
    });
}
