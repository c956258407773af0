//! The conversation on a terminal, or from lines on standard input: the same words.
//!
//! Lines come from [`Lines`], which has two makers; text goes out through one
//! writer, so that a reader that goes away ends the sitting quietly.

use std::io::{BufRead, IsTerminal, Write};
use std::path::PathBuf;

use rustyline::error::ReadlineError;
use rustyline::history::FileHistory;
use rustyline::{Config, Editor};

use crate::graph::build::build;
use crate::inquiry::Situation;
use crate::knowledge::terms::{Reporter, Venue};
use crate::session::Session;
use crate::words::laid_out;

const PROMPT: &str = "> ";

/// Where lines come from.
enum Lines {
    Typed(Box<Editor<(), FileHistory>>),
    Piped(std::io::Lines<std::io::StdinLock<'static>>),
}

/// What a prompt gave.
enum Given {
    Line(String),
    /// The question was left.
    Left,
    End,
}

impl Lines {
    fn open() -> Result<Self, String> {
        if !std::io::stdin().is_terminal() {
            return Ok(Self::Piped(std::io::stdin().lock().lines()));
        }
        let mut editor = Editor::with_config(Config::builder().auto_add_history(true).build())
            .map_err(|e: ReadlineError| e.to_string())?;
        if let Some(path) = history() {
            // No history yet is no trouble.
            let _ = editor.load_history(&path);
        }
        Ok(Self::Typed(Box::new(editor)))
    }

    fn columns(&mut self) -> usize {
        let told = match self {
            Self::Typed(editor) => editor.dimensions().map(|(columns, _)| usize::from(columns)),
            Self::Piped(_) => None,
        };
        told.or_else(|| std::env::var("COLUMNS").ok()?.parse().ok()).unwrap_or(80).clamp(30, 100) - 2
    }

    fn next(&mut self, out: &mut impl Write) -> Given {
        match self {
            Self::Typed(editor) => match editor.readline(PROMPT) {
                Ok(line) => Given::Line(line),
                Err(ReadlineError::Interrupted) => Given::Left,
                Err(_) => Given::End,
            },
            Self::Piped(lines) => match lines.next() {
                Some(Ok(line)) => {
                    let _ = writeln!(out, "{PROMPT}{}", crate::words::harmless(&line));
                    Given::Line(line)
                }
                Some(Err(_)) => Given::Line("\u{fffd}".to_owned()),
                None => Given::End,
            },
        }
    }
}

fn history() -> Option<PathBuf> {
    let state = std::env::var_os("XDG_STATE_HOME")
        .map(PathBuf::from)
        .or_else(|| std::env::var_os("HOME").map(|home| PathBuf::from(home).join(".local/state")))?;
    Some(state.join("knockwise").join("history"))
}

/// Holds a conversation to its end.
///
/// # Errors
/// If the knowledge cannot be read or there is nothing to talk to.
pub fn run() -> Result<super::Outcome, String> {
    let graph = build(&super::load(None)?);
    let mut session = Session::new(&graph, Situation { by: Reporter::Rider, at: Venue::Home });
    let mut lines = Lines::open()?;
    let mut out = std::io::stdout().lock();
    let mut say =
        |lines: &mut Lines, text: &str| write!(out, "{}", laid_out(text, lines.columns())).and_then(|()| out.flush());
    let mut open = say(&mut lines, &session.greeting()).is_ok();
    while open {
        let given = lines.next(&mut std::io::stdout());
        open = match given {
            Given::End => {
                let _ = say(&mut lines, "\n");
                false
            }
            Given::Left => say(&mut lines, "Left. Type `leave` to end, or go on.\n").is_ok(),
            // A paste of several lines is several things said.
            Given::Line(text) => text.lines().chain(text.is_empty().then_some("")).all(|line| {
                let reply = session.step(line);
                say(&mut lines, &reply.text).is_ok() && !reply.ended
            }),
        };
    }
    if let (Lines::Typed(editor), Some(path)) = (&mut lines, history()) {
        let kept = path.parent().map(std::fs::create_dir_all).is_some_and(|r| r.is_ok());
        if kept {
            let _ = editor.save_history(&path);
        }
    }
    Ok(super::Outcome { text: String::new(), code: 0 })
}
