//! Who may ask. The page is for the browser of this machine at its own address: another host name (a name of the net made
//! to point here) and another page's requests are refused. Every answer forbids what the page does not need.

use std::sync::Arc;

use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

use crate::page::routes::{LONGEST_REQUEST, Server};

/// Longest address that is read.
const LONGEST_ADDRESS: usize = 60_000;

/// What the page may load: its own style, script and answers, nothing else from anywhere.
const POLICY: &str = "default-src 'none'; style-src 'self'; script-src 'self'; connect-src 'self'; img-src 'self'; \
form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

/// Checks a request and finishes its answer.
pub(super) async fn gate(State(server): State<Arc<Server>>, request: Request, next: Next) -> Response {
    let mut answer = match refusal(&request, server.port) {
        Some((status, words)) => (status, words).into_response(),
        // A body that drips in, or an answer that never comes, must not hold its place for ever.
        None => match tokio::time::timeout(LONGEST_REQUEST, next.run(request)).await {
            Ok(answer) => answer,
            Err(_) => (StatusCode::REQUEST_TIMEOUT, "this took too long and was given up\n").into_response(),
        },
    };
    let headers = answer.headers_mut();
    let mut put = |name: header::HeaderName, value: &'static str| {
        headers.entry(name).or_insert(HeaderValue::from_static(value));
    };
    put(header::CONTENT_SECURITY_POLICY, POLICY);
    put(header::X_CONTENT_TYPE_OPTIONS, "nosniff");
    // Not "no-referrer": browsers would then send forms of this very page with the origin "null".
    put(header::REFERRER_POLICY, "same-origin");
    put(header::CACHE_CONTROL, "no-store");
    put(header::HeaderName::from_static("cross-origin-resource-policy"), "same-origin");
    put(header::HeaderName::from_static("cross-origin-opener-policy"), "same-origin");
    answer
}

fn refusal(request: &Request, port: u16) -> Option<(StatusCode, &'static str)> {
    if ![Method::GET, Method::HEAD, Method::POST].contains(request.method()) {
        return Some((StatusCode::METHOD_NOT_ALLOWED, "only GET and POST are answered\n"));
    }
    if request.uri().to_string().len() > LONGEST_ADDRESS {
        return Some((StatusCode::URI_TOO_LONG, "the address is too long\n"));
    }
    let headers = request.headers();
    let host = only(headers, header::HOST);
    let named = request.uri().authority().map(|a| a.as_str());
    if !host.is_some_and(|h| ours(h, port)) || named.is_some_and(|h| !ours(h, port)) {
        return Some((StatusCode::MISDIRECTED_REQUEST, "this page answers at its own address only\n"));
    }
    if headers.contains_key(header::ORIGIN) {
        let origin = only(headers, header::ORIGIN).and_then(|o| o.strip_prefix("http://"));
        if !origin.is_some_and(|o| ours(o, port)) {
            return Some((StatusCode::FORBIDDEN, "requests from other pages are refused\n"));
        }
    }
    // Browsers say where a request comes from; "none" is the address bar or a bookmark.
    let site = only(headers, header::HeaderName::from_static("sec-fetch-site"));
    if site.is_some_and(|s| s != "same-origin" && s != "none") {
        return Some((StatusCode::FORBIDDEN, "requests from other pages are refused\n"));
    }
    None
}

/// The value of a header that stands there once.
fn only(headers: &HeaderMap, name: header::HeaderName) -> Option<&str> {
    let mut all = headers.get_all(name).iter();
    match (all.next(), all.next()) {
        (Some(one), None) => one.to_str().ok(),
        _ => None,
    }
}

/// Whether `host:port` is one of the names of this machine for itself, at our port.
fn ours(host: &str, port: u16) -> bool {
    ["127.0.0.1", "localhost"].iter().any(|name| {
        let rest = host.get(..name.len()).filter(|h| h.eq_ignore_ascii_case(name)).and_then(|_| host.get(name.len()..));
        match rest {
            Some("") => port == 80,
            Some(rest) => rest.strip_prefix(':') == Some(port.to_string().as_str()),
            None => false,
        }
    })
}

#[cfg(test)]
mod tests {
    use super::ours;

    #[test]
    fn identity_only_the_names_of_this_machine_at_our_port_are_ours() {
        for host in ["127.0.0.1:4177", "localhost:4177", "LocalHost:4177"] {
            assert!(ours(host, 4177), "{host}");
        }
        for host in [
            "",
            "127.0.0.1",
            "localhost:41770",
            "localhost:4177.evil",
            "evil:4177",
            "127.0.0.1.evil:4177",
            "[::1]:4177",
        ] {
            assert!(!ours(host, 4177), "{host}");
        }
    }
}
