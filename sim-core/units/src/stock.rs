//! Sizes in which plate, drills, hose, pipe and steel are sold, so that nothing is advised that nobody stocks.
//!
//! Lists are data: a size more is a number more. A shop's own shelf may hold more or less; what is here is what most hold.

use crate::constants::INCH_M;
use crate::quantity::UnitChoice;

/// What is bought in set sizes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Item {
    /// Round or square holes in perforated or drilled plate.
    PlateHole,
    /// Twist drills.
    Drill,
    /// Nominal bore of water hose.
    HoseBore,
    /// True bore of steel pipe of usual wall.
    PipeBore,
    /// Thickness or diameter of flat and round bar.
    Bar,
    /// Leg of equal angle.
    Angle,
    /// Thickness of plate.
    PlateThickness,
    /// Height of a ring welded into a drum.
    Ring,
}

impl Item {
    /// Every item.
    pub const ALL: [Item; 8] = [
        Item::PlateHole,
        Item::Drill,
        Item::HoseBore,
        Item::PipeBore,
        Item::Bar,
        Item::Angle,
        Item::PlateThickness,
        Item::Ring,
    ];
}

/// How the sizes of a list are said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Said {
    /// Inches and fractions down to 1/64: "1 1/4 in".
    Inches,
    /// Millimetres: "12.5 mm".
    Millimetres,
    /// By the names of the trade, in the order of the sizes.
    Names(&'static [&'static str]),
}

/// One list of sizes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stock {
    /// What it is.
    pub name: &'static str,
    /// Sizes, rising, m.
    pub sizes_m: &'static [f64],
    /// How they are said.
    pub said: Said,
    /// Where the list comes from.
    pub source: &'static str,
}

/// Two sizes nearer than this share are the same one: text and unit conversion move no more.
const SAME: f64 = 1e-6;

impl Stock {
    /// The list of an item for a choice of units: inches for US and imperial, else metric.
    ///
    /// ```
    /// use washgraph_units::quantity::UnitChoice;
    /// use washgraph_units::stock::{Item, Stock};
    /// let hose = Stock::of(Item::HoseBore, UnitChoice::Us);
    /// let next = hose.above(2.0 * 0.0254).unwrap();
    /// assert_eq!(hose.say(next), "2 1/2 in");
    /// ```
    pub fn of(item: Item, units: UnitChoice) -> &'static Stock {
        let metric = units == UnitChoice::Metric;
        let (inch, millimetre) = match item {
            Item::PlateHole => (&PLATE_HOLE_INCH, &PLATE_HOLE_METRIC),
            Item::Drill => (&DRILL_INCH, &DRILL_METRIC),
            Item::HoseBore => (&HOSE_INCH, &HOSE_METRIC),
            Item::PipeBore => (&PIPE_INCH, &PIPE_METRIC),
            Item::Bar => (&BAR_INCH, &BAR_METRIC),
            Item::Angle => (&ANGLE_INCH, &ANGLE_METRIC),
            Item::PlateThickness => (&THICKNESS_INCH, &THICKNESS_METRIC),
            Item::Ring => (&RING_INCH, &RING_METRIC),
        };
        if metric { millimetre } else { inch }
    }

    /// The size nearest by ratio; the smallest for a size that is not above zero.
    pub fn nearest(&self, size_m: f64) -> f64 {
        let miss = |x: f64| if x > size_m { x / size_m } else { size_m / x };
        let first = self.sizes_m.first().copied().unwrap_or(f64::NAN);
        if !(size_m > 0.0) {
            return first;
        }
        self.sizes_m.iter().copied().fold(first, |best, x| if miss(x) < miss(best) { x } else { best })
    }

    /// The next size below, m; `None` where there is none.
    pub fn below(&self, size_m: f64) -> Option<f64> {
        self.sizes_m.iter().copied().rfind(|x| *x < size_m * (1.0 - SAME))
    }

    /// The next size above, m; `None` where there is none.
    pub fn above(&self, size_m: f64) -> Option<f64> {
        self.sizes_m.iter().copied().find(|x| *x > size_m * (1.0 + SAME))
    }

    /// Whether a size is of the list.
    pub fn has(&self, size_m: f64) -> bool {
        self.sizes_m.iter().any(|x| (x - size_m).abs() <= SAME * x)
    }

    /// The sizes from one to another, both ends included, m, rising.
    pub fn between(&self, low_m: f64, high_m: f64) -> impl Iterator<Item = f64> {
        self.sizes_m.iter().copied().filter(move |x| *x >= low_m * (1.0 - SAME) && *x <= high_m * (1.0 + SAME))
    }

    /// A size as the counter says it. A size that is not of the list is said in inches or millimetres all the same.
    pub fn say(&self, size_m: f64) -> String {
        match self.said {
            Said::Inches => inches(size_m),
            Said::Millimetres => millimetres(size_m),
            Said::Names(names) => {
                let at = self.sizes_m.iter().position(|x| (x - size_m).abs() <= SAME * x);
                at.and_then(|i| names.get(i)).map_or_else(|| millimetres(size_m), |name| (*name).to_string())
            }
        }
    }
}

