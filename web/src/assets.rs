//! The files that pages link to, built into the program, and the URLs they are served under.
//!
//! Scripts are sent without their comments and idle white space; the service worker goes out under an address of its own.

mod slim;

use std::fmt::Write as _;
use std::sync::{LazyLock, OnceLock};

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

/// Every asset. Scripts are sent without their comments and idle white space.
pub static ASSETS: LazyLock<Vec<Asset>> = LazyLock::new(|| {
    let script = |name, text| Asset {
        name,
        content_type: "text/javascript; charset=utf-8",
        bytes: slim::slim(text).into_bytes().leak(),
    };
    let file = |name, content_type, bytes| Asset {
        name,
        content_type,
        bytes,
    };
    vec![
        file(
            "style.css",
            "text/css; charset=utf-8",
            include_bytes!("../assets/style.css"),
        ),
        script("app.js", include_str!("../assets/app.js")),
        script("outbox.js", include_str!("../assets/outbox.js")),
        script("outbox_page.js", include_str!("../assets/outbox_page.js")),
        script("check.js", include_str!("../assets/check.js")),
        script("drafts.js", include_str!("../assets/drafts.js")),
        script("pad.js", include_str!("../assets/pad.js")),
        script("photo.js", include_str!("../assets/photo.js")),
        script("sw.js", include_str!("../assets/sw.js")),
        file(
            "icon.svg",
            "image/svg+xml",
            include_bytes!("../assets/icon.svg"),
        ),
        file(
            "icon-192.png",
            "image/png",
            include_bytes!("../assets/icon-192.png"),
        ),
        file(
            "icon-512.png",
            "image/png",
            include_bytes!("../assets/icon-512.png"),
        ),
    ]
});

/// First 12 hexadecimal digits of SHA-256 over the package version and all assets: it names the build in URLs.
pub fn build() -> &'static str {
    static BUILD: OnceLock<String> = OnceLock::new();
    BUILD.get_or_init(|| {
        let mut hash = Sha256::new();
        hash.update(env!("CARGO_PKG_VERSION"));
        for asset in ASSETS.iter() {
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

#[cfg(test)]
mod tests {
    use super::*;

    /// At most so many kB (of 1,024 bytes) as sent, before compression.
    const CAPS: [(&str, usize); 8] = [
        ("app.js", 11),
        ("outbox.js", 11),
        ("outbox_page.js", 4),
        ("check.js", 1),
        ("drafts.js", 2),
        ("pad.js", 7),
        ("photo.js", 2),
        ("sw.js", 5),
    ];

    #[test]
    fn all_scripts_together_are_at_most_35_kb() {
        let scripts = ASSETS
            .iter()
            .filter(|asset| asset.content_type.starts_with("text/javascript"))
            .map(|asset| (asset.name, asset.bytes.len()));
        let sizes: Vec<(&str, usize)> = scripts.collect();
        assert_eq!(sizes.len(), CAPS.len(), "a script without a cap");
        for (name, size) in &sizes {
            let cap = CAPS.iter().find(|(of, _)| of == name).unwrap().1;
            assert!(*size <= cap * 1024, "{name} is {size} bytes of {cap} kB");
        }
        let all: usize = sizes.iter().map(|(_, size)| size).sum();
        assert!(all <= 35 * 1024, "all scripts together are {all} bytes");
    }
}
