//! What people and machines see of the program.
//!
//! Faces turn requests into questions to the modules below and answers into
//! text. They alone decide how things look; they compute nothing about bicycles.
//! Every face gives an [`Outcome`], so that it can be tested without a terminal.
//!
//! Reading order: [`rank`] (the answer), [`report`] and [`machine`] (how it is
//! shown), [`gauge`], [`knowledge`].

pub mod answered;
pub mod explain;
pub mod gauge;
pub mod knowledge;
pub mod machine;
pub mod plot;
pub mod rank;
pub mod report;
pub mod sitting;
mod sitting_words;
mod stats;
pub mod trial;

use std::borrow::Cow;
use std::io::Write;
use std::path::Path;

use crate::built_in;
use crate::graph::FaultGraph;
use crate::graph::build::build;
use crate::intake::reports;
use crate::knowledge::terms::Venue;
use crate::knowledge::{Knowledge, read};
use crate::snag::Snag;
use crate::words::harmless;

/// Text to show and the exit code that goes with it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Outcome {
    /// The text.
    pub text: String,
    /// 0 answered, 1 nothing heard or snags found.
    pub code: u8,
}

/// Writes to standard output; a reader that has gone away is no error. Words
/// from knowledge files may hold escapes too, so all of it is made harmless.
pub fn show(text: &str) {
    let _ = writeln!(std::io::stdout().lock(), "{}", harmless(text.trim_end()));
}

/// Writes the reason for not running to standard error.
pub fn complain(why: &str) {
    let _ = writeln!(std::io::stderr().lock(), "{}", harmless(why.trim_end()));
}

/// The place of this name.
///
/// # Errors
/// If none is called so: the names that are known.
pub fn place(name: &str) -> Result<Venue, String> {
    let known: Vec<&str> = Venue::ALL.iter().map(|v| v.word()).collect();
    Venue::find(name).ok_or_else(|| reports::unknown("place", name, &known))
}

/// The graph of the built-in knowledge, or of a folder laid over it.
///
/// # Errors
/// The text of all snags: half-read knowledge answers nobody.
pub fn graph(folder: Option<&Path>) -> Result<Cow<'static, FaultGraph>, String> {
    let said = |snags: &[Snag]| snags.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n");
    let Some(folder) = folder else { return built_in::graph().map(Cow::Borrowed).map_err(said) };
    let (sources, mut snags) = read::folder(folder).map_err(|s| s.to_string())?;
    let (knowledge, more) = Knowledge::load(vec![built_in::sources(), sources]);
    snags.extend(more);
    if snags.is_empty() { Ok(Cow::Owned(build(&knowledge))) } else { Err(said(&snags)) }
}
