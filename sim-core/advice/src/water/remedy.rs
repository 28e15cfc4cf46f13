//! What would bring enough water: each remedy put into the network and solved anew over the trials, the cheapest effort first.

use super::case::Change;
use super::study::{Standing, WANTED_SHARE, WaterStudy};
use sim_core::hydraulics::manifold::Outlet;
use sim_core::stock::{Item, Stock};

/// How much a remedy asks of the owner, least first. Our judgement.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Effort {
    /// Turn a valve or the throttle.
    Minutes,
    /// Plug or drill holes, swap nozzles.
    Hours,
    /// Buy and lay a hose.
    Hose,
    /// Buy a pump.
    Pump,
}

impl Effort {
    /// In plain words.
    pub const fn words(self) -> &'static str {
        match self {
            Effort::Minutes => "minutes: a valve or the throttle",
            Effort::Hours => "hours: plug or drill holes",
            Effort::Hose => "a new hose",
            Effort::Pump => "another pump",
        }
    }
}

/// What may be done.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Remedy {
    /// Run the engine faster: share of the present speed.
    FasterEngine(f64),
    /// Shut a branch.
    CloseBranch(usize),
    /// Throttle a branch by a loss coefficient.
    ThrottleBranch(usize, f64),
    /// Plug holes of a branch: how many stay.
    FewerHoles(usize, f64),
    /// Drill more holes into a branch: how many there are then.
    MoreHoles(usize, f64),
    /// Smaller holes or nozzles on a branch (m).
    SmallerHoles(usize, f64),
    /// Larger holes or nozzles on a branch (m).
    LargerHoles(usize, f64),
    /// A wider suction hose (nominal bore, m).
    WiderSuction(f64),
    /// A wider delivery hose (nominal bore, m).
    WiderDelivery(f64),
    /// A wider hose to a branch (nominal bore, m).
    WiderHose(usize, f64),
    /// A pump with this many times the flow at the same head.
    WiderPump(f64),
    /// A pump with this many times the head and flow.
    BiggerPump(f64),
}

impl Remedy {
    /// What it does to the network.
    pub fn changes(self) -> Vec<Change> {
        match self {
            Remedy::FasterEngine(ratio) => vec![Change::Speed(ratio)],
            Remedy::CloseBranch(branch) => vec![Change::Close { branch }],
            Remedy::ThrottleBranch(branch, loss_coefficient) => vec![Change::Throttle { branch, loss_coefficient }],
            Remedy::FewerHoles(branch, count) | Remedy::MoreHoles(branch, count) => {
                vec![Change::Holes { branch, count }]
            }
            Remedy::SmallerHoles(branch, hole_m) | Remedy::LargerHoles(branch, hole_m) => {
                vec![Change::HoleSize { branch, hole_m }]
            }
            Remedy::WiderSuction(bore_m) => vec![Change::SuctionBore(bore_m)],
            Remedy::WiderDelivery(bore_m) => vec![Change::DeliveryBore(bore_m)],
            Remedy::WiderHose(branch, bore_m) => vec![Change::HoseBore { branch, bore_m }],
            Remedy::WiderPump(factor) => vec![Change::PumpFlow(factor)],
            Remedy::BiggerPump(factor) => vec![Change::PumpFlow(factor), Change::PumpHead(factor)],
        }
    }

    /// What it asks of the owner.
    pub const fn effort(self) -> Effort {
        match self {
            Remedy::FasterEngine(_) | Remedy::CloseBranch(_) | Remedy::ThrottleBranch(..) => Effort::Minutes,
            Remedy::FewerHoles(..) | Remedy::MoreHoles(..) | Remedy::SmallerHoles(..) | Remedy::LargerHoles(..) => {
                Effort::Hours
            }
            Remedy::WiderSuction(_) | Remedy::WiderDelivery(_) | Remedy::WiderHose(..) => Effort::Hose,
            Remedy::WiderPump(_) | Remedy::BiggerPump(_) => Effort::Pump,
        }
    }
}

