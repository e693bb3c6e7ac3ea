//! What a phone with WebKit does away from the server. A test here has `browser::webkit::` in its path.

use super::{empty, tell, walk};

#[test]
fn a_phone_with_webkit_opens_saved_pages_and_sends_what_it_kept_once() {
    let program = env!("CARGO_BIN_EXE_scantling");
    let said = walk("webkit.mjs", &[program, &empty("webkit")]);
    assert!(
        said.trim_end()
            .ends_with("WebKit keeps and sends what is entered"),
        "{said}"
    );
    tell(&said);
}
