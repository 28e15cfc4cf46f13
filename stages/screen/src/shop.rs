//! The plate as the shop cuts it: template, count, weight, cutting time, and the plate bought perforated beside it.

use sim_core::constants::{S_PER_H, STEEL_KG_M3};
use sim_core::quantity::Dimension;
use sim_core::shop::{
    Amount, Drawing, Figure, HoleGrid, Mark, Opening, Pace, Phrase, Piece, Purpose, Shell, ShopPart, Stroke, Sure, Work,
};

use crate::law::Plate;
use crate::open_area::Pattern;
use crate::passage::HoleShape;
use crate::template::{Layout, lay_out};

/// Holes that a man with a hand plasma torch and a template pierces and cuts in an hour, said of one-inch holes.
/// Common practice, no source.
const TORCH_HOLES_PER_H: [f64; 3] = [130.0, 140.0, 150.0];

/// What of the section the shop needs beside the laws.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ShopPlate {
    pub plate: Plate,
    pub pattern: Pattern,
    pub pitch_m: f64,
    /// Length of a slot.
    pub slot_m: f64,
    /// Cut by hand with a torch.
    pub torch: bool,
    /// Narrower inside than outside.
    pub relieved: bool,
    /// `None`: as thick as the shell.
    pub thickness_m: Option<f64>,
    pub solid_edge_m: f64,
    pub edge_given: bool,
}

impl ShopPlate {
    fn opening(&self) -> Opening {
        let hole = self.plate.hole_m;
        match self.plate.shape {
            HoleShape::Round => Opening::Round(hole),
            HoleShape::Square => Opening::Square(hole),
            HoleShape::Slot => Opening::Slot(hole, self.slot_m.max(hole)),
        }
    }

    pub(crate) fn parts(&self, shell: &Shell<'_>) -> Vec<ShopPart> {
        let shell = Shell {
            wall_m: self.thickness_m.unwrap_or(shell.wall_m),
            wall_given: self.thickness_m.is_some() || shell.wall_given,
            ..*shell
        };
        let mut part = ShopPart::new(format!("Plate of the {}", shell.section));
        let layout = lay_out(
            self.opening(),
            self.pattern,
            self.pitch_m,
            shell.girth_m(),
            self.plate.length_m,
            self.solid_edge_m,
        );
        let hole = match self.plate.shape {
            HoleShape::Round => "hole, round, diameter",
            HoleShape::Square => "hole, square, side",
            HoleShape::Slot => "slot, width",
        };
        part.lead(hole, Figure::Size(self.plate.hole_m, Dimension::Length), Sure::Given);
        let Some(layout) = layout else {
            part.row("holes", Figure::Words("none fits".into()), Sure::Worked).note(
                Phrase::new("the plate is ")
                    .length(self.plate.length_m)
                    .text(" long, with solid edges of ")
                    .length(self.solid_edge_m),
            );
            return vec![part];
        };
        self.numbers(&mut part, &shell, &layout);
        self.ways(&mut part, &shell, &layout);
        part.drawings.push(self.detail(&shell, &layout));
        part.drawings.push(self.drawing(&shell, &layout));
        words(&mut part, &layout, self);
        vec![part]
    }

