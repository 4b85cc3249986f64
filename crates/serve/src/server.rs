//! HTTP on addresses of this machine.

use std::collections::VecDeque;
use std::convert::Infallible;
use std::io::Write;
use std::net::{IpAddr, SocketAddr};
use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, SystemTime};

use flate2::Compression;
use flate2::write::GzEncoder;
use http_body_util::combinators::BoxBody;
use http_body_util::{BodyExt, Full, Limited, channel::Channel};
use hyper::body::{Bytes, Incoming};
use hyper::header::{
    ACCEPT_ENCODING, CACHE_CONTROL, CONTENT_DISPOSITION, CONTENT_ENCODING, CONTENT_TYPE, HeaderMap,
    HeaderName, HeaderValue, LOCATION,
};
use hyper::service::service_fn;
use hyper::{Method, Request, Response, StatusCode};
use hyper_util::rt::{TokioIo, TokioTimer};
use tokio::net::{TcpListener, TcpStream};
use tokio::task::AbortHandle;

use bobbinwright_clock as clock;
use bobbinwright_page::{Answer, Asked, Bench, Day, Shelf, file};

use crate::guard::{Secret, is_own_host, is_own_origin, is_told_as_json};
use crate::once::Once;

/// Nothing that a page sends is larger.
const LARGEST_BODY: usize = 64 << 10;
/// Whoever takes longer to say what they want is not waited for.
const PATIENCE: Duration = Duration::from_secs(10);
/// So many connections are open at most; the oldest gives way.
const CONNECTIONS: usize = 256;
/// Between two looks at a family's files.
const PAUSE: Duration = Duration::from_millis(200);

/// After so many looks without news a page is told that the program is there.
const BEAT: u32 = 5;

type Body = BoxBody<Bytes, Infallible>;

/// What is served, and to whom.
pub struct Serving {
    /// The families.
    pub shelf: Shelf,
    /// The port; 0 takes a free one.
    pub port: u16,
    /// An address of this machine in its network, to serve besides its own.
    pub lan: Option<IpAddr>,
    /// What stands in the addresses.
    pub secret: Secret,
    /// A way in for the browser that the program opens itself, whose arguments others on this machine can see.
    pub once: Option<Once>,
}

/// Serves until the program ends. `ready` is told the addresses as soon as they answer: this machine's own first, then
/// that in the network.
///
/// # Errors
/// When an address can't be had.
pub fn serve(serving: Serving, ready: impl FnOnce(&[SocketAddr])) -> std::io::Result<()> {
    let runtime = tokio::runtime::Builder::new_current_thread().enable_io().enable_time().build()?;
    runtime.block_on(async {
        let own = TcpListener::bind((IpAddr::from([127, 0, 0, 1]), serving.port)).await?;
        let mut listeners = vec![own];
        if let Some(lan) = serving.lan {
            let port = listeners[0].local_addr()?.port();
            listeners.push(TcpListener::bind((lan, port)).await?);
        }
        let addresses: Vec<SocketAddr> =
            listeners.iter().map(TcpListener::local_addr).collect::<Result<_, _>>()?;
        let hall = Arc::new(Hall {
            bench: Bench::new(serving.shelf),
            secret: serving.secret,
            open: Mutex::default(),
            once: serving.once,
        });
        ready(&addresses);
        let doors =
            listeners.into_iter().zip(addresses).map(|(l, own)| tokio::spawn(take(l, own, hall.clone())));
        for door in doors.collect::<Vec<_>>() {
            let _ = door.await;
        }
        Ok(())
    })
}

struct Hall {
    bench: Bench,
    secret: Secret,
    open: Mutex<VecDeque<Connection>>,
    /// A way in that is good for one time.
    once: Option<Once>,
}

/// An open connection, and whether whoever is there has shown to know the way in.
struct Connection {
    task: AbortHandle,
    known: Arc<AtomicBool>,
}

async fn take(listener: TcpListener, own: SocketAddr, hall: Arc<Hall>) {
    loop {
        let Ok((stream, peer)) = listener.accept().await else {
            // No handles left: those that are waited for end within moments.
            tokio::time::sleep(PAUSE).await;
            continue;
        };
        let known = Arc::new(AtomicBool::new(false));
        let task = tokio::spawn(connection(stream, peer, own, known.clone(), hall.clone()));
        let mut open = hall.open.lock().unwrap_or_else(PoisonError::into_inner);
        open.retain(|one| !one.task.is_finished());
        open.push_back(Connection { task: task.abort_handle(), known });
        if open.len() > CONNECTIONS {
            // Strangers give way to each other, not pages to strangers.
            let stranger = open.iter().position(|one| !one.known.load(Ordering::Relaxed));
            let gone = open.remove(stranger.unwrap_or_default());
            gone.inspect(|one| one.task.abort());
        }
    }
}

