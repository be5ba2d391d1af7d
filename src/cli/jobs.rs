//! How many threads work at once. The pool that is started here is the only one, and no room starts threads
//! beside it: what is worked out side by side goes through `rayon`, which asks it.

use std::thread::available_parallelism;

use rayon::{ThreadPoolBuildError, ThreadPoolBuilder};

/// What every command takes.
#[derive(Debug, clap::Args)]
pub struct Jobs {
    /// Number of threads, by default one for each processor; the results are the same bytes with any number
    #[arg(long, global = true, value_name = "N", display_order = 900,
          value_parser = clap::value_parser!(u16).range(1..=1024))]
    jobs: Option<u16>,
}

impl Jobs {
    /// Starts the threads; the one that calls is the first of them.
    pub fn start(&self) -> Result<(), ThreadPoolBuildError> {
        let threads = match self.jobs {
            Some(jobs) => usize::from(jobs),
            None => available_parallelism().map_or(1, usize::from),
        };
        ThreadPoolBuilder::new().num_threads(threads).use_current_thread().build_global()
    }
}
