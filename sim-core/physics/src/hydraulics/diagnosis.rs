//! What a gauge on the manifold and the flow together say of a plant that no longer sprays as it did.
//!
//! ```text
//!                    gauge down              gauge up
//!   flow down   pump, suction, engine    holes plugged, valve or hose pinched behind the gauge
//!   flow up     holes worn, branch open   the pump runs faster, or the water stands higher
//! ```
//! A gauge alone cannot tell a plugged bar from a strong pump, nor a worn one from a weak pump. Source: the pump's curve falls and the
//! plant's rises, so that what changes behind the gauge moves the working point along the pump's curve (flow and head go opposite ways), and
//! what changes ahead of it moves the point along the plant's curve (both go the same way).

/// What most likely changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Suspect {
    /// Neither has moved by more than reading allows.
    Nothing,
    /// Holes plugged, or a valve or hose behind the gauge pinched.
    Plugging,
    /// Weak pump, starved suction, slow engine, or a delivery hose pinched ahead of the gauge.
    WeakPump,
    /// Worn holes, or a branch or leak opened.
    WornOrOpen,
    /// The pump runs faster, or the water stands higher.
    StrongPump,
    /// Only the gauge has moved: read it again, or the flow meter is stuck.
    GaugeOnly,
    /// Only the flow has moved: measure it again, or the gauge is stuck.
    FlowOnly,
}

impl Suspect {
    /// What it is, in plain words.
    pub const fn words(self) -> &'static str {
        match self {
            Suspect::Nothing => "pump and holes work as they should",
            Suspect::Plugging => {
                "less flow at more pressure: holes are plugged, or a valve or hose behind the gauge is pinched"
            }
            Suspect::WeakPump => {
                "less flow at less pressure: the pump is worn, its suction starved, its engine slow, or the delivery hose pinched"
            }
            Suspect::WornOrOpen => "more flow at less pressure: holes are worn, or a branch or a leak is open",
            Suspect::StrongPump => {
                "more flow at more pressure: the engine runs faster, or the water stands higher, than thought"
            }
            Suspect::GaugeOnly => "the pressure has moved and the flow has not: one of the two readings is off",
            Suspect::FlowOnly => "the flow has moved and the pressure has not: one of the two readings is off",
        }
    }

    /// Where to look first.
    pub const fn look_first(self) -> &'static str {
        match self {
            Suspect::Nothing => "nothing to do",
            Suspect::Plugging => {
                "with the pump stopped and locked out, flush the bars from their dead ends and clear the holes"
            }
            Suspect::WeakPump => {
                "clean the strainer, look for air leaks in the suction, check the engine's speed, then the wear ring and the impeller"
            }
            Suspect::WornOrOpen => "measure a few holes with drill shanks; look for open valves and split hoses",
            Suspect::StrongPump => "check the engine's speed and the level of the pond",
            Suspect::GaugeOnly | Suspect::FlowOnly => {
                "repeat both readings: a bucket and a watch for the flow, a second gauge for the pressure"
            }
        }
    }
}

/// Which change explains a change of flow and of gauge, both as shares of what they should be (-0.1: a tenth less).
///
/// `reading_share` is how far a reading may be off without meaning anything, such as 0.03. Smaller moves count as none.
pub fn suspect(flow_change: f64, gauge_change: f64, reading_share: f64) -> Suspect {
    let side = |x: f64| {
        if x > reading_share {
            1
        } else if x < -reading_share {
            -1
        } else {
            0
        }
    };
    match (side(flow_change), side(gauge_change)) {
        (0, 0) => Suspect::Nothing,
        (-1, 1) => Suspect::Plugging,
        (-1, -1) => Suspect::WeakPump,
        (1, -1) => Suspect::WornOrOpen,
        (1, 1) => Suspect::StrongPump,
        (0, _) => Suspect::GaugeOnly,
        (_, _) => Suspect::FlowOnly,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hydraulics::worked_network::golden_rows::{HALF_PLUGGED, SLOW, WORN};
    use crate::hydraulics::worked_network::{BASE, Worked};

    /// Changes of pump flow and gauge of a worked plant against the base.
    fn changes(plant: Worked) -> (f64, f64) {
        let (base, moved) = (BASE.solve().unwrap(), plant.solve().unwrap());
        let gauge = |h: f64| h - 5.0;
        (
            moved.pump_flow_m3_s / base.pump_flow_m3_s - 1.0,
            gauge(moved.manifold_head_m) / gauge(base.manifold_head_m) - 1.0,
        )
    }

    #[test]
    fn property_each_cause_shows_its_own_sign_in_the_worked_plant() {
        let of = |plant| {
            let (flow, gauge) = changes(plant);
            suspect(flow, gauge, 0.02)
        };
        assert_eq!(of(HALF_PLUGGED), Suspect::Plugging);
        assert_eq!(of(WORN), Suspect::WornOrOpen);
        assert_eq!(of(SLOW), Suspect::WeakPump);
        assert_eq!(of(Worked { speed_ratio: 1.1, ..BASE }), Suspect::StrongPump);
        assert_eq!(of(BASE), Suspect::Nothing);
    }

    #[test]
    fn property_one_reading_alone_accuses_nothing_but_the_reading() {
        assert_eq!(suspect(0.0, 0.2, 0.03), Suspect::GaugeOnly);
        assert_eq!(suspect(-0.2, 0.01, 0.03), Suspect::FlowOnly);
    }
}
