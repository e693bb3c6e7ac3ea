//! A QR code (ISO/IEC 18004) as one path, black on white whatever the page's colours are.

use std::fmt::Write as _;

use maud::{Markup, html};

/// White modules around the code that a reader asks for.
const QUIET: usize = 4;

/// A code: its modules row by row, and how many there are in a row.
#[derive(Clone, Debug)]
pub struct Qr<'a> {
    /// Its anchor, unique on the page.
    pub id: &'a str,
    /// What it says, in words.
    pub says: &'a str,
    /// Dark ones are true.
    pub dark: &'a [bool],
    /// How many stand in a row.
    pub width: usize,
}

impl Qr<'_> {
    /// Draws it.
    pub fn draw(&self) -> Markup {
        let side = self.width + 2 * QUIET;
        let (title, path) = (format!("{}-t", self.id), self.path());
        html! {
            svg class="qr" id=(self.id) viewBox={ "0 0 " (side) " " (side) } role="img" aria-labelledby=(title) {
                title id=(title) { (self.says) }
                rect class="light" width=(side) height=(side) {}
                path class="dark" d=(path) {}
            }
        }
    }

    /// One box for each stretch of dark modules in a row.
    fn path(&self) -> String {
        let mut path = String::new();
        for (y, row) in self.dark.chunks(self.width.max(1)).enumerate() {
            let mut x = 0;
            while x < row.len() {
                let long = row.iter().skip(x).take_while(|dark| **dark).count();
                if long > 0 {
                    let (left, top) = (x + QUIET, y + QUIET);
                    let _writing_to_a_string_cannot_fail =
                        write!(path, "M{left} {top}h{long}v1h-{long}z");
                }
                x += long.max(1);
            }
        }
        path
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_dark_stretch_is_one_box_beyond_the_quiet_zone() {
        let qr = Qr {
            id: "q",
            says: "Setup",
            dark: &[true, true, false, false, false, true, true, false, true],
            width: 3,
        };
        assert_eq!(
            qr.path(),
            "M4 4h2v1h-2zM6 5h1v1h-1zM4 6h1v1h-1zM6 6h1v1h-1z"
        );
        assert!(qr.draw().into_string().contains("viewBox=\"0 0 11 11\""));
    }
}
