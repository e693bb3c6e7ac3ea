//! Pieces that tests put into the house: a girder and floor joists below the shore, and the shore.

use crate::needs::testing::Entry;

type Fields = Vec<(&'static str, &'static str)>;

/// A piece's fields, these otherwise; an empty text leaves one out.
pub(super) fn with(piece: Entry<'static>, otherwise: &[(&'static str, &'static str)]) -> Fields {
    let is_as_before = |name: &str| otherwise.iter().all(|(other, _)| *other != name);
    let kept = piece.2.iter().filter(|(name, _)| is_as_before(name));
    let said = otherwise.iter().filter(|(_, text)| !text.is_empty());
    kept.chain(said).copied().collect()
}

/// A shore on both sides of the middle wall, wedged.
pub(super) const SHORE: Entry<'static> = (
    "shore",
    "shore",
    &[
        ("wall", "@middle"),
        ("sides", "both"),
        ("from", "12"),
        ("to", "120"),
        ("fit", "wedged"),
        ("stud", "2x4"),
    ],
);

/// A girder under the shore, not under the wall: 1 3/4 × 7 1/2 over 172 in, both ends on masonry.
pub(super) const LOW: Entry<'static> = (
    "member",
    "low girder",
    &[
        ("piece", "girder"),
        ("room", "@under"),
        ("measured_from", "@middle"),
        ("measured_to", "near_face"),
        ("direction", "along"),
        ("species", "Douglas Fir-Larch"),
        ("grade", "No.2"),
        ("judged_by", "stamp"),
        ("moisture", "dry"),
        ("top_held", "yes"),
        ("start_on", "masonry"),
        ("end_on", "masonry"),
        ("looked_at", "sound"),
    ],
);

pub(super) const LOW_READ: [(&str, &str, &str); 7] = [
    ("@low girder", "thickness", "1 3/4"),
    ("@low girder", "depth", "7 1/2"),
    ("@low girder", "start", "0"),
    ("@low girder", "length", "180"),
    ("@low girder", "bearing_start", "4"),
    ("@low girder", "bearing_end", "4"),
    ("@low girder", "span", "172"),
];

/// 2×8 floor joists of 12 ft along the wall, each end 3 1/2 in on masonry.
pub(super) const FLOOR: Entry<'static> = (
    "run",
    "floor",
    &[
        ("piece", "joist"),
        ("room", "@under"),
        ("carries", "@kitchen"),
        ("spacing", "16"),
        ("count", "9"),
        ("measured_from", "@middle"),
        ("measured_to", "near_face"),
        ("direction", "along"),
        ("over_wall", "ends"),
        ("species", "Douglas Fir-Larch"),
        ("grade", "No.2"),
        ("judged_by", "stamp"),
        ("moisture", "dry"),
        ("top_held", "yes"),
        ("start_on", "masonry"),
        ("end_on", "masonry"),
        ("looked_at", "sound"),
    ],
);

pub(super) const FLOOR_READ: [(&str, &str, &str); 6] = [
    ("@floor", "thickness", "1 1/2"),
    ("@floor", "depth", "7 1/4"),
    ("@floor", "place", "20"),
    ("@floor", "span", "144"),
    ("@floor", "bearing_start", "3 1/2"),
    ("@floor", "bearing_end", "3 1/2"),
];
