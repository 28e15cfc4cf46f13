//! What the drum would do if one thing were turned: curves of the middle case for the builder.

use sim_core::curves::{Axis, Curves, Line, Mark, Panel};
use sim_core::drum::shell_pieces::Piece;
use sim_core::drum::{Carried, Drum, Fineness, MAX_SECTIONS, MAX_TRACERS, March, Section};
use sim_core::quantity::{Dimension as D, UnitChoice, show_both};
use sim_core::stage::Trial;
use sim_core::stream::Stream;

use crate::built::{DrumStage, Scratch, as_sections};
use crate::drive::Load;

/// Feeds looked at, over the present one.
const FEEDS: [f64; 10] = [0.25, 0.4, 0.55, 0.7, 0.85, 1.0, 1.15, 1.3, 1.5, 1.75];
/// Speeds looked at, over the present one.
const SPEEDS: [f64; 3] = [0.75, 1.0, 1.25];
/// Gold sizes followed along the screen, over the hole.
const SIZES: [f64; 5] = [0.1, 0.25, 0.5, 0.75, 0.9];
/// Pieces into which the screens are cut to follow the sizes, in all.
const PIECES: usize = 12;
/// Share of critical speed that is not passed in the curves.
const FASTEST: f64 = 0.95;

/// A drum, its feed and its laws in the middle case.
struct Case<'a> {
    drum: &'a DrumStage,
    trial: &'a Trial<'a>,
    feed: &'a Stream,
    shell: Drum,
}

/// What one solve gives to the curves.
struct Found {
    scrub_s: f64,
    whole_s: f64,
    clay_left: f64,
    torque_n_m: f64,
    power_w: f64,
}

pub(crate) fn curves(
    drum: &DrumStage,
    id: &str,
    trial: &Trial<'_>,
    feed: &Stream,
    scratch: &mut Scratch,
) -> Vec<Curves> {
    let case = Case { drum, trial, feed, shell: drum.shell(trial) };
    let mut list = Vec::new();
    drum.prepare(trial, feed, scratch, &case.shell);
    list.extend(case.along(id, scratch));
    list.extend(case.fate(id, scratch));
    list.extend(case.against_feed(id, scratch));
    list
}

