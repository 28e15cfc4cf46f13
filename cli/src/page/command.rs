//! Starts the server on loopback and tells the address.

use std::net::{Ipv4Addr, SocketAddr};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use sim_core::registry::Registry;

use crate::exit::Exit;
use crate::page::folder::{Folder, file_name};
use crate::page::routes::{Server, router};
use crate::page::socket::Door;
use crate::page::work::Work;

/// Arguments of `page`.
#[derive(Debug, clap::Args)]
pub(crate) struct PageArgs {
    /// Scenario file to open first, or a folder of scenarios (default: this folder)
    pub scenario: Option<PathBuf>,
    /// Port on this machine (default: 4177, or any free one when that is taken)
    #[arg(long)]
    pub port: Option<u16>,
}

/// Asked for when the user names no port, so that a bookmark keeps working. Our choice; any free port is taken when
/// something else listens there.
const USUAL_PORT: u16 = 4177;

/// Serves the page until it is stopped.
pub(crate) fn page(registry: &Registry, args: &PageArgs) -> Exit {
    let (folder, first) = match opened(args.scenario.as_deref()) {
        Ok(found) => found,
        Err(message) => {
            anstream::eprintln!("error: {message}");
            return Exit::BadInput;
        }
    };
    let runtime = match tokio::runtime::Builder::new_current_thread().enable_all().build() {
        Ok(runtime) => runtime,
        Err(error) => {
            anstream::eprintln!("error: the server cannot start: {error}");
            return Exit::Fault;
        }
    };
    runtime.block_on(async {
        let listener = match listen(args.port).await {
            Ok(listener) => listener,
            Err(error) => {
                anstream::eprintln!("error: cannot listen on 127.0.0.1: {error}; choose another with --port");
                return Exit::BadInput;
            }
        };
        let port = listener.local_addr().map_or(0, |a| a.port());
        let shown = folder.root().display().to_string();
        let server = Arc::new(Server { port, folder, work: Work::new(), registry: registry.clone() });
        let path = first.map_or("/".to_string(), |name| crate::page::design::Design::of_file(&name).address("/plant"));
        crate::output::print(&format!("http://127.0.0.1:{port}{path}"));
        anstream::eprintln!(
            "Open this address in a browser on this machine. Scenarios: {shown}. Ctrl-C ends the page; what is not saved is lost."
        );
        let served = axum::serve(Door::new(listener), router(server)).with_graceful_shutdown(async {
            let _ = tokio::signal::ctrl_c().await;
            // Connections that browsers keep open must not hold the program back.
            std::process::exit(i32::from(Exit::Done.code()));
        });
        match served.await {
            Ok(()) => Exit::Done,
            Err(error) => {
                anstream::eprintln!("error: the server stopped: {error}");
                Exit::Fault
            }
        }
    })
}

/// The folder of the scenario, and the scenario to open first; without one the folder that the program was started in.
fn opened(scenario: Option<&Path>) -> Result<(Folder, Option<String>), String> {
    let path = scenario.unwrap_or(Path::new("."));
    if path.is_dir() {
        return Ok((Folder::open(path)?, None));
    }
    if !path.exists() {
        return Err(format!("{} is not there; `washgraph new FILE` writes a scenario to start from", path.display()));
    }
    let parent = match path.parent() {
        Some(p) if !p.as_os_str().is_empty() => p,
        _ => Path::new("."),
    };
    let name = path.file_name().and_then(|n| n.to_str()).unwrap_or_default();
    let name = file_name(name).map_err(|e| format!("{}: {e}", path.display()))?;
    Ok((Folder::open(parent)?, Some(name.to_string())))
}

async fn listen(port: Option<u16>) -> std::io::Result<tokio::net::TcpListener> {
    let at = |port| SocketAddr::from((Ipv4Addr::LOCALHOST, port));
    match port {
        Some(port) => tokio::net::TcpListener::bind(at(port)).await,
        None => match tokio::net::TcpListener::bind(at(USUAL_PORT)).await {
            Ok(listener) => Ok(listener),
            Err(_) => tokio::net::TcpListener::bind(at(0)).await,
        },
    }
}
