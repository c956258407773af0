//! The conversation on a terminal, or from lines on standard input: the same words.
//!
//! Lines come from [`Lines`], which has two makers; text goes out through one
//! writer, so that a reader that goes away ends the sitting quietly. On a
//! terminal the sitting is kept at every step and can be taken up again.

use std::io::{BufRead, IsTerminal, Write};
use std::path::{Path, PathBuf};

use clap::Args;
use rustyline::error::ReadlineError;
use rustyline::history::FileHistory;
use rustyline::{CompletionType, Config, Editor};

use super::sitting_words::Words;
use crate::inquiry::Situation;
use crate::session::command::{self, Command};
use crate::session::{Session, reply};
use crate::words::{harmless, laid_out};

/// Where the conversation is held, and with whose knowledge.
#[derive(Debug, Args)]
pub struct Held {
    /// Where the bike and you are: telephone, roadside, home or bench; at the bench a mechanic answers.
    #[arg(long, value_name = "PLACE", default_value = "home")]
    pub at: String,
    /// A folder laid over the built-in knowledge.
    #[arg(long, value_name = "DIR")]
    pub knowledge: Option<PathBuf>,
}

/// Where lines come from.
enum Lines {
    Typed(Box<Editor<Words, FileHistory>>),
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
        let config = Config::builder().auto_add_history(true).completion_type(CompletionType::List).build();
        let mut editor = Editor::with_config(config).map_err(|e: ReadlineError| e.to_string())?;
        editor.set_helper(Some(Words::new()));
        if let Some(path) = state("history") {
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
        told.or_else(|| std::env::var("COLUMNS").ok()?.parse().ok()).unwrap_or(80).clamp(30, 100) - 1
    }

    fn next(&mut self, prompt: &str, hint: String, out: &mut impl Write) -> Given {
        match self {
            Self::Typed(editor) => {
                if let Some(words) = editor.helper_mut() {
                    words.can_be_typed = hint;
                }
                match editor.readline(prompt) {
                    Ok(line) => Given::Line(line),
                    Err(ReadlineError::Interrupted) => Given::Left,
                    Err(_) => Given::End,
                }
            }
            Self::Piped(lines) => match lines.next() {
                Some(Ok(line)) => {
                    let _ = writeln!(out, "{prompt}{}", harmless(&line));
                    Given::Line(line)
                }
                // Bytes that are no text are shown as such and understood by nobody.
                Some(Err(_)) => Given::Line("\u{fffd}".to_owned()),
                None => Given::End,
            },
        }
    }
}

/// What was typed or pasted, thing by thing: several lines of speech are one letter, and commands
/// or numbers among them are several things said.
fn pasted(text: &str) -> Vec<String> {
    let speech = |line: &str| matches!(command::read(line), Command::Say(_) | Command::Nothing);
    if text.lines().all(speech) {
        return vec![text.lines().collect::<Vec<_>>().join("\n")];
    }
    text.lines().map(str::to_owned).collect()
}

/// A file in the user's state folder.
fn state(name: &str) -> Option<PathBuf> {
    let folder = std::env::var_os("XDG_STATE_HOME")
        .map(PathBuf::from)
        .or_else(|| std::env::var_os("HOME").map(|home| PathBuf::from(home).join(".local/state")))?;
    Some(folder.join("knockwise").join(name))
}

/// Most sittings that lie aside; one more takes the place of the last.
const MOST_ASIDE: usize = 99;

/// Where sittings are moved aside, in order.
fn aside() -> impl Iterator<Item = PathBuf> {
    let name = |n: usize| if n == 1 { "sitting-before".to_owned() } else { format!("sitting-before-{n}") };
    (1..=MOST_ASIDE).filter_map(move |n| state(&name(n)))
}

fn keep(name: &str, text: &str) -> Option<PathBuf> {
    let path = state(name)?;
    std::fs::create_dir_all(path.parent()?).ok()?;
    std::fs::write(&path, text).ok()?;
    Some(path)
}

/// Holds a conversation to its end; takes up a kept one if a file, or the last
/// one, is asked for.
///
/// # Errors
/// If the knowledge or the kept sitting cannot be read.
pub fn run(held: &Held, resume: Option<Option<&Path>>) -> Result<super::Outcome, String> {
    let at = super::place(&held.at)?;
    let graph = super::graph(held.knowledge.as_deref())?;
    let mut session = match resume {
        None => Session::new(&graph, Situation::in_place(at)),
        Some(file) => {
            let path = file.map(Path::to_path_buf).or_else(|| state("sitting")).ok_or("there is no state folder")?;
            if file.is_none() && !path.exists() {
                let before = aside().take_while(|path| path.exists()).last();
                let text = match before {
                    Some(path) => format!(
                        "The last sitting ended with a cure. An earlier one is kept in `{}`: `knockwise resume` and that \
                         name go on with it.",
                        path.display()
                    ),
                    None => "No sitting is kept yet; `knockwise` begins one.".to_owned(),
                };
                return Ok(super::Outcome { text, code: 1 });
            }
            let kept = std::fs::read_to_string(&path)
                .map_err(|e| format!("the kept sitting `{}` cannot be read: {e}", path.display()))?;
            Session::resume(&graph, &kept)?
        }
    };
    let mut lines = Lines::open()?;
    let mut out = std::io::stdout().lock();
    let mut say = |lines: &mut Lines, text: &str| {
        write!(out, "{}", laid_out(&harmless(text), lines.columns())).and_then(|()| out.flush())
    };
    // A new sitting moves an earlier one aside, and does not write over it.
    let typed = matches!(lines, Lines::Typed(_));
    let mut earlier = state("sitting").filter(|path| typed && resume.is_none() && path.exists());
    let first = match &earlier {
        Some(_) => session.greeting() + reply::earlier_kept(),
        None if resume.is_some() => reply::welcome_back() + &session.step("").text,
        None => session.greeting(),
    };
    let mut open = say(&mut lines, &first).is_ok();
    let mut cured = false;
    while open {
        open = match lines.next(session.prompt(), session.hint(), &mut std::io::stdout()) {
            Given::End => {
                let _ = say(&mut lines, "\n");
                false
            }
            Given::Left => say(&mut lines, &session.leave_question().text).is_ok(),
            Given::Line(text) => pasted(&text).iter().all(|line| {
                let (told, bikes) = (!session.kept().is_empty(), session.put_away());
                let reply = session.step(line);
                let kept = session.kept();
                if typed && told && session.put_away() > bikes {
                    // Another bike was begun: this one is not written over.
                    earlier = state("sitting").filter(|path| path.exists());
                }
                cured |= told && kept.is_empty() && reply.ended && typed;
                if typed && !kept.is_empty() {
                    if let Some((from, to)) =
                        earlier.take().zip(aside().find(|p| !p.exists()).or_else(|| aside().last()))
                    {
                        let _ = std::fs::rename(from, to);
                    }
                    // Kept at every step: a closed window loses nothing, and nothing told an older sitting.
                    let _ = keep("sitting", &(kept.join("\n") + "\n"));
                }
                say(&mut lines, &reply.text).is_ok() && !reply.ended
            }),
        };
    }
    let kept = session.kept();
    if cured && let Some(path) = state("sitting") {
        // There may be none.
        let _ = std::fs::remove_file(path);
    }
    if let Lines::Typed(editor) = &mut lines {
        if let Some(path) = keep("history", "") {
            let _ = editor.save_history(&path);
        }
        if !kept.is_empty() {
            let _ = say(&mut lines, "The sitting is kept; `knockwise resume` goes on with it.\n");
        }
    }
    Ok(super::Outcome { text: String::new(), code: 0 })
}
