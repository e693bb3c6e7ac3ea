//! A job's zip against small limits. Whole archives, good and hostile, are tried by the command line's tests.

use std::io::Write as _;
use std::path::PathBuf;
use std::sync::atomic::{AtomicU32, Ordering};

use zip::ZipWriter;
use zip::write::SimpleFileOptions;

use scantling_takeoff::record::job_file::{JOB_PICTURE_BYTES, JOB_PICTURES};

use super::{JOB, LIMITS, Limits, README, open};

/// A file of its own; it goes when this goes.
struct Archive(PathBuf);

impl Drop for Archive {
    fn drop(&mut self) {
        std::fs::remove_file(&self.0).unwrap();
    }
}

/// A zip of a job without entries, and a sentence of so many bytes.
fn archive(sentence: usize) -> Archive {
    static NUMBER: AtomicU32 = AtomicU32::new(0);
    let n = NUMBER.fetch_add(1, Ordering::Relaxed);
    let name = format!("scantling-zip-{}-{n}.zip", std::process::id());
    let archive = Archive(std::env::temp_dir().join(name));
    let mut zip = ZipWriter::new(std::fs::File::create(&archive.0).unwrap());
    let job = r#"{"format": "scantling-job", "version": 1, "job_id": "00000000-0000-4000-8000-000000000001", "entries": []}"#;
    for (name, bytes) in [(README, "x".repeat(sentence)), (JOB, job.to_owned())] {
        let options = SimpleFileOptions::default();
        zip.start_file(name, options).unwrap();
        zip.write_all(bytes.as_bytes()).unwrap();
    }
    zip.finish().unwrap();
    archive
}

fn said(archive: &Archive, limits: Limits) -> Option<String> {
    open(&archive.0, limits).err().map(|why| why.to_string())
}

#[test]
fn as_many_entries_as_may_be_are_taken_and_no_more() {
    let of = |entries| {
        let limits = Limits { entries, ..LIMITS };
        said(&archive(0), limits)
    };
    assert_eq!(of(2), None);
    assert_eq!(
        of(1).as_deref(),
        Some("job.json: it is entry 2 of 2; a job's zip has at most 1")
    );
}

#[test]
fn a_zip_may_have_as_many_pictures_as_a_job_keeps() {
    let place = std::env::temp_dir().join(format!("scantling-zip-{}-many.zip", std::process::id()));
    let many = Archive(place);
    let mut zip = ZipWriter::new(std::fs::File::create(&many.0).unwrap());
    for n in 0..3_000 {
        let name = format!("orders/00000000-0000-4000-8000-000000000001-r{n}.csv");
        zip.start_file(name, SimpleFileOptions::default()).unwrap();
    }
    zip.finish().unwrap();
    // Nothing is said of how many they are: it is looked for the job among them.
    assert_eq!(
        said(&many, LIMITS).as_deref(),
        Some("job.json: the zip doesn't hold it")
    );
    let of_photos = usize::try_from(JOB_PICTURES).unwrap();
    assert!(LIMITS.entries > of_photos && LIMITS.bytes > JOB_PICTURE_BYTES);
}

#[test]
fn bytes_are_counted_as_they_are_unpacked_over_all_entries() {
    // The job's own text has 106 bytes: with the sentence's 1,000 it is 1,106.
    let of = |bytes| {
        let limits = Limits {
            bytes,
            ratio: 10_000,
            ..LIMITS
        };
        said(&archive(1_000), limits)
    };
    assert_eq!(of(1_106), None);
    assert!(
        of(1_105)
            .unwrap()
            .starts_with("job.json: with it the zip unpacks")
    );
    assert!(
        of(999)
            .unwrap()
            .starts_with("README.txt: with it the zip unpacks")
    );
}

#[test]
fn an_entry_that_unpacks_too_far_is_named() {
    // A hundred thousand times the same letter: deflate makes that over 500 times smaller.
    let bomb = archive(100_000);
    assert_eq!(
        said(&bomb, LIMITS).as_deref(),
        Some("README.txt: it unpacks to more than 100 times its size")
    );
    let limits = Limits {
        ratio: 2_000,
        ..LIMITS
    };
    assert_eq!(said(&bomb, limits), None);
}
