//! The files that pages link to, built into the program, and the URLs they are served under.

use std::fmt::Write as _;
use std::sync::OnceLock;

use sha2::{Digest, Sha256};

/// A file that pages link to.
#[derive(Clone, Copy, Debug)]
pub struct Asset {
    /// Its name in the URL.
    pub name: &'static str,
    /// Its content type.
    pub content_type: &'static str,
    /// Its bytes.
    pub bytes: &'static [u8],
}

/// Every asset.
pub const ASSETS: &[Asset] = &[
    Asset {
        name: "style.css",
        content_type: "text/css; charset=utf-8",
        bytes: include_bytes!("../assets/style.css"),
    },
    Asset {
        name: "app.js",
        content_type: "text/javascript; charset=utf-8",
        bytes: include_bytes!("../assets/app.js"),
    },
    Asset {
        name: "check.js",
        content_type: "text/javascript; charset=utf-8",
        bytes: include_bytes!("../assets/check.js"),
    },
    Asset {
        name: "icon.svg",
        content_type: "image/svg+xml",
        bytes: include_bytes!("../assets/icon.svg"),
    },
];

/// First 12 hexadecimal digits of SHA-256 over the package version and all assets: it names the build in URLs.
pub fn build() -> &'static str {
    static BUILD: OnceLock<String> = OnceLock::new();
    BUILD.get_or_init(|| {
        let mut hash = Sha256::new();
        hash.update(env!("CARGO_PKG_VERSION"));
        for asset in ASSETS {
            hash.update(asset.name);
            hash.update(asset.bytes);
        }
        hash.finalize()
            .iter()
            .take(6)
            .fold(String::new(), |mut text, byte| {
                let _writing_to_a_string_cannot_fail = write!(text, "{byte:02x}");
                text
            })
    })
}

/// The URL of an asset: `/a/<build>/<name>`.
pub fn url(name: &str) -> String {
    format!("/a/{}/{name}", build())
}
