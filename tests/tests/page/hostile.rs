//! What the page refuses, and that nothing brings it down.

use std::io::{Read, Write};
use std::time::{Duration, Instant};

use super::server::{SOUND, Server, names};
use washgraph_tests::repository_file;

const PLANT: &str = "/plant?file=sound.toml";
const LIVE: &str = "/live?file=sound.toml";

#[test]
fn property_other_hosts_and_other_pages_are_refused() {
    let mut server = Server::start();
    let port = server.port;
    let host = format!("Host: 127.0.0.1:{port}\r\n");
    for (headers, status) in [
        (String::new(), 400..=421),
        ("Host: evil.example\r\n".to_string(), 421..=421),
        (format!("Host: evil.example:{port}\r\n"), 421..=421),
        ("Host: 127.0.0.1\r\n".to_string(), 421..=421),
        (format!("Host: 127.0.0.1:{port}\r\nHost: evil.example\r\n"), 400..=421),
        (format!("{host}Origin: http://evil.example\r\n"), 403..=403),
        (format!("{host}Origin: null\r\n"), 403..=403),
        (format!("{host}Origin: https://127.0.0.1:{port}\r\n"), 403..=403),
        (format!("{host}Sec-Fetch-Site: cross-site\r\n"), 403..=403),
        (format!("{host}Sec-Fetch-Site: same-site\r\n"), 403..=403),
    ] {
        let answer = server.get_with(PLANT, &headers);
        assert!(status.contains(&answer.status), "{headers}: {}", answer.status);
        assert!(!answer.body.contains("Gold caught"));
    }
    for method in ["PUT", "DELETE", "OPTIONS", "TRACE", "BREW"] {
        let answer = server.raw(format!("{method} {PLANT} HTTP/1.1\r\n{host}Connection: close\r\n\r\n").as_bytes());
        assert!((400..500).contains(&answer.status), "{method}: {}", answer.status);
    }
    let cross = format!(
        "POST /save HTTP/1.1\r\n{host}Origin: http://evil.example\r\nConnection: close\r\nContent-Length: 30\r\n\r\nfile=sound.toml&name=evil.toml"
    );
    assert_eq!(server.raw(cross.as_bytes()).status, 403);
    assert_eq!(server.get_with(PLANT, &format!("Host: localhost:{port}\r\nSec-Fetch-Site: none\r\n")).status, 200);
    assert_eq!(server.files(), [SOUND]);
    assert!(server.is_up());
}

