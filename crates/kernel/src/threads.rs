//! The same work on many items, shared among the machine's cores.

use std::cell::Cell;
use std::num::NonZero;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{LazyLock, Mutex};

/// How many cores there are; asking the system takes as long as building a part.
static CORES: LazyLock<usize> =
    LazyLock::new(|| std::thread::available_parallelism().map_or(1, NonZero::get));

thread_local! {
    /// This thread works on an item of a [`map`].
    static AT_WORK: Cell<bool> = const { Cell::new(false) };
}

/// `work` on every item, results in the items' order. Items are handed out one by one, so long
/// and short ones mix well. Within the work on an item another `map` takes no further threads: all cores are
/// busy then.
///
/// A panic in `work` goes on in the caller.
///
/// ```
/// use bobbinwright_kernel::threads;
/// let squares = threads::map(&[1u64, 2, 3, 4, 5], |n| n * n);
/// assert_eq!(squares, [1, 4, 9, 16, 25]);
/// // One within the other: sums of the rows of a table.
/// let sums = threads::map(&[10, 20], |row| threads::map(&[1, 2, 3], |n| row + n).iter().sum::<i32>());
/// assert_eq!(sums, [36, 66]);
/// ```
pub fn map<T: Sync, R: Send>(items: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let threads = if AT_WORK.get() { 1 } else { CORES.min(items.len()) };
    if threads < 2 {
        return items.iter().map(work).collect();
    }
    let next = AtomicUsize::new(0);
    let done: Mutex<Vec<(usize, R)>> = Mutex::new(Vec::with_capacity(items.len()));
    let worker = || {
        AT_WORK.set(true);
        loop {
            let i = next.fetch_add(1, Ordering::Relaxed);
            let Some(item) = items.get(i) else { break };
            let result = work(item);
            // A panic in `work` ends the scope below with that panic, so a poisoned lock is not
            // seen by anybody who could go on.
            done.lock().unwrap_or_else(std::sync::PoisonError::into_inner).push((i, result));
        }
    };
    std::thread::scope(|scope| {
        for _ in 1..threads {
            scope.spawn(worker);
        }
        worker();
        AT_WORK.set(false);
    });
    let mut done = done.into_inner().unwrap_or_else(std::sync::PoisonError::into_inner);
    done.sort_by_key(|(i, _)| *i);
    done.into_iter().map(|(_, r)| r).collect()
}

/// Two different works at a time. Within the work on an item of a [`map`] they are done one after the other.
///
/// ```
/// use bobbinwright_kernel::threads;
/// // The results keep their places, whichever is ready first.
/// let (sum, product) = threads::both(|| (1..=100u32).sum::<u32>(), || (1..=10u64).product::<u64>());
/// assert_eq!((sum, product), (5050, 3_628_800));
/// ```
pub fn both<A, B: Send>(one: impl FnOnce() -> A, other: impl FnOnce() -> B + Send) -> (A, B) {
    if AT_WORK.get() || *CORES < 2 {
        return (one(), other());
    }
    std::thread::scope(|scope| {
        let other = scope.spawn(other);
        let one = one();
        // A panic of the other goes on here.
        (one, other.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)))
    })
}
