//! HEIF and HEIC: box by box, nothing decoded, nothing moved.
//!
//! Such a file names its own bytes by their place, so nothing can be cut out of it: what is not kept is blanked where it
//! stands. Kept are the data of the coded pictures and what says how to show them. All else is zeros then: EXIF (with the
//! place), XMP, names and texts, other boxes, and every byte of the data that no coded picture is made of. Which way is up
//! is a property of the picture here, not of EXIF.
//!
//! Sources: boxes, ISO/IEC 14496-12 (2015), sections 4.2, 8.11.1 to 8.11.6, 8.11.11; properties, ISO/IEC 23008-12 (2017),
//! section 6.5 and annex B. Both from memory.

use std::ops::Range;

use super::{Kept, Refused, fits};

/// Brands of files that hold such pictures.
const BRANDS: [&[u8; 4]; 8] = [
    b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1",
];
/// Items that are pictures, or made of pictures.
const PICTURES: [&[u8; 4]; 6] = [b"hvc1", b"hev1", b"lhv1", b"grid", b"iovl", b"iden"];
/// Properties that say how a picture is decoded and shown.
const SHOWING: [&[u8; 4]; 14] = [
    b"ispe", b"hvcC", b"lhvC", b"colr", b"pixi", b"irot", b"imir", b"clap", b"pasp", b"auxC",
    b"clli", b"mdcv", b"lsel", b"rloc",
];
/// At most so many boxes beside each other, items, and parts of one.
const MOST: usize = 10_000;

/// Whether bytes begin as such a file does.
pub(super) fn is_one(bytes: &[u8]) -> bool {
    bytes.get(4..8) == Some(b"ftyp")
        && bytes
            .get(8..12)
            .is_some_and(|brand| BRANDS.iter().any(|one| brand == *one))
}

/// Reads one.
pub(super) fn read(bytes: &[u8]) -> Result<Kept, Refused> {
    let top = boxes(bytes, 0..bytes.len())?;
    let mut metas = top.iter().filter(|one| &one.name == b"meta");
    let (Some(meta), None) = (metas.next(), metas.next()) else {
        return Err(Refused::Damaged);
    };
    let mut kept = bytes.to_vec();
    let held = Meta::read(bytes, meta, &mut kept)?;
    for one in &top {
        match &one.name {
            b"ftyp" | b"meta" => {}
            b"mdat" => blank_between(&mut kept, &one.holds, &held.in_file),
            _ => free(&mut kept, one),
        }
    }
    let (width, height) = held.sides;
    Ok(Kept {
        width,
        height,
        turned: None,
        bytes: kept,
    })
}

/// A box: its name, where that stands, and where what it holds does.
struct Boxed {
    name: [u8; 4],
    named_at: usize,
    holds: Range<usize>,
}

/// The boxes that fill a range.
fn boxes(bytes: &[u8], within: Range<usize>) -> Result<Vec<Boxed>, Refused> {
    let mut all = Vec::new();
    let mut at = within.start;
    while at < within.end {
        let mut long = usize_of(number(bytes, at, 4)?)?;
        let mut head = 8;
        let name = name_at(bytes, at + 4)?;
        if long == 1 {
            long = usize_of(number(bytes, at + 8, 8)?)?;
            head = 16;
        } else if long == 0 {
            long = within.end - at;
        }
        let end = at.checked_add(long).ok_or(Refused::Damaged)?;
        if long < head || all.len() >= MOST {
            return Err(Refused::Damaged);
        }
        if end > within.end {
            return Err(Refused::CutOff);
        }
        all.push(Boxed {
            name,
            named_at: at + 4,
            holds: at + head..end,
        });
        at = end;
    }
    Ok(all)
}

/// What the file says of its items.
struct Meta {
    /// The main picture, upright.
    sides: (u32, u32),
    /// Where coded pictures stand in the file.
    in_file: Vec<Range<usize>>,
}

