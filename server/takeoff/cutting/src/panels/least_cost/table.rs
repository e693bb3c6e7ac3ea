//! Positions by key, found in a step or two.
//!
//! What it does not do: give its keys back in any order; only single keys are asked for, so no answer depends on where
//! they lie.
//!
//! Source: open addressing with linear probing and multiplicative hashing, textbook methods (Knuth, The Art of Computer
//! Programming 3, section 6.4).

/// An empty place.
const EMPTY: u32 = u32::MAX;

/// Keys with a position each.
pub(super) struct Table {
    places: Vec<(u128, u32)>,
    used: usize,
}

impl Table {
    pub(super) fn new() -> Self {
        Self {
            places: vec![(0, EMPTY); 1 << 10],
            used: 0,
        }
    }

    pub(super) fn get(&self, key: u128) -> Option<usize> {
        let (known, at) = self.places[self.place(key)];
        (at != EMPTY && known == key).then_some(at as usize)
    }

    /// Adds a key that is not there yet; a position beyond 32 bits is left out.
    pub(super) fn insert(&mut self, key: u128, at: usize) {
        let Some(at) = u32::try_from(at).ok().filter(|&at| at != EMPTY) else {
            return;
        };
        if self.used * 2 >= self.places.len() {
            let wider = vec![(0, EMPTY); self.places.len() * 2];
            for (key, at) in std::mem::replace(&mut self.places, wider) {
                if at != EMPTY {
                    let place = self.place(key);
                    self.places[place] = (key, at);
                }
            }
        }
        let place = self.place(key);
        self.used += usize::from(self.places[place].1 == EMPTY);
        self.places[place] = (key, at);
    }

    /// Where a key lies or would lie.
    fn place(&self, key: u128) -> usize {
        let mixed = key.wrapping_mul(0x9E37_79B9_7F4A_7C15_F39C_C060_5CED_C835) >> 96;
        let mask = self.places.len() - 1;
        let mut place = usize::try_from(mixed).unwrap_or(0) & mask;
        while self.places[place].1 != EMPTY && self.places[place].0 != key {
            place = (place + 1) & mask;
        }
        place
    }
}
