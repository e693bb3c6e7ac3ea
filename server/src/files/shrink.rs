//! Copies of pictures, most of them smaller: decoded within limits, turned upright, made anew as plain JPEG without anything
//! beside the pixels. One at a time: a large picture takes a lot of memory for a moment.

use std::io::Cursor;

use image::codecs::jpeg::JpegEncoder;
use image::{DynamicImage, ImageDecoder as _, ImageReader, Limits};
use scantling_takeoff::record::job_file::PICTURE_SIDE;

/// The most memory that decoding may take, in bytes.
const MEMORY: u64 = 200_000_000;

/// How large a copy is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Size {
    /// For rows and galleries.
    Small,
    /// For a screen.
    Screen,
    /// As large as it is.
    Full,
}

impl Size {
    /// Its longer side, in pixels.
    pub(crate) const fn side(self) -> u32 {
        match self {
            Self::Small => 320,
            Self::Screen => 2_048,
            Self::Full => PICTURE_SIDE,
        }
    }

    /// JPEG's quality, of 100.
    const fn quality(self) -> u8 {
        match self {
            Self::Small => 72,
            Self::Screen => 82,
            Self::Full => 90,
        }
    }
}

/// A copy of a picture of at most this size, upright, as JPEG.
///
/// # Errors
/// What can't be decoded within the limits, in words.
pub(crate) fn shrink(bytes: &[u8], size: Size) -> Result<Vec<u8>, String> {
    let words = |error: image::ImageError| error.to_string();
    let mut reader = ImageReader::new(Cursor::new(bytes))
        .with_guessed_format()
        .map_err(|error| error.to_string())?;
    let mut limits = Limits::default();
    limits.max_image_width = Some(PICTURE_SIDE);
    limits.max_image_height = Some(PICTURE_SIDE);
    limits.max_alloc = Some(MEMORY);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().map_err(words)?;
    // the decoder's own limit leaves out the picture that it writes
    let takes = decoder.total_bytes();
    if takes > MEMORY {
        return Err(format!("it takes {takes} bytes of {MEMORY} to decode"));
    }
    let upright = decoder.orientation().map_err(words)?;
    let mut picture = DynamicImage::from_decoder(decoder).map_err(words)?;
    let longest = size.side();
    if picture.width() > longest || picture.height() > longest {
        picture = picture.thumbnail(longest, longest);
    }
    picture.apply_orientation(upright);
    let mut out = Vec::new();
    let encoder = JpegEncoder::new_with_quality(&mut out, size.quality());
    picture
        .into_rgb8()
        .write_with_encoder(encoder)
        .map_err(words)?;
    Ok(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A picture, dark at its left, as a JPEG; with an EXIF tag that says which way is up.
    fn jpeg(width: u32, height: u32, orientation: Option<u8>) -> Vec<u8> {
        let picture = image::RgbImage::from_fn(width, height, |x, _| {
            image::Rgb(if x < width / 4 { [0; 3] } else { [255; 3] })
        });
        let mut bytes = Vec::new();
        picture
            .write_with_encoder(JpegEncoder::new_with_quality(&mut bytes, 90))
            .unwrap();
        if let Some(orientation) = orientation {
            // TIFF 6.0: big-endian, one entry: tag 0x0112, SHORT, one value.
            let mut exif = b"Exif\0\0MM\0\x2a\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0".to_vec();
            exif.extend([orientation, 0, 0, 0, 0, 0, 0]);
            let length = u16::try_from(exif.len() + 2).unwrap().to_be_bytes();
            let mut block = vec![0xff, 0xe1, length[0], length[1]];
            block.extend(exif);
            bytes.splice(2..2, block);
        }
        bytes
    }

    fn read(bytes: &[u8]) -> image::RgbImage {
        image::load_from_memory(bytes).unwrap().to_rgb8()
    }

    #[test]
    fn a_copy_is_no_larger_than_its_size_and_keeps_its_shape() {
        let copy = read(&shrink(&jpeg(1_600, 800, None), Size::Small).unwrap());
        assert_eq!(copy.dimensions(), (320, 160));
        let same = read(&shrink(&jpeg(100, 60, None), Size::Screen).unwrap());
        assert_eq!(same.dimensions(), (100, 60));
    }

    #[test]
    fn a_copy_is_upright_and_says_nothing_of_where_it_was_taken() {
        // EXIF 2.3, tag 0x0112, 6: the row that is first in the file is the right side.
        let bytes = jpeg(640, 320, Some(6));
        let copy = shrink(&bytes, Size::Small).unwrap();
        let picture = read(&copy);
        assert_eq!(picture.dimensions(), (160, 320));
        assert!(
            picture.get_pixel(80, 10).0[0] < 40,
            "what was left is on top"
        );
        assert!(picture.get_pixel(80, 300).0[0] > 215);
        assert!(!copy.windows(4).any(|four| four == b"Exif"));
    }

    #[test]
    fn what_is_no_picture_or_a_cut_one_is_said_in_words() {
        assert!(shrink(b"no picture", Size::Small).is_err());
        let whole = jpeg(64, 64, None);
        let png = b"\x89PNG\r\n\x1a\n";
        assert!(shrink(png, Size::Small).is_err());
        assert!(shrink(&whole[..40], Size::Small).is_err());
    }
}
