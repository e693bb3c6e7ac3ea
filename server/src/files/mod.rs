//! CSV, text, pictures and job files, in and out; the only use of `csv` and `zip`.

pub(crate) mod check_json;
pub(crate) mod check_schema;
pub(crate) mod check_text;
pub(crate) mod dialect;
pub(crate) mod job_file;
pub(crate) mod job_zip;
pub(crate) mod order;
pub(crate) mod photo;
pub(crate) mod picture;
pub(crate) mod price_book;
pub(crate) mod price_cell;
pub(crate) mod price_match;
pub(crate) mod schema;
pub(crate) mod shrink;
pub(crate) mod takeoff_csv;
pub(crate) mod takeoff_json;
pub(crate) mod takeoff_text;
pub(crate) mod ways;
pub(crate) mod yard_order;
