//! Every method, path, least role and handler, on one page.

use actix_web::web::{self, ServiceConfig};
use scantling_takeoff::record::Role;

use crate::passes::Passes;
use crate::{files, forms, lan, pages, session, sync};

/// One row of the table.
#[derive(Clone, Copy, Debug)]
pub struct Route {
    /// The method.
    pub method: &'static str,
    /// The path, with its holes.
    pub path: &'static str,
    /// The least role.
    pub role: Role,
    /// What may pass.
    pub passes: Passes,
}

macro_rules! routes {
    ($( $path:literal { $( $method:ident $role:ident $passes:ident $handler:path; )+ } )+) => {
        /// Every route of the server.
        pub const ROUTES: &[Route] = &[ $( $( Route { method: method!($method), path: $path, role: Role::$role, passes: Passes::$passes }, )+ )+ ];

        /// Registers them all. A known path with another method gets 405.
        pub(crate) fn register(config: &mut ServiceConfig) {
            $( config.service(web::resource($path)$( .route(web::$method().to($handler)) )+); )+
        }
    };
}

macro_rules! method {
    (get) => {
        "GET"
    };
    (post) => {
        "POST"
    };
    (put) => {
        "PUT"
    };
}

routes! {
    "/"                              { get Guest Page pages::jobs::show; }
    "/a/{build}/{file}"              { get Stranger Anyone pages::asset::send; }
    "/sw.js"                         { get Stranger Anyone pages::phone_files::worker; }
    "/manifest.webmanifest"          { get Stranger Anyone pages::phone_files::manifest; }
    "/offline-set.json"              { get Guest File pages::phone_files::set; }
    "/outbox"                        { get Stranger Page pages::phone_files::outbox_page; }
    "/offline"                       { get Stranger Page pages::phone_files::offline_page; }
    "/help"                          { get Stranger Page pages::help; }
    "/sign-in"                       { get Stranger Page session::show; post Stranger Form session::sign_in; }
    "/import"                        { get Crew Page sync::rescue; post Crew Entries sync::take_file; }
    "/sign-out"                      { post Guest Form session::sign_out; }
    "/setup"                         { get Stranger Page lan::setup::show; }
    "/setup/check.js"                { get Stranger Anyone lan::setup::check; }
    "/ca.cer"                        { get Stranger Anyone lan::setup::certificate; }
    "/crew"                          { get Guest Page pages::crew::show; }
    "/crew/code"                     { post Lead Form forms::crew::code; }
    "/crew/open"                     { post Lead Form forms::crew::open; }
    "/crew/shut-others"              { post Lead Form forms::crew::shut_others; }
    "/crew/device/{id}"              { post Guest Form forms::crew::device; }
    "/crew/person/{id}"              { post Lead Form forms::crew::person; }
    "/sync/v1/ping"                  { get Stranger Anyone sync::ping; }
    "/sync/v1/me"                    { get Guest File sync::me; }
    "/sync/v1/ops"                   { post Crew Batch sync::ops; }
    "/sync/v1/blobs/{id}"            { put Crew Picture sync::picture; }
    "/jobs"                          { post Lead Form forms::add::job; }
    "/jobs/{job}"                    { get Guest Page pages::this_week::show; }
    "/jobs/{job}/house"              { get Guest Page pages::house::show; }
    "/jobs/{job}/changes"            { get Guest Page pages::changes::show; }
    "/jobs/{job}/plan"               { get Lead Page pages::changes::plan; }
    "/jobs/{job}/holds"              { get Guest Page pages::holds::show; }
    "/jobs/{job}/checks"             { get Guest Page pages::checks::show; }
    "/jobs/{job}/materials"          { get Guest Page pages::materials::show; }
    "/jobs/{job}/cut-list"           { get Guest Page pages::cut_list::show; }
    "/jobs/{job}/buy-list"           { get Crew Page pages::buy_list::show; }
    "/jobs/{job}/buy-list/tick"      { post Crew Form forms::buy::tick; }
    "/jobs/{job}/buy-list/receipt"   { post Crew Form forms::buy::close_receipt; }
    "/jobs/{job}/buy-list.csv"       { get Crew File files::yard_order::csv; }
    "/jobs/{job}/buy-list.txt"       { get Crew File files::yard_order::text; }
    "/jobs/{job}/buy-list/print"     { get Crew Page pages::buy_list::print; }
    "/jobs/{job}/trip"               { get Crew Page pages::trip::show; }
    "/jobs/{job}/line/{item}"        { get Crew Page pages::line::show; }
    "/jobs/{job}/line/{item}/swap"   { post Crew Form forms::line::swap; }
    "/jobs/{job}/line/{item}/back"   { post Crew Form forms::line::back; }
    "/jobs/{job}/line/{item}/listed" { post Crew Form forms::line::listed; }
    "/jobs/{job}/receipt/{id}/line"  { post Crew Form forms::line::extra; }
    "/jobs/{job}/order"              { get Crew Page pages::orders::show; post Crew Form forms::order::add; }
    "/jobs/{job}/order/{id}"         { get Crew Page pages::order::show; }
    "/jobs/{job}/order/{id}/send"    { post Crew Form forms::order::send; }
    "/jobs/{job}/order/{id}/came"    { post Crew Form forms::came::save_came; }
    "/jobs/{job}/order/{id}/revise"  { post Crew Form forms::order::revise; }
    "/jobs/{job}/order/{id}/csv"     { get Crew File files::order::csv; }
    "/jobs/{job}/order/{id}/text"    { get Crew File files::order::text; }
    "/jobs/{job}/order/{id}/print"   { get Crew File files::order::print; }
    "/jobs/{job}/on-hand"            { get Guest Page pages::on_hand::show; }
    "/jobs/{job}/prices"             { get Crew Page pages::prices::show; post Lead Csv forms::prices::import; }
    "/jobs/{job}/money"              { get Crew Page pages::money::show; }
    "/jobs/{job}/money/{by}/{of}"    { get Crew Page pages::money_of::show; }
    "/jobs/{job}/differs"            { get Guest Page pages::differs::show; }
    "/jobs/{job}/settings"           { get Lead Page pages::settings::show; }
    "/jobs/{job}/job-file"           { get Lead File files::job_file::send; }
    "/jobs/{job}/job.zip"            { get Lead Zip files::job_file::send_zip; }
    "/jobs/{job}/photo"              { get Guest Page pages::photos::list; post Crew Photo forms::photo::add; }
    "/jobs/{job}/photo/{id}/full"    { get Guest File files::photo::full; }
    "/jobs/{job}/photo/{id}/file"    { get Lead File files::photo::original; }
    "/jobs/{job}/photo/{id}/small"   { get Guest File files::photo::small; }
    "/jobs/{job}/photo/{id}/screen"  { get Guest File files::photo::screen; }
    "/jobs/{job}/week/{id}/close"    { get Lead Page pages::close::show; post Lead Form forms::close::save_week; }
    "/jobs/{job}/week/{id}/kept"     { get Crew Page pages::kept::show; }
    "/jobs/{job}/{kind}"             { get Guest Page pages::things::list; post Crew Form forms::add::thing; }
    "/jobs/{job}/{kind}/{id}"        { get Guest Page pages::things::one; post Crew Form forms::edit::thing; }
    "/jobs/{job}/{kind}/{id}/edit"   { get Crew Page pages::things::edit; }
    "/jobs/{job}/supplier/{id}/columns" { get Lead Page pages::supplier::columns; post Lead Form forms::supplier::columns; }
    "/jobs/{job}/{kind}/{id}/readings" { get Guest Page pages::things::readings; }
    "/jobs/{job}/{kind}/{id}/record"  { get Guest Page pages::checks::record; }
    "/jobs/{job}/{kind}/{id}/history" { get Guest Page pages::history::show; }
    "/jobs/{job}/{kind}/{id}/hold/{event}" { get Guest Page pages::hold::show; }
    "/jobs/{job}/{kind}/{id}/done"   { get Crew Page pages::done::show; post Crew Form forms::done::save_done; }
    "/jobs/{job}/{kind}/{id}/struck" { get Crew Page pages::done::show_struck; post Crew Form forms::done::save_struck; }
    "/jobs/{job}/{kind}/{id}/act/{act}" { post Crew Form forms::act::thing; }
}
