//! Pictures with everything in them that gives a place away, made here, and looked at by a decoder that is not ours.

use std::io::Cursor;

use image::{ImageFormat, RgbImage};
use proptest::prelude::*;

use super::{Format, Refused, read};

#[path = "../../../../tests/forms/heic.rs"]
mod heic;

use heic::{CODED, STORED, heic};

/// A picture of 24 × 16 pixels that differ from each other.
fn pixels() -> RgbImage {
    RgbImage::from_fn(24, 16, |x, y| {
        let (x, y) = (u8::try_from(x).unwrap(), u8::try_from(y).unwrap());
        image::Rgb([x * 10, y * 15, x ^ y])
    })
}

fn encoded(format: ImageFormat) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    pixels().write_to(&mut bytes, format).unwrap();
    bytes.into_inner()
}

fn decoded(bytes: &[u8]) -> RgbImage {
    image::load_from_memory(bytes).unwrap().to_rgb8()
}

/// A JPEG segment.
fn segment(marker: u8, holds: &[u8]) -> Vec<u8> {
    let long = u16::try_from(holds.len() + 2).unwrap().to_be_bytes();
    [&[0xff, marker], &long[..], holds].concat()
}

/// A PNG chunk. Its check is worked out by our own code; the tests' decoder refuses a wrong one.
fn chunk(name: [u8; 4], holds: &[u8]) -> Vec<u8> {
    let long = u32::try_from(holds.len()).unwrap().to_be_bytes();
    let checked = [&name[..], holds].concat();
    [
        &long[..],
        &checked,
        &super::png::crc(&checked).to_be_bytes(),
    ]
    .concat()
}

/// An EXIF block as a phone writes it: orientation in the first list, and a list of GPS with 44° 29′ north.
fn gps(orientation: u8) -> Vec<u8> {
    let mut block = b"MM\0*\0\0\0\x08\0\x02".to_vec();
    block.extend_from_slice(&[0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, orientation, 0, 0]);
    // The list of GPS begins at 8 + 2 + 2 × 12 + 4 = 38.
    block.extend_from_slice(&[0x88, 0x25, 0, 4, 0, 0, 0, 1, 0, 0, 0, 38]);
    block.extend_from_slice(&[0, 0, 0, 0]);
    block.extend_from_slice(b"\0\x01\0\x01\0\x02\0\0\0\x02N\0\0\0\0\0\0\0GPS 44 29 12 N");
    block
}

/// What no kept picture may hold.
const SECRETS: [&[u8]; 8] = [
    b"GPS",
    b"44 29",
    b"adobe:ns:meta",
    b"Elm Street",
    b"Photoshop",
    b"Ann's phone",
    b"preview",
    b"trailer",
];

fn assert_silent(bytes: &[u8]) {
    for secret in SECRETS {
        assert!(
            !bytes.windows(secret.len()).any(|part| part == secret),
            "{}",
            String::from_utf8_lossy(secret)
        );
    }
}

/// A JPEG with EXIF, XMP, IPTC, a maker's segment, comments, a preview in its JFIF, and something behind its end.
fn talkative_jpeg(orientation: u8) -> Vec<u8> {
    let plain = encoded(ImageFormat::Jpeg);
    let exif = [b"Exif\0\0", gps(orientation).as_slice()].concat();
    let preview = [&b"JFIF\0\x01\x02\0\0\x01\0\x01\x01\x03"[..], b"preview!!"].concat();
    let xmp =
        b"http://ns.adobe.com/xap/1.0/\0<x:xmpmeta xmlns:x='adobe:ns:meta/'>Elm Street</x:xmpmeta>";
    let mut all = vec![0xff, 0xd8];
    all.extend(segment(0xe0, &preview));
    all.extend(segment(0xe1, &exif));
    all.extend(segment(0xe1, xmp));
    all.extend(segment(0xe2, b"ICC_PROFILE\0\x01\x01a profile of colours"));
    all.extend(segment(0xe2, b"MPF\0preview"));
    all.extend(segment(0xed, b"Photoshop 3.0\08BIM Elm Street"));
    all.extend(segment(0xe5, b"Ann's phone"));
    all.extend(segment(0xfe, b"Elm Street, kitchen"));
    // The picture, without its start and its own JFIF.
    let body = &plain[2..];
    assert_eq!(body[..2], [0xff, 0xe0]);
    let jfif = usize::from(u16::from_be_bytes([body[2], body[3]])) + 2;
    all.extend_from_slice(&body[jfif..]);
    all.extend_from_slice(b"trailer: GPS 44 29");
    all
}

