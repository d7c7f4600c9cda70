//! The engine as a module for a page: text in its memory, and three functions.
//!
//! A question of `n` bytes is written to the place that `room(n)` gives; `ask(n)` answers it and gives the
//! place of the answer, `done()` its length in bytes. Nothing is imported. Built for the machine itself it
//! answers questions from stdin, one JSON a line, for tests and for work on the page.
//!
//! Here alone stands an attribute that the compiler counts as unsafe: names that leave the module as they
//! are.
#![allow(
    unsafe_code,
    reason = "`no_mangle` on the three functions; there is no unsafe block"
)]

use std::cell::RefCell;

use tideover::page::Engine;

/// What lives between questions.
struct State {
    question: Vec<u8>,
    answer: String,
    engine: Engine,
}

thread_local! {
    static STATE: RefCell<State> = RefCell::new(State {
        question: Vec::new(),
        answer: String::new(),
        engine: Engine::default(),
    });
}

/// Makes room for a question of so many bytes, and gives its place.
#[unsafe(no_mangle)]
extern "C" fn room(length: usize) -> *mut u8 {
    STATE.with_borrow_mut(|state| {
        state.question.clear();
        state.question.resize(length, b' ');
        state.question.as_mut_ptr()
    })
}

/// Answers the question, and gives the place of the answer. It stays until the next question.
#[unsafe(no_mangle)]
extern "C" fn ask(length: usize) -> *const u8 {
    STATE.with_borrow_mut(|state| {
        let length = length.min(state.question.len());
        let question = String::from_utf8_lossy(&state.question[..length]);
        state.answer = state.engine.ask(&question);
        state.answer.as_ptr()
    })
}

/// The length of the answer in bytes.
#[unsafe(no_mangle)]
extern "C" fn done() -> usize {
    STATE.with_borrow(|state| state.answer.len())
}

#[cfg(target_arch = "wasm32")]
fn main() {}

#[cfg(not(target_arch = "wasm32"))]
fn main() -> std::io::Result<()> {
    use std::io::{BufRead as _, Write as _};
    let mut engine = Engine::default();
    let mut out = std::io::stdout().lock();
    for question in std::io::stdin().lock().lines() {
        writeln!(out, "{}", engine.ask(&question?))?;
        out.flush()?;
    }
    Ok(())
}
