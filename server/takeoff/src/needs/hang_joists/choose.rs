//! Which hanger of the job's own table takes a joist as found.
//!
//! Fits: t ≤ seat ≤ t + 1/8, height from ≤ d, height to ≥ 0.6 d, height from ≤ beam depth. Several: least seat − t,
//! then greatest height to, price (unpriced last), name. None: the next wider seat with a shim to 1/2, the next narrower with
//! up to 1/8 planed off, where the heights fit and the sheet allows it. A row without seat or heights fits nothing. The
//! load that it takes is the checks' matter.
//!
//! Source: common practice, no published source; the figures are the maker's, as people filled them in.

use std::cmp::Reverse;

use uuid::Uuid;

use crate::record::job::natural;
use crate::record::{Job, Kind, Record};
use crate::units::Length;

/// A seat is wider than its joist by this at most.
pub(crate) const PLAY: Length = Length::from_64ths(8);
/// The thickest shim.
pub(crate) const SHIM: Length = Length::from_64ths(32);
/// The most that is planed off.
pub(crate) const PLANE: Length = Length::from_64ths(8);

/// A joist's section as found, and the depth of the beam that it hangs on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Joint {
    /// The joist's thickness.
    pub(super) thickness: Length,
    /// The joist's depth.
    pub(super) depth: Length,
    /// The beam's depth.
    pub(super) beam_depth: Length,
}

/// A hanger of the table, with the figures that choosing goes by.
#[derive(Clone, Copy, Debug)]
pub(super) struct Hanger<'a> {
    /// Its row.
    pub(super) row: &'a Record,
    /// Its seat.
    pub(super) seat: Length,
    from: Length,
    to: Length,
}

impl<'a> Hanger<'a> {
    /// The hanger of a row; `None` for other hardware and where seat or heights aren't filled in.
    pub(super) fn of(row: &'a Record) -> Option<Self> {
        if !row.says("type", "hanger") {
            return None;
        }
        Some(Self {
            row,
            seat: row.length("seat")?,
            from: row.length("height_from")?,
            to: row.length("height_to")?,
        })
    }

    /// Whether the heights take joist and beam.
    pub(super) fn takes_height(&self, joint: Joint) -> bool {
        self.from <= joint.depth && self.from <= joint.beam_depth && self.to * 5 >= joint.depth * 3
    }

    /// Whether it takes the joist as found.
    pub(super) fn fits(&self, joint: Joint) -> bool {
        self.takes_height(joint) && (joint.thickness..=joint.thickness + PLAY).contains(&self.seat)
    }

    /// Whether a shim of seat − t may fill it, by the sheet and by its thickness.
    pub(super) fn may_be_shimmed(&self, joint: Joint) -> bool {
        let shim = self.seat - joint.thickness;
        self.row.says("shim_ok", "yes") && Length::ZERO < shim && shim <= SHIM
    }

    /// Whether the joist may be planed to it by t − seat, by the sheet and by how much that is.
    pub(super) fn may_be_planed_to(&self, joint: Joint) -> bool {
        let off = joint.thickness - self.seat;
        self.row.says("plane_ok", "yes") && Length::ZERO < off && off <= PLANE
    }
}

/// The hanger that takes a joist as found, best first.
pub(super) fn best(job: &Job, joint: Joint) -> Option<Hanger<'_>> {
    hangers(job)
        .filter(|hanger| hanger.fits(joint))
        .min_by_key(|hanger| (hanger.seat - joint.thickness, rank(job, hanger)))
}

/// The next wider with a shim, and the next narrower with planing.
pub(super) fn offers(job: &Job, joint: Joint) -> [Option<Hanger<'_>>; 2] {
    let of_height = || hangers(job).filter(|hanger| hanger.takes_height(joint));
    [
        of_height()
            .filter(|hanger| hanger.may_be_shimmed(joint))
            .min_by_key(|hanger| (hanger.seat, rank(job, hanger))),
        of_height()
            .filter(|hanger| hanger.may_be_planed_to(joint))
            .min_by_key(|hanger| (Reverse(hanger.seat), rank(job, hanger))),
    ]
}

fn hangers(job: &Job) -> impl Iterator<Item = Hanger<'_>> {
    job.all(Kind::Hardware).filter_map(Hanger::of)
}

type Rank = (Reverse<Length>, (bool, i128), Vec<(String, u64)>, Uuid);

/// Among seats alike: the greatest height, the least price, the name.
fn rank(job: &Job, hanger: &Hanger) -> Rank {
    let row = hanger.row;
    (
        Reverse(hanger.to),
        price(job, row.id),
        natural(row.name()),
        row.id,
    )
}