/// A PNG with text of each kind, EXIF, a time, a private chunk, and something behind its end.
fn talkative_png(orientation: u8) -> Vec<u8> {
    let plain = encoded(ImageFormat::Png);
    // The header is the first chunk: 8 + 4 + 4 + 13 + 4 = 33 bytes with the magic ones.
    let (head, rest) = plain.split_at(33);
    let end = rest.len() - 12;
    [
        head,
        &chunk(*b"gAMA", &45_455_u32.to_be_bytes()),
        &chunk(*b"tEXt", b"Comment\0Elm Street"),
        &chunk(*b"iTXt", b"XML:com.adobe.xmp\0\0\0\0\0adobe:ns:meta"),
        &chunk(*b"eXIf", &gps(orientation)),
        &chunk(*b"tIME", &[7, 0xea, 11, 25, 7, 13, 30]),
        &chunk(*b"prVt", b"Ann's phone"),
        &rest[..end],
        &chunk(*b"tEXt", b"Author\0Ann's phone"),
        &rest[end..],
        b"trailer",
    ]
    .concat()
}

/// A chunk of a WebP: one of odd length is followed by a byte of 0.
fn riff(name: [u8; 4], holds: &[u8]) -> Vec<u8> {
    let long = u32::try_from(holds.len()).unwrap().to_le_bytes();
    [&name, &long[..], holds, &vec![0; holds.len() % 2]].concat()
}

/// A WebP with an extended header, colours, EXIF, XMP, a private chunk, and something behind its end.
fn talkative_webp(orientation: u8) -> Vec<u8> {
    let plain = encoded(ImageFormat::WebP);
    let header = [0x2c, 0, 0, 0, 23, 0, 0, 15, 0, 0];
    let holds = [
        &b"WEBP"[..],
        &riff(*b"VP8X", &header),
        &riff(*b"ICCP", b"a profile of colours"),
        &plain[12..],
        &riff(
            *b"EXIF",
            &[b"Exif\0\0", gps(orientation).as_slice()].concat(),
        ),
        &riff(
            *b"XMP ",
            b"<x:xmpmeta xmlns:x='adobe:ns:meta/'>Elm Street</x:xmpmeta>",
        ),
        &riff(*b"prVt", b"Ann's phone"),
    ];
    [riff(*b"RIFF", &holds.concat()), b"trailer".to_vec()].concat()
}

#[test]
fn what_gives_a_webps_place_away_is_gone_and_its_pixels_are_the_same() {
    let sent = talkative_webp(1);
    let kept = read(&sent, Some("image/webp")).unwrap();
    assert_silent(&kept.bytes);
    assert_eq!(
        (kept.format, kept.width, kept.height),
        (Format::WebP, 24, 16)
    );
    assert_eq!(decoded(&kept.bytes), pixels());
    let has = |what: &[u8]| kept.bytes.windows(what.len()).any(|part| part == what);
    assert!(has(b"a profile of colours"));
    assert!(!has(b"EXIF") && !has(b"XMP ") && !has(b"prVt"));
    let plain = encoded(ImageFormat::WebP);
    assert_eq!(read(&plain, None).unwrap().bytes, plain, "nothing to cut");
}

#[test]
fn a_webp_of_another_size_than_its_canvas_or_one_that_moves_is_refused() {
    let mut other = talkative_webp(1);
    // the canvas's width, after the two heads and the flags
    assert_eq!(other[24], 23);
    other[24] = 24;
    assert_eq!(read(&other, None).unwrap_err(), Refused::Damaged);
    let moves = [
        &b"WEBP"[..],
        &riff(*b"VP8X", &[2, 0, 0, 0, 23, 0, 0, 15, 0, 0]),
        &riff(*b"ANIM", &[0; 6]),
    ];
    let moves = riff(*b"RIFF", &moves.concat());
    assert_eq!(read(&moves, None).unwrap_err(), Refused::Other);
    // RFC 6386, section 9.1: a key frame of 12,001 × 10.
    let frame = [0x10, 0, 0, 0x9d, 0x01, 0x2a, 0xe1, 0x2e, 10, 0];
    let large = riff(*b"RIFF", &[&b"WEBP"[..], &riff(*b"VP8 ", &frame)].concat());
    assert_eq!(
        read(&large, None).unwrap_err(),
        Refused::TooLarge(12_001, 10)
    );
}

#[test]
fn what_gives_a_jpegs_place_away_is_gone_and_its_pixels_are_the_same() {
    let sent = talkative_jpeg(1);
    let kept = read(&sent, Some("image/jpeg")).unwrap();
    assert_silent(&kept.bytes);
    assert_eq!(
        (kept.format, kept.width, kept.height),
        (Format::Jpeg, 24, 16)
    );
    assert_eq!(decoded(&kept.bytes), decoded(&sent));
    let has = |what: &[u8]| kept.bytes.windows(what.len()).any(|part| part == what);
    assert!(has(b"a profile of colours"));
    assert!(
        has(b"JFIF\0\x01\x02\0\0\x01\0\x01\0\0"),
        "without its preview"
    );
    assert!(!has(b"Exif"), "it stands upright");
}

