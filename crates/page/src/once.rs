//! What a page tells twice is done once: it was not answered in time, or two pages have kept it.

use std::collections::{HashMap, VecDeque};
use std::sync::{Arc, Mutex, PoisonError};

use serde::Deserialize;
use serde_json::Value;

/// What was done since this program runs, by what tells it apart.
#[derive(Default)]
pub(crate) struct Once {
    known: Mutex<Known>,
}

/// The last orders, and what was answered.
#[derive(Default)]
struct Known {
    answers: HashMap<String, Answered>,
    /// In the order in which they came.
    ids: VecDeque<String>,
}

/// None until it is done.
type Answered = Arc<Mutex<Option<Value>>>;

/// Of so many orders nobody waits for the first any more.
const MOST: usize = 4096;

impl Known {
    fn of(&mut self, id: String) -> Answered {
        if let Some(known) = self.answers.get(&id) {
            return known.clone();
        }
        if self.ids.len() >= MOST
            && let Some(first) = self.ids.pop_front()
        {
            self.answers.remove(&first);
        }
        self.ids.push_back(id.clone());
        self.answers.entry(id).or_default().clone()
    }
}

/// What tells an order apart from all others; nothing where nobody minds.
#[derive(Deserialize)]
struct Told {
    #[serde(default)]
    id: String,
}

impl Once {
    /// What was answered the first time, or what comes of it now. Who tells the same meanwhile waits for that answer, and nobody
    /// else does. What is refused may be told again.
    pub fn of<E>(&self, told: &[u8], act: impl FnOnce() -> Result<Value, E>) -> Result<Value, E> {
        let id = serde_json::from_slice(told).map_or_else(|_| String::new(), |told: Told| told.id);
        if id.is_empty() {
            return act();
        }
        let own = self.known.lock().unwrap_or_else(PoisonError::into_inner).of(id);
        let mut answer = own.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(answer) = &*answer {
            return Ok(answer.clone());
        }
        act().inspect(|done| *answer = Some(done.clone()))
    }
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicUsize, Ordering};

    use serde_json::json;

    use super::Once;

    #[test]
    fn what_is_told_twice_is_done_once() {
        let (once, count) = (Once::default(), AtomicUsize::new(0));
        let act = || Ok::<_, String>(json!(count.fetch_add(1, Ordering::Relaxed)));
        let slow = || {
            std::thread::sleep(std::time::Duration::from_millis(20));
            act()
        };
        let both = std::thread::scope(|scope| {
            let all = [0; 2].map(|_| scope.spawn(|| once.of(br#"{"id":"a","turns":500}"#, slow)));
            all.map(|one| one.join().unwrap())
        });
        assert_eq!(both, [Ok(json!(0)), Ok(json!(0))]);
        assert_eq!(once.of(br#"{"id":"b"}"#, act), Ok(json!(1)));
        // Without what tells it apart it is another one each time.
        assert_eq!(once.of(b"{}", act), Ok(json!(2)));
        assert_eq!(once.of(b"", act), Ok(json!(3)));
        // What was refused was not done.
        assert_eq!(once.of(br#"{"id":"c"}"#, || Err("no")), Err("no"));
        assert_eq!(once.of(br#"{"id":"c"}"#, act), Ok(json!(4)));
    }
}
