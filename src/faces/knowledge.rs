//! `knowledge check` and `knowledge stats`.

use std::path::Path;

use super::Outcome;
use crate::knowledge::{Knowledge, read};
use crate::words::counted;

fn read_all(folder: Option<&Path>) -> Result<(Knowledge, String, usize), String> {
    let (sources, mut snags) = match folder {
        Some(folder) => read::folder(folder).map_err(|s| s.to_string())?,
        None => (read::built_in(), Vec::new()),
    };
    let (knowledge, more) = Knowledge::load(vec![sources]);
    snags.extend(more);
    let text = snags.iter().map(|s| format!("{s}\n")).collect();
    Ok((knowledge, text, snags.len()))
}

/// Says every snag of every file at once.
///
/// # Errors
/// If the folder cannot be read.
pub fn check(folder: Option<&Path>) -> Result<Outcome, String> {
    let (knowledge, snags, n) = read_all(folder)?;
    let text =
        format!("{snags}{}: {}", counted(knowledge.causes.len(), "cause", "causes"), counted(n, "snag", "snags"));
    Ok(Outcome { text, code: u8::from(n > 0) })
}

/// Counts the entries of each kind.
///
/// # Errors
/// If the folder cannot be read.
pub fn stats(folder: Option<&Path>) -> Result<Outcome, String> {
    let (k, _, n) = read_all(folder)?;
    let rows = [
        ("causes", k.causes.len()),
        ("complaints", k.complaints.len()),
        ("facets", k.facets.len()),
        ("signs", k.signs.len()),
        ("questions", k.questions.len()),
        ("remedies", k.remedies.len()),
        ("bike facts", k.facts.len()),
        ("cautions", k.cautions.len()),
        ("red flags", k.flags.len()),
        ("phrases", k.phrases.len()),
    ];
    let mut text: String = rows.iter().map(|(name, n)| format!("{n:>6} {name}\n")).collect();
    if n > 0 {
        text += &format!("{} beside these; `knowledge check` says where\n", counted(n, "snag", "snags"));
    }
    Ok(Outcome { text, code: 0 })
}
