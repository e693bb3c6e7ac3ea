//! A HEIC as a phone writes it, made here box by box: a picture in two parts, EXIF with a place, XMP, names and texts.
//!
//! Source of its form: ISO/IEC 14496-12 and 23008-12, from memory. The coded picture itself is no real one: nobody here
//! decodes it.

/// What the coded picture's two parts hold.
pub(crate) const CODED: [&[u8]; 2] = [b"coded picture, first part", b"second part"];

/// Pixels across and down as they are stored; a quarter turn shows them the other way.
pub(crate) const STORED: (u32, u32) = (24, 16);

/// The file, with this EXIF in it.
pub(crate) fn heic(exif: &[u8]) -> Vec<u8> {
    let head = boxed(*b"ftyp", b"heic\0\0\0\0mif1heic");
    let xmp = b"<x:xmpmeta xmlns:x='adobe:ns:meta/'>Elm Street</x:xmpmeta>";
    let data = [CODED[0], exif, xmp, CODED[1], b"preview"];
    // The places of the data are known once the list's length is: it is the same for any places.
    let list = |from: usize| {
        let from = u32::try_from(from).unwrap();
        let mut at = from;
        let mut places = Vec::new();
        for part in data {
            let long = u32::try_from(part.len()).unwrap();
            places.push([at.to_be_bytes(), long.to_be_bytes()].concat());
            at += long;
        }
        meta(&places)
    };
    let from = head.len() + list(0).len() + 8;
    [
        head,
        list(from),
        boxed(*b"mdat", &data.concat()),
        boxed(*b"uuid", b"0123456789abcdefAnn's phone"),
    ]
    .concat()
}

fn meta(places: &[Vec<u8>]) -> Vec<u8> {
    let named = |id: u8, kind: &[u8; 4], name: &[u8]| {
        full(
            *b"infe",
            2,
            &[&[0, id, 0, 0][..], kind, name, b"\0"].concat(),
        )
    };
    let items = [
        &[0, 3][..],
        &named(1, b"hvc1", b""),
        &named(2, b"Exif", b"Elm Street"),
        &named(3, b"mime", b"Ann's phone\0application/rdf+xml"),
    ]
    .concat();
    let properties = [
        full(
            *b"ispe",
            0,
            &[STORED.0.to_be_bytes(), STORED.1.to_be_bytes()].concat(),
        ),
        boxed(*b"irot", &[1]),
        full(*b"udes", 0, b"en\0Elm Street\0kitchen\0\0"),
    ]
    .concat();
    // The first item has properties 1 to 3.
    let linked = full(*b"ipma", 0, &[0, 0, 0, 1, 0, 1, 3, 0x81, 2, 3]);
    let item = |id: u8, parts: &[&Vec<u8>]| {
        let n = u8::try_from(parts.len()).unwrap();
        let parts: Vec<u8> = parts.iter().flat_map(|part| part.iter().copied()).collect();
        [&[0, id, 0, 0, 0, 0, 0, n][..], &parts].concat()
    };
    let located = [
        &[0x44, 0x00, 0, 3][..],
        &item(1, &[&places[0], &places[3]]),
        &item(2, &[&places[1]]),
        &item(3, &[&places[2]]),
    ]
    .concat();
    let inside = [
        full(
            *b"hdlr",
            0,
            b"\0\0\0\0pict\0\0\0\0\0\0\0\0\0\0\0\0Ann's phone\0",
        ),
        full(*b"pitm", 0, &[0, 1]),
        full(*b"iinf", 0, &items),
        boxed(*b"iprp", &[boxed(*b"ipco", &properties), linked].concat()),
        full(*b"iloc", 1, &located),
        boxed(*b"udta", b"\xa9xyz GPS +44.29"),
    ]
    .concat();
    full(*b"meta", 0, &inside)
}

fn boxed(name: [u8; 4], holds: &[u8]) -> Vec<u8> {
    let long = u32::try_from(holds.len() + 8).unwrap().to_be_bytes();
    [&long[..], &name, holds].concat()
}

fn full(name: [u8; 4], version: u8, holds: &[u8]) -> Vec<u8> {
    boxed(name, &[&[version, 0, 0, 0][..], holds].concat())
}
