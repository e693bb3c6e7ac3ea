//! PNG: chunk by chunk (W3C third edition, chapters 5 and 11), keeping what makes the picture and its colours.

use super::{Kept, Refused, exif, fits};

/// What a PNG begins with.
pub(super) const MAGIC: [u8; 8] = *b"\x89PNG\r\n\x1a\n";

/// Chunks that make the picture and its colours. Text, time, place, animation and private chunks are not among them.
const KEPT: [&[u8; 4]; 11] = [
    b"IHDR", b"PLTE", b"IDAT", b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"iCCP", b"sBIT", b"bKGD",
    b"pHYs",
];

/// Reads one.
pub(super) fn read(bytes: &[u8]) -> Result<Kept, Refused> {
    let mut chunks = Vec::new();
    let mut rest = bytes.get(MAGIC.len()..).unwrap_or_default();
    let mut size = None;
    let mut turned = None;
    loop {
        let chunk = chunk(rest)?;
        match (&chunk.name, size) {
            (b"IHDR", None) => size = Some(sides(chunk.holds)?),
            (b"IHDR", Some(_)) | (_, None) => return Err(Refused::Damaged),
            (b"IEND", _) => break,
            (b"eXIf", _) => turned = turned.or_else(|| exif::turned(chunk.holds)),
            // A capital first letter: without it there is no picture.
            (name, _) if name[0].is_ascii_uppercase() && !KEPT.contains(&name) => {
                return Err(Refused::Damaged);
            }
            _ => {}
        }
        rest = rest.get(chunk.all.len()..).unwrap_or_default();
        chunks.push(chunk);
    }
    let (width, height) = size.ok_or(Refused::Damaged)?;
    if !chunks.iter().any(|chunk| &chunk.name == b"IDAT") {
        return Err(Refused::Damaged);
    }
    let mut kept = Vec::with_capacity(bytes.len());
    kept.extend_from_slice(&MAGIC);
    for chunk in chunks.iter().filter(|chunk| KEPT.contains(&&chunk.name)) {
        kept.extend_from_slice(chunk.all);
        if let (b"IHDR", Some(turned)) = (&chunk.name, turned) {
            kept.extend_from_slice(&written(*b"eXIf", &turned.block()));
        }
    }
    kept.extend_from_slice(&written(*b"IEND", &[]));
    Ok(Kept {
        width,
        height,
        turned,
        bytes: kept,
    })
}

struct Chunk<'a> {
    name: [u8; 4],
    holds: &'a [u8],
    /// With its length, name and check.
    all: &'a [u8],
}

/// The next chunk, its check worked out.
fn chunk(rest: &[u8]) -> Result<Chunk<'_>, Refused> {
    let [l3, l2, l1, l0, a, b, c, d, ..] = *rest else {
        return Err(Refused::CutOff);
    };
    let long = u32::from_be_bytes([l3, l2, l1, l0]);
    if long > i32::MAX.unsigned_abs() {
        return Err(Refused::Damaged);
    }
    let long = usize::try_from(long).map_err(|_| Refused::Damaged)?;
    let all = rest.get(..long + 12).ok_or(Refused::CutOff)?;
    let (Some(checked), Some(holds), Some(check)) = (
        all.get(4..long + 8),
        all.get(8..long + 8),
        all.get(long + 8..),
    ) else {
        return Err(Refused::CutOff);
    };
    if crc(checked).to_be_bytes() != check {
        return Err(Refused::Damaged);
    }
    Ok(Chunk {
        name: [a, b, c, d],
        holds,
        all,
    })
}

/// The sides of a picture, from its header.
fn sides(header: &[u8]) -> Result<(u32, u32), Refused> {
    let [w3, w2, w1, w0, h3, h2, h1, h0, bits, colour, 0, 0, 0 | 1] = *header else {
        return Err(Refused::Damaged);
    };
    // Bits a sample that go with each kind of colour (table 11.1).
    let fitting = match colour {
        0 => matches!(bits, 1 | 2 | 4 | 8 | 16),
        3 => matches!(bits, 1 | 2 | 4 | 8),
        2 | 4 | 6 => matches!(bits, 8 | 16),
        _ => false,
    };
    if !fitting {
        return Err(Refused::Damaged);
    }
    let (width, height) = (
        u32::from_be_bytes([w3, w2, w1, w0]),
        u32::from_be_bytes([h3, h2, h1, h0]),
    );
    fits(width, height)?;
    Ok((width, height))
}

/// A chunk of our own.
fn written(name: [u8; 4], holds: &[u8]) -> Vec<u8> {
    let long = u32::try_from(holds.len()).unwrap_or(0);
    let checked = [&name, holds].concat();
    [
        &long.to_be_bytes(),
        checked.as_slice(),
        &crc(&checked).to_be_bytes(),
    ]
    .concat()
}

/// The check of a chunk (annex D).
pub(super) fn crc(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |crc, byte| {
        let at = (crc ^ u32::from(*byte)) & 0xff;
        TABLE[at as usize] ^ (crc >> 8)
    })
}

const TABLE: [u32; 256] = table();

const fn table() -> [u32; 256] {
    let mut table = [0; 256];
    let mut n = 0_u32;
    while n < 256 {
        let mut c = n;
        let mut k = 0;
        while k < 8 {
            c = if c & 1 == 1 {
                0xedb8_8320 ^ (c >> 1)
            } else {
                c >> 1
            };
            k += 1;
        }
        table[n as usize] = c;
        n += 1;
    }
    table
}
