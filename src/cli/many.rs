//! Many jobs at once: each worked by one thread, what came of it told in the order of the jobs as soon as it can be.
//!
//! Given jobs, a work and someone who takes in what came of each; begins no more than a little ahead of what was taken in, so that
//! what is kept at any moment does not grow with their number.

use super::terminal::Progress;
use crate::model::hands;
use std::collections::BTreeMap;
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError, mpsc};
use std::thread;

/// So far ahead of what was taken in the next is begun.
const AHEAD: usize = 64;

/// What is done after one was taken in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Next {
    /// The next are begun.
    GoOn,
    /// No more are begun; those that are begun are taken in.
    BreakOff,
}

/// Does a work to each of them and takes in what came of it, in their order; gives how many were taken in.
///
/// # Errors
/// The first error of the taking in: then no more are begun.
pub(super) fn in_order<T: Sync, R: Send, E>(
    all: &[T],
    work: impl Fn(&T) -> R + Sync,
    mut take: impl FnMut(&T, R) -> Result<Next, E>,
) -> Result<usize, E> {
    let workers = thread::available_parallelism().map_or(1, usize::from).min(all.len());
    let queue = JobQueue { all: all.len(), state: Mutex::default(), moved: Condvar::new() };
    let (queue, work) = (&queue, &work);
    let progress = Progress::over(all.len());
    let (send, receive) = mpsc::channel();
    let taken = thread::scope(|scope| {
        for _ in 0..workers {
            let send = send.clone();
            scope.spawn(move || {
                let _guard = StopWhenLost(queue);
                hands::alone(|| {
                    while let Some((n, one)) = queue.begin().and_then(|n| Some((n, all.get(n)?))) {
                        if send.send((n, work(one))).is_err() {
                            return;
                        }
                    }
                });
            });
        }
        drop(send);
        let (mut waiting, mut next) = (BTreeMap::new(), 0);
        for (n, done) in receive {
            waiting.insert(n, done);
            while let (Some(done), Some(one)) = (waiting.remove(&next), all.get(next)) {
                next += 1;
                progress.end();
                let then = take(one, done);
                if !matches!(then, Ok(Next::GoOn)) {
                    queue.stop();
                }
                then?;
                queue.taken(next);
            }
            progress.at(next);
        }
        Ok(next)
    });
    progress.end();
    taken
}

/// Which job is begun next.
struct JobQueue {
    all: usize,
    state: Mutex<QueueState>,
    moved: Condvar,
}

#[derive(Default)]
struct QueueState {
    begun: usize,
    taken: usize,
    stopped: bool,
}

impl JobQueue {
    /// The next to begin, once it is not too far ahead; `None` where there is none.
    fn begin(&self) -> Option<usize> {
        let mut state = self.lock();
        while !state.stopped && state.begun < self.all && state.begun >= state.taken + AHEAD {
            state = self.moved.wait(state).unwrap_or_else(PoisonError::into_inner);
        }
        if state.stopped || state.begun >= self.all {
            return None;
        }
        state.begun += 1;
        Some(state.begun - 1)
    }

    fn taken(&self, count: usize) {
        self.lock().taken = count;
        self.moved.notify_all();
    }

    fn stop(&self) {
        self.lock().stopped = true;
        self.moved.notify_all();
    }

    fn lock(&self) -> MutexGuard<'_, QueueState> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// Whoever panics lets nobody wait for what will not come.
struct StopWhenLost<'a>(&'a JobQueue);

impl Drop for StopWhenLost<'_> {
    fn drop(&mut self) {
        if thread::panicking() {
            self.0.stop();
        }
    }
}