/// Inches with a fraction where one of 64ths fits, else with decimals.
fn inches(size_m: f64) -> String {
    let x = size_m / INCH_M;
    let parts = (64.0 * x).round();
    if !(parts >= 1.0) || (parts / 64.0 - x).abs() > 1e-4 * x {
        return format!("{} in", 1e-3 * (1e3 * x).round());
    }
    let n = parts as u64;
    let (whole, mut over, mut under) = (n / 64, n % 64, 64);
    while over != 0 && over % 2 == 0 {
        over /= 2;
        under /= 2;
    }
    match (whole, over) {
        (w, 0) => format!("{w} in"),
        (0, o) => format!("{o}/{under} in"),
        (w, o) => format!("{w} {o}/{under} in"),
    }
}

fn millimetres(size_m: f64) -> String {
    format!("{} mm", (size_m * 1e5).round() / 100.0)
}

/// Sizes typed in inches, m.
const fn of_inches<const N: usize>(inches: [f64; N]) -> [f64; N] {
    let mut sizes = inches;
    let mut i = 0;
    while i < N {
        sizes[i] = inches[i] * INCH_M;
        i += 1;
    }
    sizes
}

/// Sizes typed in millimetres, m.
const fn of_millimetres<const N: usize>(millimetres: [f64; N]) -> [f64; N] {
    let mut sizes = millimetres;
    let mut i = 0;
    while i < N {
        sizes[i] = millimetres[i] * 1e-3;
        i += 1;
    }
    sizes
}

/// A run of sizes: from a first one up in even steps, all in whole parts of a unit.
struct Run {
    first: u32,
    step: u32,
    count: usize,
}

/// Runs one after the other, each size a number of parts of `part_m` (so many to `per`).
const fn runs<const N: usize>(list: &[Run], part_m: f64, per: f64) -> [f64; N] {
    let mut sizes = [0.0; N];
    let (mut at, mut r) = (0, 0);
    while r < list.len() {
        let mut k = 0;
        while k < list[r].count && at < N {
            sizes[at] = (list[r].first + list[r].step * k as u32) as f64 / per * part_m;
            at += 1;
            k += 1;
        }
        r += 1;
    }
    sizes
}

const PRACTICE: &str = "common practice, no source";

static PLATE_HOLE_INCH: Stock = Stock {
    name: "holes in plate",
    sizes_m: &of_inches([
        0.125, 0.1875, 0.25, 0.3125, 0.375, 0.4375, 0.5, 0.625, 0.75, 0.875, 1.0, 1.25, 1.5, 2.0, 2.5, 3.0,
    ]),
    said: Said::Inches,
    source: PRACTICE,
};
static PLATE_HOLE_METRIC: Stock = Stock {
    name: "holes in plate",
    sizes_m: &of_millimetres([3.15, 4.0, 5.0, 6.3, 8.0, 10.0, 12.5, 16.0, 20.0, 25.0, 31.5, 40.0, 50.0, 63.0]),
    said: Said::Millimetres,
    source: "R10 numbers of ISO 3 (from memory)",
};

/// 1/16 to 1/2 in by 64ths, on to 1 in by 32nds, on to 1 1/2 in by 16ths.
static DRILL_INCH: Stock = Stock {
    name: "drills",
    sizes_m: &runs::<53>(
        &[
            Run { first: 4, step: 1, count: 29 },
            Run { first: 34, step: 2, count: 16 },
            Run { first: 68, step: 4, count: 8 },
        ],
        INCH_M,
        64.0,
    ),
    said: Said::Inches,
    source: PRACTICE,
};
/// 1 to 13 mm by tenths, on to 25 mm by halves, on to 40 mm by whole millimetres.
static DRILL_METRIC: Stock = Stock {
    name: "drills",
    sizes_m: &runs::<160>(
        &[
            Run { first: 10, step: 1, count: 121 },
            Run { first: 135, step: 5, count: 24 },
            Run { first: 260, step: 10, count: 15 },
        ],
        1e-3,
        10.0,
    ),
    said: Said::Millimetres,
    source: PRACTICE,
};

