//! Setting a phone up: the certificate that it must trust, step by step, and a live check.

use maud::{Markup, html};

use crate::drawing::qr::Qr;
use crate::layout::{Page, alone};

/// What the page shows.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// The server's one address.
    pub origin: &'a str,
    /// It by each IPv4 address.
    pub by_address: Vec<String>,
    /// Where this page is, and its QR code; none where there is no setup to be done.
    pub here: Option<(String, Qr<'a>)>,
    /// What a phone has to trust.
    pub trust: Trust,
}

/// What a phone has to trust.
#[derive(Clone, Debug)]
pub enum Trust {
    /// The server's own authority, by the SHA-256 of its certificate.
    Authority(String),
    /// A certificate that phones trust already.
    Known,
    /// Nothing: the server runs without TLS.
    Plain,
}

/// Draws it.
pub fn page(view: &View<'_>) -> Page {
    let is_own = matches!(view.trust, Trust::Authority(_));
    let main = html! {
        h1 { "Set up this phone" }
        p class="sub" {
            "Once for each phone. Then it opens Scantling by " b { (view.origin) }
            @if !matches!(view.trust, Trust::Plain) { ", also where there is no signal" } "."
        }
        @match &view.trust {
            Trust::Authority(fingerprint) => (steps(view, fingerprint)),
            Trust::Known => p {
                "This server has a certificate that phones trust already: there is nothing to install. Open it, add it to the home screen (iPhone: Share; Android: menu), then open it by its icon and sign in there."
            },
            Trust::Plain => p { "This server runs without TLS: pages can’t be opened on a phone away from it. For that, start it with " code { "--lan" } " alone." },
        }
        h2 id="check" { @if is_own { "2. Does it work?" } @else { "Does it work?" } }
        (live(view))
        h2 { @if is_own { "3. Sign in" } @else { "Sign in" } }
        p {
            "Scantling asks for eight digits, once. The lead makes them for each phone: " b { "Crew and phones" } ", "
            b { "Let a phone in" } ". The very first ones stand on the console where Scantling was started."
        }
        div class="acts" { a class="btn main" href={ (view.origin) "/" } { "Open Scantling" } }
        @if let Some((address, qr)) = &view.here {
            h2 { "Another phone" }
            figure class="code" {
                (qr.draw())
                figcaption { "Its camera finds this page by the code, or type " b { (address) } }
            }
        }
    };
    alone("Set up this phone", &main)
}

fn steps(view: &View<'_>, fingerprint: &str) -> Markup {
    html! {
        h2 { "1. Let this phone trust the server" }
        p { "Scantling runs in your own network, so it vouches for itself. The phone takes its certificate once." }
        div class="acts" { a class="btn main" href="/ca.cer" { "Get the certificate" } }
        p class="small" { "SHA-256, the same as on the console: " span class="finger" { (fingerprint) } }
        details class="more" {
            summary class="btn" { "iPhone or iPad" }
            ol class="steps" {
                li { "Open this page in Safari, press " b { "Get the certificate" } ", then " b { "Allow" } "." }
                li { "Settings › General › VPN & Device Management: choose the downloaded profile, " b { "Install" } "." }
                li { "Settings › General › About › Certificate Trust Settings: switch it " b { "on" } ". Without this step nothing works." }
                li { "Open " a href=(view.origin) { (view.origin) } " in Safari, then Share › " b { "Add to Home Screen" } "." }
                li { "Open it by its icon, and sign in there." }
            }
        }
        details class="more" {
            summary class="btn" { "Android" }
            ol class="steps" {
                li { "Press " b { "Get the certificate" } ". It is only saved, not installed." }
                li { "Settings: search for " b { "CA certificate" } ", then " b { "Install anyway" } " and pick the saved file. A screen lock is needed." }
                li { "Open " a href=(view.origin) { (view.origin) } " in Chrome, then menu › " b { "Add to home screen" } "." }
                li { "Open it by its icon, and sign in there." }
            }
            p class="small" { "From then on Android says that the network may be monitored: it says so for every certificate of one’s own." }
        }
        details class="more" {
            summary class="btn" { "Computer" }
            ol class="steps" {
                li { "Press " b { "Get the certificate" } ": a file is saved." }
                li {
                    "Windows: open the file, " b { "Install Certificate" } ", " b { "Local Machine" } ", place it in "
                    b { "Trusted Root Certification Authorities" } ". Mac: open it in Keychain Access, keychain " b { "System" }
                    ", then set it to " b { "Always Trust" } ". Linux: import it in the browser’s certificate settings, under "
                    b { "Authorities" } ", for websites."
                }
                li { "Close the browser, and open " a href=(view.origin) { (view.origin) } "." }
            }
        }
    }
}

fn live(view: &View<'_>) -> Markup {
    html! {
        div data-origin=(view.origin) data-addresses=(view.by_address.join(" ")) role="status" {
            p data-check="asking" hidden { "Asking the server…" }
            p data-check="trusted" hidden { b { "It works: this phone trusts the server." } " Next: sign in." }
            p data-check="name" hidden {
                b { "The certificate is trusted, but the name is not found." }
                " Switch off Private DNS, VPN and ad blockers on this phone and check again. If that doesn’t help, the server needs a fixed address instead of its name: start it with "
                code { "--origin https://ADDRESS:PORT" } "."
            }
            p data-check="none" hidden {
                b { "Not yet." }
                " Either the certificate is not trusted yet (on an iPhone the last switch, Certificate Trust Settings, is the one people miss), or this phone is not in the server’s network."
            }
            noscript { p { "Without script: open Scantling below. A page without a warning means that it works." } }
        }
        div class="acts" { button class="btn" type="button" data-again="1" { "Check again" } }
        script type="module" src="/setup/check.js" {}
    }
}