impl Meta {
    /// Reads it, and blanks of it in `kept` what is not kept.
    fn read(bytes: &[u8], meta: &Boxed, kept: &mut [u8]) -> Result<Self, Refused> {
        // A full box: version and flags first.
        let inside = boxes(bytes, meta.holds.start + 4..meta.holds.end)?;
        let one = |name: &[u8; 4]| {
            let mut all = inside.iter().filter(|one| &one.name == name);
            match (all.next(), all.next()) {
                (Some(found), None) => Ok(found),
                _ => Err(Refused::Damaged),
            }
        };
        let handler = one(b"hdlr")?;
        if &name_at(bytes, handler.holds.start + 8)? != b"pict" {
            return Err(Refused::Damaged);
        }
        let pictures = pictures_of(bytes, one(b"iinf")?, kept)?;
        let main = {
            let holds = one(b"pitm")?.holds.start;
            let wide = if number(bytes, holds, 1)? == 0 { 2 } else { 4 };
            number(bytes, holds + 4, wide)?
        };
        let sides = sides_of(bytes, one(b"iprp")?, main, kept)?;
        let data = inside.iter().find(|one| &one.name == b"idat");
        let places = places(bytes, one(b"iloc")?, &pictures, data)?;
        for one in &inside {
            match &one.name {
                b"pitm" | b"iinf" | b"iloc" | b"iprp" | b"iref" => {}
                // Its name is a text that nobody shows.
                b"hdlr" => blank(kept, one.holds.start + 24..one.holds.end),
                b"idat" => blank_between(kept, &one.holds, &places),
                _ => free(kept, one),
            }
        }
        Ok(Self {
            sides,
            in_file: places,
        })
    }
}

/// The ids of the items that are pictures; the names of all items are blanked.
fn pictures_of(bytes: &[u8], list: &Boxed, kept: &mut [u8]) -> Result<Vec<u64>, Refused> {
    let start = list.holds.start;
    let head = if number(bytes, start, 1)? == 0 { 6 } else { 8 };
    let mut pictures = Vec::new();
    for item in boxes(bytes, start + head..list.holds.end)? {
        let at = item.holds.start;
        let wide = match (&item.name, number(bytes, at, 1)?) {
            (b"infe", 2) => 2,
            (b"infe", 3) => 4,
            _ => return Err(Refused::Damaged),
        };
        let id = number(bytes, at + 4, wide)?;
        let kind = at + 4 + wide + 2;
        if PICTURES.contains(&&name_at(bytes, kind)?) {
            pictures.push(id);
        }
        blank(kept, kind + 4..item.holds.end);
    }
    Ok(pictures)
}

/// Where the data of these items stand in the file, whether beside the list (`data`) or anywhere.
fn places(
    bytes: &[u8],
    list: &Boxed,
    pictures: &[u64],
    data: Option<&Boxed>,
) -> Result<Vec<Range<usize>>, Refused> {
    let mut read = Reading {
        bytes,
        at: list.holds.start,
    };
    let version = read.next(1)?;
    read.at += 3;
    let widths = read.next(2)?;
    let wide = |shift: u32| usize_of((widths >> shift) & 15);
    let (offset, length, base) = (wide(12)?, wide(8)?, wide(4)?);
    let index = if version == 0 { 0 } else { wide(0)? };
    let id_wide = if version < 2 { 2 } else { 4 };
    let n_items = usize_of(read.next(id_wide)?)?;
    if version > 2 || n_items > MOST {
        return Err(Refused::Damaged);
    }
    let mut places = Vec::new();
    for _ in 0..n_items {
        let id = read.next(id_wide)?;
        let beside = version > 0 && read.next(2)? & 15 == 1;
        let elsewhere = read.next(2)? != 0;
        let from = read.next(base)?;
        let n_parts = usize_of(read.next(2)?)?;
        if n_parts > MOST || places.len() > MOST {
            return Err(Refused::Damaged);
        }
        let outer = match (beside, data) {
            (false, _) => 0..bytes.len(),
            (true, Some(data)) => data.holds.clone(),
            (true, None) => return Err(Refused::Damaged),
        };
        for _ in 0..n_parts {
            read.next(index)?;
            let start = from
                .checked_add(read.next(offset)?)
                .ok_or(Refused::Damaged)?;
            let long = usize_of(read.next(length)?)?;
            let start = outer.start.checked_add(usize_of(start)?);
            let end = start.and_then(|start| start.checked_add(long));
            let (Some(start), Some(end)) = (start, end) else {
                return Err(Refused::Damaged);
            };
            if !pictures.contains(&id) {
                continue;
            }
            // A length of none means all the rest, of whatever is in it.
            if elsewhere || long == 0 {
                return Err(Refused::Damaged);
            }
            if end > outer.end {
                return Err(Refused::CutOff);
            }
            places.push(start..end);
        }
    }
    places.sort_by_key(|place| (place.start, place.end));
    Ok(places)
}

