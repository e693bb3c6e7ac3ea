//! What pages show: extract, read the job, ask the core, build the view, draw.

pub(crate) mod asset;
pub(crate) mod buy_list;
pub(crate) mod change;
pub(crate) mod changes;
pub(crate) mod checks;
pub(crate) mod close;
pub(crate) mod crew;
pub(crate) mod cut_list;
pub(crate) mod differs;
pub(crate) mod done;
pub(crate) mod history;
pub(crate) mod hold;
pub(crate) mod holds;
pub(crate) mod house;
pub(crate) mod jobs;
pub(crate) mod kept;
pub(crate) mod line;
pub(crate) mod materials;
pub(crate) mod money;
pub(crate) mod money_of;
pub(crate) mod on_hand;
pub(crate) mod order;
pub(crate) mod orders;
pub(crate) mod phone_files;
pub(crate) mod photos;
pub(crate) mod price_import;
pub(crate) mod prices;
pub(crate) mod receipt;
pub(crate) mod rows;
pub(crate) mod settings;
pub(crate) mod shell;
pub(crate) mod slips;
pub(crate) mod sources;
pub(crate) mod supplier;
pub(crate) mod things;
pub(crate) mod this_week;
pub(crate) mod trip;
pub(crate) mod week;

use actix_web::HttpResponse;

/// The help page.
pub(crate) async fn help() -> HttpResponse {
    crate::error::html(scantling_web::pages::help::page())
}
