//! Every method, path, least role and handler, on one page.

use actix_web::web::{self, ServiceConfig};
use scantling_takeoff::record::Role;

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
}

macro_rules! routes {
    ($( $path:literal { $( $method:ident $role:ident $handler:path; )+ } )+) => {
        /// Every route of the server.
        pub const ROUTES: &[Route] = &[ $( $( Route { method: method!($method), path: $path, role: Role::$role }, )+ )+ ];

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
    "/"                              { get Guest pages::jobs::show; }
    "/a/{build}/{file}"              { get Stranger pages::asset::send; }
    "/sw.js"                         { get Stranger pages::phone_files::worker; }
    "/manifest.webmanifest"          { get Stranger pages::phone_files::manifest; }
    "/offline-set.json"              { get Guest pages::phone_files::set; }
    "/outbox"                        { get Stranger pages::phone_files::outbox_page; }
    "/offline"                       { get Stranger pages::phone_files::offline_page; }
    "/help"                          { get Stranger pages::help; }
    "/sign-in"                       { get Stranger session::show; post Stranger session::sign_in; }
    "/import"                        { get Crew sync::rescue; post Crew sync::take_file; }
    "/sign-out"                      { post Guest session::sign_out; }
    "/setup"                         { get Stranger lan::setup::show; }
    "/setup/check.js"                { get Stranger lan::setup::check; }
    "/ca.cer"                        { get Stranger lan::setup::certificate; }
    "/crew"                          { get Guest pages::crew::show; }
    "/crew/code"                     { post Lead forms::crew::code; }
    "/crew/open"                     { post Lead forms::crew::open; }
    "/crew/shut-others"              { post Lead forms::crew::shut_others; }
    "/crew/device/{id}"              { post Guest forms::crew::device; }
    "/crew/person/{id}"              { post Lead forms::crew::person; }
    "/sync/v1/ping"                  { get Stranger sync::ping; }
    "/sync/v1/me"                    { get Guest sync::me; }
    "/sync/v1/ops"                   { post Crew sync::ops; }
    "/sync/v1/blobs/{id}"            { put Crew sync::picture; }
    "/jobs"                          { post Lead forms::add::job; }
    "/jobs/{job}"                    { get Guest pages::this_week::show; }
    "/jobs/{job}/house"              { get Guest pages::house::show; }
    "/jobs/{job}/changes"            { get Guest pages::changes::show; }
    "/jobs/{job}/plan"               { get Lead pages::changes::plan; }
    "/jobs/{job}/materials"          { get Guest pages::materials::show; }
    "/jobs/{job}/cut-list"           { get Guest pages::cut_list::show; }
    "/jobs/{job}/buy-list"           { get Crew pages::buy_list::show; }
    "/jobs/{job}/buy-list/tick"      { post Crew forms::buy::tick; }
    "/jobs/{job}/buy-list/receipt"   { post Crew forms::buy::close_receipt; }
    "/jobs/{job}/buy-list.csv"       { get Crew files::yard_order::csv; }
    "/jobs/{job}/buy-list.txt"       { get Crew files::yard_order::text; }
    "/jobs/{job}/buy-list/print"     { get Crew pages::buy_list::print; }
    "/jobs/{job}/trip"               { get Crew pages::trip::show; }
    "/jobs/{job}/line/{item}"        { get Crew pages::line::show; }
    "/jobs/{job}/line/{item}/swap"   { post Crew forms::line::swap; }
    "/jobs/{job}/line/{item}/back"   { post Crew forms::line::back; }
    "/jobs/{job}/line/{item}/listed" { post Crew forms::line::listed; }
    "/jobs/{job}/receipt/{id}/line"  { post Crew forms::line::extra; }
    "/jobs/{job}/order"              { get Crew pages::orders::show; post Crew forms::order::add; }
    "/jobs/{job}/order/{id}"         { get Crew pages::order::show; }
    "/jobs/{job}/order/{id}/send"    { post Crew forms::order::send; }
    "/jobs/{job}/order/{id}/came"    { post Crew forms::came::save_came; }
    "/jobs/{job}/order/{id}/revise"  { post Crew forms::order::revise; }
    "/jobs/{job}/order/{id}/csv"     { get Crew files::order::csv; }
    "/jobs/{job}/order/{id}/text"    { get Crew files::order::text; }
    "/jobs/{job}/order/{id}/print"   { get Crew files::order::print; }
    "/jobs/{job}/on-hand"            { get Guest pages::on_hand::show; }
    "/jobs/{job}/prices"             { get Crew pages::prices::show; post Lead forms::prices::import; }
    "/jobs/{job}/money"              { get Crew pages::money::show; }
    "/jobs/{job}/money/{by}/{of}"    { get Crew pages::money_of::show; }
    "/jobs/{job}/differs"            { get Guest pages::differs::show; }
    "/jobs/{job}/settings"           { get Lead pages::settings::show; }
    "/jobs/{job}/job-file"           { get Lead files::job_file::send; }
    "/jobs/{job}/job.zip"            { get Lead files::job_file::send_zip; }
    "/jobs/{job}/photo"              { get Guest pages::photos::list; post Crew forms::photo::add; }
    "/jobs/{job}/photo/{id}/file"    { get Guest files::photo::send; }
    "/jobs/{job}/photo/{id}/small"   { get Guest files::photo::small; }
    "/jobs/{job}/photo/{id}/screen"  { get Guest files::photo::screen; }
    "/jobs/{job}/week/{id}/close"    { get Lead pages::close::show; post Lead forms::close::save_week; }
    "/jobs/{job}/week/{id}/kept"     { get Crew pages::kept::show; }
    "/jobs/{job}/{kind}"             { get Guest pages::things::list; post Crew forms::add::thing; }
    "/jobs/{job}/{kind}/{id}"        { get Guest pages::things::one; post Crew forms::edit::thing; }
    "/jobs/{job}/{kind}/{id}/edit"   { get Crew pages::things::edit; }
    "/jobs/{job}/supplier/{id}/columns" { get Lead pages::supplier::columns; post Lead forms::supplier::columns; }
    "/jobs/{job}/{kind}/{id}/readings" { get Guest pages::things::readings; }
    "/jobs/{job}/{kind}/{id}/history" { get Guest pages::history::show; }
    "/jobs/{job}/{kind}/{id}/done"   { get Crew pages::done::show; post Crew forms::done::save_done; }
    "/jobs/{job}/{kind}/{id}/struck" { get Crew pages::done::show_struck; post Crew forms::done::save_struck; }
    "/jobs/{job}/{kind}/{id}/act/{act}" { post Crew forms::act::thing; }
}