#[test]
fn property_nothing_outside_the_folder_is_read_or_written() {
    let around = tempfile::tempdir().unwrap();
    std::fs::write(around.path().join("secret.csv"), "size,passing\nSECRET,1\n").unwrap();
    std::fs::copy(repository_file("tests/broken/sound.toml"), around.path().join("outside.toml")).unwrap();
    let folder = tempfile::tempdir_in(around.path()).unwrap();
    let sound = std::fs::read_to_string(repository_file("tests/broken/sound.toml")).unwrap();
    let list = sound.find("passing = [").map(|a| a..a + sound[a..].find("\n]\n").unwrap() + 3).unwrap();
    let reading = |file: &str| sound.replacen(&sound[list.clone()], &format!("file = \"{file}\"\n"), 1);
    std::fs::write(folder.path().join("dots.toml"), reading("../secret.csv")).unwrap();
    std::fs::write(folder.path().join("whole.toml"), reading(around.path().join("secret.csv").to_str().unwrap()))
        .unwrap();
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink(around.path().join("outside.toml"), folder.path().join("link.toml")).unwrap();
        std::os::unix::fs::symlink(around.path().join("secret.csv"), folder.path().join("link.csv")).unwrap();
        std::os::unix::fs::symlink(around.path(), folder.path().join("up")).unwrap();
        std::fs::write(folder.path().join("linked.toml"), reading("link.csv")).unwrap();
        std::fs::write(folder.path().join("device.toml"), reading("/dev/zero")).unwrap();
    }
    std::fs::write(folder.path().join("sound.toml"), &sound).unwrap();
    let mut server = Server::serve(folder);
    let (inside, outside) = (server.files(), names(around.path()));
    for name in [
        "../outside.toml",
        "..%2Foutside.toml",
        "%2e%2e/outside.toml",
        "/etc/passwd",
        "link.toml",
        "up/outside.toml",
        "..\\outside.toml",
        "outside.toml%00.toml",
        ".",
        "",
        "sound.toml/",
        "./sound.toml",
        "file:///etc/hosts",
    ] {
        for path in ["plant", "live", "report", "scenario"] {
            let answer = server.get(&format!("/{path}?file={name}"));
            assert!((400..500).contains(&answer.status), "{path} {name}: {}", answer.status);
        }
    }
    for path in
        ["/../outside.toml", "/..%2foutside.toml", "/sound.toml", "//etc/passwd", "/page.css/../../outside.toml"]
    {
        assert!((400..500).contains(&server.get(path).status), "{path}");
    }
    for name in ["dots", "whole", "linked", "device"] {
        let answer = server.get(&format!("/live?file={name}.toml"));
        assert!(
            answer.body.contains("outside the folder") && !answer.body.contains("SECRET"),
            "{name}: {}",
            answer.body
        );
        let report = server.get(&format!("/report?file={name}.toml"));
        assert_eq!(report.status, 422, "{name}");
    }
    let through = server.get("/live?file=sound.toml&s.ground.gradation.file=..%2Fsecret.csv");
    assert!(through.body.contains("outside the folder") && !through.body.contains("SECRET"));
    for name in [
        "../evil.toml",
        "..%2Fevil.toml",
        "%2Ftmp%2Fevil.toml",
        "up/evil.toml",
        "up%5Cevil.toml",
        "link.toml",
        "up",
        ".evil.toml",
        "con.toml",
        "x%00.toml",
    ] {
        let answer = server.post("/save", &format!("file=sound.toml&name={name}"));
        // The folder `up` has no ending, so that name becomes the plain file up.toml.
        assert!((400..500).contains(&answer.status) || name == "up", "{name}: {}", answer.status);
    }
    let _ = std::fs::remove_file(server.folder.path().join("up.toml"));
    assert_eq!(server.files(), inside);
    assert_eq!(names(around.path()), outside);
    assert!(server.is_up());
}

#[test]
fn property_nonsense_is_answered_or_refused() {
    let mut server = Server::start();
    let port = server.port;
    let head = format!("Host: 127.0.0.1:{port}\r\nOrigin: http://127.0.0.1:{port}\r\nConnection: close\r\n");
    for value in [
        "NaN",
        "inf",
        "-inf",
        "1e999+in",
        "-1+in",
        "0+in",
        "1e-320+in",
        "%00",
        "%FF%FE",
        "%F0%9F%92%A7",
        "+",
        "9".repeat(5000).as_str(),
        "{",
        "{ low = 1",
        "'",
        "\\",
        "%22",
        "x\n[stage]\n",
        "%0A%5Bground%5D%0A",
    ] {
        for path in [
            "drum.screen.hole",
            "hopper.rate",
            "ground.clay",
            "trials",
            "seed",
            "title",
            "sluice.runs",
            "spray.holes",
            "ground.gradation.passing",
        ] {
            let answer = server.get(&format!("{LIVE}&s.{path}={}", value.replace('\n', "%0A").replace(' ', "+")));
            assert!(
                answer.status == 200 || (400..500).contains(&answer.status),
                "{path}={value}: {} {}",
                answer.status,
                answer.body
            );
        }
    }
    // More trials than anybody waits for: the page takes its own number.
    assert_eq!(server.get(&format!("{LIVE}&s.trials=10000000")).status, 200);
    let huge = format!("POST /save HTTP/1.1\r\n{head}Content-Length: 50000000\r\n\r\n{}", "a=1&".repeat(500_000));
    assert_eq!(server.raw(huge.as_bytes()).status, 413);
    let long = server.get(&format!("{LIVE}&s.title={}", "x".repeat(200_000)));
    assert!((400..500).contains(&long.status), "{}", long.status);
    for bytes in [
        &b"\r\n\r\n"[..],
        b"GET",
        b"GET / HTTP/9.9\r\n\r\n",
        b"\x00\xff\xfe\x01",
        b"GET / HTTP/1.1\r\nHost: \xff\r\n\r\n",
    ] {
        let mut stream = server.connect();
        let _ = stream.write_all(bytes);
        let _ = stream.shutdown(std::net::Shutdown::Write);
        let mut answer = Vec::new();
        let _ = stream.read_to_end(&mut answer);
    }
    assert_eq!(server.get(PLANT).status, 200);
    assert_eq!(server.files(), [SOUND]);
    assert!(server.is_up());
}

