//! The drum as the shop builds it: shell, rings, drive. What a section adds of its own (holes) it describes itself.

use sim_core::drum::transport::critical_speed_rev_s;
use sim_core::math::atan;
use sim_core::quantity::Dimension;
use sim_core::shop::{
    Amount, Drawing, Figure, Mark, Phrase, Piece, Purpose, Reading, STEEL_KG_M3, Shell, ShopPart, Stroke, Sure,
};
use sim_core::stage::SectionPlan;

use core::f64::consts::PI;

/// What a drive sprocket is bored over the drum, to be shimmed true: drums are out of round. Common practice, no source.
const SPROCKET_PLAY_M: f64 = 0.25 * 0.0254;
/// Start and jam margin over running torque. Assumed.
const START_MARGIN: (f64, f64) = (2.0, 2.5);
/// Where small plastic spider couplings end, 4 to 5 hp. Common practice, no source.
const SPIDER_END_W: (f64, f64) = (4.0 * 745.7, 5.0 * 745.7);

/// What the shop is told of the shell beside the numbers of the run.
#[derive(Debug)]
pub(crate) struct ShellWords {
    /// Names of the sections, feed end first.
    pub sections: Vec<String>,
    pub wall_m: f64,
    pub wall_given: bool,
    pub opening_m: f64,
    pub opening_given: bool,
}

/// Numbers of the drum as a whole.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ShopNumbers {
    pub diameter_m: f64,
    pub slope: f64,
    pub speed_rev_s: f64,
    pub torque_n_m: Reading,
    pub power_w: Reading,
}

/// A section as far as the shell goes.
struct Piecewise<'a> {
    name: &'a str,
    length_m: f64,
    ring_m: f64,
    has_holes: bool,
}

/// The parts of a drum.
pub(crate) fn parts(n: &ShopNumbers, words: &ShellWords, plans: &[Box<dyn SectionPlan>]) -> Vec<ShopPart> {
    let pieces: Vec<Piecewise<'_>> = words
        .sections
        .iter()
        .zip(plans)
        .map(|(name, plan)| {
            let laws = plan.new_laws();
            Piecewise { name, length_m: laws.length_m(), ring_m: laws.exit_ring_m(), has_holes: plan.holes().is_some() }
        })
        .collect();
    let mut list = vec![shell(n, words, &pieces), rings(n, words, &pieces)];
    for (name, plan) in words.sections.iter().zip(plans) {
        let shell =
            Shell { section: name, diameter_m: n.diameter_m, wall_m: words.wall_m, wall_given: words.wall_given };
        list.extend(plan.shop(&shell));
    }
    list.push(drive(n, words));
    list
}

fn steel_mass_kg(area_m2: f64, wall_m: f64) -> f64 {
    area_m2 * wall_m * STEEL_KG_M3
}

