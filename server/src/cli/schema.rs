//! `scantling schema`: the job file's JSON Schema, made from the registry.

use super::{Failed, write_out};
use crate::files::schema;

/// What its help ends with.
pub(super) const EXAMPLES: &str = "\
Example: scantling schema > job-file.schema.json
It is JSON Schema, draft 2020-12. What a field's text is read as (a length, a price) is said in its description.";

/// Runs it.
pub(super) fn run() -> Result<(), Failed> {
    write_out(schema::text().as_bytes())
}