#[test]
fn property_ten_thousand_requests_and_broken_connections_leave_it_standing() {
    let mut server = Server::start();
    let request = format!("GET /page.css HTTP/1.1\r\nHost: 127.0.0.1:{}\r\n\r\n", server.port);
    // One connection kept open for 10,000 requests, and in between others that go away at every stage.
    let mut kept = server.connect();
    let length = { server.get("/page.css").body.len() };
    for i in 0..10_000 {
        kept.write_all(request.as_bytes()).expect("send");
        let (mut head, mut byte) = (Vec::new(), [0_u8; 1]);
        while !head.ends_with(b"\r\n\r\n") {
            kept.read_exact(&mut byte).expect("an answer");
            head.push(byte[0]);
        }
        assert!(head.starts_with(b"HTTP/1.1 200"), "request {i}");
        let mut body = vec![0; length];
        kept.read_exact(&mut body).expect("its body");
        if i % 20 == 0 {
            let mut gone = server.connect();
            match (i / 20) % 4 {
                0 => {}
                1 => {
                    let _ = gone.write_all(b"GET /plant?fi");
                }
                2 => {
                    let _ = gone.write_all(request.as_bytes());
                }
                _ => {
                    let _ = gone.write_all(
                        format!("GET {LIVE}&s.seed={i} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\n\r\n", server.port).as_bytes(),
                    );
                }
            }
        }
    }
    assert!(server.is_up());
    assert_eq!(server.get(PLANT).status, 200);
}

#[test]
fn property_a_run_that_nobody_waits_for_is_given_up() {
    let mut server = Server::start();
    let alone = {
        let begun = Instant::now();
        assert_eq!(server.get(&format!("/report?file={SOUND}&s.trials=3000&s.seed=3")).status, 200);
        begun.elapsed()
    };
    // Twenty reports of a hundred thousand trials each, all left at once: finished, they would take many times as long.
    let long = alone * 30 * 20;
    for i in 0..20 {
        let mut gone = server.connect();
        let request = format!(
            "GET /report?file={SOUND}&s.trials=100000&s.seed={} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\n\r\n",
            10 + i,
            server.port
        );
        gone.write_all(request.as_bytes()).expect("send");
        std::thread::sleep(Duration::from_millis(20));
    }
    let begun = Instant::now();
    assert_eq!(server.get(&format!("{LIVE}&s.seed=77")).status, 200);
    assert!(begun.elapsed() < long / 10, "{:?} of {long:?}", begun.elapsed());
    assert!(server.is_up());
}

/// Files that no person writes, in the folder of the page.
#[test]
fn property_a_monstrous_scenario_is_refused_and_the_others_still_open() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::copy(repository_file("tests/broken/sound.toml"), folder.path().join(SOUND)).unwrap();
    let write = |name: &str, bytes: &[u8]| std::fs::write(folder.path().join(name), bytes).unwrap();
    let deep = 300_000;
    write("lists.toml", format!("wires = {}{}\n", "[".repeat(deep), "]".repeat(deep)).as_bytes());
    write("tables.toml", format!("a = {}1{}\n", "{ b = ".repeat(deep / 6), "}".repeat(deep / 6)).as_bytes());
    write("keys.toml", format!("[{}a]\n", "a.".repeat(deep / 2)).as_bytes());
    write("large.toml", "# long\n".repeat(300_000).as_bytes());
    write("bytes.toml", b"title = \"\xff\xfe\"\n");
    write("empty.toml", b"");
    std::fs::create_dir(folder.path().join("folder.toml")).unwrap();
    let mut server = Server::serve(folder);
    for name in ["lists", "tables", "keys", "large", "bytes", "empty", "folder"] {
        for path in ["plant", "live", "report", "scenario", "remedies"] {
            let answer = server.get(&format!("/{path}?file={name}.toml"));
            // An empty scenario is one with everything missing: the page says so, field by field.
            let said = answer.status == 200 && name == "empty" && answer.body.len() < 100_000;
            assert!((400..500).contains(&answer.status) || said, "{path} {name}: {}", answer.status);
            assert!(answer.body.len() < 200_000, "{path} {name}: {} bytes", answer.body.len());
        }
    }
    assert!(server.get("/").body.contains("/plant?file=sound.toml"));
    assert_eq!(server.get(PLANT).status, 200);
    assert!(server.is_up());
}

