//! Counted work, and numbers drawn from a seed: what makes an answer the same on every machine.
//!
//! What it does not do: look at a clock. Who calls may hand in a word to stop, which is asked now and then.

/// Steps between two questions whether to stop.
const ASK_EVERY: u64 = 1 << 20;

/// How much may still be looked at.
pub(super) struct Work<'a> {
    most: u64,
    used: u64,
    ask_at: u64,
    stop: &'a dyn Fn() -> bool,
    stopped: bool,
}

impl<'a> Work<'a> {
    pub(super) fn new(most: u64, stop: &'a dyn Fn() -> bool) -> Self {
        Self {
            most,
            used: 0,
            ask_at: ASK_EVERY,
            stop,
            stopped: false,
        }
    }

    /// Counts steps; says whether there are more to go.
    pub(super) fn spend(&mut self, steps: u64) -> bool {
        self.used = self.used.saturating_add(steps);
        if self.used >= self.ask_at && !self.stopped {
            self.ask_at = self.used.saturating_add(ASK_EVERY);
            self.stopped = (self.stop)();
        }
        self.goes_on()
    }

    pub(super) fn goes_on(&self) -> bool {
        !self.stopped && self.used < self.most
    }

    pub(super) fn used(&self) -> u64 {
        self.used
    }

    pub(super) fn left(&self) -> u64 {
        self.most.saturating_sub(self.used)
    }

    /// Whether the caller's word ended it, so that another run may give another answer.
    pub(super) fn is_stopped(&self) -> bool {
        self.stopped
    }
}

/// Numbers that look drawn by lot: a 64-bit shift register with a multiplied result.
///
/// Source: Marsaglia, "Xorshift RNGs", Journal of Statistical Software 8 (2003), 14; Vigna, "An experimental exploration
/// of Marsaglia's xorshift generators, scrambled", ACM Transactions on Mathematical Software 42 (2016), 30. Shifts and
/// multiplier from memory.
pub(super) struct Lots(u64);

impl Lots {
    pub(super) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    /// A number below `n`; zero where `n` is zero.
    pub(super) fn below(&mut self, n: usize) -> usize {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        let drawn = self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 32;
        let n = u64::try_from(n).unwrap_or(u64::MAX);
        usize::try_from((drawn * (n & 0xFFFF_FFFF)) >> 32).unwrap_or(0)
    }
}
