//! Progress of long work: on a terminal only, on stderr, and only when the work takes longer than a second.

use std::io::IsTerminal;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::time::{Duration, Instant};

/// Progress is shown when the work takes longer than this.
const QUIET: Duration = Duration::from_secs(1);

/// Does the work, which counts the trials done; `total` is how many there will be.
pub(crate) fn watched<T>(total: u64, work: impl FnOnce(&AtomicU64) -> T) -> T {
    let done = AtomicU64::new(0);
    let finished = AtomicBool::new(false);
    std::thread::scope(|scope| {
        if std::io::stderr().is_terminal() {
            scope.spawn(|| {
                let start = Instant::now();
                while start.elapsed() < QUIET && !finished.load(Ordering::Relaxed) {
                    std::thread::sleep(Duration::from_millis(20));
                }
                if finished.load(Ordering::Relaxed) {
                    return;
                }
                let bar = indicatif::ProgressBar::new(total);
                while !finished.load(Ordering::Relaxed) {
                    bar.set_position(done.load(Ordering::Relaxed));
                    std::thread::sleep(Duration::from_millis(100));
                }
                bar.finish_and_clear();
            });
        }
        let outcome = work(&done);
        finished.store(true, Ordering::Relaxed);
        outcome
    })
}
