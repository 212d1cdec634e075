//! How long a thread has worked: a limit on it holds on a machine that does other work too.

use rustix::time::{ClockId, clock_gettime};
use std::time::Duration;

/// Begun when it is made; counts what this thread works, and not what it waits.
pub struct CpuTime(Duration);

impl CpuTime {
    /// Begins.
    pub fn begin() -> CpuTime {
        CpuTime(worked())
    }

    /// What the thread has worked since.
    pub fn spent(&self) -> Duration {
        worked().saturating_sub(self.0)
    }
}

/// What this thread has worked in all.
fn worked() -> Duration {
    let now = clock_gettime(ClockId::ThreadCPUTime);
    Duration::new(now.tv_sec.try_into().unwrap(), now.tv_nsec.try_into().unwrap())
}

#[test]
fn a_thread_that_waits_spends_nothing_and_one_that_works_does() {
    let begun = CpuTime::begin();
    std::thread::sleep(Duration::from_millis(60));
    assert!(begun.spent() < Duration::from_millis(40), "{:?}", begun.spent());
    let mut sum = 0_u64;
    while begun.spent() < Duration::from_millis(40) {
        sum = (0..1000).fold(sum, |s, n| std::hint::black_box(s.wrapping_mul(31) + n));
    }
    assert!(begun.spent() >= Duration::from_millis(40), "{sum}");
}
