//! The page in a real browser, at the width of a phone and of a laptop. Ignored unless asked for: a test
//! that finds no browser fails.

use serde_json::json;

use super::chromium::{Tab, program};
use super::http::PLANT;
use super::server::{SOUND, Server};

/// Widths and heights of a small phone and of a laptop.
pub const SCREENS: [(u32, u32); 2] = [(360, 740), (1280, 800)];

const CAUGHT: &str = "document.querySelector('#strip dd').textContent";
const PICTURE: &str = "document.querySelector('#answer-losses svg').outerHTML";

/// Runs a test in a browser, on a page that serves one sound scenario.
pub fn in_browser(test: impl FnOnce(&mut Tab, &Server)) {
    in_browser_with(Server::start, test);
}

fn in_browser_with(start: fn() -> Server, test: impl FnOnce(&mut Tab, &Server)) {
    let program = program();
    let server = start();
    let downloads = server.folder.path().join("downloads");
    std::fs::create_dir(&downloads).expect("a folder");
    let mut tab = Tab::open(&program, &downloads);
    test(&mut tab, &server);
    let own = server.address("/");
    let strays: Vec<&String> = tab.requests.iter().filter(|r| !r.starts_with(&own) && *r != "about:blank").collect();
    assert!(strays.is_empty(), "requests elsewhere: {strays:?}");
    assert!(tab.complaints.is_empty(), "{:?}", tab.complaints);
}

/// Moves the slider of a setting by so many steps with the keyboard.
fn move_slider(tab: &mut Tab, id: &str, steps: i32) {
    tab.value(&format!("document.querySelector('#{id} + .slide input').focus()"));
    for _ in 0..steps.abs() {
        if steps > 0 { tab.press("ArrowRight", 39) } else { tab.press("ArrowLeft", 37) }
    }
}

#[test]
#[ignore = "needs Chromium: run by .ci/run"]
fn property_a_moved_slider_moves_the_figures_on_every_screen() {
    in_browser(|tab, server| {
        for (width, height) in SCREENS {
            tab.size(width, height);
            tab.go(&server.address(PLANT));
            assert!(
                tab.value("document.documentElement.scrollWidth").as_u64() <= Some(u64::from(width)),
                "too wide at {width}"
            );
            tab.picture(&format!("plant-{width}"));
            let (caught, picture) = (tab.text(CAUGHT), tab.text(PICTURE));
            move_slider(tab, "f-sluice-length", -6);
            tab.wait_for(&format!("{CAUGHT} !== {} && {PICTURE} !== {}", json!(caught), json!(picture)));
            tab.wait_for("!document.body.hasAttribute('aria-busy')");
            // The address holds the design: loaded anew it shows the same.
            let (moved, address) = (tab.text(CAUGHT), tab.text("location.href"));
            assert!(address.contains("s.sluice.length="), "{address}");
            assert_eq!(tab.text("document.activeElement.type"), "range", "the focus left the slider");
            tab.go(&address);
            assert_eq!(tab.text(CAUGHT), moved);
            let field = tab.text("document.getElementById('f-sluice-length').value");
            assert!(address.contains(&field.replace(' ', "+")), "{field} in {address}");
        }
    });
}

#[test]
#[ignore = "needs Chromium: run by .ci/run"]
fn property_touch_moves_a_setting_one_step() {
    in_browser(|tab, server| {
        tab.size(360, 740);
        tab.go(&server.address(PLANT));
        let before = tab.text("document.getElementById('f-drum-screen-hole').value");
        tab.tap("#f-drum-screen-hole + .slide button:last-child");
        tab.wait_for(&format!("document.getElementById('f-drum-screen-hole').value !== {}", json!(before)));
        tab.wait_for("location.href.includes('s.drum.screen.hole=')");
        // Whatever is touched is large enough for a finger.
        let small = tab.text(
            "JSON.stringify([...document.querySelectorAll('button, .button, input:not([type=hidden],[type=file]), select, .group > summary')]
               .filter(e => e.offsetParent && e.getBoundingClientRect().height < 43.5).map(e => e.outerHTML.slice(0, 80)))",
        );
        assert_eq!(small, "[]");
    });
}

