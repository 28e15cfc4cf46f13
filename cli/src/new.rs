//! The command `new`: a commented scenario to start from. At a terminal it asks for what the flags leave open.

use std::io::{BufRead, IsTerminal, Write};

use sim_core::problem::Problems;
use sim_core::quantity::{self, Dimension};
use sim_core::registry::Registry;
use sim_core::scenario::{Opened, build};

use crate::args::NewArgs;
use crate::exit::Exit;

const TEMPLATE: &str = include_str!("new_scenario.toml");

/// Writes the scenario. The file is never overwritten.
pub(crate) fn new(registry: &Registry, args: &NewArgs) -> Exit {
    if args.file.exists() {
        anstream::eprintln!("error: {} is there already; nothing was written", args.file.display());
        return Exit::BadInput;
    }
    let asked = [
        ("{title}", "Name of plant and ground", &args.title, "My plant", None),
        ("{rate}", "Loose ground fed per hour", &args.rate, "30 yd3/h loose", Some(Dimension::GravelRate)),
        ("{drum}", "Inside diameter of the drum", &args.drum, "36 in", Some(Dimension::Length)),
        ("{hole}", "Size of the screen holes", &args.hole, "1/2 in", Some(Dimension::Length)),
        ("{width}", "Width of the sluice", &args.width, "36 in", Some(Dimension::Length)),
    ];
    let mut text = TEMPLATE.to_string();
    let mut hole_m = 0.0127;
    for (slot, question, given, usual, dimension) in asked {
        let answer = match given {
            Some(answer) => answer.clone(),
            None => ask(question, usual, dimension),
        };
        if let Some(dimension) = dimension {
            match quantity::parse(&answer, dimension) {
                Ok(parsed) if slot == "{hole}" => hole_m = parsed.si,
                Ok(_) => {}
                Err(error) => {
                    anstream::eprintln!("error: {question}: {}; {}", error.message, error.help);
                    return Exit::BadInput;
                }
            }
        }
        text = text.replace(slot, &answer.replace('\\', "\\\\").replace('"', "\\\""));
    }
    // A pitch of one and a half holes is the usual start.
    text = text.replace("{pitch}", &format!("{:.1} mm", 1500.0 * hole_m));
    let mut problems = Problems::default();
    if build(&Opened { text: text.clone(), folder: std::path::PathBuf::new() }, registry, &mut problems).is_none() {
        for p in problems.in_order() {
            anstream::eprintln!("{}: {}; {}", p.severity.word(), p.message, p.help);
        }
        anstream::eprintln!("nothing was written");
        return Exit::BadInput;
    }
    let written = std::fs::OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(&args.file)
        .and_then(|mut f| f.write_all(text.as_bytes()));
    match written {
        Ok(()) => {
            anstream::eprintln!(
                "Wrote {}. Put in your own sieve and pan figures, then: washgraph check {0}",
                args.file.display()
            );
            Exit::Done
        }
        Err(error) => {
            anstream::eprintln!("error: cannot write {}: {error}", args.file.display());
            Exit::BadInput
        }
    }
}

/// Asks at a terminal until the answer can be read; elsewhere the usual value holds.
fn ask(question: &str, usual: &str, dimension: Option<Dimension>) -> String {
    if !std::io::stdin().is_terminal() {
        return usual.to_string();
    }
    loop {
        anstream::eprint!("{question} [{usual}]: ");
        let mut line = String::new();
        if std::io::stdin().lock().read_line(&mut line).unwrap_or(0) == 0 || line.trim().is_empty() {
            return usual.to_string();
        }
        let answer = line.trim().to_string();
        match dimension.map(|d| quantity::parse(&answer, d)) {
            Some(Err(error)) => anstream::eprintln!("  {}; {}", error.message, error.help),
            _ => return answer,
        }
    }
}
