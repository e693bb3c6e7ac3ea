//! The one thing read of EXIF: which way is up (tag `0x0112`, EXIF 2.3 section 4.6.4 A).

/// How a stored picture is to be turned or mirrored to stand upright: 2 to 8. One that stands upright has none.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Turned(u8);

impl Turned {
    /// Whether its stored rows are its columns.
    pub(super) fn lies(self) -> bool {
        self.0 >= 5
    }

    /// An EXIF block (a TIFF of its own, TIFF 6.0 section 2) that says this and nothing else.
    pub(super) fn block(self) -> [u8; 26] {
        let mut block = *b"II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0\0\0\0\0\0\0\0\0";
        block[18] = self.0;
        block
    }
}

/// What an EXIF block says of it; none where it says nothing that can be read.
pub(super) fn turned(block: &[u8]) -> Option<Turned> {
    let little = match block.get(..4)? {
        b"II*\0" => true,
        b"MM\0*" => false,
        _ => return None,
    };
    let two = |at: usize| {
        let bytes: [u8; 2] = block.get(at..at.checked_add(2)?)?.try_into().ok()?;
        Some(if little {
            u16::from_le_bytes(bytes)
        } else {
            u16::from_be_bytes(bytes)
        })
    };
    let four = |at: usize| {
        let bytes: [u8; 4] = block.get(at..at.checked_add(4)?)?.try_into().ok()?;
        Some(if little {
            u32::from_le_bytes(bytes)
        } else {
            u32::from_be_bytes(bytes)
        })
    };
    let first = usize::try_from(four(4)?).ok()?;
    let n = usize::from(two(first)?);
    let row = (0..n)
        .filter_map(|row| first.checked_add(2)?.checked_add(row * 12))
        .find(|row| two(*row) == Some(0x0112))?;
    // A SHORT, one of it: the value stands in the row itself.
    if (two(row + 2)?, four(row + 4)?) != (3, 1) {
        return None;
    }
    let value = u8::try_from(two(row + 8)?).ok()?;
    (2..=8).contains(&value).then_some(Turned(value))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_block_of_our_own_is_read_back_and_other_byte_order_too() {
        for value in 2..=8 {
            assert_eq!(turned(&Turned(value).block()), Some(Turned(value)));
        }
        let big = b"MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x06\0\0\0\0\0\0";
        assert_eq!(turned(big), Some(Turned(6)));
    }

    #[test]
    fn what_stands_upright_or_says_nothing_or_points_outside_has_none() {
        let mut block = Turned(6).block();
        for value in [0, 1, 9] {
            block[18] = value;
            assert_eq!(turned(&block), None);
        }
        let mut outside = Turned(6).block();
        outside[4..8].copy_from_slice(&u32::MAX.to_le_bytes());
        assert_eq!(turned(&outside), None);
        for length in 0..20 {
            assert_eq!(turned(&Turned(6).block()[..length]), None, "{length}");
        }
    }
}
