//! Questions at the terminal.

use std::io::{BufRead, IsTerminal, Write};

use crate::say;

/// Asks for what was not given, when there is somebody to ask; otherwise the usual is taken.
pub(crate) struct Ask {
    somebody: bool,
}

impl Ask {
    pub fn new() -> Self {
        Self { somebody: std::io::stdin().is_terminal() && std::io::stderr().is_terminal() }
    }

    /// The given value, the answer to a question, or the usual value. Asks again after an answer that
    /// `parse` does not take; its error says what would do.
    pub fn or<T: Clone>(
        &self,
        given: Option<T>,
        question: &str,
        usual: (&str, T),
        parse: impl Fn(&str) -> Result<T, String>,
    ) -> T {
        if let Some(given) = given {
            return given;
        }
        if !self.somebody {
            return usual.1;
        }
        loop {
            eprint!("{question} [{}] ", usual.0);
            let _ = std::io::stderr().flush();
            let mut answer = String::new();
            let read = std::io::stdin().lock().read_line(&mut answer);
            let answer = answer.trim();
            if answer.is_empty() || read.is_err() {
                return usual.1;
            }
            match parse(answer) {
                Ok(value) => return value,
                Err(why) => say::aside(why),
            }
        }
    }
}