    fn numbers(&self, part: &mut ShopPart, shell: &Shell<'_>, layout: &Layout) {
        let h = layout.holes;
        part.lead("holes in all", Figure::Count(h.count()), Sure::Worked);
        part.lead("holes in a row around the drum", Figure::Count(h.columns.into()), Sure::Worked);
        part.lead("rows along the drum", Figure::Count(h.rows.into()), Sure::Worked);
        part.lead("middle to middle around", Figure::Size(h.column_step_m, Dimension::Length), Sure::Worked)
            .note(Phrase::new("set as ").length(self.pitch_m).text(
            ", adjusted so that whole holes close around the drum; step off from a tape, do not add up single pitches",
        ));
        part.row("row to row along", Figure::Size(h.row_step_m, Dimension::Length), Sure::Worked);
        if h.shift_m > 0.0 {
            part.row("each second row set off by", Figure::Size(h.shift_m, Dimension::Length), Sure::Worked);
        }
        if let Opening::Slot(_, length) = h.opening {
            part.row("length of a slot, along the drum", Figure::Size(length, Dimension::Length), Sure::Given)
                .note("or 8 times its width, when not set");
        }
        part.row("solid edge at each end", Figure::Size(layout.edge_m, Dimension::Length), Sure::Worked).note(
            Phrase::new(if self.edge_given { "at least as set: " } else { "at least the usual, not set: " })
                .length(self.solid_edge_m),
        );
        part.row(
            "holes through the plate",
            Figure::Words(
                if self.relieved { "narrower inside than outside" } else { "as wide inside as outside" }.into(),
            ),
            Sure::Given,
        )
        .note("or the usual, when not set");
        part.row(
            "largest hole that the run reckons with",
            Figure::Size(self.plate.largest_hole_m, Dimension::Length),
            Sure::Worked,
        )
        .note("from the scatter of the holes as made: it decides what stone the sluice gets");
        part.row("open area of this plate", Figure::Size(layout.open_share(), Dimension::Fraction), Sure::Worked).note(
            Phrase::new("the run counts ")
                .size(self.plate.open_share, Dimension::Fraction)
                .text(" over the whole length of the section"),
        );
        let (girth, length) = layout.plate_m;
        part.row("flat plate, around", Figure::Size(girth, Dimension::Length), Sure::Worked)
            .note("girth at the middle of the plate's thickness");
        part.row("flat plate, along", Figure::Size(length, Dimension::Length), Sure::Given);
        part.row("girth outside once rolled", Figure::Size(shell.outside_girth_m(), Dimension::Length), Sure::Worked)
            .note("check with a tape");
        let wall = if shell.wall_given { Sure::Given } else { Sure::Taken };
        part.row("thickness", Figure::Size(shell.wall_m, Dimension::Length), wall);
        part.row(
            "weight of the plate before cutting",
            Figure::Size(self.solid_kg(shell, layout), Dimension::Mass),
            Sure::Worked,
        );
        part.row("weight with its holes", Figure::Size(self.cut_kg(shell, layout), Dimension::Mass), Sure::Worked);
    }

    fn solid_kg(&self, shell: &Shell<'_>, layout: &Layout) -> f64 {
        layout.plate_m.0 * layout.plate_m.1 * shell.wall_m * STEEL_KG_M3
    }

    fn cut_kg(&self, shell: &Shell<'_>, layout: &Layout) -> f64 {
        self.solid_kg(shell, layout) * (1.0 - layout.open_share())
    }

    fn ways(&self, part: &mut ShopPart, shell: &Shell<'_>, layout: &Layout) {
        let thick = Phrase::of(shell.wall_m, Dimension::Length).text(" thick");
        let used_for = format!("plate of the {}", shell.section);
        let solid_kg = self.solid_kg(shell, layout);
        let plain = Piece {
            item: "steel plate".into(),
            size: thick.clone(),
            used_for: used_for.clone(),
            amount: Amount::Mass(solid_kg),
            mass_kg: Some(self.cut_kg(shell, layout)),
        };
        let cutting = Work {
            item: "torch work".into(),
            used_for: format!("pierce and cut the holes of the {}", shell.section),
            count: layout.holes.count() as f64,
            pace: Pace { per_s: TORCH_HOLES_PER_H.map(|n| n / S_PER_H), sure: Sure::Practice },
        };
        let bought = Piece {
            item: "perforated plate".into(),
            size: Phrase::of(self.plate.hole_m, Dimension::Length)
                .text(" holes at ")
                .length(self.pitch_m)
                .text(", ")
                .length(shell.wall_m)
                .text(" thick"),
            used_for,
            amount: Amount::Area(layout.plate_m.0 * layout.plate_m.1),
            mass_kg: Some(self.cut_kg(shell, layout)),
        };
        let mut ways = [
            ("cut the holes yourself", vec![plain], vec![cutting]),
            ("buy the plate perforated", vec![bought], Vec::new()),
        ];
        // What the scenario says of the holes comes first, and counts in the sum.
        if !self.torch {
            ways.reverse();
        }
        for (name, pieces, work) in ways {
            part.way(name, pieces, work);
        }
    }