/// Requests that are too much of something.
#[test]
fn property_too_much_of_anything_is_refused() {
    let mut server = Server::start();
    let port = server.port;
    let head = format!("Host: 127.0.0.1:{port}\r\nOrigin: http://127.0.0.1:{port}\r\nConnection: close\r\n");
    let settings: String = (0..5_000).map(|i| format!("&s.a{i}=1")).collect();
    let refused = |answer: &super::server::Answer| (400..500).contains(&answer.status);
    assert!(refused(&server.get(&format!("{LIVE}{settings}"))));
    assert!(refused(&server.post("/save", &format!("file=sound.toml&name=x.toml{settings}"))));
    // The same setting again and again: the last one counts, and is one.
    let again = server.get(&format!("{LIVE}{}", "&s.drum.slope=4+deg".repeat(500)));
    assert_eq!(again.status, 200);
    let headers: String = (0..20_000).map(|i| format!("X-{i}: {}\r\n", "y".repeat(40))).collect();
    let many = server.raw(format!("GET {PLANT} HTTP/1.1\r\n{head}{headers}\r\n").as_bytes());
    assert!(refused(&many) || many.status == 0, "{}", many.status);
    // A body that does not say its length and does not end by itself.
    let chunk = format!("1000\r\n{}\r\n", "a".repeat(0x1000));
    for path in ["/save", "/sieves"] {
        let body = format!("POST {path} HTTP/1.1\r\n{head}Transfer-Encoding: chunked\r\n\r\n{}", chunk.repeat(2_000));
        let endless = server.raw(body.as_bytes());
        assert!(refused(&endless) || endless.status == 0, "{path}: {}", endless.status);
    }
    // Two lengths, or a length and chunks, are how one request is smuggled behind another.
    for lengths in ["Content-Length: 5\r\nContent-Length: 50\r\n", "Content-Length: -1\r\n", "Content-Length: 9x\r\n"] {
        let answer = server.raw(format!("POST /save HTTP/1.1\r\n{head}{lengths}\r\nfile=").as_bytes());
        assert!(refused(&answer) || answer.status == 0, "{lengths}: {}", answer.status);
    }
    assert_eq!(server.files(), [SOUND]);
    assert!(server.is_up());
}

/// Connections that are opened and say nothing take up places; when they go, the page answers as before.
#[test]
fn property_silent_connections_do_not_bring_it_down() {
    let mut server = Server::start();
    let silent: Vec<_> = (0..150).map(|_| server.connect()).collect();
    assert!(server.is_up());
    drop(silent);
    assert_eq!(server.get(PLANT).status, 200);
    // Half a request, a body that is announced and never comes, an answer that nobody reads.
    let port = server.port;
    let head = format!("Host: 127.0.0.1:{port}\r\nOrigin: http://127.0.0.1:{port}\r\n");
    let halves: Vec<_> = (0..40)
        .map(|i| {
            let mut stream = server.connect();
            let text = match i % 3 {
                0 => format!("GET {PLANT} HTTP/1.1\r\n{head}"),
                1 => format!("POST /save HTTP/1.1\r\n{head}Content-Length: 1000\r\n\r\nfile="),
                _ => format!("GET {PLANT} HTTP/1.1\r\n{head}\r\n"),
            };
            let _ = stream.write_all(text.as_bytes());
            stream
        })
        .collect();
    assert_eq!(server.get(PLANT).status, 200, "others are still served");
    drop(halves);
    assert_eq!(server.get(PLANT).status, 200);
    assert!(server.is_up());
}
