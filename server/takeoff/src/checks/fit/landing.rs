//! Landing: a post against what is solid under it, each axis on its own.
//!
//! Solids that touch, and packing recorded as set, join into one. A stretch of the post over 1/16 in without bearing is a
//! gap: stop, until its packing is recorded as set. Off centre by more than a sixth of what it stands on, across the member:
//! look. Source: common practice, no published source.

use super::TOUCHING;
use super::packing::{Gap, Packing, packing};
use crate::checks::{Finding, Measurement, Verdict, missing};
use crate::needs::{Sum, sum};
use crate::units::Length;

const SOURCE: &str = "common practice, no published source";

/// A post and what is under it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Landing {
    /// Its name: `Post 2`.
    pub post: String,
    /// Across the member, and along it; one alone where the other has no edges.
    pub axes: Vec<Axis>,
    /// Whether something solid stands straight below the member that it lands on.
    pub below: Below,
}

/// What is straight below the member that a post lands on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Below {
    /// A girder, post, wall or pad.
    Solid(String),
    /// Nothing: the member carries it, and this is what its own screen says with the post's load.
    Nothing(Option<Verdict>),
    /// Nobody has said.
    NotKnown,
}

/// Which way an axis runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// Across the member.
    Across,
    /// Along it.
    Along,
}

/// One axis: the post and the solids under it, measured from the same zero end.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Axis {
    /// Which way.
    pub way: Way,
    /// The post's near face.
    pub near: Measurement,
    /// The post's size.
    pub size: Measurement,
    /// What is solid under it, and packing that is set.
    pub solids: Vec<Solid>,
}

/// A solid under a post.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Solid {
    /// Its name: `joist 4`.
    pub name: String,
    /// Its near face.
    pub near: Measurement,
    /// Its size, as found; of packing as set.
    pub size: Measurement,
}

/// What one axis comes to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bears {
    /// Which way.
    pub way: Way,
    /// How much of the post has bearing.
    pub overlap: Length,
    /// That in percent of the post, down.
    pub percent: i64,
    /// From the post's centre to the nearest solid's, in halves of a 64th.
    half_64ths_off: i64,
    /// The solid that is nearest, joined with what touches it.
    nearest: Stretch,
    /// Stretches of the post without bearing, with the packing that fills each.
    pub gaps: Vec<Hole>,
}

/// A stretch of a post without bearing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hole {
    /// How long it is: between two members the whole clear distance, else to the post's edge.
    pub gap: Length,
    /// Where it is.
    pub place: Gap,
    /// What fills it; `None`: nothing does.
    pub packing: Option<Packing>,
    /// Where it begins, in the axis' measure.
    pub from: Length,
    /// Where it ends.
    pub to: Length,
    /// Whether packing is held by the solid at its far end, and not by the one before it.
    pub held_by_far: bool,
}

/// From and to, in one measure, with the names of what is joined there.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Stretch {
    from: Length,
    to: Length,
    names: String,
}

impl Bears {
    /// From the post's centre to the nearest solid's, down to 1/64 in.
    pub fn off_centre(&self) -> Length {
        Length::from_64ths(self.half_64ths_off).half_down()
    }

    /// The verdict of this axis: off centre counts across the member only.
    pub fn verdict(&self) -> Verdict {
        let width = self.nearest.to - self.nearest.from;
        // e over a sixth of the width, both sides doubled: 6 × 2e > 2 × width.
        let is_off = self.way == Way::Across && 6 * self.half_64ths_off > 2 * width.as_64ths();
        if !self.gaps.is_empty() {
            Verdict::Stop
        } else if is_off {
            Verdict::Look
        } else {
            Verdict::Pass
        }
    }
}

/// How a post lands.
pub fn landing(landing: &Landing) -> Finding {
    let rests_on: Vec<&Measurement> = landing.axes.iter().flat_map(Axis::measurements).collect();
    let mut needs = missing(&rests_on);
    if landing.axes.is_empty() {
        needs.push("where it stands, and what is under it".to_owned());
    }
    match landing.below {
        Below::NotKnown => needs.push("what stands straight below".to_owned()),
        Below::Nothing(None | Some(Verdict::CantTellYet)) => {
            needs.push("the screen of what it lands on, with its load".to_owned());
        }
        Below::Nothing(Some(_)) | Below::Solid(_) => {}
    }
    let bears: Option<Vec<Bears>> = landing.axes.iter().map(bears).collect();
    let bears = bears.unwrap_or_default();
    let worst = bears
        .iter()
        .map(Bears::verdict)
        .max()
        .unwrap_or(Verdict::Pass);
    let carried = match landing.below {
        Below::Nothing(Some(verdict)) if verdict != Verdict::CantTellYet => match verdict {
            Verdict::Pass => Verdict::Pass,
            _ => Verdict::Stop,
        },
        _ => Verdict::Pass,
    };
    let verdict = worst.max(carried);
    if !needs.is_empty() && verdict != Verdict::Stop {
        return Finding::cant_tell(&needs, SOURCE).resting_on(&rests_on);
    }
    let mut found = Finding::new(verdict, sentence(landing, &bears, carried), SOURCE)
        .with_sums(bears.iter().flat_map(sums).collect())
        .resting_on(&rests_on);
    found.measure = needs;
    found
}