/// The least price of a piece, in 1/1,000,000,000 of a cent so that packs compare, down; unpriced ones sort last, and so do
/// boxes whose count isn't recorded.
fn price(job: &Job, hardware: Uuid) -> (bool, i128) {
    let least = job
        .all(Kind::Price)
        .filter(|row| row.says("section", "hardware") && row.to("hardware") == Some(hardware))
        .filter_map(|row| {
            let cents = i128::from(row.money("price")?.as_cents());
            let tenths = i128::from(hardware_in_one(row).filter(|tenths| *tenths > 0)?);
            Some((cents * 10_000_000_000).div_euclid(tenths))
        })
        .min();
    (least.is_none(), least.unwrap_or(0))
}

/// Pieces of hardware in one sold, in tenths; none where a box's or a pound's count isn't recorded.
pub(crate) fn hardware_in_one(row: &Record) -> Option<i64> {
    let pack = row.number("per_pack").map(|n| n * 10);
    match row.text("sold_by").unwrap_or("each") {
        "each" => Some(10),
        "lb" => row.number("per_lb").or(pack),
        _ => pack,
    }
}

#[cfg(test)]
mod tests {
    use super::super::super::testing::{Entry, inches, job};
    use super::{Joint, best};

    /// Name, seat, height from, height to.
    type Hanger<'a> = (&'a str, &'a str, &'a str, &'a str);

    /// The best of these for a joist of 1 3/4 × 7 on a beam 9 1/4 deep.
    fn chosen(hangers: &[Hanger], prices: &[(&'static str, &'static str)]) -> Option<String> {
        let rows: Vec<_> = hangers
            .iter()
            .map(|(name, seat, from, to)| {
                let fields = [
                    ("type", "hanger"),
                    ("seat", *seat),
                    ("height_from", *from),
                    ("height_to", *to),
                ];
                (*name, fields)
            })
            .collect();
        let price_fields: Vec<_> = prices
            .iter()
            .map(|(hanger, price)| {
                [
                    ("supplier", "@yard"),
                    ("section", "hardware"),
                    ("hardware", *hanger),
                    ("price", *price),
                ]
            })
            .collect();
        let mut entries: Vec<Entry> = rows
            .iter()
            .map(|(name, fields)| ("hardware", *name, &fields[..]))
            .collect();
        let words = ["p1", "p2", "p3"];
        entries.extend(
            words
                .iter()
                .zip(&price_fields)
                .map(|(word, fields)| ("price", *word, &fields[..])),
        );
        let joint = Joint {
            thickness: inches("1 3/4"),
            depth: inches("7"),
            beam_depth: inches("9 1/4"),
        };
        let job = job(&entries);
        best(&job, joint).map(|hanger| hanger.row.name().to_owned())
    }

    #[test]
    fn a_hanger_fits_by_seat_and_heights_as_found() {
        for (seat, from, to, fits) in [
            ("1 3/4", "6", "6", true),
            ("1 47/64", "6", "6", false), // narrower than the joist
            ("1 7/8", "6", "6", true),
            ("1 57/64", "6", "6", false), // over 1/8 wider
            ("1 3/4", "7", "7", true),
            ("1 3/4", "7 1/64", "7 1/8", false), // for a deeper joist
            ("1 3/4", "4", "4 13/64", true),     // 0.6 × 7 = 4.2
            ("1 3/4", "4", "4 12/64", false),    // 4.1875
        ] {
            let got = chosen(&[("H", seat, from, to)], &[]);
            assert_eq!(got.is_some(), fits, "{seat}, {from} to {to}");
        }
    }

    #[test]
    fn a_hanger_taller_than_the_beam_does_not_fit() {
        let job = job(&[(
            "hardware",
            "H",
            &[
                ("type", "hanger"),
                ("seat", "1 3/4"),
                ("height_from", "6"),
                ("height_to", "6"),
            ],
        )]);
        let on = |beam_depth| Joint {
            thickness: inches("1 3/4"),
            depth: inches("7"),
            beam_depth: inches(beam_depth),
        };
        assert!(best(&job, on("6")).is_some());
        assert!(best(&job, on("5 7/8")).is_none());
    }

    #[test]
    fn of_several_the_closest_seat_then_the_tallest_then_the_cheapest_then_the_name() {
        let best = |hangers: &[Hanger], prices: &[(&'static str, &'static str)]| {
            chosen(hangers, prices).expect("one fits")
        };
        let close = ("close", "1 25/32", "6", "5");
        let loose = ("loose", "1 7/8", "6", "7");
        assert_eq!(best(&[loose, close], &[("@loose", "1.00")]), "close");
        let tall = ("tall", "1 25/32", "6", "6");
        assert_eq!(best(&[close, tall], &[("@close", "1.00")]), "tall");
        let (a, b, c) = (
            ("H 2", "1 25/32", "6", "6"),
            ("H 10", "1 25/32", "6", "6"),
            ("H 3", "1 25/32", "6", "6"),
        );
        assert_eq!(best(&[c, b, a], &[]), "H 2");
        assert_eq!(best(&[a, b, c], &[("@H 10", "9.00")]), "H 10");
        let prices = [("@H 10", "2.00"), ("@H 3", "1.99"), ("@H 10", "2.10")];
        assert_eq!(best(&[a, b, c], &prices), "H 3");
    }
}
