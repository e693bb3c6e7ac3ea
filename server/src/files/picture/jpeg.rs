//! JPEG: marker by marker (ITU-T T.81, annex B), keeping what makes the picture and dropping what stands beside it.

use super::{Kept, Refused, exif, fits};

/// What a JPEG begins with: start of image, and the next marker.
pub(super) const MAGIC: [u8; 3] = [0xff, 0xd8, 0xff];

const START: u8 = 0xd8;
const END: u8 = 0xd9;
const START_OF_SCAN: u8 = 0xda;
const COMMENT: u8 = 0xfe;
const APP0: u8 = 0xe0;
const APP1: u8 = 0xe1;
const APP2: u8 = 0xe2;
const APP14: u8 = 0xee;
const APP15: u8 = 0xef;
const EXIF: &[u8] = b"Exif\0\0";
const JFIF: &[u8] = b"JFIF\0";
/// Bytes of a JFIF block without its preview, and where the preview's two sides stand.
const JFIF_LONG: usize = 14;
const JFIF_PREVIEW: usize = 12;

/// Reads one.
pub(super) fn read(bytes: &[u8]) -> Result<Kept, Refused> {
    let mut picture = Reader {
        bytes,
        at: 2,
        jfif: None,
        turned: None,
        size: None,
        kept: Vec::with_capacity(bytes.len()),
    };
    picture.markers()?;
    picture.whole()
}

struct Reader<'a> {
    bytes: &'a [u8],
    at: usize,
    jfif: Option<[u8; JFIF_LONG]>,
    turned: Option<exif::Turned>,
    size: Option<(u32, u32)>,
    /// All that is kept but for what stands at the head.
    kept: Vec<u8>,
}

impl<'a> Reader<'a> {
    /// Goes through the markers to the end of the image.
    fn markers(&mut self) -> Result<(), Refused> {
        let mut scanned = false;
        loop {
            let marker = self.marker()?;
            match marker {
                END if scanned => return Ok(()),
                END => return Err(Refused::Damaged),
                START_OF_SCAN => {
                    if self.size.is_none() {
                        return Err(Refused::Damaged);
                    }
                    let segment = self.segment()?;
                    keep(&mut self.kept, marker, segment);
                    self.scan()?;
                    scanned = true;
                }
                // Baseline, extended and progressive, Huffman coded.
                0xc0..=0xc2 => self.frame(marker)?,
                // Lossless, hierarchical and arithmetic coded.
                0xc3 | 0xc5..=0xcf | 0xde | 0xdf => return Err(Refused::Unshown),
                // Huffman tables, quantization tables, number of lines, restart interval.
                0xc4 | 0xdb..=0xdd => {
                    let segment = self.segment()?;
                    keep(&mut self.kept, marker, segment);
                }
                APP0..=APP15 => self.application(marker)?,
                COMMENT => drop(self.segment()?),
                _ => return Err(Refused::Damaged),
            }
        }
    }

    /// The next marker. Stray bytes before it are dropped, as decoders do.
    fn marker(&mut self) -> Result<u8, Refused> {
        loop {
            let found = self
                .rest()
                .iter()
                .position(|byte| *byte == 0xff)
                .ok_or(Refused::CutOff)?;
            self.at += found + 1;
            match self.rest().first() {
                None => return Err(Refused::CutOff),
                Some(0xff | 0x00) => {}
                Some(marker) => {
                    self.at += 1;
                    return Ok(*marker);
                }
            }
        }
    }