/// What one axis comes to; `None` where something of it is missing.
pub fn bears(axis: &Axis) -> Option<Bears> {
    let near = axis.near.value?;
    let size = axis.size.value.filter(|size| *size > Length::ZERO)?;
    let far = near + size;
    let joined = joined(axis)?;
    let within = |from: Length, to: Length| (to.min(far) - from.max(near)).max(Length::ZERO);
    let overlap: Length = joined.iter().map(|one| within(one.from, one.to)).sum();
    let centre = near + far;
    // The nearest of those that it stands on; where it stands on none, of all.
    let is_under = |one: &&Stretch| one.to > near && one.from < far;
    let bearing: Vec<&Stretch> = joined.iter().filter(is_under).collect();
    let of = if bearing.is_empty() {
        joined.iter().collect()
    } else {
        bearing
    };
    let nearest = of
        .into_iter()
        .min_by_key(|one| ((one.from + one.to - centre).abs(), one.from))
        .cloned();
    let half_64ths_off = nearest
        .as_ref()
        .map_or(0, |one| (one.from + one.to - centre).abs().as_64ths());
    Some(Bears {
        way: axis.way,
        overlap,
        percent: (100 * overlap.as_64ths()).div_euclid(size.as_64ths()),
        half_64ths_off,
        gaps: gaps(near, far, &joined),
        nearest: nearest.unwrap_or(Stretch {
            from: near,
            to: near,
            names: String::new(),
        }),
    })
}

impl Axis {
    fn measurements(&self) -> Vec<&Measurement> {
        let mut all = vec![&self.near, &self.size];
        all.extend(
            self.solids
                .iter()
                .flat_map(|solid| [&solid.near, &solid.size]),
        );
        all
    }
}

/// The solids by their near faces, those that touch joined into one.
fn joined(axis: &Axis) -> Option<Vec<Stretch>> {
    let mut all = Vec::new();
    for solid in &axis.solids {
        let from = solid.near.value?;
        all.push(Stretch {
            from,
            to: from + solid.size.value?,
            names: solid.name.clone(),
        });
    }
    all.sort_by(|a, b| (a.from, a.to, &a.names).cmp(&(b.from, b.to, &b.names)));
    let mut joined: Vec<Stretch> = Vec::new();
    for one in all {
        match joined.last_mut() {
            Some(last) if one.from - last.to <= TOUCHING => {
                last.to = last.to.max(one.to);
                last.names = format!("{}, {}", last.names, one.names);
            }
            _ => joined.push(one),
        }
    }
    Some(joined)
}

/// Stretches of the post over 1/16 in without bearing.
fn gaps(near: Length, far: Length, joined: &[Stretch]) -> Vec<Hole> {
    let mut all = Vec::new();
    let mut bare_from = near;
    let mut before: Option<&Stretch> = None;
    for one in joined.iter().filter(|one| one.to > near && one.from < far) {
        if one.from - bare_from > TOUCHING {
            let between = before.map(|before| one.from - before.to);
            all.push(Hole {
                held_by_far: before.is_none(),
                ..hole(between, bare_from, one.from)
            });
        }
        bare_from = bare_from.max(one.to);
        before = Some(one);
    }
    if far - bare_from > TOUCHING {
        match before {
            Some(_) => all.push(hole(None, bare_from, far)),
            None => all.push(Hole {
                gap: far - near,
                place: Gap::AtTheEdge,
                packing: None,
                from: near,
                to: far,
                held_by_far: false,
            }),
        }
    }
    all
}

fn hole(between: Option<Length>, from: Length, to: Length) -> Hole {
    let bare = to - from;
    let (gap, place) = between.map_or((bare, Gap::AtTheEdge), |clear| (clear, Gap::BetweenTwo));
    Hole {
        gap,
        place,
        packing: packing(gap, place),
        from,
        to,
        held_by_far: false,
    }
}

fn sentence(landing: &Landing, bears: &[Bears], carried: Verdict) -> String {
    let post = &landing.post;
    let mut parts: Vec<String> = Vec::new();
    for one in bears {
        if one.overlap == Length::ZERO {
            parts.push(format!("{post} lands on nothing {}", words(one.way)));
            continue;
        }
        for hole in &one.gaps {
            let fill = match &hole.packing {
                Some(packing) => {
                    format!("pack it with {packing}, on end, grain upright, down to bearing")
                }
                None => "no packing fills that".to_owned(),
            };
            parts.push(format!(
                "{} in has no bearing {}: {fill}",
                hole.gap,
                words(one.way)
            ));
        }
        if one.verdict() == Verdict::Look {
            parts.push(format!(
                "it stands {} in off the centre of {}, over a sixth of its width",
                one.off_centre(),
                one.nearest.names
            ));
        }
    }
    if carried == Verdict::Stop {
        parts.push(
            "nothing solid stands straight below, and the member does not carry it".to_owned(),
        );
    }
    let on: Vec<&str> = bears
        .iter()
        .map(|one| one.nearest.names.as_str())
        .filter(|names| !names.is_empty())
        .collect();
    let lands = match on.first() {
        Some(names) => format!("{post} lands on {names}"),
        None => String::new(),
    };
    let all: Vec<String> = [lands]
        .into_iter()
        .filter(|one| !one.is_empty())
        .chain(parts)
        .collect();
    format!("{}.", all.join("; "))
}

const fn words(way: Way) -> &'static str {
    match way {
        Way::Across => "across the member",
        Way::Along => "along the member",
    }
}

fn sums(bears: &Bears) -> Vec<Sum> {
    let mut all = vec![
        sum(
            format!("Bearing {}", words(bears.way)),
            format!("{} in", bears.overlap),
            format!("{} % of the post", bears.percent),
        ),
        sum(
            "Off centre",
            format!("{} in", bears.off_centre()),
            "post’s centre to the nearest solid’s",
        ),
    ];
    for hole in &bears.gaps {
        all.push(sum(
            "Without bearing",
            format!("{} in", hole.gap),
            hole.packing
                .map_or("no packing fills it".to_owned(), |one| one.to_string()),
        ));
    }
    all
}

#[cfg(test)]
mod tests;