async fn connection(
    stream: TcpStream,
    peer: SocketAddr,
    own: SocketAddr,
    known: Arc<AtomicBool>,
    hall: Arc<Hall>,
) {
    // Answers are small and somebody waits for them.
    let _ = stream.set_nodelay(true);
    let service = service_fn(move |request| {
        let (hall, known) = (hall.clone(), known.clone());
        async move { Ok::<_, Infallible>(respond(request, [peer, own], &known, hall).await) }
    });
    let mut http = hyper::server::conn::http1::Builder::new();
    http.timer(TokioTimer::new()).header_read_timeout(PATIENCE).max_buf_size(16 << 10);
    // Whoever hangs up has heard enough.
    let _ = http.serve_connection(TokioIo::new(stream), service).await;
}

async fn respond(
    request: Request<Incoming>,
    [peer, own]: [SocketAddr; 2],
    known: &AtomicBool,
    hall: Arc<Hall>,
) -> Response<Body> {
    let (head, body) = request.into_parts();
    if !is_own_host(&head.headers, own) {
        return plain(Answer::refused(StatusCode::FORBIDDEN, "this page has another address"));
    }
    if let Some(once) = hall.once.as_ref().filter(|once| once.is_asked_for(head.uri.path())) {
        return if once.lets_in(peer, own) {
            let mut response = plain(Answer::refused(StatusCode::SEE_OTHER, "the page is there"));
            if let Ok(to) = HeaderValue::from_str(&format!("/{}/", hall.secret.word())) {
                response.headers_mut().insert(LOCATION, to);
            }
            response
        } else {
            let why = "this way in was good for one time: take the address that the program shows";
            plain(Answer::refused(StatusCode::FORBIDDEN, why))
        };
    }
    let Some(path) = hall.secret.strip(head.uri.path()).map(str::to_owned) else {
        return plain(Answer::refused(
            StatusCode::FORBIDDEN,
            "the address is not whole: take the one that the program shows",
        ));
    };
    // Whoever knows the way in is no stranger.
    known.store(true, Ordering::Relaxed);
    let changes = head.method == Method::POST;
    if !changes && !matches!(head.method, Method::GET | Method::HEAD) {
        return plain(Answer::refused(StatusCode::METHOD_NOT_ALLOWED, "a page only asks and tells"));
    }
    if changes && !is_told_as_json(&head.headers) {
        return plain(Answer::refused(StatusCode::UNSUPPORTED_MEDIA_TYPE, "what is told is told as JSON"));
    }
    if changes && !is_own_origin(&head.headers, own) {
        return plain(Answer::refused(StatusCode::FORBIDDEN, "another page asked for this"));
    }
    let stream = path.strip_prefix("of/").and_then(|p| p.strip_suffix("/changes"));
    if let Some(id) = stream.filter(|_| !changes) {
        return match watched(&hall, id).await {
            Some(files) => changing(id.to_owned(), files, hall),
            None => plain(Answer::refused(StatusCode::NOT_FOUND, "there is no such family here any more")),
        };
    }
    if let Some((kind, text)) = file(&path).filter(|_| !changes) {
        return own_file(kind, text, &head.headers);
    }
    let body = match tokio::time::timeout(PATIENCE, Limited::new(body, LARGEST_BODY).collect()).await {
        Ok(Ok(body)) => body.to_bytes(),
        Ok(Err(_)) => {
            return plain(Answer::refused(StatusCode::PAYLOAD_TOO_LARGE, "this is more than a page says"));
        }
        Err(_) => return plain(Answer::refused(StatusCode::REQUEST_TIMEOUT, "this took too long to say")),
    };
    let answered = tokio::task::spawn_blocking(move || {
        let query = head.uri.query().unwrap_or_default();
        hall.bench.answer(&Asked { method: &head.method, path: &path, query, body: &body, day: today() })
    });
    plain(answered.await.unwrap_or_else(|_| {
        Answer::refused(StatusCode::INTERNAL_SERVER_ERROR, "the program has a defect here; nothing was lost")
    }))
}