/// A remedy with what it comes to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RemedyOutcome {
    /// The remedy at the least amount that meets the needs, or at the most that was tried.
    pub remedy: Remedy,
    /// How the water does with it.
    pub standing: Standing,
    /// Whether all needs are met in at least 9 trials of 10.
    pub meets: bool,
    /// Whether the water does better than now: short less often, or by less.
    pub helps: bool,
}

/// Sizes up that are tried of a hose.
const SIZES_UP: usize = 3;
/// Engine speeds tried, over the present one. More than a tenth faster is for the maker to allow.
const SPEEDS: [f64; 3] = [1.05, 1.10, 1.15];
/// Numbers of holes tried, over the present one.
const FEWER: [f64; 3] = [0.8, 0.65, 0.5];
const MORE: [f64; 3] = [1.25, 1.5, 2.0];
/// Hole sizes tried, over the present one: the nearest drill to each.
const SMALLER: [f64; 2] = [0.85, 0.7];
const LARGER: [f64; 3] = [1.15, 1.3, 1.5];
/// Valve settings tried, as loss coefficients.
const THROTTLES: [f64; 3] = [2.1, 5.0, 17.0];
/// Pump sizes tried, over the present one.
const PUMPS: [f64; 6] = [1.15, 1.3, 1.5, 2.0, 2.5, 3.0];

/// All remedies that help, ranked: those that meet the needs first, the least effort first among them; then those that only help, by what is left
/// missing. `trials` bounds the work: about 40 solutions of the network a trial and outlet.
pub fn remedies(study: &WaterStudy) -> Vec<RemedyOutcome> {
    let now = study.standing(&[]);
    let mut list: Vec<RemedyOutcome> = ladders(study)
        .into_iter()
        .filter_map(|ladder| climb(study, &ladder, &now))
        .filter(|outcome| outcome.helps)
        .collect();
    list.sort_by(|a, b| {
        let key = |o: &RemedyOutcome| (!o.meets, if o.meets { o.remedy.effort() } else { Effort::Minutes });
        key(a).cmp(&key(b)).then(a.standing.shortfall_m3_s.total_cmp(&b.standing.shortfall_m3_s))
    });
    list
}

/// Several remedies together, where no single one is enough: at each step the one that leaves the least missing, until the needs are met or
/// nothing helps any more. Each outcome is that of its remedy and all before it.
///
/// Greedy: a cheaper set may exist. Ends after a few steps at the latest.
pub fn plan(study: &WaterStudy) -> Vec<RemedyOutcome> {
    let mut steps: Vec<RemedyOutcome> = Vec::new();
    let mut changes: Vec<Change> = Vec::new();
    let mut now = study.standing(&[]);
    let mut ladders = ladders(study);
    while steps.len() < MOST_STEPS && now.short_share > 1.0 - WANTED_SHARE + 1e-12 {
        let mut best: Option<(usize, RemedyOutcome)> = None;
        for (l, ladder) in ladders.iter().enumerate() {
            for remedy in ladder {
                let with: Vec<Change> = changes.iter().copied().chain(remedy.changes()).collect();
                let standing = study.standing(&with);
                let meets = standing.short_share <= 1.0 - WANTED_SHARE + 1e-12;
                let missing = standing.shortfall_m3_s;
                // A further rung must earn its place; the first that meets the needs is enough.
                let better = best.as_ref().is_none_or(|(_, b)| !b.meets && missing < 0.97 * b.standing.shortfall_m3_s);
                if better && missing < now.shortfall_m3_s {
                    best = Some((l, RemedyOutcome { remedy: *remedy, standing, meets, helps: true }));
                }
            }
        }
        let Some((l, outcome)) = best.filter(|(_, b)| b.standing.shortfall_m3_s < 0.98 * now.shortfall_m3_s) else {
            break;
        };
        changes.extend(outcome.remedy.changes());
        now = outcome.standing;
        steps.push(outcome);
        ladders.remove(l);
        if outcome.remedy.effort() == Effort::Pump {
            // One new pump is enough.
            ladders.retain(|ladder| ladder.first().is_none_or(|r| r.effort() != Effort::Pump));
        }
    }
    steps
}