#[test]
#[ignore = "needs Chromium: run by .ci/run"]
fn property_a_broken_value_is_said_beside_its_field_and_put_right_again() {
    in_browser(|tab, server| {
        for (width, height) in SCREENS {
            tab.size(width, height);
            tab.go(&server.address(PLANT));
            let caught = tab.text(CAUGHT);
            let typed = |text: &str| {
                format!(
                    "(() => {{ const f = document.getElementById('f-drum-screen-hole'); f.focus(); f.value = {}; \
                     f.dispatchEvent(new Event('input', {{ bubbles: true }})) }})()",
                    json!(text)
                )
            };
            tab.value(&typed("1/2 gallon"));
            tab.wait_for("document.querySelector('#m-drum-screen-hole .error')");
            tab.picture(&format!("broken-{width}"));
            assert_eq!(tab.text("document.getElementById('f-drum-screen-hole').getAttribute('aria-invalid')"), "true");
            assert_eq!(tab.text("document.activeElement.id"), "f-drum-screen-hole", "typing was interrupted");
            assert_eq!(tab.text(CAUGHT), caught, "the last sound figures stay");
            assert!(tab.text("document.querySelector('#problems li').textContent").starts_with("Error"));
            tab.value(&typed("5/8 in"));
            tab.wait_for(
                "!document.querySelector('.error') && document.querySelector('#problems').dataset.state === 'sound'",
            );
            assert_eq!(tab.text("document.getElementById('f-drum-screen-hole').getAttribute('aria-invalid')"), "false");
        }
    });
}

#[test]
#[ignore = "needs Chromium: run by .ci/run"]
fn property_a_design_is_pinned_compared_and_let_go() {
    in_browser(|tab, server| {
        tab.size(1280, 800);
        tab.go(&server.address(PLANT));
        tab.value("document.querySelector('#pin a[data-live]').click()");
        tab.wait_for("document.querySelector('#pin').textContent.includes('as much gold as the pinned one')");
        move_slider(tab, "f-sluice-length", -6);
        tab.wait_for("document.querySelector('#pin').textContent.includes('less than the pinned one')");
        tab.wait_for("!document.body.hasAttribute('aria-busy')");
        tab.picture("pinned-1280");
        tab.value("[...document.querySelectorAll('#pin a')].find(a => a.textContent === 'Let go').click()");
        tab.wait_for("!document.querySelector('#pin').textContent.includes('pinned one')");
        assert!(tab.text("location.href").contains("s.sluice.length="));
    });
}

#[test]
#[ignore = "needs Chromium: run by .ci/run"]
fn property_saving_and_downloading_work() {
    in_browser(|tab, server| {
        for (width, height) in SCREENS {
            tab.size(width, height);
            tab.go(&server.address(PLANT));
            move_slider(tab, "f-drum-slope", 2);
            tab.wait_for("location.href.includes('s.drum.slope=') && !document.body.hasAttribute('aria-busy')");
            let name = format!("tried-{width}.toml");
            tab.value(&format!("document.getElementById('save-name').value = {}", json!(name)));
            tab.value("document.getElementById('save-name').focus()");
            tab.press("Enter", 13);
            tab.wait_for(&format!(
                "document.readyState === 'complete' && document.querySelector('.saved')?.textContent.includes({})",
                json!(name)
            ));
            let saved = std::fs::read_to_string(server.folder.path().join(&name)).expect("the saved scenario");
            let original = std::fs::read_to_string(server.folder.path().join(SOUND)).expect("the original");
            let differing = original.lines().zip(saved.lines()).filter(|(a, b)| a != b).count();
            assert_eq!((differing, original.lines().count()), (1, saved.lines().count()), "{saved}");
            tab.value("document.querySelector('a[download=\"report.html\"]').click()");
            let report = server.folder.path().join("downloads").join(format!("tried-{width}-report.html"));
            for _ in 0..600 {
                if report.exists() {
                    break;
                }
                std::thread::sleep(std::time::Duration::from_millis(100));
                tab.value("0");
            }
            let html = std::fs::read_to_string(&report).expect("the report");
            assert!(html.contains("Where the gold goes") && html.len() < 2_000_000);
        }
    });
}

#[test]
#[ignore = "needs Chromium: run by .ci/run"]
fn property_a_pasted_sieve_sheet_becomes_the_ground() {
    in_browser(|tab, server| {
        tab.size(360, 740);
        tab.go(&server.address(PLANT));
        let caught = tab.text("document.querySelector('#answer-hole').textContent");
        tab.value(
            "(() => { const t = document.getElementById('f-ground-gradation-passing'); t.closest('details').open = true; \
             t.value = 'sieve\\tpassing\\n4 in\\t100 %\\n1 in\\t95 %\\n1/4 in\\t90 %\\nUS 10\\t60 %\\nUS 200\\t10 %'; \
             t.dispatchEvent(new Event('input', { bubbles: true })) })()",
        );
        tab.wait_for(&format!("document.querySelector('#answer-hole').textContent !== {}", json!(caught)));
        assert_eq!(tab.text("document.querySelector('#problems').dataset.state"), "sound");
        tab.picture("sieve-360");
    });
}

