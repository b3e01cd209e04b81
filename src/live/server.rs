//! The pages over HTTP, to this computer alone.

use std::convert::Infallible;
use std::hash::{Hash, Hasher};
use std::io;
use std::net::{Ipv4Addr, Ipv6Addr, SocketAddr};
use std::sync::Arc;
use std::sync::mpsc::{Sender, channel};

use axum::Router;
use axum::body::Body;
use axum::extract::{Request, State};
use axum::http::{HeaderMap, Method, StatusCode, Uri, header};
use axum::response::sse::{Event, KeepAlive, Sse};
use axum::response::{IntoResponse, Response};
use futures_util::future::{Either, select};
use futures_util::stream::{self, Stream};
use rustc_hash::FxHasher;
use tokio::net::TcpListener;
use tokio::sync::{oneshot, watch};

use super::desk::{Ask, Desk, News};
use super::edition::Shown;
use super::watch::Watch;
use super::{Journals, Reading, ServeError};
use crate::render::Templates;

/// What the pages are made with, apart from their own text.
const STYLE: &str = include_str!("page.css");
const SCRIPT: &str = include_str!("page.js");

/// Nothing but what this program sends; documents bring their style along.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; connect-src 'self'; \
                      img-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

struct Door {
    asks: Sender<Ask>,
    news: watch::Receiver<News>,
    /// The names by which this computer is asked for itself. A page of the network that had its own name lead here would
    /// be sent another.
    hosts: Vec<String>,
}

/// Serves until Ctrl-C.
pub(super) async fn run(
    journals: impl Journals,
    first: Reading,
    templates: Templates,
    port: Option<u16>,
    ready: impl FnOnce(SocketAddr) -> io::Result<()>,
) -> Result<(), ServeError> {
    let wanted = port.unwrap_or(0);
    let listener =
        TcpListener::bind((Ipv4Addr::LOCALHOST, wanted)).await.map_err(|error| ServeError::Port(wanted, error))?;
    let address = listener.local_addr().map_err(ServeError::Io)?;
    // By its other name too, where the computer has one and nobody else answers there.
    let other = TcpListener::bind((Ipv6Addr::LOCALHOST, address.port())).await.ok();

    let (asks, asked) = channel();
    let (tell, news) = watch::channel(News { reading: 1, minute: 0 });
    let desk = Desk { journals, templates, asks: asked, watch: Watch::new(asks.clone()), news: tell };
    let (done, desk_ended) = oneshot::channel::<()>();
    std::thread::Builder::new()
        .name("desk".to_string())
        .spawn(move || {
            // Dropped at the end, also at one that was not meant.
            let _done = done;
            desk.work(first);
        })
        .map_err(ServeError::Io)?;

    let door = Arc::new(Door { asks, news, hosts: hosts(address.port()) });
    let router = Router::new().fallback(answer).with_state(door);
    if let Some(other) = other {
        let router = router.clone();
        tokio::spawn(async move { axum::serve(other, router).await });
    }
    ready(address).map_err(ServeError::Io)?;
    let served = tokio::spawn(async move { axum::serve(listener, router).await });
    let stop = select(Box::pin(tokio::signal::ctrl_c()), desk_ended);
    match select(served, stop).await {
        Either::Left((Ok(Err(error)), _)) => Err(ServeError::Io(error)),
        Either::Right((Either::Left((Ok(()), _)), _)) => Ok(()),
        Either::Right((Either::Left((Err(error), _)), _)) => Err(ServeError::Io(error)),
        Either::Left(_) | Either::Right((Either::Right(_), _)) => Err(ServeError::Broken),
    }
}

fn hosts(port: u16) -> Vec<String> {
    let names = ["127.0.0.1", "localhost", "[::1]"];
    let plain = names.iter().filter(|_| port == 80).map(|name| (*name).to_string());
    names.iter().map(|name| format!("{name}:{port}")).chain(plain).collect()
}