    /// The corner of the plate at the seam, feed end on top, with its dimensions.
    fn detail(&self, shell: &Shell<'_>, layout: &Layout) -> Drawing {
        let h = layout.holes;
        let (dx, dy) = (h.column_step_m, h.row_step_m);
        let (columns, rows) = (h.columns.min(4), h.rows.min(4));
        let corner = HoleGrid { columns, rows, ..h };
        let last_y = corner.centre_m(0, rows.saturating_sub(1)).1;
        let (_, half_y) = h.opening.half_m();
        let (right, foot) = (5.0 * dx, last_y + half_y + 0.45 * dx);
        let length = |m| Phrase::of(m, Dimension::Length);
        let mut marks = vec![
            Mark::Line((0.0, 0.0), (right, 0.0), Stroke::Edge),
            Mark::Holes(corner),
            Mark::Span((right, 0.0), (right, h.first_m.1), Phrase::none()),
            Mark::Label((right + 0.15 * dx, 0.5 * h.first_m.1), length(h.first_m.1).text(" edge to middle")),
        ];
        if h.shift_m > 0.0 && rows > 1 {
            // The last hole of each odd row lies on the seam.
            let (_, y) = h.centre_m(0, 1);
            let seam =
                HoleGrid { first_m: (0.0, y), columns: 1, rows: rows / 2, row_step_m: 2.0 * dy, shift_m: 0.0, ..h };
            marks.push(Mark::Holes(seam));
        }
        marks.push(Mark::Line((0.0, 0.0), (0.0, foot), Stroke::Dashed));
        if columns > 2 {
            let (from, to) = (h.centre_m(1, 0).0, h.centre_m(2, 0).0);
            marks.push(Mark::Span((from, foot), (to, foot), Phrase::none()));
            marks.push(Mark::Label((to + 0.15 * dx, foot), length(dx).text(" middle to middle")));
        }
        if rows > 2 {
            let (from, to) = (h.centre_m(0, 1).1, h.centre_m(0, 2).1);
            marks.push(Mark::Span((right, from), (right, to), Phrase::none()));
            marks.push(Mark::Label((right + 0.15 * dx, 0.5 * (from + to)), length(dy).text(" row to row")));
        }
        Drawing {
            name: format!("{}-corner", shell.section),
            title: format!("Corner of the plate of the {} at the seam (dashed), feed end on top", shell.section),
            size_m: (7.6 * dx, foot + 0.25 * dx),
            across: "around the drum".into(),
            down: "along the drum".into(),
            closes: false,
            purpose: Purpose::Picture,
            marks,
            alt: Phrase::new("Holes ")
                .length(dx)
                .text(" apart around the drum, rows ")
                .length(dy)
                .text(" apart along it"),
        }
    }

    fn drawing(&self, shell: &Shell<'_>, layout: &Layout) -> Drawing {
        let h = layout.holes;
        let (x, y) = layout.plate_m;
        Drawing {
            name: format!("{}-holes", shell.section),
            title: format!("Holes of the {}, plate laid flat", shell.section),
            size_m: layout.plate_m,
            across: "around the drum".into(),
            down: "along the drum, feed end on top".into(),
            closes: true,
            purpose: Purpose::Template,
            marks: vec![
                Mark::Rectangle((0.0, 0.0), (x, y), Stroke::Edge),
                Mark::Line((0.0, 0.0), (0.0, y), Stroke::Dashed),
                Mark::Holes(h),
            ],
            alt: Phrase::new(format!("{} rows of {} holes of ", h.rows, h.columns))
                .length(self.plate.hole_m)
                .text(" on a plate of ")
                .length(x)
                .text(" by ")
                .length(y)
                .text("; left and right edge meet at the seam"),
        }
    }
}

fn words(part: &mut ShopPart, layout: &Layout, plate: &ShopPlate) {
    part.steps.push("Print the template at 100 % and measure its ruler before you cut anything.".into());
    part.steps.push("Scribe the first row square to the edge, all the way around, and mark every tenth hole from one end of the tape: small errors add up otherwise.".into());
    part.steps.push("Paper only marks. For the torch copy the pattern to a steel guide; a guide hole is wider than the finished hole by the width of the torch tip less the width of the cut. Try it on scrap.".into());
    if layout.on_seam() > 0 {
        part.steps.push(Phrase::new(format!(
            "The seam runs through {} holes, one in each second row: cut those after rolling and welding, or leave them out.",
            layout.on_seam()
        )));
    }
    if !plate.relieved {
        part.steps.push("Straight holes plug more than holes narrower on the inside than on the outside (common practice, no source): reaming from the outside helps, and the run can be told (relief).".into());
    }
    part.steps.push("Hold the torch on the side that becomes the outside: it leaves the hole a little wider on its own side. Holes narrower on the inside than on the outside stay open where straight ones plug (common practice, no source).".into());
    part.checks.push(
        "Measure twenty holes across, in places all over the plate: the largest decides what stone the sluice gets."
            .into(),
    );
    part.checks.push("Knock off all dross inside: a ragged edge holds stones.".into());
    part.cautions.push("Cutting and welding: fire watch, eyes, ears, lungs. Never cut or weld galvanised or painted plate without taking the coating off and drawing the fumes away.".into());
}