/// Most remedies in a [`plan`].
pub const MOST_STEPS: usize = 7;

/// The first rung that meets the needs, else the best one.
fn climb(study: &WaterStudy, ladder: &[Remedy], now: &Standing) -> Option<RemedyOutcome> {
    let mut best: Option<RemedyOutcome> = None;
    for remedy in ladder {
        let standing = study.standing(&remedy.changes());
        let meets = standing.short_share <= 1.0 - WANTED_SHARE + 1e-12;
        let helps =
            standing.shortfall_m3_s < 0.98 * now.shortfall_m3_s || standing.short_share < now.short_share - 0.02;
        let outcome = RemedyOutcome { remedy: *remedy, standing, meets, helps };
        if meets {
            return Some(outcome);
        }
        if best.is_none_or(|b| standing.shortfall_m3_s < b.standing.shortfall_m3_s) {
            best = Some(outcome);
        }
    }
    best
}

/// Each kind of remedy as a ladder of growing amounts. Hoses and holes are of the sizes that hoses and drills are sold in.
fn ladders(study: &WaterStudy) -> Vec<Vec<Remedy>> {
    let case = &study.middle.case;
    let tolerance = case.tolerance.bore;
    let (hoses, drills) = (Stock::of(Item::HoseBore, study.units), Stock::of(Item::Drill, study.units));
    let wider = |bore_m: f64| -> Vec<f64> {
        // A hose a hair wider than the present one is the same hose.
        hoses.between(1.02 * bore_m / tolerance, f64::INFINITY).take(SIZES_UP).collect()
    };
    let drilled = |hole_m: f64, factors: &[f64]| -> Vec<f64> {
        let mut sizes: Vec<f64> = factors.iter().map(|f| drills.nearest(f * hole_m)).collect();
        sizes.dedup();
        sizes
    };
    let mut list = vec![
        SPEEDS.iter().map(|s| Remedy::FasterEngine(*s)).collect(),
        wider(case.trunk.suction.bore_m).into_iter().map(Remedy::WiderSuction).collect(),
        wider(case.trunk.delivery.bore_m).into_iter().map(Remedy::WiderDelivery).collect(),
        PUMPS.iter().map(|f| Remedy::WiderPump(*f)).collect(),
        PUMPS.iter().map(|f| Remedy::BiggerPump(*f)).collect(),
    ];
    for (j, b) in case.branches.iter().enumerate() {
        let (holes, hole_m) = (b.facts.holes, b.facts.hole_m);
        if b.facts.open_end {
            list.push(vec![Remedy::CloseBranch(j)]);
            list.push(THROTTLES.iter().map(|k| Remedy::ThrottleBranch(j, *k)).collect());
        } else if !matches!(b.branch.outlet, Outlet::Open) {
            list.push(FEWER.iter().map(|f| Remedy::FewerHoles(j, (f * holes).round().max(1.0))).collect());
            list.push(MORE.iter().map(|f| Remedy::MoreHoles(j, (f * holes).round())).collect());
            let (smaller, larger) = (drilled(hole_m, &SMALLER), drilled(hole_m, &LARGER));
            let smaller = smaller.into_iter().filter(|d| *d < hole_m);
            let larger = larger.into_iter().filter(|d| *d > hole_m);
            list.push(smaller.map(|d| Remedy::SmallerHoles(j, d)).collect());
            list.push(larger.map(|d| Remedy::LargerHoles(j, d)).collect());
        }
        if b.facts.hose_bore_m.is_some() {
            list.push(wider(b.branch.hose.bore_m).into_iter().map(|bore| Remedy::WiderHose(j, bore)).collect());
        }
    }
    list
}
