//! JSON that comes from outside: read only where it is no deeper than anything of ours.

use serde::de::DeserializeOwned;

/// How many lists and objects may stand in each other. An entry in a job file is five deep.
const DEPTH: usize = 16;

/// Reads JSON.
///
/// # Errors
/// What can't be read, in words, with line and column where there is one.
pub fn read_json<T: DeserializeOwned>(bytes: &[u8]) -> Result<T, String> {
    if let Some(line) = too_deep(bytes) {
        return Err(format!(
            "lists and objects stand more than {DEPTH} deep in each other at line {line}"
        ));
    }
    serde_json::from_slice(bytes).map_err(|error| error.to_string())
}

/// The line where it goes deeper than it may.
fn too_deep(bytes: &[u8]) -> Option<usize> {
    let (mut depth, mut line) = (0_usize, 1);
    let (mut quoted, mut escaped) = (false, false);
    for byte in bytes {
        match byte {
            b'\n' => line += 1,
            _ if escaped => escaped = false,
            b'\\' => escaped = quoted,
            b'"' => quoted = !quoted,
            _ if quoted => {}
            b'[' | b'{' => depth += 1,
            b']' | b'}' => depth = depth.saturating_sub(1),
            _ => {}
        }
        if depth > DEPTH {
            return Some(line);
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use serde_json::Value;

    use super::read_json;

    fn nested(depth: usize, inside: &str) -> String {
        format!("{}{inside}{}", "[".repeat(depth), "]".repeat(depth))
    }

    #[test]
    fn sixteen_deep_is_read_and_seventeen_is_refused_with_its_line() {
        assert!(read_json::<Value>(nested(16, "1").as_bytes()).is_ok());
        let deep = format!("[1,\n{}]", nested(16, "1"));
        let why = read_json::<Value>(deep.as_bytes()).unwrap_err();
        assert!(why.ends_with("at line 2"), "{why}");
        let objects = format!("{}1{}", "{\"a\":".repeat(17), "}".repeat(17));
        assert!(read_json::<Value>(objects.as_bytes()).is_err());
    }

    #[test]
    fn brackets_in_texts_are_not_counted_and_other_errors_say_where() {
        let text = format!("[\"{}\\\"{}\", 1]", "[".repeat(40), "{".repeat(40));
        assert!(read_json::<Value>(text.as_bytes()).is_ok());
        let why = read_json::<Value>(b"[1,\n2").unwrap_err();
        assert!(why.contains("line 2"), "{why}");
    }
}
