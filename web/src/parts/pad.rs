//! The pad for lengths: digits and units, the fractions of a tape, a sixteenth more. Script shows it when a field for a
//! length is touched; without script the phone's own keyboard does.

use maud::{Markup, html};

/// The keys, six across, as the script knows them; and what a key is called where its face is no word.
const KEYS: [(&str, &str); 26] = [
    ("1", ""),
    ("2", ""),
    ("3", ""),
    ("4", ""),
    ("5", ""),
    ("ft", "ft, feet"),
    ("6", ""),
    ("7", ""),
    ("8", ""),
    ("9", ""),
    ("0", ""),
    ("in", "in, inches"),
    ("1/8", ""),
    ("1/4", ""),
    ("3/8", ""),
    ("1/2", ""),
    ("5/8", ""),
    ("3/4", ""),
    ("7/8", ""),
    ("0/8", "0/8, no fraction"),
    ("+1/16", "+1/16, one sixteenth more"),
    ("space", ""),
    ("−", "minus"),
    ("⌫", "rub out"),
    ("ABC", "ABC, the phone’s keyboard"),
    ("Next", "Next field"),
];

/// Draws it, for the script to take.
pub fn pad() -> Markup {
    html! {
        template id="pad" {
            div class="pad" role="group" aria-label="Keys for a length" {
                @for (key, name) in KEYS {
                    button class="btn" type="button" data-key=(key) aria-label=[(!name.is_empty()).then_some(name)] { (key) }
                }
            }
        }
    }
}
