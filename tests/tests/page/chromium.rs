//! Drives a real headless Chromium through its own pipe (the DevTools protocol over two file descriptors), so that no
//! port is opened and no library is needed.

use std::io::{Read, Write};
use std::path::Path;
use std::process::{Child, ChildStdin, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::{Duration, Instant};

use serde_json::{Value, json};

/// Longest that anything may take: the machine may be busy with other tests.
const PATIENCE: Duration = Duration::from_secs(60);

/// The browser's program: the one that the variable `CHROMIUM` names, or one of the usual names on the path.
pub fn program() -> String {
    if let Ok(path) = std::env::var("CHROMIUM") {
        return path;
    }
    let found = ["chromium", "chromium-browser", "google-chrome"].into_iter().find(|name| {
        Command::new(name)
            .arg("--version")
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .status()
            .is_ok_and(|s| s.success())
    });
    found.expect("no Chromium is installed here: set CHROMIUM to its path").to_string()
}

/// A browser with one tab.
pub struct Tab {
    child: Child,
    into: ChildStdin,
    from: Receiver<Value>,
    next: u64,
    session: String,
    /// Addresses asked for.
    pub requests: Vec<String>,
    /// Errors in the console, exceptions, and what the policy of the page blocked.
    pub complaints: Vec<String>,
    _profile: tempfile::TempDir,
}

impl Drop for Tab {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Tab {
    /// Opens a browser whose downloads go into a folder.
    pub fn open(program: &str, downloads: &Path) -> Tab {
        let profile = tempfile::tempdir().expect("a folder");
        // The browser reads its commands from descriptor 3 and answers on 4.
        let script = "exec \"$0\" \"$@\" 3<&0 4>&1 </dev/null >/dev/null 2>&1";
        let mut child = Command::new("sh")
            .args(["-c", script, program, "--headless", "--no-sandbox", "--disable-gpu", "--remote-debugging-pipe"])
            .args(["--disable-background-networking", "--disable-component-update", "--disable-sync", "--no-first-run"])
            .args(["--disable-extensions", "--disable-dev-shm-usage", "--hide-scrollbars", "--lang=en"])
            .arg(format!("--user-data-dir={}", profile.path().display()))
            .arg("about:blank")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .expect("start the browser");
        let into = child.stdin.take().expect("its commands");
        let mut answers = child.stdout.take().expect("its answers");
        let (to, from) = channel();
        std::thread::spawn(move || {
            let (mut pending, mut chunk) = (Vec::new(), vec![0; 1 << 16]);
            while let Ok(n) = answers.read(&mut chunk) {
                if n == 0 {
                    break;
                }
                pending.extend_from_slice(&chunk[..n]);
                while let Some(end) = pending.iter().position(|b| *b == 0) {
                    let message: Vec<u8> = pending.drain(..=end).collect();
                    if let Ok(value) = serde_json::from_slice(&message[..end])
                        && to.send(value).is_err()
                    {
                        return;
                    }
                }
            }
        });
        let mut tab = Tab {
            child,
            into,
            from,
            next: 0,
            session: String::new(),
            requests: Vec::new(),
            complaints: Vec::new(),
            _profile: profile,
        };
        let target = tab.call("Target.createTarget", json!({ "url": "about:blank" }));
        let attached = tab.call("Target.attachToTarget", json!({ "targetId": target["targetId"], "flatten": true }));
        tab.call(
            "Browser.setDownloadBehavior",
            json!({ "behavior": "allow", "downloadPath": downloads.display().to_string() }),
        );
        tab.session = attached["sessionId"].as_str().expect("a session").to_string();
        for domain in ["Page", "Runtime", "Network", "Log"] {
            tab.call(&format!("{domain}.enable"), json!({}));
        }
        tab
    }

    /// Calls a method of the protocol and waits for its result.
    pub fn call(&mut self, method: &str, parameters: Value) -> Value {
        self.next += 1;
        let id = self.next;
        let mut message = json!({ "id": id, "method": method, "params": parameters });
        if !self.session.is_empty() {
            message["sessionId"] = json!(self.session);
        }
        let mut bytes = message.to_string().into_bytes();
        bytes.push(0);
        self.into.write_all(&bytes).expect("the browser takes commands");
        let begun = Instant::now();
        loop {
            let left = PATIENCE.checked_sub(begun.elapsed()).unwrap_or_else(|| panic!("{method} was never answered"));
            let message = self.from.recv_timeout(left).unwrap_or_else(|e| panic!("{method}: {e}"));
            if message["id"] == id {
                assert!(message["error"].is_null(), "{method}: {}", message["error"]);
                return message["result"].clone();
            }
            self.note(&message);
        }
    }

    fn note(&mut self, event: &Value) {
        let p = &event["params"];
        match event["method"].as_str().unwrap_or_default() {
            "Network.requestWillBeSent" => {
                self.requests.push(p["request"]["url"].as_str().unwrap_or_default().to_string());
            }
            "Runtime.exceptionThrown" => self.complaints.push(p["exceptionDetails"].to_string()),
            "Runtime.consoleAPICalled" if p["type"] == "error" => self.complaints.push(p["args"].to_string()),
            "Log.entryAdded" if p["entry"]["level"] == "error" => self.complaints.push(p["entry"].to_string()),
            _ => {}
        }
    }

    /// Value of an expression in the page; a promise is waited for.
    pub fn value(&mut self, expression: &str) -> Value {
        let parameters = json!({ "expression": expression, "awaitPromise": true, "returnByValue": true });
        let result = self.call("Runtime.evaluate", parameters);
        assert!(result["exceptionDetails"].is_null(), "{expression}: {}", result["exceptionDetails"]);
        result["result"]["value"].clone()
    }

    /// The same as text.
    pub fn text(&mut self, expression: &str) -> String {
        let value = self.value(expression);
        value.as_str().map_or_else(|| value.to_string(), str::to_string)
    }

    /// Waits until an expression holds.
    pub fn wait_for(&mut self, condition: &str) {
        let begun = Instant::now();
        // While the page changes there is a moment without anything to ask.
        let asked = format!("(() => {{ try {{ return !!({condition}) }} catch {{ return false }} }})()");
        while self.value(&asked) != json!(true) {
            assert!(begun.elapsed() < PATIENCE, "never true: {condition}");
            std::thread::sleep(Duration::from_millis(20));
        }
    }

    /// Opens an address and waits until the page with its script is there.
    pub fn go(&mut self, address: &str) {
        self.call("Page.navigate", json!({ "url": address }));
        self.wait_for(&format!("location.href.startsWith({}) && document.readyState === 'complete'", json!(address)));
    }

    /// Sets the size of the screen; a narrow one is a phone's, with touch.
    pub fn size(&mut self, width: u32, height: u32) {
        let phone = width < 600;
        self.call(
            "Emulation.setDeviceMetricsOverride",
            json!({ "width": width, "height": height, "deviceScaleFactor": 1, "mobile": phone }),
        );
        self.call("Emulation.setTouchEmulationEnabled", json!({ "enabled": phone }));
    }

    /// Presses a key with the focus where it is.
    pub fn press(&mut self, key: &str, code: u32) {
        for kind in ["keyDown", "keyUp"] {
            let text = if key == "Enter" && kind == "keyDown" { "\r" } else { "" };
            self.call(
                "Input.dispatchKeyEvent",
                json!({ "type": kind, "key": key, "code": key, "windowsVirtualKeyCode": code, "text": text }),
            );
        }
    }

    /// Touches the middle of an element.
    pub fn tap(&mut self, selector: &str) {
        let at = format!(
            "(() => {{ const e = document.querySelector({}); e.scrollIntoView({{ block: 'center' }}); \
             const r = e.getBoundingClientRect(); return [r.x + r.width / 2, r.y + r.height / 2] }})()",
            json!(selector)
        );
        let point = self.value(&at);
        let touch = json!([{ "x": point[0], "y": point[1] }]);
        self.call("Input.dispatchTouchEvent", json!({ "type": "touchStart", "touchPoints": touch }));
        self.call("Input.dispatchTouchEvent", json!({ "type": "touchEnd", "touchPoints": [] }));
    }

    /// Takes a picture of the whole page when the variable `WASHGRAPH_LOOK` names a folder.
    pub fn picture(&mut self, name: &str) {
        let Ok(folder) = std::env::var("WASHGRAPH_LOOK") else { return };
        let shot = self.call("Page.captureScreenshot", json!({ "captureBeyondViewport": true, "format": "png" }));
        let bytes = unpacked(shot["data"].as_str().unwrap_or_default());
        std::fs::write(Path::new(&folder).join(format!("{name}.png")), bytes).expect("write the picture");
    }
}

/// Base64, as the protocol sends pictures.
fn unpacked(text: &str) -> Vec<u8> {
    const LETTERS: &[u8] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let sixes = text.bytes().filter_map(|b| LETTERS.iter().position(|l| *l == b)).map(|v| v as u32);
    let (mut bytes, mut held, mut bits) = (Vec::new(), 0_u32, 0);
    for six in sixes {
        held = held << 6 | six;
        bits += 6;
        if bits >= 8 {
            bits -= 8;
            bytes.push((held >> bits) as u8);
            held &= (1 << bits) - 1;
        }
    }
    bytes
}
