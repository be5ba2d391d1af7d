//! Libraries at work on a file that a stranger wrote, their panics caught.
//!
//! A library that decodes may hold an assumption that some bytes break. That file is then one that can't be read,
//! which is message of it like anything else that is wrong; the run goes on to what else there is to say, and
//! nothing half-written stays behind. Only the reading of that one file stands inside, so that a fault of the
//! program itself elsewhere still ends the run and is seen.

use std::any::Any;
use std::cell::Cell;
use std::fmt;
use std::panic::{self, AssertUnwindSafe};
use std::sync::Once;
use std::sync::atomic::{AtomicUsize, Ordering};

thread_local! {
    static AT_WORK: Cell<bool> = const { Cell::new(false) };
}

/// How many calls are under way in which a library uses the threads of the pool.
static POOL_AT_WORK: AtomicUsize = AtomicUsize::new(0);

/// A library panicked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Panicked {
    /// What it message, for those who mend it.
    pub message: String,
}

impl fmt::Display for Panicked {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "the library that reads such files failed on it: {}", self.message)
    }
}

/// Has a library work on this thread alone; a panic of its is the result, and not printed.
pub fn contained<T>(work: impl FnOnce() -> T) -> Result<T, Panicked> {
    be_quiet_inside();
    let before = AT_WORK.replace(true);
    let made = panic::catch_unwind(AssertUnwindSafe(work));
    AT_WORK.set(before);
    made.map_err(|panic| Panicked { message: panic_message(&*panic) })
}

/// The same for a library that uses the threads of the pool too, while nothing else does.
pub fn contained_in_pool<T>(work: impl FnOnce() -> T) -> Result<T, Panicked> {
    POOL_AT_WORK.fetch_add(1, Ordering::SeqCst);
    let made = contained(work);
    POOL_AT_WORK.fetch_sub(1, Ordering::SeqCst);
    made
}

/// From now on panics inside are not printed; all others are reported as before.
fn be_quiet_inside() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        let before = panic::take_hook();
        panic::set_hook(Box::new(move |told| {
            let in_pool = || {
                POOL_AT_WORK.load(Ordering::SeqCst) > 0 && rayon::current_thread_index().is_some()
            };
            if !AT_WORK.try_with(Cell::get).unwrap_or(false) && !in_pool() {
                before(told);
            }
        }));
    });
}

/// The words of a panic.
fn panic_message(panic: &(dyn Any + Send)) -> String {
    let text = panic.downcast_ref::<&str>().map(|text| (*text).to_string());
    text.or_else(|| panic.downcast_ref::<String>().cloned())
        .unwrap_or_else(|| "no reason given".to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_panic_inside_is_a_result_and_one_outside_is_not() {
        let number = contained(|| 7);
        assert_eq!(number, Ok(7));
        let none: Vec<u8> = Vec::new();
        let broken = contained(|| none[std::hint::black_box(3)]);
        assert!(broken.is_err_and(|told| told.message.contains("out of bounds")));
        let nested = contained(|| contained(|| panic!("inside")).is_err() && AT_WORK.get());
        assert_eq!(nested, Ok(true));
        assert!(!AT_WORK.get());
        assert!(panic::catch_unwind(|| panic!("outside")).is_err());
    }

    #[test]
    fn a_panic_on_a_thread_of_the_pool_reaches_the_one_that_asked() {
        let made = contained_in_pool(|| rayon::join(|| 1, || -> u8 { panic!("in the pool") }));
        assert_eq!(made, Err(Panicked { message: "in the pool".to_string() }));
    }
}
