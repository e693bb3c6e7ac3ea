//! How much work a search may do, counted in steps and never by a clock.
//!
//! A step is about one addition or comparison in an inner loop, so a budget means about the same time whatever the
//! instance. Whoever calls may also ask to stop; then the answer depends on when that was, and says that it was stopped.

/// How many steps pass between two looks at whether the caller wants to stop.
const STEPS_BETWEEN_LOOKS: u64 = 2_000_000;

/// Steps still allowed.
pub(super) struct Budget<'a> {
    spent: u64,
    most: u64,
    next_look: u64,
    stop_now: &'a mut dyn FnMut() -> bool,
    stopped: bool,
}

impl<'a> Budget<'a> {
    /// So many steps, or fewer where `stop_now` says so.
    pub(super) fn new(most: u64, stop_now: &'a mut dyn FnMut() -> bool) -> Self {
        Self {
            spent: 0,
            most,
            next_look: STEPS_BETWEEN_LOOKS,
            stop_now,
            stopped: false,
        }
    }

    /// Counts steps; says whether the work may go on.
    pub(super) fn spend(&mut self, steps: usize) -> bool {
        self.spent = self
            .spent
            .saturating_add(u64::try_from(steps).unwrap_or(u64::MAX));
        if self.spent >= self.next_look {
            self.next_look = self.spent.saturating_add(STEPS_BETWEEN_LOOKS);
            self.stopped = self.stopped || (self.stop_now)();
        }
        self.goes_on()
    }

    /// Whether the work may go on.
    pub(super) fn goes_on(&self) -> bool {
        !self.stopped && self.spent < self.most
    }

    /// Steps counted so far.
    pub(super) fn spent(&self) -> u64 {
        self.spent
    }

    /// Whether the caller asked to stop.
    pub(super) fn was_stopped(&self) -> bool {
        self.stopped
    }

    /// Lowers the ceiling to so many steps from here for one part of the work; gives the old ceiling for [`Self::restore`].
    pub(super) fn lower_to(&mut self, steps: u64) -> u64 {
        let old = self.most;
        self.most = old.min(self.spent.saturating_add(steps));
        old
    }

    /// Puts the ceiling back where it was.
    pub(super) fn restore(&mut self, old: u64) {
        self.most = old;
    }

    /// Steps left.
    pub(super) fn left(&self) -> u64 {
        self.most.saturating_sub(self.spent)
    }
}
