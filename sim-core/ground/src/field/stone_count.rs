//! A count of stones on a pit wall or along a line, for the sizes that a bucket cannot represent.
//!
//! Along a line or on a grid of points every stone is met in proportion to the length or area that it shows, so that the
//! share of points on stones of a class is its share by volume (Kellerhals and Bray 1971, from memory: grid by number equals
//! sieve by weight). When instead every stone on a marked face is counted, large ones are met too seldom by their section,
//! and each stone is weighed by the square of its size (same source, area by number to volume by weight).

use super::columns::stones as column;
use super::sheet::{Row, Sheet, SheetReader};
use washgraph_physics::size::BySolid;
use washgraph_physics::size::{SOLID_CLASSES, solid_class};
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::formula::Formula;
use washgraph_units::formula::entry::{POSITIVE, number, result, row};
use washgraph_units::quantity::{Dimension, UnitChoice, show};

/// Stones counted, coarser than the splice.
#[derive(Debug, Clone)]
pub struct StoneCount {
    /// Points on stones of each class of the grid, coarser than the splice.
    pub points: BySolid,
    /// Points on anything finer than the splice.
    pub finer: f64,
    /// Where the sieve tests end and the count begins, m.
    pub splice_m: f64,
}

impl StoneCount {
    /// Share of the ground coarser than the splice.
    pub fn coarse_share(&self) -> f64 {
        let coarse: f64 = self.points.iter().sum();
        coarse / (coarse + self.finer)
    }
}

