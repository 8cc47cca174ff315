//! Seeds shared among the processors there are, and what they cost.

use std::{fs, num::NonZero, thread, time::Instant};

/// Answers of the seeds from 0, in their order, and the seconds of one core they took.
pub fn of_seeds<T: Send>(seeds: u64, answer: impl Fn(u64) -> T + Sync) -> (Vec<T>, f64) {
    let workers = thread::available_parallelism().map_or(1, NonZero::get) as u64;
    let mut all = Vec::with_capacity(seeds as usize);
    let mut seconds = 0.0;
    thread::scope(|scope| {
        let started: Vec<_> = (0..workers)
            .map(|worker| {
                let answer = &answer;
                scope.spawn(move || {
                    let begun = Instant::now();
                    let mine = (worker..seeds).step_by(workers as usize);
                    let answers: Vec<_> = mine.map(|seed| (seed, answer(seed))).collect();
                    let took = on_core().unwrap_or_else(|| begun.elapsed().as_secs_f64());
                    (answers, took)
                })
            })
            .collect();
        for worker in started {
            let (answers, took) = worker.join().expect("no seed fails");
            all.extend(answers);
            seconds += took;
        }
    });
    all.sort_by_key(|(seed, _)| *seed);
    (all.into_iter().map(|(_, answer)| answer).collect(), seconds)
}

/// Seconds this thread has had a core to itself, where the system tells (Linux, proc(5)).
fn on_core() -> Option<f64> {
    let told = fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    let nanoseconds: f64 = told.split_whitespace().next()?.parse().ok()?;
    Some(nanoseconds / 1e9)
}
