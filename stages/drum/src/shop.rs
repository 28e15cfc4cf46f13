//! The drum as the shop builds it: shell, rings, lifters; the drive stands in `drive::shop`. What a section adds of its own
//! (holes) it describes itself.

use core::f64::consts::PI;
use sim_core::constants::STEEL_KG_M3;

use sim_core::drum::Lifters;
use sim_core::drum::lifters::HIGH_SHARE;
use sim_core::math::{atan, cos, sin};
use sim_core::quantity::Dimension;
use sim_core::shop::{Amount, Drawing, Figure, Mark, Phrase, Piece, Purpose, Shell, ShopPart, StageSite, Stroke, Sure};

use crate::built::DrumStage;

/// Share of the circumference that the heap of one lifter takes up, over its height: tan of the angle of repose.
const HEAP_OVER_HEIGHT: f64 = 0.7;

/// A section as far as the shell goes.
struct Piecewise<'a> {
    name: &'a str,
    length_m: f64,
    ring_m: f64,
    has_holes: bool,
    lifters: Option<Lifters>,
}

/// The parts of a drum.
pub(crate) fn parts(drum: &DrumStage, site: &StageSite<'_>) -> Vec<ShopPart> {
    let pieces: Vec<Piecewise<'_>> = drum
        .names
        .iter()
        .zip(&drum.plans)
        .map(|(name, plan)| {
            let laws = plan.new_laws();
            Piecewise {
                name,
                length_m: laws.length_m(),
                ring_m: laws.exit_ring_m(),
                has_holes: plan.holes().is_some(),
                lifters: laws.lifters(),
            }
        })
        .collect();
    let built = &drum.built;
    let mut list = vec![shell(drum, &pieces), rings(drum, &pieces)];
    list.extend(pieces.iter().filter_map(|p| lifters(drum, p)));
    for (name, plan) in drum.names.iter().zip(&drum.plans) {
        list.extend(plan.shop(&Shell {
            section: name,
            diameter_m: drum.diameter_m,
            wall_m: built.wall_m,
            wall_given: built.wall_given,
        }));
    }
    list.push(drum.drive.part(site, drum.diameter_m, built.wall_m, drum.speed_rev_s));
    list
}

fn steel_mass_kg(area_m2: f64, wall_m: f64) -> f64 {
    area_m2 * wall_m * STEEL_KG_M3
}

fn shell(n: &DrumStage, pieces: &[Piecewise<'_>]) -> ShopPart {
    let words = &n.built;
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
    part.drawings.push(side_view(n, pieces, length));
    part.checks.push("Turn the drum by hand through a whole turn: nothing rubs, nothing is loose inside.".into());
    part.checks.push("The fall is towards the discharge, measured with a level, not by eye.".into());
    part.cautions.push("Lifting: rate slings, hooks and frame for the drum full of wet gravel, never stand under it, block it before working on it. A drum on rollers starts to roll by itself.".into());
    part
}

fn side_view(n: &DrumStage, pieces: &[Piecewise<'_>], length: f64) -> Drawing {
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
    let lip = 0.5 * (d - n.built.opening_m);
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

fn rings(n: &DrumStage, pieces: &[Piecewise<'_>]) -> ShopPart {
    let words = &n.built;
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

/// The lifters of a section: how many give the share of the circumference that the run counts on.
fn lifters(drum: &DrumStage, p: &Piecewise<'_>) -> Option<ShopPart> {
    let lifters = p.lifters?;
    let around_m = PI * drum.diameter_m;
    let count = (lifters.share * around_m / (HEAP_OVER_HEIGHT * lifters.height_m)).round().max(1.0);
    let mut part = ShopPart::new(format!("Lifters of the {}", p.name));
    part.lead("lifters", Figure::Count(count as u64), Sure::Worked).note(
        Phrase::new("the run counts on heaps under ")
            .size(lifters.share, Dimension::Fraction)
            .text(" of the circumference"),
    );
    part.lead("height above the shell", Figure::Size(lifters.height_m, Dimension::Length), Sure::Given)
        .note("or the usual, when not set");
    part.lead("apart, along the inside of the shell", Figure::Size(around_m / count, Dimension::Length), Sure::Worked);
    part.row("length of each", Figure::Size(p.length_m, Dimension::Length), Sure::Worked)
        .note("in pieces that two people can handle; stagger them if you like");
    part.way(
        "weld them in",
        vec![Piece {
            item: "lifter bar".into(),
            size: Phrase::of(lifters.height_m, Dimension::Length).text(" high"),
            used_for: format!("lifters of the {}", p.name),
            amount: Amount::Length(count * p.length_m),
            mass_kg: None,
        }],
        Vec::new(),
    );
    if p.has_holes {
        part.steps
            .push("Set them between the columns of holes, and bolt them: worn plate comes out without a torch.".into());
    }
    part.drawings.push(end_view(drum, p, lifters, count));
    if lifters.height_m > HIGH_SHARE * drum.diameter_m {
        part.cautions.push("High lifters let the rock beat the barrel (common practice, no source): worn plate, loose bolts, noise. Wear ear protection.".into());
    }
    Some(part)
}

fn end_view(drum: &DrumStage, p: &Piecewise<'_>, lifters: Lifters, count: f64) -> Drawing {
    let d = drum.diameter_m;
    let (side, middle) = (2.0 * d, (0.55 * d, 0.55 * d));
    let mut marks = vec![Mark::Circle(middle, d, Stroke::Edge)];
    for k in 0..count as u32 {
        let angle = 2.0 * PI * f64::from(k) / count;
        let at = |r: f64| (middle.0 + r * cos(angle), middle.1 + r * sin(angle));
        marks.push(Mark::Line(at(0.5 * d), at(0.5 * d - lifters.height_m), Stroke::Edge));
    }
    let beside = 1.12 * d;
    marks.push(Mark::Label((beside, 0.4 * d), Phrase::new(format!("{count} lifters"))));
    marks.push(Mark::Label((beside, 0.52 * d), Phrase::of(lifters.height_m, Dimension::Length).text(" high")));
    marks.push(Mark::Label((beside, 0.64 * d), Phrase::new("each ").length(PI * d / count)));
    Drawing {
        name: format!("{}-lifters", p.name),
        title: format!("Lifters of the {} from the end", p.name),
        size_m: (side, 1.1 * d),
        across: String::new(),
        down: String::new(),
        closes: false,
        purpose: Purpose::Picture,
        marks,
        alt: Phrase::new(format!("{count} lifters evenly around the inside of the drum")),
    }
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
