//! Names in a job's zip: a fixed pattern, so that none can lead anywhere.

use uuid::Uuid;

use super::{JOB, README};

/// What a name says that an entry is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Name {
    Readme,
    Job,
    /// A picture: its hash, and what its name ends in.
    Picture(String, String),
    /// What was sent.
    Order,
}

/// Reads a name; else says what is wrong with it.
pub(super) fn read(name: &[u8]) -> Result<Name, &'static str> {
    let Ok(name) = std::str::from_utf8(name) else {
        return Err("its name is no plain text");
    };
    if name == README {
        return Ok(Name::Readme);
    }
    if name == JOB {
        return Ok(Name::Job);
    }
    let known = name.strip_prefix("photos/").and_then(picture);
    let known = known.or_else(|| {
        let order = name.strip_prefix("orders/");
        order.is_some_and(is_order).then_some(Name::Order)
    });
    known.ok_or_else(|| wrong(name))
}

fn wrong(name: &str) -> &'static str {
    let has_drive = name.as_bytes().get(1) == Some(&b':');
    if name.contains('\\') {
        "its name holds a backslash"
    } else if name.starts_with('/') || has_drive {
        "its name begins at the root of a disk"
    } else if name.split('/').any(|part| part == "..") {
        "its name leads out of the folder"
    } else {
        "a job's zip holds no file of such a name"
    }
}

fn picture(name: &str) -> Option<Name> {
    let (hash, end) = name.split_once('.')?;
    let hex = |byte: u8| matches!(byte, b'0'..=b'9' | b'a'..=b'f');
    let fits =
        hash.len() == 64 && hash.bytes().all(hex) && matches!(end, "jpg" | "png" | "webp" | "heic");
    fits.then(|| Name::Picture(hash.to_owned(), end.to_owned()))
}

fn is_order(name: &str) -> bool {
    let parts = name.split_once('.').and_then(|(stem, end)| {
        let (id, revision) = stem.rsplit_once("-r")?;
        Some((id, revision, end))
    });
    parts.is_some_and(|(id, revision, end)| {
        Uuid::parse_str(id).is_ok_and(|read| read.to_string() == id)
            && (1..=6).contains(&revision.len())
            && revision.bytes().all(|byte| byte.is_ascii_digit())
            && matches!(end, "csv" | "txt" | "html")
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_four_kinds_of_files_are_told_by_their_names() {
        let hash = "0123456789abcdef".repeat(4);
        assert_eq!(read(b"README.txt"), Ok(Name::Readme));
        assert_eq!(read(b"job.json"), Ok(Name::Job));
        assert_eq!(
            read(format!("photos/{hash}.jpg").as_bytes()),
            Ok(Name::Picture(hash, "jpg".to_owned()))
        );
        let order = b"orders/00000000-0000-4000-8000-000000000001-r2.csv";
        assert_eq!(read(order), Ok(Name::Order));
    }

    #[test]
    fn every_other_name_is_refused_with_its_reason() {
        let hash = "0123456789abcdef".repeat(4);
        for (name, why) in [
            ("../job.json", "leads out"),
            ("photos/../job.json", "leads out"),
            ("/job.json", "root of a disk"),
            ("C:/job.json", "root of a disk"),
            ("photos\\x.jpg", "backslash"),
            ("", "no file of such a name"),
            ("photos/", "no file of such a name"),
            ("./job.json", "no file of such a name"),
            ("JOB.JSON", "no file of such a name"),
            ("job.json\0", "no file of such a name"),
            ("photos/x.jpg", "no file of such a name"),
            (&format!("photos/{hash}.gif"), "no file of such a name"),
            (
                &format!("photos/{}.jpg", hash.to_uppercase()),
                "no file of such a name",
            ),
            (&format!("photos/a/{hash}.jpg"), "no file of such a name"),
            ("orders/1-r2.csv", "no file of such a name"),
            (
                "orders/00000000-0000-4000-8000-000000000001-r2.exe",
                "no file of such a name",
            ),
        ] {
            assert!(read(name.as_bytes()).unwrap_err().contains(why), "{name}");
        }
        assert!(read(b"photos/\xff.jpg").unwrap_err().contains("plain text"));
    }
}