#[test]
#[ignore = "needs Chromium: run by .ci/run"]
fn property_the_browser_redraws_at_once() {
    in_browser_with(Server::with_demo, |tab, server| {
        tab.size(1280, 800);
        tab.go(&server.address("/plant?file=juniper-creek.toml"));
        let paint = tab.value("performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? -1");
        tab.value("performance.clearMeasures('redrawn')");
        // Always on to a design that was not shown before: the program remembers the last few.
        for i in 0..12 {
            move_slider(tab, ["f-drum-slope", "f-sluice-length", "f-hopper-rate"][i / 4], 1);
            tab.wait_for(&format!("performance.getEntriesByName('redrawn').length > {i}"));
        }
        let in_the_middle = |list: &str| format!("{list}.sort((a, b) => a - b)[6]");
        let middle = tab.value(&in_the_middle("performance.getEntriesByName('redrawn').map(e => e.duration)"));
        let server = tab.value(&in_the_middle(
            "performance.getEntriesByType('resource').filter(e => e.name.includes('/live')).map(e => e.serverTiming[0].duration)",
        ));
        println!(
            "first paint {paint:.0} ms; setting moved to figure redrawn {middle:.0} ms in the middle, of which the program took {server:.0} ms"
        );
        // The aims are 300 ms and 100 ms on two quiet cores; the gate is wide, since tests share the machine.
        assert!(middle.as_f64().is_some_and(|t| t < 2000.0), "{middle}");
    });
}

/// Whoever has no mouse walks through the page from the top to the bottom, sees where he is, and is never caught.
#[test]
#[ignore = "needs Chromium: run by .ci/run"]
fn property_the_focus_goes_down_the_page_and_is_seen() {
    in_browser(|tab, server| {
        for (width, height) in SCREENS {
            tab.size(width, height);
            tab.go(&server.address(PLANT));
            tab.press("Tab", 9);
            assert_eq!(tab.text("document.activeElement.className"), "skip", "first comes the way past the headline");
            tab.press("Tab", 9);
            let (mut last, mut steps) = (-1, 0);
            loop {
                // Place among all elements, and what cannot be seen of it.
                let found = tab.value(
                    "(() => { const e = document.activeElement; const r = e.getBoundingClientRect(); const s = getComputedStyle(e); \
                     const ringed = e.type === 'file' ? getComputedStyle(document.querySelector('.only-script .button')) : s; \
                     return [[...document.querySelectorAll('*')].indexOf(e), ringed.outlineStyle !== 'none' && parseFloat(ringed.outlineWidth) >= 2, \
                     r.bottom > 0 && r.top < innerHeight && (e.type === 'file' || r.width > 0), e.outerHTML.slice(0, 120)] })()",
                );
                let place = found[0].as_i64().expect("a place");
                // Past the last stop the focus leaves the page: the body has it, or the browser's own bar.
                let element = found[3].as_str().expect("an element");
                if element.starts_with("<body") || element.starts_with("<html") || steps > 400 {
                    break;
                }
                assert!(place > last, "back up the page at {width}: {found}");
                assert_eq!(found[1], true, "no ring around it at {width}: {found}");
                assert_eq!(found[2], true, "out of sight at {width}: {found}");
                (last, steps) = (place, steps + 1);
                tab.press("Tab", 9);
            }
            assert!(steps > 15, "only {steps} stops at {width}");
            let end = tab.text("[...document.querySelectorAll('a[href], button, input, select, textarea, summary')].filter(e => e.offsetParent && e.tabIndex >= 0 && e.type !== 'hidden').pop().outerHTML.slice(0, 120)");
            println!("{steps} stops at {width}, down to {end}");
        }
    });
}

/// Whatever is typed or moved says what it is.
#[test]
#[ignore = "needs Chromium: run by .ci/run"]
fn property_every_field_has_a_label() {
    in_browser(|tab, server| {
        tab.size(360, 740);
        tab.go(&server.address(PLANT));
        let bare = tab.text(
            "JSON.stringify([...document.querySelectorAll('input:not([type=hidden]), select, textarea, button')] \
             .filter(e => !(e.labels?.length || e.getAttribute('aria-label') || e.getAttribute('aria-labelledby') || e.textContent.trim())) \
             .map(e => e.outerHTML.slice(0, 120)))",
        );
        assert_eq!(bare, "[]");
    });
}