#[test]
fn a_picture_that_lies_on_its_side_keeps_which_way_is_up_and_nothing_else_of_exif() {
    for sent in [talkative_jpeg(6), talkative_png(6), talkative_webp(6)] {
        let kept = read(&sent, None).unwrap();
        assert_silent(&kept.bytes);
        // Turned by a quarter: 24 × 16 as stored is 16 × 24 as shown.
        assert_eq!((kept.width, kept.height), (16, 24));
        let mut decoder = image::ImageReader::new(Cursor::new(&kept.bytes))
            .with_guessed_format()
            .unwrap()
            .into_decoder()
            .unwrap();
        let up = image::ImageDecoder::orientation(&mut decoder).unwrap();
        assert_eq!(up, image::metadata::Orientation::Rotate90);
    }
}

#[test]
fn what_gives_a_pngs_place_away_is_gone_and_its_pixels_are_the_same() {
    let sent = talkative_png(1);
    let kept = read(&sent, Some("image/png")).unwrap();
    assert_silent(&kept.bytes);
    assert_eq!(
        (kept.format, kept.width, kept.height),
        (Format::Png, 24, 16)
    );
    assert_eq!(decoded(&kept.bytes), pixels());
    for gone in [b"tEXt", b"iTXt", b"eXIf", b"tIME", b"prVt"] {
        assert!(!kept.bytes.windows(4).any(|part| part == gone));
    }
    assert!(kept.bytes.windows(4).any(|part| part == b"gAMA"));
}

#[test]
fn reading_a_kept_picture_again_changes_nothing() {
    for sent in [
        talkative_jpeg(1),
        talkative_jpeg(8),
        talkative_png(1),
        talkative_png(3),
        talkative_webp(1),
        talkative_webp(5),
    ] {
        let kept = read(&sent, None).unwrap();
        assert_eq!(read(&kept.bytes, None).unwrap(), kept);
    }
}

#[test]
fn a_scan_is_kept_with_its_restarts_and_a_second_scan_too() {
    // By hand: two scans of a progressive picture, stuffing, a restart, fill bytes before a marker.
    let scan = |data: &[u8]| [&segment(0xda, &[1, 1, 0, 0, 0, 0])[..], data].concat();
    let frame = segment(0xc2, &[8, 0, 16, 0, 24, 1, 1, 0x11, 0]);
    let first = scan(b"ab\xff\0cd\xff\xd0ef");
    let second = scan(b"gh");
    let sent = [
        &[0xff, 0xd8][..],
        &frame,
        &first,
        b"\xff",
        &segment(0xfe, b"Elm Street"),
        &second,
        b"\xff\xd9",
    ]
    .concat();
    let wanted = [&[0xff, 0xd8][..], &frame, &first, &second, b"\xff\xd9"].concat();
    assert_eq!(read(&sent, None).unwrap().bytes, wanted);
}

#[test]
fn a_picture_that_is_cut_off_anywhere_is_refused() {
    // what is shorter than its name is not known as one
    for (format, from) in [
        (ImageFormat::Jpeg, 8),
        (ImageFormat::Png, 8),
        (ImageFormat::WebP, 12),
    ] {
        let whole = encoded(format);
        for length in from..whole.len() {
            assert!(
                matches!(
                    read(&whole[..length], None),
                    Err(Refused::CutOff | Refused::Damaged)
                ),
                "{length}"
            );
        }
    }
}

#[test]
fn a_jpeg_with_too_many_pixels_is_refused_by_its_header_alone() {
    let start = |width: u16, height: u16| {
        let [h1, h0] = height.to_be_bytes();
        let [w1, w0] = width.to_be_bytes();
        let frame = segment(0xc0, &[8, h1, h0, w1, w0, 1, 1, 0x11, 0]);
        read(&[&[0xff, 0xd8][..], &frame].concat(), None).unwrap_err()
    };
    assert_eq!(start(12_001, 10), Refused::TooLarge(12_001, 10));
    // 10,000 × 5,001 = 50,010,000 pixels; 10,000 × 5,000 are just as many as may be.
    assert_eq!(start(10_000, 5_001), Refused::TooLarge(10_000, 5_001));
    assert_eq!(start(10_000, 5_000), Refused::CutOff);
    assert_eq!(start(0, 5_000), Refused::Damaged);
}

