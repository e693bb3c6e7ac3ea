//! Pictures as they arrive: what they are, whether they are whole, and what of them is kept.
//!
//! Nothing is decoded and nothing is compressed anew: the picture's own data stay as they came, bit for bit. What is cut
//! out is all that stands beside it and could say where or by whom it was taken: EXIF, XMP, IPTC, comments, previews,
//! makers' data, and whatever follows the picture's end. The one thing kept of EXIF is which way is up, alone in an EXIF
//! block of its own, since turning the picture itself would mean decoding it, and compressing it with a loss.
//!
//! A HEIC keeps its length: there the same is blanked where it stands.
//!
//! Sources: JPEG, ITU-T T.81 annex B; JFIF 1.02; EXIF 2.3 (CIPA DC-008), section 4.6; PNG, W3C third edition, chapter 5;
//! WebP, RFC 9649.

mod exif;
mod heif;
mod jpeg;
mod png;
mod webp;

use std::fmt;

use scantling_takeoff::record::job_file::{PICTURE_PIXELS, PICTURE_SIDE};

/// A picture as it is kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Picture {
    /// What it is.
    pub(crate) format: Format,
    /// Pixels across, upright.
    pub(crate) width: u32,
    /// Pixels down, upright.
    pub(crate) height: u32,
    /// Its bytes. Reading them again gives the same.
    pub(crate) bytes: Vec<u8>,
}

/// What a picture is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Format {
    Jpeg,
    Png,
    WebP,
    /// HEIF or HEIC: browsers other than Safari don't show it, and nothing here decodes it.
    Heic,
}

impl Format {
    /// Its media type.
    pub(crate) const fn media_type(self) -> &'static str {
        match self {
            Self::Jpeg => "image/jpeg",
            Self::Png => "image/png",
            Self::WebP => "image/webp",
            Self::Heic => "image/heic",
        }
    }
}

/// Why a picture is not kept. Its text is for whoever sent it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Refused {
    /// Nothing came.
    Empty,
    /// No picture, or of another kind.
    Other,
    /// It was declared as another kind than it is.
    Declared(Format),
    /// Pixels across and down.
    TooLarge(u32, u32),
    /// It ends before its end.
    CutOff,
    /// It breaks its own form.
    Damaged,
    /// A kind of JPEG that browsers don't show.
    Unshown,
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => f.write_str("No picture came with it. Choose one, then save."),
            Self::Other => f.write_str("This is no JPEG, PNG, WebP or HEIC picture. Choose one that is."),
            Self::Declared(is) => write!(
                f,
                "The file says that it is something else, but it holds a {}. Name it as what it is, then choose it again.",
                match is {
                    Format::Jpeg => "JPEG",
                    Format::Png => "PNG",
                    Format::WebP => "WebP",
                    Format::Heic => "HEIC",
                }
            ),
            Self::TooLarge(width, height) => write!(
                f,
                "This picture has {width} × {height} pixels; a side may have {PICTURE_SIDE}, the whole \
                 {PICTURE_PIXELS}. Make it smaller, then choose it again."
            ),
            Self::CutOff => f.write_str(
                "The picture is cut off: its end is missing. Choose it again; if that doesn’t help, take it anew.",
            ),
            Self::Damaged => {
                f.write_str("The picture is damaged. Choose it again; if that doesn’t help, take it anew.")
            }
            Self::Unshown => f.write_str(
                "Browsers can’t show this kind of JPEG. Save it as an ordinary one, then choose it again.",
            ),
        }
    }
}

/// Reads a picture that was sent with a media type, and cuts out what is not kept. Its size is judged before the rest of
/// it is looked at.
pub(crate) fn read(bytes: &[u8], declared: Option<&str>) -> Result<Picture, Refused> {
    let format = format_of(bytes)?;
    let agrees = declared.is_none_or(|declared| match declared {
        "image/jpeg" | "image/jpg" | "image/pjpeg" => format == Format::Jpeg,
        "image/png" | "image/x-png" => format == Format::Png,
        "image/webp" => format == Format::WebP,
        "image/heic" | "image/heif" => format == Format::Heic,
        _ => false,
    });
    if !agrees {
        return Err(Refused::Declared(format));
    }
    let kept = match format {
        Format::Jpeg => jpeg::read(bytes)?,
        Format::Png => png::read(bytes)?,
        Format::WebP => webp::read(bytes)?,
        Format::Heic => heif::read(bytes)?,
    };
    let (width, height) = if kept.turned.is_some_and(exif::Turned::lies) {
        (kept.height, kept.width)
    } else {
        (kept.width, kept.height)
    };
    Ok(Picture {
        format,
        width,
        height,
        bytes: kept.bytes,
    })
}

/// A picture with its sides as they are stored, and which way is up.
struct Kept {
    width: u32,
    height: u32,
    turned: Option<exif::Turned>,
    bytes: Vec<u8>,
}

fn format_of(bytes: &[u8]) -> Result<Format, Refused> {
    if bytes.is_empty() {
        return Err(Refused::Empty);
    }
    if bytes.starts_with(&jpeg::MAGIC) {
        return Ok(Format::Jpeg);
    }
    if bytes.starts_with(&png::MAGIC) {
        return Ok(Format::Png);
    }
    if webp::is_one(bytes) {
        return Ok(Format::WebP);
    }
    if heif::is_one(bytes) {
        return Ok(Format::Heic);
    }
    Err(Refused::Other)
}

/// Refuses a picture without pixels, or with more than are shown.
fn fits(width: u32, height: u32) -> Result<(), Refused> {
    if width == 0 || height == 0 {
        return Err(Refused::Damaged);
    }
    if width > PICTURE_SIDE
        || height > PICTURE_SIDE
        || u64::from(width) * u64::from(height) > PICTURE_PIXELS
    {
        return Err(Refused::TooLarge(width, height));
    }
    Ok(())
}

#[cfg(test)]
mod tests;
