//! `knowledge check`, `find`, `draw` and `stats`.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use clap::Args;

use super::Outcome;
use crate::graph::build::build;
use crate::graph::draw::{Scope, picture};
use crate::knowledge::check::wording;
use crate::knowledge::{Knowledge, read};
use crate::review;
use crate::snag::Snag;
use crate::words::counted;

/// What to check, and what to show of it.
#[derive(Debug, Clone, Default, PartialEq, Eq, Args)]
pub struct Check {
    /// A folder laid over the built-in knowledge; only what is said of its own files is shown.
    pub folder: Option<PathBuf>,
    /// Shows the notes on wording as well.
    #[arg(long)]
    pub notes: bool,
    /// Asks inference too: near twins, causes that never lead, items that tell nothing. Shows all notes.
    #[arg(long)]
    pub deep: bool,
    /// Reads the folder alone, not laid over the built-in knowledge.
    #[arg(long, requires = "folder")]
    pub alone: bool,
}

/// Knowledge with all that is wrong with it, and the files that somebody is at work on.
struct Reading {
    knowledge: Knowledge,
    snags: Vec<Snag>,
    own: BTreeSet<String>,
}

/// Reads the built-in knowledge with a folder laid over it, or the folder alone.
fn read_all(folder: Option<&Path>, alone: bool) -> Result<Reading, String> {
    let built_in = read::built_in();
    let Some(folder) = folder else {
        let own = built_in.iter().map(|s| s.name.clone()).collect();
        let (knowledge, snags) = Knowledge::load(vec![built_in]);
        return Ok(Reading { knowledge, snags, own });
    };
    let (sources, mut snags) = read::folder(folder).map_err(|s| s.to_string())?;
    let own = sources.iter().map(|s| s.name.clone()).collect();
    let (knowledge, more) = Knowledge::load(if alone { vec![sources] } else { vec![built_in, sources] });
    snags.extend(more);
    Ok(Reading { knowledge, snags, own })
}

/// Says every snag of every file at once, then the notes, or how many there are.
///
/// Snags keep the program from answering, and give exit code 1; notes are advice to the author.
///
/// # Errors
/// If the folder cannot be read.
pub fn check(request: &Check) -> Result<Outcome, String> {
    let Reading { knowledge, snags, own } = read_all(request.folder.as_deref(), request.alone)?;
    let mut notes = wording::notes(&knowledge);
    // What inference would say of half-read knowledge is said of nothing.
    if request.deep && snags.is_empty() {
        notes.extend(review::notes(&knowledge));
    }
    knowledge.in_file_order(&mut notes);
    notes.retain(|n| n.place.as_ref().is_some_and(|p| own.contains(&p.file)));
    let mut text: String = snags.iter().map(|s| format!("{s}\n")).collect();
    if request.notes || request.deep {
        text.extend(notes.iter().map(|n| format!("{n}\n")));
    }
    text += &format!(
        "{}: {}, {}",
        counted(knowledge.causes.len(), "cause", "causes"),
        counted(snags.len(), "snag", "snags"),
        counted(notes.len(), "note", "notes")
    );
    if !notes.is_empty() && !request.notes && !request.deep {
        text += "; --notes shows them";
    }
    Ok(Outcome { text, code: u8::from(!snags.is_empty()) })
}

/// Finds entries whose name or words hold a word.
///
/// # Errors
/// If the folder cannot be read.
pub fn find(word: &str, folder: Option<&Path>) -> Result<Outcome, String> {
    let k = read_all(folder, false)?.knowledge;
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

/// Counts entries and numbers, and names the widest gaps.
///
/// # Errors
/// If the folder cannot be read.
pub fn stats(folder: Option<&Path>, alone: bool) -> Result<Outcome, String> {
    let Reading { knowledge: k, snags, .. } = read_all(folder, alone)?;
    let n = snags.len();
    let mut text = super::stats::text(&k);
    if n > 0 {
        text += &format!("{} beside these; `knowledge check` says where\n", counted(n, "snag", "snags"));
    }
    Ok(Outcome { text, code: 0 })
}