fn today() -> Day {
    Day { today: clock::today(), when: clock::now() }
}

/// A file of the page's, which comes over a workshop's network in a third of its bytes (RFC 9110, 8.4.1.3).
fn own_file(kind: &'static str, text: String, asked: &HeaderMap) -> Response<Body> {
    let told = |bytes| plain(Answer { status: StatusCode::OK, kind, bytes, keep_as: None });
    let reads = asked.get(ACCEPT_ENCODING).and_then(|reads| reads.to_str().ok()).unwrap_or_default();
    // Whoever forbids it says so with a quality, which no browser does.
    if !reads.split(',').any(|one| one.trim() == "gzip") {
        return told(text.into());
    }
    let mut packed = GzEncoder::new(Vec::new(), Compression::default());
    match packed.write_all(text.as_bytes()).and_then(|()| packed.finish()) {
        Ok(bytes) => {
            let mut response = told(bytes);
            response.headers_mut().insert(CONTENT_ENCODING, HeaderValue::from_static("gzip"));
            response
        }
        Err(_) => told(text.into()),
    }
}

fn plain(answer: Answer) -> Response<Body> {
    let body = Full::new(Bytes::from(answer.bytes)).boxed();
    let mut response = headed(Response::new(body), answer.kind);
    *response.status_mut() = answer.status;
    if let Some(name) = answer.keep_as
        && let Ok(value) = HeaderValue::from_str(&format!("attachment; filename=\"{name}\""))
    {
        response.headers_mut().insert(CONTENT_DISPOSITION, value);
    }
    response
}

/// Nothing from outside is ever loaded, nothing is kept, and no other page may show this one.
fn headed(mut response: Response<Body>, kind: &'static str) -> Response<Body> {
    let headers = response.headers_mut();
    headers.insert(CONTENT_TYPE, HeaderValue::from_static(kind));
    headers.insert(CACHE_CONTROL, HeaderValue::from_static("no-store"));
    for (name, value) in [
        (
            "content-security-policy",
            "default-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' blob: data:; frame-ancestors 'none'; base-uri 'none'; form-action 'none'",
        ),
        ("x-content-type-options", "nosniff"),
        ("referrer-policy", "no-referrer"),
        ("cross-origin-resource-policy", "same-origin"),
    ] {
        headers.insert(HeaderName::from_static(name), HeaderValue::from_static(value));
    }
    response
}

type Stamp = Vec<Option<(SystemTime, u64)>>;

fn stamp(files: &[PathBuf]) -> Stamp {
    let of = |file: &PathBuf| {
        let about = std::fs::metadata(file).ok()?;
        Some((about.modified().ok()?, about.len()))
    };
    files.iter().map(of).collect()
}

/// The files that a family is read from; none where there is no such family. Whatever else asks for one meanwhile, all others are
/// answered.
async fn watched(hall: &Arc<Hall>, id: &str) -> Option<Vec<PathBuf>> {
    let (hall, id) = (hall.clone(), id.to_owned());
    tokio::task::spawn_blocking(move || hall.bench.watched(&id, today())).await.ok()?
}

/// Tells a page whenever a file of its family changes (server-sent events, as the HTML standard has them).
fn changing(id: String, mut files: Vec<PathBuf>, hall: Arc<Hall>) -> Response<Body> {
    let (mut sender, body) = Channel::<Bytes, Infallible>::new(4);
    // Before the page is told that it is listened for.
    let mut last = stamp(&files);
    tokio::spawn(async move {
        let mut quiet = 0;
        loop {
            tokio::time::sleep(PAUSE).await;
            let now = stamp(&files);
            quiet += 1;
            let word = if now != last {
                // An editor takes a file away for a moment: the same ones are waited for.
                files = watched(&hall, &id).await.unwrap_or(files);
                last = now;
                "data: changed\n\n"
            } else if quiet % BEAT == 0 {
                // A page that hears nothing knows that the program is gone; and whether somebody still listens shows only
                // when something is said.
                "event: here\ndata: \n\n"
            } else {
                continue;
            };
            if sender.send_data(Bytes::from_static(word.as_bytes())).await.is_err() {
                return;
            }
        }
    });
    headed(Response::new(body.boxed()), "text/event-stream")
}
