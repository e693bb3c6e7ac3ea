//! Signs: small drawings that never stand without their word.

use maud::{Markup, html};

/// A sign.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sign {
    /// A tick: agreed, bought.
    Tick,
    /// Passed.
    Pass,
    /// Look.
    Look,
    /// Stop.
    Stop,
    /// Not known yet.
    Wait,
    /// One alone.
    Single,
    /// Measure again.
    Again,
}

/// Draws it.
pub fn sign(sign: Sign) -> Markup {
    let (path, ring) = match sign {
        Sign::Tick => ("M4 12.5l5.5 5.5L20 6", ""),
        Sign::Pass => (
            "M7 12.5l3.5 3.5L17 8.5M12 2a10 10 0 1 1 0 20 10 10 0 1 1 0-20",
            "",
        ),
        Sign::Look => ("M12 1.5L22.5 12 12 22.5 1.5 12zM12 7v6M12 16.5v.2", ""),
        Sign::Stop => ("M4 4l16 16M20 4L4 20", ""),
        Sign::Wait => (
            "M9.2 9.4a2.9 2.9 0 1 1 4.2 2.7c-1 .5-1.4 1-1.4 2M12 17.3v.2",
            "4.2 3.6",
        ),
        Sign::Single => ("M12 6v12", "4.2 3.6"),
        Sign::Again => ("M2.5 2.5h19v19h-19zM12 7v6M12 16.8v.2", ""),
    };
    html! {
        svg class="i" viewBox="0 0 24 24" aria-hidden="true" {
            @if !ring.is_empty() { circle cx="12" cy="12" r="10" stroke-dasharray=(ring) {} }
            path d=(path) {}
        }
    }
}

/// The state of a change as a stick: a line across it, planned; crow's foot, ready; kerf half through, under way; cut in
/// two, done; broken, dropped. `state` is the stored word.
pub fn state_stick(state: &str) -> Markup {
    let path = match state {
        "ready" => "M1.5 10h41v10.5h-41zM22 10v10.5M13.5 1.5L22 10l8.5-8.5",
        "under_way" => "M1.5 6H19v6.5h6V6h17.5v11h-41z",
        "done" => "M1.5 4.5H19V15H1.5zM26.2 6.2l16.8 4-2.5 10.3-16.8-4z",
        "dropped" => "M1.5 6H18l3 4-3 3 3 4H1.5zM42.5 6H26l-2 4 3 3-3 4h18.5z",
        _ => "M1.5 6h41v11h-41zM22 2.5v18",
    };
    let filled = (state == "done").then_some("f");
    html! { svg class="i sk" viewBox="0 0 44 22" aria-hidden="true" { path class=[filled] d=(path) {} } }
}

/// The word of a state.
pub fn state_word(state: &str) -> &'static str {
    match state {
        "ready" => "Ready",
        "under_way" => "Under way",
        "done" => "Done",
        "dropped" => "Dropped",
        _ => "Planned",
    }
}