static HOSE_INCH: Stock = Stock {
    name: "hose",
    sizes_m: &of_inches([0.5, 0.625, 0.75, 1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 16.0]),
    said: Said::Inches,
    source: PRACTICE,
};
/// The inch sizes in whole millimetres, which is how metric shops sell hose too.
static HOSE_METRIC: Stock = Stock {
    name: "hose",
    sizes_m: &of_millimetres([
        13.0, 16.0, 19.0, 25.0, 32.0, 38.0, 50.0, 63.0, 75.0, 100.0, 125.0, 150.0, 200.0, 250.0, 300.0, 400.0,
    ]),
    said: Said::Millimetres,
    source: PRACTICE,
};

static PIPE_INCH: Stock = Stock {
    name: "pipe",
    sizes_m: &of_inches([0.622, 0.824, 1.049, 1.380, 1.610, 2.067, 2.469, 3.068, 4.026, 5.047, 6.065, 7.981]),
    said: Said::Names(&[
        "1/2 in pipe",
        "3/4 in pipe",
        "1 in pipe",
        "1 1/4 in pipe",
        "1 1/2 in pipe",
        "2 in pipe",
        "2 1/2 in pipe",
        "3 in pipe",
        "4 in pipe",
        "5 in pipe",
        "6 in pipe",
        "8 in pipe",
    ]),
    source: "inside diameters of schedule 40, ASME B36.10 (from memory)",
};
static PIPE_METRIC: Stock = Stock {
    name: "pipe",
    sizes_m: &of_millimetres([16.1, 21.7, 27.3, 36.0, 41.9, 53.1, 68.9, 80.9, 105.3, 129.7, 155.2]),
    said: Said::Names(&[
        "DN 15 pipe",
        "DN 20 pipe",
        "DN 25 pipe",
        "DN 32 pipe",
        "DN 40 pipe",
        "DN 50 pipe",
        "DN 65 pipe",
        "DN 80 pipe",
        "DN 100 pipe",
        "DN 125 pipe",
        "DN 150 pipe",
    ]),
    source: "inside diameters of the medium series, EN 10255 (from memory)",
};

static BAR_INCH: Stock = Stock {
    name: "bar",
    sizes_m: &of_inches([0.125, 0.1875, 0.25, 0.3125, 0.375, 0.5, 0.625, 0.75, 1.0, 1.25, 1.5, 2.0]),
    said: Said::Inches,
    source: PRACTICE,
};
static BAR_METRIC: Stock = Stock {
    name: "bar",
    sizes_m: &of_millimetres([3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 16.0, 20.0, 25.0, 30.0, 40.0, 50.0]),
    said: Said::Millimetres,
    source: PRACTICE,
};

static ANGLE_INCH: Stock = Stock {
    name: "angle",
    sizes_m: &of_inches([0.5, 0.75, 1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0]),
    said: Said::Inches,
    source: PRACTICE,
};
static ANGLE_METRIC: Stock = Stock {
    name: "angle",
    sizes_m: &of_millimetres([20.0, 25.0, 30.0, 35.0, 40.0, 50.0, 60.0, 75.0, 80.0, 100.0]),
    said: Said::Millimetres,
    source: "legs of EN 10056-1 (from memory)",
};

static THICKNESS_INCH: Stock = Stock {
    name: "plate",
    sizes_m: &of_inches([0.125, 0.1875, 0.25, 0.3125, 0.375, 0.5, 0.625, 0.75, 1.0]),
    said: Said::Inches,
    source: PRACTICE,
};
static THICKNESS_METRIC: Stock = Stock {
    name: "plate",
    sizes_m: &of_millimetres([3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0]),
    said: Said::Millimetres,
    source: PRACTICE,
};

/// Heights of flat bar and of strips cut from plate, for drums of 2 to 6 ft.
static RING_INCH: Stock = Stock {
    name: "rings",
    sizes_m: &of_inches([0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0]),
    said: Said::Inches,
    source: PRACTICE,
};
static RING_METRIC: Stock = Stock {
    name: "rings",
    sizes_m: &of_millimetres([10.0, 20.0, 30.0, 50.0, 75.0, 100.0, 125.0, 150.0]),
    said: Said::Millimetres,
    source: PRACTICE,
};

