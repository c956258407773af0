//! `knowledge check` and `knowledge stats`.

use std::path::Path;

use super::Outcome;
use crate::graph::build::build;
use crate::graph::draw::{Scope, picture};
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

/// Finds entries whose name or words hold a word.
///
/// # Errors
/// If the folder cannot be read.
pub fn find(word: &str, folder: Option<&Path>) -> Result<Outcome, String> {
    let (k, _, _) = read_all(folder)?;
    let wanted = word.to_lowercase();
    let mut rows: Vec<String> = Vec::new();
    let mut look = |kind: &str, id: &str, text: &str| {
        if id.contains(&wanted) || text.to_lowercase().contains(&wanted) {
            rows.push(format!("{kind} {id}: {text}\n"));
        }
    };
    k.complaints.iter().for_each(|e| look("complaint", e.id.as_str(), &e.name));
    for facet in &k.facets {
        facet.values.iter().for_each(|v| look("facet", &format!("{}={}", facet.id.value, v.id.value), &v.name));
    }
    k.signs.iter().for_each(|e| look("sign", e.id.as_str(), &e.name));
    k.causes.iter().for_each(|e| look("cause", e.id.as_str(), &e.name));
    k.questions.iter().for_each(|e| look("question", e.id.as_str(), &e.ask));
    k.remedies.iter().for_each(|e| look("remedy", e.id.as_str(), &e.name));
    k.phrases.iter().for_each(|e| look("phrase", e.id.as_str(), &e.say.join("; ")));
    let code = u8::from(rows.is_empty());
    if rows.is_empty() {
        rows.push(format!("nothing holds `{}`\n", crate::words::harmless(word)));
    }
    Ok(Outcome { text: crate::words::laid_out(&rows.concat(), 78), code })
}

/// Draws the surroundings of an entry, or an assembly: SVG to a file, or DOT as text.
///
/// # Errors
/// If nothing is called so, or the file cannot be written.
pub fn draw(name: &str, svg: Option<&Path>, folder: Option<&Path>) -> Result<Outcome, String> {
    let graph = build(&super::load(folder)?);
    let drawn = picture(&graph, &Scope::Entry(name.to_owned()));
    let drawn = drawn.or_else(|_| picture(&graph, &Scope::Assembly(name.to_owned()))).map_err(|e| e.to_string())?;
    let Some(path) = svg else { return Ok(Outcome { text: drawn.dot(), code: 0 }) };
    std::fs::write(path, drawn.svg()).map_err(|e| format!("`{}` cannot be written: {e}", path.display()))?;
    Ok(Outcome { text: format!("drawn to {}", path.display()), code: 0 })
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
