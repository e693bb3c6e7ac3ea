//! The stylesheet, script and icon, named by build: they never change under their URL.

use actix_web::http::header;
use actix_web::{HttpResponse, web};
use scantling_web::assets::{ASSETS, build};

use crate::error::HttpError;

/// A script at an address that stays, so not kept by the browser.
pub(crate) fn script(name: &str) -> Result<HttpResponse, HttpError> {
    let asset = ASSETS
        .iter()
        .find(|asset| asset.name == name)
        .ok_or(HttpError::NotFound)?;
    Ok(HttpResponse::Ok()
        .insert_header((header::CACHE_CONTROL, "no-cache"))
        .content_type(asset.content_type)
        .body(asset.bytes))
}

/// Sends one.
pub(crate) async fn send(path: web::Path<(String, String)>) -> Result<HttpResponse, HttpError> {
    let (of, file) = path.into_inner();
    let asset = ASSETS
        .iter()
        .find(|asset| asset.name == file && of == build())
        .ok_or(HttpError::NotFound)?;
    Ok(HttpResponse::Ok()
        .insert_header((header::CACHE_CONTROL, "public, max-age=31536000, immutable"))
        .content_type(asset.content_type)
        .body(asset.bytes))
}