/// The main picture's sides, upright; properties that don't say how a picture is shown are blanked.
fn sides_of(bytes: &[u8], list: &Boxed, main: u64, kept: &mut [u8]) -> Result<(u32, u32), Refused> {
    let inside = boxes(bytes, list.holds.clone())?;
    let known = inside.iter().find(|one| &one.name == b"ipco");
    let properties = boxes(bytes, known.ok_or(Refused::Damaged)?.holds.clone())?;
    for one in &properties {
        if !SHOWING.contains(&&one.name) {
            free(kept, one);
        }
    }
    let (mut sides, mut lies) = (None, false);
    for one in inside.iter().filter(|one| &one.name == b"ipma") {
        for of_main in linked(bytes, one, main)? {
            let Some(property) = of_main.checked_sub(1).and_then(|at| properties.get(at)) else {
                continue;
            };
            let at = property.holds.start;
            match &property.name {
                b"ispe" => sides = Some((number(bytes, at + 4, 4)?, number(bytes, at + 8, 4)?)),
                b"irot" => lies = number(bytes, at, 1)? & 1 == 1,
                _ => {}
            }
        }
    }
    let side = |n: u64| u32::try_from(n).map_err(|_| Refused::Damaged);
    let (width, height) = sides.ok_or(Refused::Damaged)?;
    let (width, height) = (side(width)?, side(height)?);
    fits(width, height)?;
    Ok(if lies {
        (height, width)
    } else {
        (width, height)
    })
}

/// The places, from 1, of the properties of an item.
fn linked(bytes: &[u8], list: &Boxed, item: u64) -> Result<Vec<usize>, Refused> {
    let mut read = Reading {
        bytes,
        at: list.holds.start,
    };
    let head = read.next(4)?;
    let (version, is_wide) = (head >> 24, head & 1 == 1);
    let n_items = usize_of(read.next(4)?)?;
    if n_items > MOST {
        return Err(Refused::Damaged);
    }
    let mut found = Vec::new();
    for _ in 0..n_items {
        let id = read.next(if version == 0 { 2 } else { 4 })?;
        for _ in 0..read.next(1)? {
            // The first bit says whether a reader must know it.
            let at = if is_wide {
                read.next(2)? & 0x7fff
            } else {
                read.next(1)? & 0x7f
            };
            if id == item {
                found.push(usize_of(at)?);
            }
        }
    }
    Ok(found)
}

/// Numbers one after another.
struct Reading<'a> {
    bytes: &'a [u8],
    at: usize,
}

impl Reading<'_> {
    fn next(&mut self, wide: usize) -> Result<u64, Refused> {
        let found = number(self.bytes, self.at, wide)?;
        self.at += wide;
        Ok(found)
    }
}

/// A number of up to eight bytes, the largest first.
fn number(bytes: &[u8], at: usize, wide: usize) -> Result<u64, Refused> {
    let end = at.checked_add(wide).ok_or(Refused::Damaged)?;
    let all = bytes.get(at..end).ok_or(Refused::CutOff)?;
    if wide > 8 {
        return Err(Refused::Damaged);
    }
    Ok(all.iter().fold(0, |n, byte| (n << 8) | u64::from(*byte)))
}

fn name_at(bytes: &[u8], at: usize) -> Result<[u8; 4], Refused> {
    let end = at.checked_add(4).ok_or(Refused::Damaged)?;
    let name = bytes.get(at..end).and_then(|name| name.try_into().ok());
    name.ok_or(Refused::CutOff)
}

fn usize_of(n: u64) -> Result<usize, Refused> {
    usize::try_from(n).map_err(|_| Refused::Damaged)
}

/// Makes a box one that says nothing.
fn free(kept: &mut [u8], one: &Boxed) {
    if let Some(name) = kept.get_mut(one.named_at..one.named_at + 4) {
        name.copy_from_slice(b"free");
    }
    blank(kept, one.holds.clone());
}

fn blank(kept: &mut [u8], range: Range<usize>) {
    if let Some(all) = kept.get_mut(range) {
        all.fill(0);
    }
}

/// Blanks a range but for these places, which are sorted.
fn blank_between(kept: &mut [u8], range: &Range<usize>, places: &[Range<usize>]) {
    let mut from = range.start;
    for place in places {
        if place.start > from {
            blank(kept, from..place.start.min(range.end));
        }
        from = from.max(place.end);
        if from >= range.end {
            return;
        }
    }
    blank(kept, from..range.end);
}
