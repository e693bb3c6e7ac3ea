//! WebP: chunk by chunk (RFC 9649, section 2), keeping what makes the picture and its colours. An animation is no photo.

use super::{Kept, Refused, exif, fits};

/// What each chunk begins with: its name, and how long what it holds is.
const HEAD: usize = 8;
/// Flags of the extended header (section 2.7.1).
const COLOURS: u8 = 0x20;
const TRANSPARENT: u8 = 0x10;
const EXIF: u8 = 0x08;

/// Whether it begins as one.
pub(super) fn is_one(bytes: &[u8]) -> bool {
    bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"WEBP")
}

/// Reads one.
pub(super) fn read(bytes: &[u8]) -> Result<Kept, Refused> {
    let long = four(bytes, 4).ok_or(Refused::CutOff)?;
    let mut rest = HEAD
        .checked_add(long)
        .and_then(|end| bytes.get(12..end))
        .ok_or(Refused::CutOff)?;
    let (mut canvas, mut picture, mut turned) = (None, None, None);
    let (mut before, mut flags, mut has_alpha) = (Vec::new(), 0, false);
    while !rest.is_empty() {
        let (name, holds, all) = chunk(rest)?;
        rest = rest.get(all..).unwrap_or_default();
        match (name, picture) {
            (b"VP8X", None) if canvas.is_none() => {
                flags = holds.first().copied().unwrap_or_default();
                canvas = Some(sides_of_canvas(holds)?);
            }
            // without the extended header these are nothing
            (b"ICCP" | b"ALPH", None) if canvas.is_some() => {
                has_alpha |= name == b"ALPH";
                before.extend(written(*name, holds));
            }
            (b"VP8 ", None) => picture = Some((name, holds, sides_of_frame(holds)?)),
            (b"VP8L", None) => picture = Some((name, holds, sides_of_lossless(holds)?)),
            (b"EXIF", _) => {
                let block = holds.strip_prefix(b"Exif\0\0").unwrap_or(holds);
                turned = turned.or_else(|| exif::turned(block));
            }
            (b"ANIM" | b"ANMF", _) => return Err(Refused::Other),
            (b"VP8X" | b"VP8 " | b"VP8L", _) => return Err(Refused::Damaged),
            _ => {}
        }
    }
    let (name, holds, (width, height)) = picture.ok_or(Refused::CutOff)?;
    if canvas.is_some_and(|canvas| canvas != (width, height)) {
        return Err(Refused::Damaged);
    }
    fits(width, height)?;
    let mut chunks = Vec::with_capacity(bytes.len());
    if canvas.is_some() {
        // a header that promises what isn't there makes a picture that no decoder takes
        let alpha = if has_alpha || name == b"VP8L" {
            TRANSPARENT
        } else {
            0
        };
        let says = flags & (COLOURS | alpha) | turned.map_or(0, |_| EXIF);
        let [w0, w1, w2, _] = (width - 1).to_le_bytes();
        let [h0, h1, h2, _] = (height - 1).to_le_bytes();
        chunks.extend(written(*b"VP8X", &[says, 0, 0, 0, w0, w1, w2, h0, h1, h2]));
    }
    chunks.extend(before);
    chunks.extend(written(*name, holds));
    // what stands beside a picture without the extended header is no EXIF
    let turned = turned.filter(|_| canvas.is_some());
    if let Some(turned) = turned {
        chunks.extend(written(*b"EXIF", &turned.block()));
    }
    Ok(Kept {
        width,
        height,
        turned,
        bytes: written(*b"RIFF", &[b"WEBP", chunks.as_slice()].concat()),
    })
}

/// The next chunk's name, what it holds, and how far it reaches: an odd one is followed by one more byte.
fn chunk(rest: &[u8]) -> Result<(&[u8; 4], &[u8], usize), Refused> {
    let name = rest.first_chunk().ok_or(Refused::CutOff)?;
    let long = four(rest, 4).ok_or(Refused::CutOff)?;
    let end = HEAD.checked_add(long).ok_or(Refused::Damaged)?;
    let holds = rest.get(HEAD..end).ok_or(Refused::CutOff)?;
    Ok((name, holds, end + long % 2))
}

/// A chunk of our own.
fn written(name: [u8; 4], holds: &[u8]) -> Vec<u8> {
    let long = u32::try_from(holds.len()).unwrap_or(0).to_le_bytes();
    let odd = if holds.len() % 2 == 1 { &[0][..] } else { &[] };
    [&name, &long[..], holds, odd].concat()
}

fn four(bytes: &[u8], at: usize) -> Option<usize> {
    let [a, b, c, d] = *bytes.get(at..)?.first_chunk()?;
    usize::try_from(u32::from_le_bytes([a, b, c, d])).ok()
}

/// Of the extended header (section 2.7.1): three bytes a side, one less than it is.
fn sides_of_canvas(header: &[u8]) -> Result<(u32, u32), Refused> {
    let [_, _, _, _, w0, w1, w2, h0, h1, h2] = *header else {
        return Err(Refused::Damaged);
    };
    Ok((
        u32::from_le_bytes([w0, w1, w2, 0]) + 1,
        u32::from_le_bytes([h0, h1, h2, 0]) + 1,
    ))
}

/// Of a key frame (RFC 6386, section 9.1): fourteen bits a side.
fn sides_of_frame(frame: &[u8]) -> Result<(u32, u32), Refused> {
    let [tag, _, _, 0x9d, 0x01, 0x2a, w0, w1, h0, h1, ..] = *frame else {
        return Err(Refused::Damaged);
    };
    if tag & 1 == 1 {
        return Err(Refused::Damaged);
    }
    let side = |low, high| u32::from(u16::from_le_bytes([low, high]) & 0x3fff);
    Ok((side(w0, w1), side(h0, h1)))
}

/// Of a lossless one (RFC 9649, section 3.4): fourteen bits a side, one less than it is, then one bit and a version of 0.
fn sides_of_lossless(frame: &[u8]) -> Result<(u32, u32), Refused> {
    let [0x2f, a, b, c, d, ..] = *frame else {
        return Err(Refused::Damaged);
    };
    let bits = u32::from_le_bytes([a, b, c, d]);
    if bits >> 29 != 0 {
        return Err(Refused::Damaged);
    }
    Ok(((bits & 0x3fff) + 1, (bits >> 14 & 0x3fff) + 1))
}
