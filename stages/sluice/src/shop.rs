//! The sluice as the shop builds it.

use sim_core::constants::{INCH_M, STEEL_KG_M3};
use sim_core::math::atan;
use sim_core::quantity::Dimension;
use sim_core::shop::{Amount, Drawing, Figure, Mark, Phrase, Piece, Purpose, Reading, ShopPart, Stroke, Sure};

use crate::capture::BoxGeometry;
use crate::riffles::RiffleKind;

/// Height of the side walls over the depth of the slurry. Assumed: surges stand twice as high as the mean.
const WALL_OVER_DEPTH: f64 = 3.0;
/// Thickness of the sheet that the box is bent from, m. Assumed, 3/16 in.
const SHEET_M: f64 = 0.1875 * INCH_M;

/// What of the sluice the shop needs.
pub(crate) struct ShopBox<'a> {
    pub riffle: &'a RiffleKind,
    pub geometry: BoxGeometry,
    pub height_given: bool,
    pub slick_given: bool,
    /// Depth of the slurry, m.
    pub depth_m: Reading,
    /// Mean velocity, m/s.
    pub velocity_m_s: Reading,
    /// Slurry per width, m2/s.
    pub flow_m2_s: Reading,
}

impl ShopBox<'_> {
    fn length_m(&self) -> f64 {
        self.geometry.slick_plate_m + self.geometry.length_m
    }

    fn wall_m(&self) -> f64 {
        WALL_OVER_DEPTH * self.depth_m.high + self.geometry.riffle_height_m
    }

    pub(crate) fn parts(&self, id: &str) -> Vec<ShopPart> {
        let g = &self.geometry;
        let runs = f64::from(g.runs.max(1));
        let mut part = ShopPart::named("Sluice", id);
        part.lead("width inside, each run", Figure::Size(g.width_m, Dimension::Length), Sure::Given);
        part.lead("riffled length, each run", Figure::Size(g.length_m, Dimension::Length), Sure::Given);
        part.lead("runs side by side", Figure::Count(g.runs.max(1).into()), Sure::Given);
        part.lead("fall", Figure::Size(g.slope, Dimension::Slope), Sure::Given);
        part.row("the same as an angle", Figure::Size(atan(g.slope), Dimension::Angle), Sure::Worked);
        part.row(
            "head end higher than the tail by",
            Figure::Size(g.slope * self.length_m(), Dimension::Length),
            Sure::Worked,
        )
        .note("over the whole box, slick plate included; make the stand adjustable both ways");
        let slick = if self.slick_given { Sure::Given } else { Sure::Taken };
        part.row("slick plate ahead of the riffles", Figure::Size(g.slick_plate_m, Dimension::Length), slick);
        part.row("riffles", Figure::Words(self.riffle.words.as_ref().into()), Sure::Given)
            .note(self.riffle.shape.to_string());
        let height = if self.height_given { Sure::Given } else { Sure::Taken };
        part.row("height of the riffles", Figure::Size(g.riffle_height_m, Dimension::Length), height)
            .note(self.stocked());
        part.row("slurry over the riffles", Figure::Run(self.depth_m, Dimension::Length), Sure::Run);
        part.row("mean velocity", Figure::Run(self.velocity_m_s, Dimension::Velocity), Sure::Run);
        part.row("slurry per width", Figure::Run(self.flow_m2_s, Dimension::FlowPerWidth), Sure::Run);
        if self.wall_m().is_finite() {
            part.row("side walls at least", Figure::Size(self.wall_m(), Dimension::Length), Sure::Assumed).note(
                "the riffles and three times the depth that 1 run in 10 is above: surges stand higher than the mean",
            );
        }
        let riffled_m2 = g.width_m * g.length_m * runs;
        part.row("mat and riffles to cover, all runs", Figure::Size(riffled_m2, Dimension::Area), Sure::Worked);
        part.way("build it", self.pieces(id, riffled_m2, runs), Vec::new());
        part.drawings.push(self.drawing(id));
        part.steps.push(
            "Level each run across its width, at the head and at the tail: a box out of level runs on one side.".into(),
        );
        part.steps.push(
            "Riffles lie down tight on the mat with wedges or bolts, and lift out without tools that can fall in."
                .into(),
        );
        part.checks.push(
            "Run water alone: the same depth across the width, no jump, no dead corner, no leak under the riffles."
                .into(),
        );
        part.checks.push("Measure the fall of each run with a level under load.".into());
        part.cautions.push("Never use mercury or acid in a box. Water running this fast takes feet away: walk around it, not through it.".into());
        vec![part]
    }

    /// The heights that are stocked, in a sentence; nothing where none are known.
    fn stocked(&self) -> Phrase {
        let mut said = Phrase::none();
        for (i, height_m) in self.riffle.stock_heights_m.iter().enumerate() {
            said = said.text(if i == 0 { "stocked: " } else { ", " }).length(*height_m);
        }
        said
    }

    fn pieces(&self, id: &str, riffled_m2: f64, runs: f64) -> Vec<Piece> {
        let g = &self.geometry;
        let mut list = Vec::new();
        if self.wall_m().is_finite() {
            let sheet_m2 = (g.width_m + 2.0 * self.wall_m()) * self.length_m() * runs;
            let kg = sheet_m2 * SHEET_M * STEEL_KG_M3;
            list.push(Piece {
                item: "steel plate".into(),
                size: Phrase::of(SHEET_M, Dimension::Length).text(" thick"),
                used_for: format!("bottom and sides of {id}"),
                amount: Amount::Mass(kg),
                mass_kg: Some(kg),
            });
        }
        let size = Phrase::of(g.riffle_height_m, Dimension::Length).text(" high");
        for (item, size, used_for) in [
            (self.riffle.item.as_ref(), size, format!("riffles of {id}")),
            ("riffle mat", Phrase::none(), format!("under the riffles of {id}")),
        ] {
            list.push(Piece { item: item.into(), size, used_for, amount: Amount::Area(riffled_m2), mass_kg: None });
        }
        list
    }

    fn drawing(&self, id: &str) -> Drawing {
        let g = &self.geometry;
        let runs = f64::from(g.runs.max(1));
        let (length, width) = (self.length_m(), g.width_m * runs);
        let margin = 0.3 * g.width_m;
        let mut marks = Vec::new();
        for r in 0..g.runs.max(1) {
            let y = margin + f64::from(r) * g.width_m;
            marks.push(Mark::Rectangle((0.0, y), (length, g.width_m), Stroke::Edge));
        }
        marks.push(Mark::Line((g.slick_plate_m, margin), (g.slick_plate_m, margin + width), Stroke::Edge));
        // Some lines across stand for the riffles.
        for k in 1..24 {
            let x = g.slick_plate_m + g.length_m * f64::from(k) / 24.0;
            marks.push(Mark::Line((x, margin), (x, margin + width), Stroke::Thin));
        }
        let below = margin + width + 0.5 * margin;
        if g.slick_plate_m > 0.0 {
            marks.push(Mark::Span(
                (0.0, below),
                (g.slick_plate_m, below),
                Phrase::new("slick ").length(g.slick_plate_m),
            ));
        }
        marks.push(Mark::Span((g.slick_plate_m, below), (length, below), Phrase::new("riffles ").length(g.length_m)));
        marks.push(Mark::Label((0.02 * length, margin + 0.5 * g.width_m), Phrase::new("width ").length(g.width_m)));
        Drawing {
            name: format!("{id}-plan"),
            title: format!("{id} from above, head left; the lines across stand for the riffles"),
            size_m: (length, width + 2.0 * margin),
            across: "down the box".into(),
            down: String::new(),
            closes: false,
            purpose: Purpose::Picture,
            marks,
            alt: Phrase::new(format!("{} runs side by side, each ", g.runs.max(1)))
                .length(g.width_m)
                .text(" wide and ")
                .length(length)
                .text(" long"),
        }
    }
}
