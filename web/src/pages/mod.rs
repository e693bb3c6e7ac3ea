//! The pages, one file a page: a `View` of plain data and a function that draws it.

pub mod buy_list;
pub mod change;
pub mod changes;
pub mod cut_list;
pub mod done;
pub mod form_page;
pub mod help;
pub mod house;
pub mod jobs;
pub mod list;
pub mod materials;
pub mod message;
pub mod on_hand;
pub mod prices;
pub mod readings;
pub mod sign_in;
pub mod thing;
pub mod this_week;
