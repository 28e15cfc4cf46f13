//! Barriers to whoever sees little or has no mouse, looked for in a real browser by the checker of the npm package `axe-core`.
//! Ignored unless asked for: a test that finds no browser or no checker fails.

use washgraph_tests::{repository_file, washgraph};

use super::browser::{SCREENS, in_browser};
use super::chromium::{Tab, program};
use super::http::PLANT;

/// The checker: the file that the variable `WASHGRAPH_AXE` names.
fn checker() -> String {
    let path = std::env::var_os("WASHGRAPH_AXE").expect("set WASHGRAPH_AXE to axe.min.js of the npm package axe-core");
    std::fs::read_to_string(path).expect("read the checker that WASHGRAPH_AXE names")
}

/// What it finds on the page that is open, with all that is folded away unfolded; empty when there is nothing.
fn barriers(tab: &mut Tab, checker: &str) -> String {
    tab.value("document.querySelectorAll('details').forEach(d => { d.open = true })");
    tab.value(&format!("{checker}; 0"));
    tab.text(
        "axe.run({ resultTypes: ['violations'] }).then(r => r.violations.map(v => `${v.id}: ${v.help}: ` + v.nodes.slice(0, 3).map(n => n.html.slice(0, 160)).join(' ')).join('\\n'))",
    )
}

#[test]
#[ignore = "needs Chromium and axe-core: run by .ci/run"]
fn property_the_checker_finds_no_barrier() {
    let checker = checker();
    in_browser(|tab, server| {
        for (width, height) in SCREENS {
            tab.size(width, height);
            for path in [
                "/".to_string(),
                format!("{PLANT}&pinned=yes&s.sluice.length=3+ft"),
                format!("{PLANT}&s.drum.slope=steep"),
            ] {
                tab.go(&server.address(&path));
                let found = barriers(tab, &checker);
                assert!(found.is_empty(), "{path} at {width}:\n{found}");
            }
        }
    });
}

/// The report of the demonstration and that of the bad plant, as files, in which nothing runs and from which nothing is asked.
#[test]
#[ignore = "needs Chromium and axe-core: run by .ci/run"]
fn property_the_checker_finds_no_barrier_in_the_report_and_the_shop_sheet() {
    let (checker, program) = (checker(), program());
    let folder = tempfile::tempdir().expect("a folder");
    let mut tab = Tab::open(&program, folder.path());
    for (name, command, file) in [
        ("juniper-creek", "run", "report.html"),
        ("badger-gulch", "run", "report.html"),
        ("juniper-creek", "sheet", "sheet.html"),
    ] {
        let scenario = repository_file(&format!("scenarios/{name}.toml"));
        let out = format!("{name}-{command}");
        let answer = washgraph(
            folder.path(),
            2,
            &[command, scenario.to_str().expect("a path"), "--trials", "300", "--out", &out],
        );
        assert!(answer.code <= 1, "{}", answer.stderr);
        for (width, height) in SCREENS {
            tab.size(width, height);
            tab.go(&format!("file://{}", folder.path().join(&out).join(file).display()));
            let wide = tab.value("document.documentElement.scrollWidth").as_u64();
            assert!(wide <= Some(u64::from(width)), "{out} is {wide:?} wide at {width}");
            let found = barriers(&mut tab, &checker);
            assert!(found.is_empty(), "{out} at {width}:\n{found}");
        }
    }
    let strays: Vec<&String> =
        tab.requests.iter().filter(|r| !r.starts_with("file://") && *r != "about:blank").collect();
    assert!(strays.is_empty() && tab.complaints.is_empty(), "{strays:?} {:?}", tab.complaints);
}
