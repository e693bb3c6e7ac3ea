//! The parts that pages are made of, one component a file. A part is a function of one struct.

pub mod ask_reading;
pub mod buy_row;
pub mod calc;
pub mod caution;
pub mod check_row;
pub mod form;
pub mod hold;
pub mod need_row;
pub mod pad;
pub mod photo;
pub mod reading_row;
pub mod rows;
pub mod sign;
pub mod verdict;
pub mod waiting;
pub mod yard_csv;