    fn rest(&self) -> &'a [u8] {
        self.bytes.get(self.at..).unwrap_or_default()
    }

    /// What a marker carries, without its length.
    fn segment(&mut self) -> Result<&'a [u8], Refused> {
        let [high, low, ..] = *self.rest() else {
            return Err(Refused::CutOff);
        };
        let long = usize::from(u16::from_be_bytes([high, low]));
        if long < 2 {
            return Err(Refused::Damaged);
        }
        let segment = self.rest().get(2..long).ok_or(Refused::CutOff)?;
        self.at += long;
        Ok(segment)
    }

    fn frame(&mut self, marker: u8) -> Result<(), Refused> {
        let segment = self.segment()?;
        let [bits, h1, h0, w1, w0, n, ..] = *segment else {
            return Err(Refused::Damaged);
        };
        if self.size.is_some() || segment.len() != 6 + 3 * usize::from(n) {
            return Err(Refused::Damaged);
        }
        if bits != 8 || !matches!(n, 1 | 3 | 4) {
            return Err(Refused::Unshown);
        }
        let (width, height) = (
            u32::from(u16::from_be_bytes([w1, w0])),
            u32::from(u16::from_be_bytes([h1, h0])),
        );
        fits(width, height)?;
        self.size = Some((width, height));
        keep(&mut self.kept, marker, segment);
        Ok(())
    }

    /// Keeps of application data: JFIF without its preview, the colour profile, Adobe's colour transform; and which way
    /// is up.
    fn application(&mut self, marker: u8) -> Result<(), Refused> {
        let segment = self.segment()?;
        match marker {
            APP0 if segment.starts_with(JFIF) && self.jfif.is_none() => {
                let head = segment.get(..JFIF_PREVIEW).ok_or(Refused::Damaged)?;
                let mut jfif = [0; JFIF_LONG];
                for (to, from) in jfif.iter_mut().zip(head) {
                    *to = *from;
                }
                self.jfif = Some(jfif);
            }
            APP1 if segment.starts_with(EXIF) && self.turned.is_none() => {
                self.turned = segment.get(EXIF.len()..).and_then(exif::turned);
            }
            APP2 if segment.starts_with(b"ICC_PROFILE\0") => keep(&mut self.kept, marker, segment),
            APP14 if segment.starts_with(b"Adobe") => {
                let colours = segment.get(..12).ok_or(Refused::Damaged)?;
                keep(&mut self.kept, marker, colours);
            }
            _ => {}
        }
        Ok(())
    }

    /// A scan's own data, up to the next marker that is neither stuffing nor a restart.
    fn scan(&mut self) -> Result<(), Refused> {
        let rest = self.rest();
        let mut at = 0;
        loop {
            let found = rest.get(at..).unwrap_or_default();
            at += found
                .iter()
                .position(|byte| *byte == 0xff)
                .ok_or(Refused::CutOff)?;
            // Any number of these may stand before a marker.
            let filling = rest.get(at..).unwrap_or_default();
            let n = filling.iter().take_while(|byte| **byte == 0xff).count();
            match rest.get(at + n) {
                None => return Err(Refused::CutOff),
                Some(0x00 | 0xd0..=0xd7) => at += n + 1,
                Some(_) => break,
            }
        }
        self.kept
            .extend_from_slice(rest.get(..at).unwrap_or_default());
        self.at += at;
        Ok(())
    }

    /// What is kept, with its head in front and its end behind.
    fn whole(self) -> Result<Kept, Refused> {
        let (width, height) = self.size.ok_or(Refused::Damaged)?;
        let mut bytes = vec![0xff, START];
        if let Some(jfif) = &self.jfif {
            keep(&mut bytes, APP0, jfif);
        }
        if let Some(turned) = self.turned {
            keep(&mut bytes, APP1, &[EXIF, &turned.block()].concat());
        }
        bytes.extend_from_slice(&self.kept);
        bytes.extend_from_slice(&[0xff, END]);
        Ok(Kept {
            width,
            height,
            turned: self.turned,
            bytes,
        })
    }
}

/// Writes a marker with what it carries.
fn keep(kept: &mut Vec<u8>, marker: u8, segment: &[u8]) {
    // It was read with this length or is shorter, so it fits.
    let long = u16::try_from(segment.len() + 2).unwrap_or(u16::MAX);
    kept.extend_from_slice(&[0xff, marker]);
    kept.extend_from_slice(&long.to_be_bytes());
    kept.extend_from_slice(segment);
}
