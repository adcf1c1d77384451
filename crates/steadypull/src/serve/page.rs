//! The page that is built into the binary.

use axum::body::Body;
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use rust_embed::{EmbeddedFile, RustEmbed};
use steadypull_contract::hex;

use super::asked::InPath;
use super::refusal::Refusal;
use super::reply::{Reply, bytes_of};

/// Files of the page, as `cargo xtask web` leaves them.
#[derive(RustEmbed)]
#[folder = "../../web/dist"]
#[allow_missing = true]
struct Page;

const INDEX: &str = "index.html";
/// What vite puts here carries a hash of itself in its name.
const HASHED: &str = "assets/";

/// How the page gets into the binary, where it is not there.
pub const NOT_BUILT: &str = "the page was not built into this binary: \
     `cargo xtask serve`, in the source, builds it and serves";

/// Whether the page was there when the binary was built.
pub fn is_built() -> bool {
    Page::get(INDEX).is_some()
}

/// The page.
pub async fn index(headers: HeaderMap) -> Response {
    match Page::get(INDEX) {
        Some(file) => sent(INDEX, &file, &headers),
        None => not_built(),
    }
}

/// One of its files.
pub async fn file(InPath(path): InPath, headers: HeaderMap) -> Reply {
    // While the page is worked on its files are read from the disk: no way leads up there.
    let plain = path
        .split('/')
        .all(|part| !part.is_empty() && !part.starts_with('.'));
    let found = Page::get(&path).filter(|_| plain && path != INDEX);
    let file = found.ok_or_else(Refusal::no_such_address)?;
    Ok(sent(&path, &file, &headers))
}

fn sent(path: &str, file: &EmbeddedFile, headers: &HeaderMap) -> Response {
    let hash = file.metadata.sha256_hash();
    let tag = hex(&hash);
    let tag = format!("\"{tag}\"");
    let known = headers.get(header::IF_NONE_MATCH);
    let mut response = if known.is_some_and(|known| known.as_bytes() == tag.as_bytes()) {
        StatusCode::NOT_MODIFIED.into_response()
    } else {
        bytes_of(StatusCode::OK, kind_of(path), Body::from(file.data.clone()))
    };
    let keep = match path.starts_with(HASHED) {
        true => "public, max-age=31536000, immutable",
        false => "no-cache",
    };
    let headers = response.headers_mut();
    headers.insert(header::CACHE_CONTROL, HeaderValue::from_static(keep));
    if let Ok(tag) = HeaderValue::from_str(&tag) {
        headers.insert(header::ETAG, tag);
    }
    response
}

fn kind_of(path: &str) -> &'static str {
    match path.rsplit('.').next().unwrap_or_default() {
        "html" => "text/html; charset=utf-8",
        "js" => "text/javascript; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "json" => "application/json",
        "webmanifest" => "application/manifest+json",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "ico" => "image/x-icon",
        "woff2" => "font/woff2",
        "ttf" => "font/ttf",
        "wasm" => "application/wasm",
        "txt" => "text/plain; charset=utf-8",
        _ => "application/octet-stream",
    }
}

fn not_built() -> Response {
    let html = format!(
        "<!doctype html>\n<html lang=\"en\">\n<meta charset=\"utf-8\">\n\
         <title>Steadypull</title>\n<h1>Steadypull</h1>\n<p>The server is there; {}. \
         What programs ask of it is listed at <a href=\"/api/openapi.json\">/api/openapi.json</a>.</p>\n</html>\n",
        NOT_BUILT.replace('`', "")
    );
    bytes_of(
        StatusCode::SERVICE_UNAVAILABLE,
        "text/html; charset=utf-8",
        html,
    )
}