impl Case<'_> {
    fn carried<'s>(&'s self, scratch_gravel: &'s [f64]) -> Option<Carried<'s>> {
        let d = self.drum;
        let n = d.gravel.len();
        Carried::gravel(d.gravel.low_m(), d.gravel.high_m(), &scratch_gravel[..n])
            .and_then(|c| c.with_tracers(d.gold.len()))
            .and_then(|c| c.with_lumps(&self.feed.lump_m, &self.feed.lump_kg_s, self.trial.ground.clay_wear_m_s))
            .ok()
    }

    /// Depth and fill along the drum, with its rings.
    fn along(&self, id: &str, scratch: &mut Scratch) -> Option<Curves> {
        let gravel = scratch.gravel_kg_s;
        let sections = as_sections(&scratch.laws);
        let sections = &sections[..scratch.laws.len()];
        scratch.march.solve(&self.shell, sections, &self.carried(&gravel)?, Fineness::COLD.rounds, None).ok()?;
        let stations = scratch.march.stations(&self.shell, sections);
        let mut marks =
            vec![Mark { at: 0.0, height: self.drum.opening_depth_m, words: "edge of the feed opening".into() }];
        let mut at = 0.0;
        for (section, name) in sections.iter().zip(&self.drum.names) {
            at += section.length_m();
            let ring_m = section.exit_ring_m();
            let words =
                if ring_m > 0.0 { format!("ring at the end of the {name}") } else { format!("end of the {name}") };
            marks.push(Mark { at, height: ring_m, words });
        }
        let line = |words: &str, y: Vec<Option<f64>>| vec![Line { words: words.into(), y }];
        Some(Curves {
            stage: id.into(),
            name: "drum-along".into(),
            words: "bed along the drum in the middle case".into(),
            across: Axis::new("along the drum from the feed end", D::Length),
            x: stations.iter().map(|s| s.from_feed_m).collect(),
            now: None,
            panels: vec![
                Panel {
                    up: Axis::new("depth of the bed", D::Length),
                    lines: line("depth", stations.iter().map(|s| Some(s.depth_m)).collect()),
                },
                Panel {
                    up: Axis::new("share of the drum filled", D::Fraction),
                    lines: line("fill", stations.iter().map(|s| Some(s.fill)).collect()),
                },
            ],
            marks,
        })
    }

    /// Share of each size still in the drum along the screens. The screens are cut into pieces under their own laws, so that
    /// the march tells what is left at the end of each.
    fn fate(&self, id: &str, scratch: &Scratch) -> Option<Curves> {
        let holes = self.drum.holes?;
        let screens = self.drum.plans.iter().filter(|p| p.holes().is_some()).count();
        let others = scratch.laws.len() - screens;
        let pieces = (PIECES / screens.max(1)).min((MAX_SECTIONS - others) / screens.max(1)).max(1);
        let water: Vec<f64> = scratch.march.outcome().sections().iter().map(|s| s.water_m3_per_t).collect();
        let mut cut: Vec<Piece<'_>> = Vec::new();
        let mut at_screen = Vec::new();
        for ((laws, plan), water) in scratch.laws.iter().zip(&self.drum.plans).zip(water) {
            let count = if plan.holes().is_some() { pieces } else { 1 };
            for k in 0..count {
                let law: &dyn Section = laws.as_ref();
                cut.push(Piece { whole: law, share: 1.0 / count as f64, last: k + 1 == count, water_m3_per_t: water });
                at_screen.push(plan.holes().is_some());
            }
        }
        let sections: Vec<&dyn Section> = cut.iter().map(|p| -> &dyn Section { p }).collect();
        let mut march = March::new(Fineness::FAST.cells_per_section, sections.len());
        let gravel = scratch.gravel_kg_s;
        let solved = march.solve(&self.shell, &sections, &self.carried(&gravel)?, Fineness::COLD.rounds, None).ok()?;
        let first = at_screen.iter().position(|s| *s)?;
        let end = at_screen.iter().rposition(|s| *s)?;
        let start_m: f64 = sections[..first].iter().map(|s| s.length_m()).sum();
        let mut x = vec![start_m];
        for section in &sections[first..=end] {
            x.push(x.last().copied().unwrap_or(0.0) + section.length_m());
        }
        let measure = |p: usize| (holes.gold_measure)(&scratch.gold_axes[p]);
        let count = self.drum.gold.len();
        let mut points: Vec<usize> = Vec::new();
        for size in SIZES {
            let miss = |p: usize| (measure(p) / holes.hole_m - size).abs();
            if let Some(p) = (0..count.min(MAX_TRACERS)).min_by(|a, b| miss(*a).total_cmp(&miss(*b)))
                && !points.contains(&p)
            {
                points.push(p);
            }
        }
        let of = |left: &dyn Fn(usize) -> f64| -> Vec<Option<f64>> {
            core::iter::once(Some(1.0)).chain((first..=end).map(|i| Some(left(i)))).collect()
        };
        let mut lines: Vec<Line> = points
            .into_iter()
            .map(|p| Line {
                words: format!("gold {}", show_both(self.drum.gold.size_m()[p], D::Length, UnitChoice::Metric)),
                y: of(&|i| solved.sections()[i].gold_left[p]),
            })
            .collect();
        // Gravel of half the effective hole, for comparison.
        let half = |p: usize| (self.drum.gravel.size_m()[p] / holes.gravel_m - 0.5).abs();
        if let Some(p) = (0..self.drum.gravel.len()).min_by(|a, b| half(*a).total_cmp(&half(*b)))
            && gravel[p] > 0.0
        {
            let size = show_both(self.drum.gravel.size_m()[p], D::Length, UnitChoice::Metric);
            let y = of(&|i| solved.sections()[i].gravel_left_kg_s[p] / gravel[p]);
            lines.push(Line { words: format!("gravel {size}"), y });
        }
        Some(Curves {
            stage: id.into(),
            name: "screen-fate".into(),
            words: "share of each size still in the drum along the screen, middle case".into(),
            across: Axis::new("along the drum from the feed end", D::Length),
            x,
            now: None,
            panels: vec![Panel { up: Axis::new("share still in the drum", D::Fraction), lines }],
            marks: Vec::new(),
        })
    }

    /// Times, clay, torque and power against the feed, at three speeds.
    fn against_feed(&self, id: &str, scratch: &mut Scratch) -> Vec<Curves> {
        let solids_kg_s: f64 = self.feed.rock_kg_s.iter().sum::<f64>() + self.feed.lumps_kg_s();
        let flow_m3_s = solids_kg_s / self.shell.bulk_density_kg_m3;
        let mut shell = self.shell;
        let mut by_speed: Vec<(f64, Vec<Option<Found>>)> = Vec::new();
        for faster in SPEEDS {
            shell.speed_rev_s = self.shell.speed_rev_s * faster;
            if shell.speed_over_critical() < FASTEST {
                self.drum.prepare(self.trial, self.feed, scratch, &shell);
                by_speed.push((shell.speed_rev_s, FEEDS.map(|scale| self.at_feed(&shell, scratch, scale)).into()));
            }
        }
        // Leave the laws as the trial had them.
        self.drum.prepare(self.trial, self.feed, scratch, &self.shell);
        let axis = || Axis::new("loose gravel fed", D::GravelRate);
        let x: Vec<f64> = FEEDS.iter().map(|scale| scale * flow_m3_s).collect();
        let rpm = |speed: f64| show_both(speed, D::RotationSpeed, UnitChoice::Metric);
        let panel = |words: &str, dimension: D, pick: fn(&Found) -> f64| Panel {
            up: Axis::new(words, dimension),
            lines: by_speed
                .iter()
                .map(|(speed, found)| Line {
                    words: rpm(*speed),
                    y: found.iter().map(|f| f.as_ref().map(pick)).collect(),
                })
                .collect(),
        };
        let whole = |name: &str, words: &str, panels: Vec<Panel>| Curves {
            stage: id.into(),
            name: name.into(),
            words: words.into(),
            across: axis(),
            x: x.clone(),
            now: Some(flow_m3_s),
            panels,
            marks: Vec::new(),
        };
        let mut times = vec![
            panel("time ahead of the holes", D::Time, |f| f.scrub_s),
            panel("time in the whole drum", D::Time, |f| f.whole_s),
        ];
        if self.feed.lumps_kg_s() > 0.0 {
            times.push(panel("clay left in lumps", D::Fraction, |f| f.clay_left));
        }
        let power = vec![
            panel("torque at the shell", D::Torque, |f| f.torque_n_m),
            panel("power at the shell", D::Power, |f| f.power_w),
        ];
        vec![
            whole("scrub-time", "time in the drum and clay left against the feed, middle case, by speed", times),
            whole("drum-power", "torque and power of the drum against the feed, middle case, by speed", power),
        ]
    }

    /// One feed and speed; `None` where the drum is overloaded.
    fn at_feed(&self, shell: &Drum, scratch: &mut Scratch, scale: f64) -> Option<Found> {
        let gravel = scratch.gravel_kg_s;
        let sections = as_sections(&scratch.laws);
        let sections = &sections[..scratch.laws.len()];
        let carried = self.carried(&gravel)?;
        let rounds = Fineness::COLD.rounds;
        let solved = scratch.march.solve_scaled(shell, sections, &carried, rounds, None, scale).ok()?;
        if solved.overloaded || solved.feed_end_depth_m() > shell.feed_opening_depth_m {
            return None;
        }
        let ahead = self.drum.plans.iter().take_while(|p| p.holes().is_none()).count();
        let lumps_kg_s = scale * self.feed.lumps_kg_s();
        let left: f64 = solved.sections().last().map_or(0.0, |s| s.lump_left_kg_s.iter().sum());
        let passed: f64 = solved.sections().iter().flat_map(|s| s.lump_passed_kg_s).sum();
        let load = Load {
            bed_n_m: solved.torque_n_m(),
            wet_kg: solved.hold_up_m3() * shell.wet_density_kg_m3,
            speed_rev_s: shell.speed_rev_s,
        };
        let duty = self.drum.drive.duty(self.trial, &load);
        Some(Found {
            scrub_s: solved.sections().iter().take(ahead).map(|s| s.residence_s).sum(),
            whole_s: solved.residence_s(),
            clay_left: if lumps_kg_s > 0.0 { (left + passed) / lumps_kg_s } else { f64::NAN },
            torque_n_m: duty.torque_n_m,
            power_w: duty.power_w,
        })
    }
}
