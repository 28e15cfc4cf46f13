//! Joins up to four streams into one. Notes on gold sent astray travel on; nothing is caught or lost.

use sim_core::stage::{Port, Ports, Stage, StageBuilder, StageKind, Trial};

/// The kind `junction`.
pub static JUNCTION: StageKind =
    StageKind::new("junction", "brings streams together", |_: &mut StageBuilder<'_>| Some(Box::new(Junction)))
        .inlets(&[
            Port::required("a", "first stream"),
            Port::required("b", "second stream"),
            Port::optional("c", "third stream"),
            Port::optional("d", "fourth stream"),
        ])
        .outlets(&[Port::required("out", "all streams together")])
        .model("junction 1");

struct Junction;

impl Stage for Junction {
    fn run(&self, _trial: &Trial<'_>, ports: &mut Ports<'_>) {
        let (inlet, work) = ports.split();
        let [out] = work.outlets else { return };
        for i in 0..JUNCTION.inlets.len() {
            if let Some(stream) = inlet(i) {
                out.add(stream, 1.0);
            }
        }
    }
}
