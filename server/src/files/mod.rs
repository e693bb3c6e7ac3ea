//! CSV, text and job files, in and out; the only use of `csv`.

pub(crate) mod job_file;
pub(crate) mod price_book;
pub(crate) mod schema;
pub(crate) mod takeoff_csv;
pub(crate) mod takeoff_json;
pub(crate) mod takeoff_text;
pub(crate) mod yard_order;