#[test]
fn a_png_with_too_many_pixels_is_refused_by_its_header_alone() {
    let start = |width: u32, height: u32| {
        let sides = [width.to_be_bytes(), height.to_be_bytes()].concat();
        let header = chunk(*b"IHDR", &[&sides[..], &[8, 2, 0, 0, 0]].concat());
        read(&[&super::png::MAGIC[..], &header].concat(), None).unwrap_err()
    };
    assert_eq!(start(4_000_000_000, 1), Refused::TooLarge(4_000_000_000, 1));
    assert_eq!(start(10_000, 5_001), Refused::TooLarge(10_000, 5_001));
    assert_eq!(start(10_000, 5_000), Refused::CutOff);
}

#[test]
fn what_is_no_jpeg_or_png_is_named_as_what_it_is() {
    let says = |bytes: &[u8], declared| read(bytes, declared).unwrap_err();
    assert_eq!(says(b"", None), Refused::Empty);
    assert_eq!(
        says(b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", None),
        Refused::Damaged,
        "a HEIC with nothing in it"
    );
    assert_eq!(says(b"\0\0\0\x18ftypmp42\0\0\0\0", None), Refused::Other);
    assert_eq!(
        says(b"<svg xmlns='http://www.w3.org/2000/svg'/>", None),
        Refused::Other
    );
    assert_eq!(says(b"GIF89a", None), Refused::Other);
    let jpeg = encoded(ImageFormat::Jpeg);
    for declared in ["image/png", "image/svg+xml", "text/html"] {
        let refused = says(&jpeg, Some(declared));
        assert_eq!(refused, Refused::Declared(Format::Jpeg), "{declared}");
    }
    // Arithmetic coding, and 12 bits a sample.
    let frame = |marker, bits| {
        let frame = segment(marker, &[bits, 0, 16, 0, 24, 1, 1, 0x11, 0]);
        says(&[&[0xff, 0xd8][..], &frame].concat(), None)
    };
    assert_eq!(frame(0xc9, 8), Refused::Unshown);
    assert_eq!(frame(0xc1, 12), Refused::Unshown);
}

#[test]
fn a_png_whose_check_is_wrong_is_damaged() {
    let mut png = encoded(ImageFormat::Png);
    let middle = png.len() / 2;
    png[middle] ^= 1;
    assert_eq!(read(&png, None).unwrap_err(), Refused::Damaged);
}

#[test]
fn a_heic_keeps_its_coded_picture_where_it_stands_and_nothing_that_says_where_or_by_whom() {
    let sent = heic(&gps(6));
    let kept = read(&sent, Some("image/heic")).unwrap();
    assert_eq!(kept.format, Format::Heic);
    // A quarter turn, by the picture's own property.
    assert_eq!((kept.width, kept.height), (STORED.1, STORED.0));
    assert_silent(&kept.bytes);
    assert_eq!(kept.bytes.len(), sent.len(), "nothing moves");
    for part in CODED {
        let at = |bytes: &[u8]| bytes.windows(part.len()).position(|found| found == part);
        assert_eq!(at(&kept.bytes), at(&sent));
        assert!(at(&sent).is_some());
    }
    assert_eq!(read(&kept.bytes, Some("image/heif")).unwrap(), kept);
}

#[test]
fn a_heic_that_is_cut_off_or_points_outside_itself_is_refused() {
    let sent = heic(&gps(1));
    // What stands behind its data is no part of it.
    let behind = sent.windows(4).position(|found| found == b"uuid").unwrap() - 4;
    for end in 12..behind {
        assert!(read(&sent[..end], None).is_err(), "cut at {end}");
    }
    let coded = sent
        .windows(CODED[0].len())
        .position(|found| found == CODED[0])
        .unwrap();
    let place = u32::try_from(coded).unwrap().to_be_bytes();
    let at = sent.windows(4).position(|found| found == place).unwrap();
    let mut outside = sent.clone();
    outside[at..at + 4].copy_from_slice(&u32::MAX.to_be_bytes());
    assert_eq!(read(&outside, None).unwrap_err(), Refused::CutOff);
    assert_eq!(
        read(&sent, Some("image/jpeg")).unwrap_err(),
        Refused::Declared(Format::Heic)
    );
}

proptest! {
    /// No bytes break the reader, and what it keeps of changed ones is read again as the same.
    #[test]
    fn any_bytes_are_kept_or_refused(at in 0_usize..600, with: u8, which in 0_u8..3) {
        let mut sent = match which {
            0 => talkative_png(6),
            1 => talkative_jpeg(6),
            _ => heic(&gps(6)),
        };
        let at = at % sent.len();
        sent[at] = with;
        if let Ok(kept) = read(&sent, None) {
            prop_assert_eq!(read(&kept.bytes, None).unwrap(), kept);
        }
    }
}
