//! Starts `washgraph page` in a folder of its own and asks it over a plain socket, as no browser would.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use washgraph_tests::{binary, repository_file};

/// A running page.
pub struct Server {
    child: Child,
    /// The folder that it serves.
    pub folder: tempfile::TempDir,
    /// Its port on loopback.
    pub port: u16,
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// An answer of the server.
#[derive(Debug)]
pub struct Answer {
    /// Status code.
    pub status: u16,
    /// Header lines, as sent.
    pub headers: String,
    /// Body.
    pub body: String,
}

impl Answer {
    /// Value of a header; empty when it is not there.
    pub fn header(&self, name: &str) -> &str {
        let lines = self.headers.lines().filter_map(|l| l.split_once(':'));
        lines.into_iter().find(|(n, _)| n.eq_ignore_ascii_case(name)).map_or("", |(_, v)| v.trim())
    }
}

/// The scenario that the tests of the page stand on, as the server names it.
pub const SOUND: &str = "sound.toml";

impl Server {
    /// Serves a folder with one sound scenario.
    pub fn start() -> Server {
        let folder = tempfile::tempdir().expect("a folder");
        std::fs::copy(repository_file("tests/broken/sound.toml"), folder.path().join(SOUND)).expect("copy");
        Server::serve(folder)
    }

    /// Serves a folder with the demonstration, all stages and its field sheets.
    pub fn with_demo() -> Server {
        let folder = tempfile::tempdir().expect("a folder");
        for entry in std::fs::read_dir(repository_file("scenarios")).expect("the scenarios").flatten() {
            let name = entry.file_name();
            if name.to_string_lossy().starts_with("juniper-creek") && entry.path().is_file() {
                std::fs::copy(entry.path(), folder.path().join(name)).expect("copy");
            }
        }
        Server::serve(folder)
    }

    /// Serves a folder.
    pub fn serve(folder: tempfile::TempDir) -> Server {
        let mut child = Command::new(binary())
            .args(["page", "--port", "0"])
            .current_dir(folder.path())
            .env("RAYON_NUM_THREADS", "2")
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("start washgraph page");
        let mut line = String::new();
        BufReader::new(child.stdout.take().expect("its output")).read_line(&mut line).expect("its address");
        let port = line.trim().trim_end_matches('/').rsplit(':').next().and_then(|p| p.parse().ok());
        Server { child, folder, port: port.unwrap_or_else(|| panic!("no port in {line:?}")) }
    }

    /// Whether the program still runs.
    pub fn is_up(&mut self) -> bool {
        self.child.try_wait().expect("its state").is_none()
    }

    /// Its address under a path.
    pub fn address(&self, path: &str) -> String {
        format!("http://127.0.0.1:{}{path}", self.port)
    }

    /// A fresh connection.
    pub fn connect(&self) -> TcpStream {
        let stream = TcpStream::connect(("127.0.0.1", self.port)).expect("connect");
        stream.set_read_timeout(Some(Duration::from_secs(90))).expect("time-out");
        stream
    }

    /// Sends bytes and reads all that comes until the server closes.
    pub fn raw(&self, request: &[u8]) -> Answer {
        let mut stream = self.connect();
        // A server that refuses early closes before all is sent.
        let _ = stream.write_all(request);
        let mut bytes = Vec::new();
        let _ = stream.read_to_end(&mut bytes);
        let text = String::from_utf8_lossy(&bytes).into_owned();
        let (headers, body) = text.split_once("\r\n\r\n").unwrap_or((&text, ""));
        let status = headers.split_whitespace().nth(1).and_then(|s| s.parse().ok()).unwrap_or(0);
        Answer { status, headers: headers.to_string(), body: body.to_string() }
    }

    /// GET with further header lines.
    pub fn get_with(&self, path: &str, headers: &str) -> Answer {
        self.raw(format!("GET {path} HTTP/1.1\r\nConnection: close\r\n{headers}\r\n").as_bytes())
    }

    /// GET as the browser of this machine would.
    pub fn get(&self, path: &str) -> Answer {
        self.get_with(path, &format!("Host: 127.0.0.1:{}\r\n", self.port))
    }

    /// POST of a form from the page itself.
    pub fn post(&self, path: &str, form: &str) -> Answer {
        let (port, length) = (self.port, form.len());
        let head = format!("Host: 127.0.0.1:{port}\r\nOrigin: http://127.0.0.1:{port}\r\n");
        let kind = "Content-Type: application/x-www-form-urlencoded\r\nConnection: close\r\n";
        self.raw(format!("POST {path} HTTP/1.1\r\n{head}{kind}Content-Length: {length}\r\n\r\n{form}").as_bytes())
    }

    /// Time that the program has worked so far on all its threads, ms; `None` where the system does not tell.
    pub fn work_ms(&self) -> Option<f64> {
        let stat = std::fs::read_to_string(format!("/proc/{}/stat", self.child.id())).ok()?;
        // User and system time, the 14th and 15th field, in hundredths of a second; the name before may hold spaces.
        let fields: Vec<&str> = stat.rsplit_once(')')?.1.split_whitespace().collect();
        let ticks: f64 = fields.get(11)?.parse::<f64>().ok()? + fields.get(12)?.parse::<f64>().ok()?;
        Some(10.0 * ticks)
    }

    /// Names in the folder, sorted.
    pub fn files(&self) -> Vec<String> {
        names(self.folder.path())
    }
}

/// Names in a folder, sorted.
pub fn names(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).expect("the folder").map(|e| e.expect("an entry").file_name());
    let mut names: Vec<String> = entries.map(|n| n.to_string_lossy().into_owned()).collect();
    names.sort();
    names
}
