//! `scantling schema`: the JSON Schemas of what goes in and out, the job file's made from the registry.

use super::{Failed, write_out};
use crate::files::{check_schema, schema};

/// What its help ends with.
pub(super) const EXAMPLES: &str = "\
Examples:
  scantling schema > job-file.schema.json
  scantling schema --of checks > checks.schema.json
It is JSON Schema, draft 2020-12. What a field's text is read as (a length, a price) is said in its description.";

/// Its arguments.
#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// Of which document.
    #[arg(long, value_enum, default_value_t = Of::JobFile)]
    of: Of,
}

#[derive(Clone, Copy, Debug, clap::ValueEnum)]
enum Of {
    /// The job file, in and out.
    JobFile,
    /// What `check --format json` prints.
    Checks,
}

/// Runs it.
pub(super) fn run(arguments: &Arguments) -> Result<(), Failed> {
    let text = match arguments.of {
        Of::JobFile => schema::text(),
        Of::Checks => check_schema::text(),
    };
    write_out(text.as_bytes())
}