/// Share of the ground that points of a line give: n/(n + rest), with the standard deviation of a binomial count.
///
/// n = points on stones of the class, rest = all other points. Source: Kellerhals and Bray 1971 (from memory) for points
/// instead of weights; binomial standard deviation sqrt(p (1-p)/N).
pub fn share_of_points(on_stones: f64, rest: f64) -> (f64, f64) {
    let all = on_stones + rest;
    let share = on_stones / all;
    (share, (share * (1.0 - share) / all).sqrt())
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[Formula::new(
    "stones-on-a-line",
    "Share of stones in the ground from points counted along a tape on the pit wall",
    "share = n/N; standard deviation sqrt(p (1-p)/N)",
    |x| {
        let (share, sd) = share_of_points(x[0], x[1]);
        vec![share, sd]
    },
)
.inputs(&[
    number("on_stones", "points that met stones of the class", POSITIVE, None),
    number("others", "all other points", POSITIVE, None),
])
.outputs(&[result("share", "share by volume"), result("sd", "its standard deviation")])
.source("Kellerhals and Bray 1971: grid by number equals sieve by weight", Status::Memory)
.limits("points must be chosen blindly; stones of about one density")];

/// Checks of this file.
pub const CHECKS: &[Check] = &[row(
    "stones-on-a-line-sd",
    "count of stones",
    (Kind::Identity, "a binomial count of N points has variance p (1-p)/N: 30 of 100", Status::Computed),
    (0.045_825_757, "-"),
    Band::Absolute(1e-8),
    || share_of_points(30.0, 70.0).1,
)];

/// Reads a sheet; `whole_face`: every stone of a marked face was counted, not the points of a line.
pub fn read(
    sheet: &Sheet,
    splice_m: f64,
    whole_face: bool,
    units: UnitChoice,
    sheet_reader: &mut SheetReader<'_>,
) -> Option<StoneCount> {
    let before = sheet_reader.errors();
    let mut count = StoneCount { points: [0.0; SOLID_CLASSES], finer: 0.0, splice_m };
    for row in &sheet.rows {
        let Some((from, to, n)) = line(sheet, row, sheet_reader) else { continue };
        add(&mut count, sheet, row, (from, to), n, whole_face, units, sheet_reader);
    }
    if sheet_reader.errors() > before {
        return None;
    }
    let coarse: f64 = count.points.iter().sum();
    if !(count.finer > 0.0) {
        sheet_reader.error(
            sheet,
            None,
            None,
            format!("the count does not say how many points fell on ground finer than {}", sieve(splice_m, units)),
            "add a row with `to` and no `from`: the points of the line that met no larger stone",
        );
        return None;
    }
    if coarse < 20.0 {
        sheet_reader.warning(
            sheet,
            None,
            None,
            format!("only {coarse:.0} stones coarser than {} were counted", sieve(splice_m, units)),
            format!(
                "the share of such stones is known to about +-{:.0} %; count 100 points or more",
                100.0 / coarse.max(1.0).sqrt()
            ),
        );
    }
    Some(count)
}

/// Bounds and number of a row; `None` after a problem.
fn line(sheet: &Sheet, row: &Row, sheet_reader: &mut SheetReader<'_>) -> Option<(Option<f64>, Option<f64>, f64)> {
    let from = sheet_reader.quantity(sheet, row, column::FROM);
    let to = sheet_reader.quantity(sheet, row, column::TO);
    let size = sheet_reader.quantity(sheet, row, column::SIZE_COLUMN);
    let n = sheet_reader.not_negative(sheet, row, column::STONES);
    let (from, to, size, n) = (from.ok()?, to.ok()?, size.ok()?, n.ok()?);
    let (from, to) = match size {
        Some(size) => (Some(size.si), Some(size.si)),
        None => (from.map(|r| r.si), to.map(|r| r.si)),
    };
    let n = match n {
        Some(n) => n.si,
        None if size.is_some() => 1.0,
        None => {
            sheet_reader.error(
                sheet,
                Some(row),
                Some(column::STONES),
                "this class has no count",
                "write 0 where none was met",
            );
            return None;
        }
    };
    match (from, to) {
        (None, None) => {
            sheet_reader.error(sheet, Some(row), None, "this row says neither a size nor the bounds of a class", "");
            None
        }
        (Some(f), Some(t)) if f > t => {
            sheet_reader.error(
                sheet,
                Some(row),
                Some(column::FROM),
                "the lower bound is above the upper",
                "swap from and to",
            );
            None
        }
        (Some(_), None) => {
            sheet_reader.error(
                sheet,
                Some(row),
                Some(column::TO),
                "the largest class has no upper bound",
                "measure the largest stone and write its size",
            );
            None
        }
        _ => Some((from, to, n)),
    }
}

fn add(
    count: &mut StoneCount,
    sheet: &Sheet,
    row: &Row,
    (from, to): (Option<f64>, Option<f64>),
    n: f64,
    whole_face: bool,
    units: UnitChoice,
    sheet_reader: &mut SheetReader<'_>,
) {
    let splice = count.splice_m;
    let to = to.unwrap_or(splice);
    let Some(from) = from else {
        if to > splice * 1.001 {
            sheet_reader.error(
                sheet,
                Some(row),
                Some(column::TO),
                format!(
                    "points finer than {} are counted together, but the splice is at {}",
                    sieve(to, units),
                    sieve(splice, units)
                ),
                "count stones from the splice size up, or set `splice` to the smallest size counted",
            );
        }
        count.finer += n;
        return;
    };
    let weight = |size: f64| if whole_face { (size / splice) * (size / splice) } else { 1.0 };
    if from >= to {
        let class = washgraph_physics::size::solid_class_of(from);
        if from < splice {
            count.finer += n * weight(from);
        } else {
            count.points[class] += n * weight(from);
        }
        return;
    }
    let width = washgraph_units::math::ln(to / from);
    let middle = (from * to).sqrt();
    if from < splice {
        count.finer += n * weight(middle) * washgraph_units::math::ln(splice.min(to) / from) / width;
    }
    for (c, slot) in count.points.iter_mut().enumerate() {
        let class = solid_class(c);
        let low = class.finite_from_m().max(from).max(splice);
        let high = if class.to_m.is_finite() { class.to_m.min(to) } else { to };
        if high > low {
            *slot += n * weight(middle) * washgraph_units::math::ln(high / low) / width;
        }
    }
}

fn sieve(size_m: f64, units: UnitChoice) -> String {
    show(size_m, Dimension::Length, units)
}