fn shell(n: &ShopNumbers, words: &ShellWords, pieces: &[Piecewise<'_>]) -> ShopPart {
    let length: f64 = pieces.iter().map(|p| p.length_m).sum();
    let mut part = ShopPart::new("Drum shell");
    part.lead("inside diameter", Figure::Size(n.diameter_m, Dimension::Length), Sure::Given);
    part.lead("length over all sections", Figure::Size(length, Dimension::Length), Sure::Worked);
    part.lead("fall towards the discharge", Figure::Size(n.slope, Dimension::Slope), Sure::Given);
    part.row("the same as an angle", Figure::Size(atan(n.slope), Dimension::Angle), Sure::Worked);
    part.row("feed end higher than discharge end by", Figure::Size(n.slope * length, Dimension::Length), Sure::Worked)
        .note("measured along the drum; check under load, the frame gives");
    for p in pieces {
        part.row(format!("length of the {}", p.name), Figure::Size(p.length_m, Dimension::Length), Sure::Given);
    }
    let wall = if words.wall_given { Sure::Given } else { Sure::Taken };
    part.row("thickness of the shell", Figure::Size(words.wall_m, Dimension::Length), wall);
    let whole = Shell { section: "", diameter_m: n.diameter_m, wall_m: words.wall_m, wall_given: words.wall_given };
    part.row("girth outside", Figure::Size(whole.outside_girth_m(), Dimension::Length), Sure::Worked)
        .note("tape it at both ends and the middle: the same all along, or it does not run true");
    let closed: f64 = pieces.iter().filter(|p| !p.has_holes).map(|p| p.length_m).sum();
    if closed > 0.0 {
        let kg = steel_mass_kg(whole.girth_m() * closed, words.wall_m);
        part.row(
            "flat plate of the closed sections, around",
            Figure::Size(whole.girth_m(), Dimension::Length),
            Sure::Worked,
        )
        .note("girth at the middle of the plate's thickness");
        part.row("weight of the closed sections", Figure::Size(kg, Dimension::Mass), Sure::Worked);
        part.way(
            "roll it from plate",
            vec![Piece {
                item: "steel plate".into(),
                size: Phrase::of(words.wall_m, Dimension::Length).text(" thick"),
                used_for: "closed shell of the drum".into(),
                amount: Amount::Mass(kg),
                mass_kg: Some(kg),
            }],
            Vec::new(),
        );
    }
    part.drawings.push(side_view(n, words, pieces, length));
    part.checks.push("Turn the drum by hand through a whole turn: nothing rubs, nothing is loose inside.".into());
    part.checks.push("The fall is towards the discharge, measured with a level, not by eye.".into());
    part.cautions.push("Lifting: rate slings, hooks and frame for the drum full of wet gravel, never stand under it, block it before working on it. A drum on rollers starts to roll by itself.".into());
    part
}

fn side_view(n: &ShopNumbers, words: &ShellWords, pieces: &[Piecewise<'_>], length: f64) -> Drawing {
    let d = n.diameter_m;
    let margin = 0.22 * d;
    let mut marks = Vec::new();
    let mut x = 0.0;
    for p in pieces {
        marks.push(Mark::Rectangle((x, margin), (p.length_m, d), Stroke::Edge));
        if p.has_holes {
            for k in 1..8 {
                let y = margin + d * f64::from(k) / 8.0;
                marks.push(Mark::Line((x, y), (x + p.length_m, y), Stroke::Dashed));
            }
        }
        x += p.length_m;
        if p.ring_m > 0.0 {
            marks.push(Mark::Line((x, margin), (x, margin + p.ring_m), Stroke::Edge));
            marks.push(Mark::Line((x, margin + d - p.ring_m), (x, margin + d), Stroke::Edge));
        }
        marks.push(Mark::Span(
            (x - p.length_m, margin + d + 0.5 * margin),
            (x, margin + d + 0.5 * margin),
            Phrase::new(format!("{} ", p.name)).length(p.length_m),
        ));
    }
    let lip = 0.5 * (d - words.opening_m);
    marks.push(Mark::Line((0.0, margin), (0.0, margin + lip), Stroke::Edge));
    marks.push(Mark::Line((0.0, margin + d - lip), (0.0, margin + d), Stroke::Edge));
    marks.push(Mark::Span((0.0, 0.5 * margin), (length, 0.5 * margin), Phrase::of(length, Dimension::Length)));
    Drawing {
        name: "drum-side".into(),
        title: "Drum from the side, feed end left".into(),
        size_m: (length, d + 2.0 * margin),
        across: "along the drum".into(),
        down: String::new(),
        closes: false,
        purpose: Purpose::Picture,
        marks,
        alt: Phrase::new(format!("Drum of {} sections, ", pieces.len()))
            .length(d)
            .text(" across and ")
            .length(length)
            .text(" long"),
    }
}

/// Flat ring that stands `height_m` inwards from the shell.
fn ring_area_m2(diameter_m: f64, height_m: f64) -> f64 {
    let inner = (diameter_m - 2.0 * height_m).max(0.0);
    0.25 * PI * (diameter_m * diameter_m - inner * inner)
}

fn rings(n: &ShopNumbers, words: &ShellWords, pieces: &[Piecewise<'_>]) -> ShopPart {
    let d = n.diameter_m;
    let mut part = ShopPart::new("Rings");
    let mut steel = Vec::new();
    let mut ring = |part: &mut ShopPart, place: String, height: f64, sure: Sure| {
        let kg = steel_mass_kg(ring_area_m2(d, height), words.wall_m);
        part.lead(format!("{place}: height"), Figure::Size(height, Dimension::Length), sure);
        part.row(format!("{place}: cut the outside to"), Figure::Size(d, Dimension::Length), Sure::Worked)
            .note("less what your drum is out of round; four segments butt-welded save plate");
        part.row(format!("{place}: opening"), Figure::Size(d - 2.0 * height, Dimension::Length), Sure::Worked);
        part.row(format!("{place}: weight"), Figure::Size(kg, Dimension::Mass), Sure::Worked);
        steel.push(Piece {
            item: "steel plate".into(),
            size: Phrase::of(words.wall_m, Dimension::Length).text(" thick"),
            used_for: format!("ring, {place}"),
            amount: Amount::Mass(kg),
            mass_kg: Some(kg),
        });
    };
    let opening = if words.opening_given { Sure::Given } else { Sure::Taken };
    ring(&mut part, "feed end".into(), 0.5 * (d - words.opening_m), opening);
    for p in pieces.iter().filter(|p| p.ring_m > 0.0) {
        ring(&mut part, format!("end of the {}", p.name), p.ring_m, Sure::Given);
    }
    part.row("thickness of the rings", Figure::Size(words.wall_m, Dimension::Length), Sure::Taken).note("as the shell");
    part.way("cut from plate", steel, Vec::new());
    if pieces.iter().all(|p| !(p.ring_m > 0.0)) {
        part.steps.push("No rings are set at the ends of the sections.".into());
    }
    part.steps.push("On a small drum a ring of about 2 in just ahead of the screen and one of about 4 in at the outlet work together: the first only checks the rush of water, the second holds material for washing (common practice, no source).".into());
    part
}

fn drive(n: &ShopNumbers, words: &ShellWords) -> ShopPart {
    let mut part = ShopPart::new("Drive");
    let critical = critical_speed_rev_s(n.diameter_m, 0.0);
    part.lead("speed of the drum", Figure::Size(n.speed_rev_s, Dimension::RotationSpeed), Sure::Given)
        .note(Phrase::of(n.speed_rev_s / critical, Dimension::Fraction).text(" of critical speed"));
    part.lead("torque that the bed asks for, running", Figure::Run(n.torque_n_m, Dimension::Torque), Sure::Run)
        .note("without bearings and chain");
    part.lead("power that the bed takes, running", Figure::Run(n.power_w, Dimension::Power), Sure::Run);
    let (least, most) = START_MARGIN;
    part.row(
        "torque to start a full drum",
        Figure::Range(least * n.torque_n_m.middle, most * n.torque_n_m.middle, Dimension::Torque),
        Sure::Assumed,
    )
    .note("2 to 2.5 times running; size motor, chain and couplings for this");
    let outside = n.diameter_m + 2.0 * words.wall_m;
    part.row("outside of the shell", Figure::Size(outside, Dimension::Length), Sure::Worked);
    part.row(
        "sprocket around the drum, bore",
        Figure::Size(outside + SPROCKET_PLAY_M, Dimension::Length),
        Sure::Practice,
    )
    .note("about 1/4 in over the drum, shimmed until it runs true: drums are out of round");
    part.row(
        "teeth in mesh where the chain only touches the drum sprocket",
        Figure::Words("2 to 3".into()),
        Sure::Practice,
    )
    .note("one of them takes over half of the pull: count on half the rating, or wrap the chain with an idler");
    let (low, high) = SPIDER_END_W;
    let judged = if n.power_w.high * most > low {
        "this drive starts above that: do not use them"
    } else {
        "this drive stays below that"
    };
    part.row("small plastic spider couplings end at", Figure::Range(low, high, Dimension::Power), Sure::Practice)
        .note(judged);
    part.row(
        "hydraulic tank",
        Figure::Words("a little above its pump, if the drive is hydraulic".into()),
        Sure::Practice,
    );
    part.checks
        .push("Guards are on chain, sprockets, rollers and shaft ends, and cannot be opened without a tool.".into());
    part.checks
        .push("The stop can be reached from the hopper and from the discharge, and everyone knows where it is.".into());
    part.checks.push("The drum turns the right way round: lifters and rising side as planned.".into());
    part.checks.push("Hydraulic drive: hoses rated above the relief setting, relief set, oil level read, no hose where it can chafe.".into());
    part.cautions.push("A turning drum, chain and roller take an arm in a blink. Guard them, and lock the drive out and tag it before anyone reaches in, even for a stone.".into());
    part.cautions.push("Hydraulic oil at pressure goes through skin. Never feel for a leak; let the pressure off before loosening a fitting; an injection is an emergency even if it looks like a pinprick.".into());
    part
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_ring_area() {
        assert!((ring_area_m2(1.0, 0.5) - 0.25 * PI).abs() < 1e-15);
        assert!((ring_area_m2(1.0, 0.1) - 0.25 * PI * 0.36).abs() < 1e-15);
        assert_eq!(ring_area_m2(1.0, 0.0), 0.0);
    }
}
