//! Screens a joist on its new span: loads on an area over the joists' spacing, and Cr where there are three or more.
//!
//! It is worked out as a beam (`beam`). Source: NDS 4.3.9 for Cr; the rest as there.

use super::basis::Basis;
use super::beam;
use super::combination::LoadKind;
use super::measures::{inches, plf_up, psf};
use super::member::{Known, LineLoad, Member};
use super::screened::Screened;
use crate::checks::Measurement;
use crate::units::{Length, Plf, Psf};

/// Cr asks for joists at most this far apart; NDS 4.3.9, verified.
const REPETITIVE_TO: Length = Length::inches(24);
/// And for so many.
const REPETITIVE_FROM: u32 = 3;

/// A joist among others.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Joist {
    /// The joist as a member, with the loads that it has besides the area's (a partition across it); whether it counts as
    /// one of several is worked out here.
    pub member: Member,
    /// On centre, the greatest beside it.
    pub spacing: Measurement,
    /// How many alike there are in the run.
    pub count: u32,
    /// Whether sheathing joins them: a floor, board.
    pub sheathed: Known,
    /// What stands on the area.
    pub area_loads: Vec<AreaLoad>,
}

/// A load on an area.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AreaLoad {
    /// What it is: `floor, living room`.
    pub what: String,
    /// Its kind.
    pub kind: LoadKind,
    /// How much; `None` where a layer or the snow isn't known.
    pub load: Option<Psf>,
    /// What it was worked out from.
    pub basis: Basis,
}

/// Screens a joist.
pub fn screen(joist: &Joist) -> Screened {
    beam::screen(&as_member(joist))
}

/// The joist as a member: its area loads along it.
pub fn as_member(joist: &Joist) -> Member {
    let mut member = joist.member.clone();
    let spacing = joist.spacing.value;
    member.repetitive = joist.count >= REPETITIVE_FROM
        && joist.sheathed == Known::Yes
        && spacing.is_some_and(|spacing| spacing <= REPETITIVE_TO);
    if joist.sheathed == Known::Yes {
        member.top_edge = Known::Yes;
    }
    for area in &joist.area_loads {
        let load = area
            .load
            .zip(spacing)
            .map(|(load, spacing)| along(load, spacing));
        let what = if area.load.is_some() && spacing.is_none() {
            format!("{}: {}", area.what, joist.spacing.what)
        } else {
            area.what.clone()
        };
        member.line_loads.push(LineLoad {
            what,
            kind: area.kind,
            load,
            at_least: None,
            stretch: None,
            basis: Basis::of(&[&joist.spacing]).and(&area.basis),
        });
    }
    member
}

/// A load on an area, along a joist so far from the next.
pub fn along(load: Psf, spacing: Length) -> Plf {
    plf_up(psf(load) * inches(spacing) / 12.0)
}
