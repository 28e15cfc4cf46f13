//! What each address answers.

use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::body::Bytes;
use axum::extract::{DefaultBodyLimit, RawQuery, State};
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::middleware::from_fn_with_state;
use axum::response::{Html, IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use maud::Markup;
use sim_core::problem::{Problem, Problems, Severity};
use sim_core::quantity::UnitChoice;
use sim_core::registry::Registry;
use washgraph_model::scenario::Opened;

use crate::page::answers::{Shown, parts};
use crate::page::clock::Clock;
use crate::page::design::{Asked, Design};
use crate::page::edit::{Edited, edited, leading, moved_along};
use crate::page::field::{Sheet, sheet};
use crate::page::folder::{Folder, SaveError};
use crate::page::work::{Found, NoResult, Trials, Work, Worked, work};
use crate::page::{gate, layout, sieve};

/// Largest body of a request: a form with every setting and a sieve sheet is a tenth of this.
const LARGEST_BODY: usize = 200_000;

/// Largest field sheet that is opened through the page.
const LARGEST_SHEET: usize = 4_000_000;

/// What the handlers share.
pub(super) struct Server {
    pub port: u16,
    pub folder: Folder,
    pub work: Work,
    pub registry: Registry,
}

/// All addresses.
pub(super) fn router(server: Arc<Server>) -> Router {
    Router::new()
        .route("/", get(shelf))
        .route("/plant", get(plant))
        .route("/live", get(live))
        .route("/report", get(report))
        .route("/remedies", get(remedies))
        .route("/scenario", get(scenario))
        .route("/save", post(save))
        .route("/sieves", post(sieves).layer(DefaultBodyLimit::max(LARGEST_SHEET)))
        .route("/page.css", get(|| fixed("text/css; charset=utf-8", include_str!("page.css"))))
        .route("/page.js", get(|| fixed("text/javascript; charset=utf-8", include_str!("page.js"))))
        .route("/icon.svg", get(|| fixed("image/svg+xml", include_str!("icon.svg"))))
        .fallback(|| async { refused(StatusCode::NOT_FOUND, "Not here", "There is nothing at this address.", None) })
        .layer(DefaultBodyLimit::max(LARGEST_BODY))
        .layer(from_fn_with_state(server.clone(), gate::gate))
        .with_state(server)
}

async fn fixed(kind: &'static str, text: &'static str) -> Response {
    // Names carry no version, so a browser asks again each time it starts anew; within a visit it need not.
    ([(header::CONTENT_TYPE, kind), (header::CACHE_CONTROL, "private, max-age=60")], text).into_response()
}

fn html(status: StatusCode, markup: Markup) -> Response {
    (status, Html(markup.into_string())).into_response()
}

fn refused(status: StatusCode, title: &str, text: &str, back: Option<&Design>) -> Response {
    html(status, layout::notice(title, text, back))
}

async fn shelf(State(server): State<Arc<Server>>) -> Response {
    html(StatusCode::OK, layout::shelf(&server.folder.scenarios(), &server.folder.root().display().to_string()))
}

/// A design made ready: its text, or the answer that says why there is none.
struct Ready {
    asked: Asked,
    edited: Edited,
    file_sieves: String,
    /// Places that name something outside the folder.
    strays: Vec<Problem>,
    /// State of the files that it names.
    marks: Vec<String>,
}

fn ready(server: &Server, query: &[u8]) -> Result<Ready, Box<Response>> {
    let bad = |text: &str| Box::new(refused(StatusCode::BAD_REQUEST, "Not understood", text, None));
    let mut asked = Asked::read(query).map_err(bad)?;
    let gone = |text: String| Box::new(refused(StatusCode::NOT_FOUND, "No such scenario", &text, None));
    let opened = server.folder.read(&asked.design.file).map_err(gone)?;
    let file_sieves = sieve::listed(&opened);
    without_idle(&mut asked.design, &opened, &file_sieves, server);
    let edited = edited(opened, &asked.design, &server.registry).map_err(|(opened, message)| {
        let lines = reading_problems(server, &opened, &message);
        Box::new(html(StatusCode::UNPROCESSABLE_ENTITY, layout::unreadable(&asked.design.file, &lines)))
    })?;
    let survey = server.folder.survey(&edited.opened.text);
    let strays = survey.strays.iter().cloned().map(|span| Problem {
        severity: Severity::Error,
        span: Some(span),
        message: "this leads to a file outside the folder of the page".into(),
        help: "put the file beside the scenario and give its name alone".into(),
        quote: None,
        again: Vec::new(),
    });
    Ok(Ready { strays: strays.collect(), marks: survey.marks, asked, edited, file_sieves })
}

/// A form sends every field: those that say what the file says are no changes.
fn without_idle(design: &mut Design, opened: &Opened, file_sieves: &str, server: &Server) {
    let Ok(list) = washgraph_model::variant::settables(opened, &server.registry) else { return };
    let along = moved_along(&list, &leading(&list, &design.changes));
    let idle = |path: &str, value: &str| {
        if along.iter().any(|a| a.path == path && a.text == value) {
            return true;
        }
        if path == sieve::PATH {
            return value.trim() == file_sieves.trim();
        }
        match list.iter().find(|s| s.path == path) {
            Some(s) => value == s.given.as_deref().unwrap_or_default(),
            None => value.is_empty(),
        }
    };
    design.changes.retain(|(path, value)| !idle(path, value));
    if let Some(pin) = &mut design.pin {
        pin.retain(|(path, value)| !idle(path, value));
    }
}

fn reading_problems(server: &Server, opened: &Opened, message: &str) -> Vec<(Option<usize>, String)> {
    let mut problems = Problems::default();
    washgraph_model::scenario::build(opened, &server.registry, &mut problems);
    let line =
        |p: &Problem| p.span.as_ref().and_then(|s| opened.text.get(..s.start)).map(|t| t.matches('\n').count() + 1);
    let list: Vec<_> = problems.in_order().iter().map(|p| (line(p), format!("{}; {}", p.message, p.help))).collect();
    if list.is_empty() { vec![(None, message.to_string())] } else { list }
}

/// The result of a design, with what is to be said when there is none.
struct Findings {
    worked: Option<Arc<Worked>>,
    pinned: Option<Arc<Worked>>,
    problems: Vec<Problem>,
    fault: Option<String>,
    /// Those that were worked out for this question.
    fresh: Vec<Arc<Worked>>,
}

impl Findings {
    /// What took how long in them.
    fn clocks(&self) -> Vec<&Clock> {
        self.fresh.iter().map(|w| &w.clock).collect()
    }

    fn take(&mut self, found: Found) -> Arc<Worked> {
        if found.fresh {
            self.fresh.push(found.worked.clone());
        }
        found.worked
    }
}

async fn result(server: &Arc<Server>, ready: &Ready) -> Findings {
    let mut r = Findings { worked: None, pinned: None, problems: ready.strays.clone(), fault: None, fresh: Vec::new() };
    if !ready.strays.is_empty() {
        return r;
    }
    match work(server, ready.edited.opened.clone(), &ready.marks, Trials::Live).await {
        Ok(found) => {
            let worked = r.take(found);
            r.problems.extend(worked.remarks.iter().cloned());
            if ready.edited.complaints.is_empty() {
                r.worked = Some(worked);
            }
        }
        Err(NoResult::Problems(problems)) => r.problems.extend(problems),
        Err(other) => r.fault = Some(other.words().to_string()),
    }
    if r.worked.is_some()
        && let Some(pinned) = ready.asked.design.pinned()
        && let Ok(opened) = server.folder.read(&pinned.file)
        && let Ok(pinned) = edited(opened, &pinned, &server.registry)
        && pinned.complaints.is_empty()
    {
        let survey = server.folder.survey(&pinned.opened.text);
        if survey.strays.is_empty() {
            let found = work(server, pinned.opened, &survey.marks, Trials::Live).await.ok();
            r.pinned = found.map(|found| r.take(found));
        }
    }
    r
}

fn units_of(edited: &Edited) -> UnitChoice {
    let word = edited.list.iter().find(|s| s.path == "units").and_then(|s| s.in_force());
    match word {
        Some("metric") => UnitChoice::Metric,
        Some("imperial") => UnitChoice::Imperial,
        _ => UnitChoice::Us,
    }
}

fn sheet_of(server: &Server, ready: &Ready, problems: &[Problem]) -> Sheet {
    let units = units_of(&ready.edited);
    sheet(&ready.edited, &ready.asked.design, ready.file_sieves.clone(), problems, &server.registry, units)
}

fn drawing_failed(design: &Design, error: &washgraph_view::figures::FigureError) -> Response {
    refused(StatusCode::INTERNAL_SERVER_ERROR, "A figure could not be drawn", &error.to_string(), Some(design))
}

async fn plant(State(server): State<Arc<Server>>, RawQuery(query): RawQuery) -> Response {
    let mut clock = Clock::new();
    let query = query.unwrap_or_default();
    let ready = match ready(&server, query.as_bytes()) {
        Ok(ready) => ready,
        Err(answer) => return *answer,
    };
    let design = &ready.asked.design;
    let saved = ready.asked.other("saved") == "yes";
    // A form sends more than the design; the address that is kept, bookmarked and sent is the short one.
    let short = design.query();
    if query != short && query != format!("{short}&saved=yes") && !ready.asked.other("name").is_empty() {
        return Redirect::to(&design.address("/plant")).into_response();
    }
    clock.lap("read");
    let r = result(&server, &ready).await;
    clock.lap_with("wait", &r.clocks());
    let sheet = sheet_of(&server, &ready, &r.problems);
    clock.lap("fields");
    let shown = match r.worked.as_deref().map(|w| Shown::new(w, r.pinned.as_deref())).transpose() {
        Ok(shown) => shown,
        Err(error) => return drawing_failed(design, &error),
    };
    clock.lap("figures");
    let word = |path: &str| {
        ready.edited.list.iter().find(|s| s.path == path).and_then(|s| s.in_force()).unwrap_or_default().to_string()
    };
    let (title, question) = (word("title"), word("question"));
    let body = layout::plant(&layout::Plan {
        design,
        title: &title,
        question: &question,
        sheet: &sheet,
        shown: shown.as_ref(),
        fault: r.fault.as_deref(),
        saved,
    });
    clock.lap("words");
    ([clock.header()], html(StatusCode::OK, body)).into_response()
}

async fn live(State(server): State<Arc<Server>>, RawQuery(query): RawQuery) -> Response {
    let mut clock = Clock::new();
    let ready = match ready(&server, query.unwrap_or_default().as_bytes()) {
        Ok(ready) => ready,
        Err(answer) => return *answer,
    };
    clock.lap("read");
    let r = result(&server, &ready).await;
    clock.lap_with("wait", &r.clocks());
    let sheet = sheet_of(&server, &ready, &r.problems);
    clock.lap("fields");
    let design = &ready.asked.design;
    let shown = match r.worked.as_deref().map(|w| Shown::new(w, r.pinned.as_deref())).transpose() {
        Ok(shown) => shown,
        Err(error) => return drawing_failed(design, &error),
    };
    clock.lap("figures");
    let body = parts(design, &sheet, shown.as_ref(), r.fault.as_deref());
    clock.lap("words");
    ([clock.header()], html(StatusCode::OK, body)).into_response()
}

/// A file name without characters that mean something in a header.
fn plain_stem(file: &str) -> String {
    let stem = file.strip_suffix(".toml").unwrap_or(file);
    stem.chars().map(|c| if c.is_ascii_alphanumeric() || "-_.".contains(c) { c } else { '-' }).collect()
}

fn attachment(kind: &'static str, name: &str, text: String) -> Response {
    let mut headers = HeaderMap::new();
    headers.insert(header::CONTENT_TYPE, HeaderValue::from_static(kind));
    if let Ok(value) = HeaderValue::from_str(&format!("attachment; filename=\"{name}\"")) {
        headers.insert(header::CONTENT_DISPOSITION, value);
    }
    // The report carries its own style; it still may load nothing and run nothing.
    headers.insert(
        header::CONTENT_SECURITY_POLICY,
        HeaderValue::from_static("default-src 'none'; style-src 'unsafe-inline'; sandbox"),
    );
    (headers, text).into_response()
}

async fn report(State(server): State<Arc<Server>>, RawQuery(query): RawQuery) -> Response {
    let ready = match ready(&server, query.unwrap_or_default().as_bytes()) {
        Ok(ready) => ready,
        Err(answer) => return *answer,
    };
    let design = &ready.asked.design;
    if !ready.strays.is_empty() || !ready.edited.complaints.is_empty() {
        return refused(StatusCode::UNPROCESSABLE_ENTITY, "No report yet", PUT_RIGHT, Some(design));
    }
    let worked = match work(&server, ready.edited.opened.clone(), &ready.marks, Trials::AsSaid).await {
        Ok(found) => found.worked,
        Err(NoResult::Problems(_)) => {
            return refused(StatusCode::UNPROCESSABLE_ENTITY, "No report yet", PUT_RIGHT, Some(design));
        }
        Err(other) => return refused(StatusCode::SERVICE_UNAVAILABLE, "No report", other.words(), Some(design)),
    };
    let name = format!("{}-report.html", plain_stem(&design.file));
    let (workshop, opened) = (server.clone(), ready.edited.opened.clone());
    let drawn = tokio::task::spawn_blocking(move || {
        let (outcome, plant) = (&worked.outcome, &worked.plant);
        let figures = washgraph_view::figures::all_vectors(outcome, plant.units)?;
        let verdict = washgraph_view::verdict::with_remedies(outcome, plant, plant.seed);
        let changes = washgraph_view::report::Changes::work_out(&workshop.registry, &opened, plant.seed);
        let backing = washgraph_view::report::Backing::of(plant, &workshop.registry, changes, &verdict.remedies);
        Ok(washgraph_view::report::html(outcome, &backing, &figures, plant.units))
    });
    match drawn.await {
        Ok(Ok(text)) => attachment("text/html; charset=utf-8", &name, text),
        Ok(Err(error)) => drawing_failed(design, &error),
        Err(_) => refused(StatusCode::INTERNAL_SERVER_ERROR, "No report", NoResult::Fault.words(), Some(design)),
    }
}

/// What would bring enough water: the network is solved anew for each remedy, too slow to follow a moving setting.
async fn remedies(State(server): State<Arc<Server>>, RawQuery(query): RawQuery) -> Response {
    let ready = match ready(&server, query.unwrap_or_default().as_bytes()) {
        Ok(ready) => ready,
        Err(answer) => return *answer,
    };
    let design = &ready.asked.design;
    let Some(worked) = result(&server, &ready).await.worked else {
        return refused(StatusCode::UNPROCESSABLE_ENTITY, "No answer yet", PUT_RIGHT, Some(design));
    };
    let words = tokio::task::spawn_blocking(move || {
        washgraph_view::water_words::remedy_lines(&worked.plant, worked.plant.seed)
    });
    let words = words.await.unwrap_or_else(|_| NoResult::Fault.words().into());
    let none = "No pump feeds this plant, so there is nothing to reckon with: give it more water or less gravel.";
    let words = if words.trim().is_empty() { none } else { words.as_str() };
    html(StatusCode::OK, layout::notice("What would bring enough water", words, Some(design)))
}

const PUT_RIGHT: &str = "The scenario has problems: put them right first. Nothing was written.";

async fn scenario(State(server): State<Arc<Server>>, RawQuery(query): RawQuery) -> Response {
    match ready(&server, query.unwrap_or_default().as_bytes()) {
        Ok(ready) => {
            let name = format!("{}.toml", plain_stem(&ready.asked.design.file));
            attachment("text/plain; charset=utf-8", &name, ready.edited.opened.text)
        }
        Err(answer) => *answer,
    }
}

async fn save(State(server): State<Arc<Server>>, body: Bytes) -> Response {
    let ready = match ready(&server, &body) {
        Ok(ready) => ready,
        Err(answer) => return *answer,
    };
    let design = &ready.asked.design;
    let name = match ready.asked.other("name").trim() {
        name if name.is_empty() || name.ends_with(".toml") => name.to_string(),
        name => format!("{name}.toml"),
    };
    let mut problems = Problems::default();
    let sound = ready.strays.is_empty()
        && ready.edited.complaints.is_empty()
        && washgraph_model::scenario::build(&ready.edited.opened, &server.registry, &mut problems).is_some();
    if !sound {
        return refused(StatusCode::UNPROCESSABLE_ENTITY, "Not saved", PUT_RIGHT, Some(design));
    }
    let replace = Some(ready.asked.other("replace")).filter(|r| !r.is_empty());
    match server.folder.save(&name, &ready.edited.opened.text, replace) {
        Ok(()) => Redirect::to(&format!("{}&saved=yes", Design::of_file(&name).address("/plant"))).into_response(),
        Err(SaveError::Exists(mark)) => html(StatusCode::CONFLICT, layout::ask_to_replace(design, &name, &mark)),
        Err(SaveError::Name(why)) => refused(StatusCode::UNPROCESSABLE_ENTITY, "Not saved", &why, Some(design)),
        Err(SaveError::System(why)) => refused(StatusCode::INTERNAL_SERVER_ERROR, "Not saved", &why, Some(design)),
    }
}

/// A field sheet from the user's disk as sieves for the form; nothing is written.
async fn sieves(RawQuery(query): RawQuery, body: Bytes) -> Response {
    let asked = Asked::read(query.unwrap_or_default().as_bytes()).unwrap_or_default();
    let name = match asked.other("name") {
        "" => "the sheet".to_string(),
        name => name.chars().filter(|c| !c.is_control()).take(100).collect(),
    };
    let units = match asked.other("units") {
        "metric" => UnitChoice::Metric,
        "imperial" => UnitChoice::Imperial,
        _ => UnitChoice::Us,
    };
    // A workbook takes a while to unpack.
    match tokio::task::spawn_blocking(move || sieve::from_file(&name, &body, units)).await {
        Ok(Ok(rows)) => rows.into_response(),
        Ok(Err(problems)) => (StatusCode::UNPROCESSABLE_ENTITY, problems.join("\n")).into_response(),
        Err(_) => (StatusCode::INTERNAL_SERVER_ERROR, NoResult::Fault.words().to_string()).into_response(),
    }
}

/// Longest that any request may take from its first to its last byte.
pub(super) const LONGEST_REQUEST: Duration = Duration::from_secs(60);