/// Expanded metal, raised, by its diamonds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExpandedMetal {
    /// How it is said.
    pub said: &'static str,
    /// Short way of the diamond, middle to middle, m.
    pub short_way_m: f64,
    /// Long way of the diamond, middle to middle, m.
    pub long_way_m: f64,
    /// Width of the strand, m.
    pub strand_m: f64,
}

/// Expanded metal that is stocked. Sources: inches, the common styles of ASTM F1267; millimetres, common practice; both
/// from memory.
pub fn expanded_metal(units: UnitChoice) -> &'static [ExpandedMetal] {
    if units == UnitChoice::Metric { EXPANDED_METRIC } else { EXPANDED_INCH }
}

const fn diamond(said: &'static str, unit_m: f64, [short, long, strand]: [f64; 3]) -> ExpandedMetal {
    ExpandedMetal { said, short_way_m: short * unit_m, long_way_m: long * unit_m, strand_m: strand * unit_m }
}

const EXPANDED_INCH: &[ExpandedMetal] = &[
    diamond("1/2 in #18", INCH_M, [0.5, 1.2, 0.088]),
    diamond("1/2 in #13", INCH_M, [0.5, 1.2, 0.096]),
    diamond("3/4 in #13", INCH_M, [0.923, 2.0, 0.096]),
    diamond("3/4 in #9", INCH_M, [0.923, 2.0, 0.150]),
    diamond("1 1/2 in #9", INCH_M, [1.33, 3.0, 0.144]),
];
const EXPANDED_METRIC: &[ExpandedMetal] = &[
    diamond("20 x 10 mm", 1e-3, [10.0, 20.0, 2.0]),
    diamond("30 x 12 mm", 1e-3, [12.0, 30.0, 2.5]),
    diamond("43 x 13 mm", 1e-3, [13.0, 43.0, 2.5]),
    diamond("62 x 23 mm", 1e-3, [23.0, 62.0, 3.0]),
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Dimension, parse};

    #[test]
    fn identity_every_size_is_its_own_nearest_and_stands_between_its_neighbours() {
        for (item, units) in Item::ALL.iter().flat_map(|i| [(i, UnitChoice::Us), (i, UnitChoice::Metric)]) {
            let stock = Stock::of(*item, units);
            assert!(!stock.source.is_empty() && stock.sizes_m.windows(2).all(|p| p[0] < p[1]), "{}", stock.name);
            if let Said::Names(names) = stock.said {
                assert_eq!(names.len(), stock.sizes_m.len(), "{}", stock.name);
            }
            for (i, x) in stock.sizes_m.iter().enumerate() {
                assert_eq!(stock.nearest(*x), *x);
                assert_eq!(stock.above(*x), stock.sizes_m.get(i + 1).copied());
                assert_eq!(stock.below(*x), i.checked_sub(1).map(|k| stock.sizes_m[k]));
                if !matches!(stock.said, Said::Names(_)) {
                    let read = parse(&stock.say(*x), Dimension::Length).unwrap().si;
                    assert!(stock.has(read) && (read / x - 1.0).abs() < 1e-9, "{}", stock.say(*x));
                }
            }
        }
    }

    #[test]
    fn identity_runs_of_drills_begin_and_end_as_their_comments_say() {
        let (inch, metric) = (Stock::of(Item::Drill, UnitChoice::Us), Stock::of(Item::Drill, UnitChoice::Metric));
        let said = |s: &Stock, i: usize| s.say(s.sizes_m[i]);
        assert_eq!([said(inch, 0), said(inch, 28), said(inch, 44)], ["1/16 in", "1/2 in", "1 in"]);
        assert_eq!(said(inch, 52), "1 1/2 in");
        assert_eq!([said(metric, 0), said(metric, 120), said(metric, 144)], ["1 mm", "13 mm", "25 mm"]);
        assert_eq!(said(metric, 159), "40 mm");
        assert!(
            expanded_metal(UnitChoice::Us)
                .iter()
                .chain(expanded_metal(UnitChoice::Metric))
                .all(|e| { e.strand_m < e.short_way_m && e.short_way_m < e.long_way_m })
        );
    }
}