async fn answer(State(door): State<Arc<Door>>, request: Request) -> Response {
    let (method, uri, headers) = (request.method(), request.uri(), request.headers());
    let mut response = if !is_for_here(&door, uri, headers) {
        plain(StatusCode::FORBIDDEN, "These pages are for this computer alone, by the address that was printed.\n")
    } else if method != Method::GET && method != Method::HEAD {
        let mut refused = plain(StatusCode::METHOD_NOT_ALLOWED, "These pages can only be looked at.\n");
        refused.headers_mut().insert(header::ALLOW, header::HeaderValue::from_static("GET, HEAD"));
        refused
    } else {
        match uri.path() {
            "/live/changes" => Sse::new(changes(door.news.clone())).keep_alive(KeepAlive::default()).into_response(),
            "/live/page.css" => given(headers, Shown::new(200, "text/css; charset=utf-8", STYLE)),
            "/live/page.js" => given(headers, Shown::new(200, "text/javascript; charset=utf-8", SCRIPT)),
            path => match ask(&door, path).await {
                Some(shown) => given(headers, shown),
                None => plain(StatusCode::SERVICE_UNAVAILABLE, "Foliary has stopped.\n"),
            },
        }
    };
    let safe = [
        (header::CONTENT_SECURITY_POLICY, POLICY),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::X_FRAME_OPTIONS, "DENY"),
        (header::REFERRER_POLICY, "no-referrer"),
        (header::CACHE_CONTROL, "no-cache"),
        (header::HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
        (header::HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
    ];
    for (name, value) in safe {
        response.headers_mut().insert(name, header::HeaderValue::from_static(value));
    }
    response
}

/// Whether whoever asks means this computer by a name of its own.
fn is_for_here(door: &Door, uri: &Uri, headers: &HeaderMap) -> bool {
    let known = |name: &str| door.hosts.iter().any(|host| host.eq_ignore_ascii_case(name));
    let mut named = headers.get_all(header::HOST).iter();
    let host = named.next().and_then(|name| name.to_str().ok());
    host.is_some_and(known) && named.next().is_none() && uri.authority().is_none_or(|name| known(name.as_str()))
}

async fn ask(door: &Door, path: &str) -> Option<Shown> {
    let (reply, shown) = oneshot::channel();
    door.asks.send(Ask::Page(path.to_string(), reply)).ok()?;
    shown.await.ok()
}

/// A page, or word that it is still the one that the browser has.
fn given(headers: &HeaderMap, shown: Shown) -> Response {
    let mut hasher = FxHasher::default();
    (&shown.text, shown.status).hash(&mut hasher);
    let tag = format!("\"{:016x}\"", hasher.finish());
    let has = headers.get(header::IF_NONE_MATCH).and_then(|tags| tags.to_str().ok());
    let status = StatusCode::from_u16(shown.status).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR);
    if status == StatusCode::OK && has.is_some_and(|tags| tags.split(',').any(|known| known.trim() == tag)) {
        return (StatusCode::NOT_MODIFIED, [(header::ETAG, tag)]).into_response();
    }
    (status, [(header::CONTENT_TYPE, shown.kind.to_string()), (header::ETAG, tag)], Body::from(shown.text))
        .into_response()
}

fn plain(status: StatusCode, words: &'static str) -> Response {
    (status, [(header::CONTENT_TYPE, "text/plain; charset=utf-8")], words).into_response()
}

/// Says which reading the pages show: at once, and whenever it is another or the clock went on.
fn changes(news: watch::Receiver<News>) -> impl Stream<Item = Result<Event, Infallible>> {
    stream::unfold((news, true), |(mut news, first)| async move {
        if !first {
            news.changed().await.ok()?;
        }
        let now = *news.borrow_and_update();
        Some((Ok(Event::default().data(format!("{} {}", now.reading, now.minute))), (news, false)))
    })
}
