//! `knowledge check`, `find`, `draw` and `stats`.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use clap::Args;

use super::Outcome;
use crate::built_in;
use crate::graph::build::build;
use crate::graph::draw::{Scope, picture};
use crate::inference::evidence::Evidence;
use crate::intake::Lexicon;
use crate::intake::flaws::{Flaw, flaws};
use crate::knowledge::check::wording;
use crate::knowledge::terms::{Reporter, Venue};
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
    let built_in = built_in::sources();
    let Some(folder) = folder else {
        let own = built_in.iter().map(|s| s.name.clone()).collect();
        let (knowledge, mut snags) = Knowledge::load(vec![built_in]);
        snags.extend(of_words(&knowledge));
        return Ok(Reading { knowledge, snags, own });
    };
    let (sources, mut snags) = read::folder(folder).map_err(|s| s.to_string())?;
    let own = sources.iter().map(|s| s.name.clone()).collect();
    let (knowledge, more) = Knowledge::load(if alone { vec![sources] } else { vec![built_in, sources] });
    snags.extend(more);
    snags.extend(of_words(&knowledge));
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

/// Wordings that are not heard, or are heard two ways: found by hearing each.
pub fn of_words(knowledge: &Knowledge) -> Vec<Snag> {
    let graph = build(knowledge);
    let snag = |flaw: Flaw| {
        let phrase = knowledge.phrases.iter().find(|p| p.id.value == flaw.phrase);
        let other = flaw.other.unwrap_or_default();
        let (code, headline, mend) = if flaw.contradicts {
            let headline = format!("`{}` is read like words of `{other}`, and both cannot be meant", flaw.say);
            ("two-meanings", headline, "take it out of one of the two, or add a word that tells them apart")
        } else if other.is_empty() {
            let headline = format!("`{}` is never heard: no word of it counts", flaw.say);
            ("unheard-wording", headline, "say it with words that carry something")
        } else {
            let headline = format!("`{}` is never heard: `{other}` takes its words", flaw.say);
            ("unheard-wording", headline, "make it longer than the other wording, or leave it out")
        };
        let place = phrase.and_then(|p| knowledge.place(&p.id));
        Snag { code, place, headline, nearest: None, mend: mend.to_owned() }
    };
    flaws(&Lexicon::of(&graph), knowledge).into_iter().map(snag).collect()
}

/// Finds entries whose name or words hold these words, and what is heard in them as a rider's.
///
/// # Errors
/// If the folder cannot be read.
pub fn find(word: &str, folder: Option<&Path>) -> Result<Outcome, String> {
    let k = read_all(folder, false)?.knowledge;
    let graph = build(&k);
    let lexicon = Lexicon::of(&graph);
    let stems = &lexicon.reader.stems;
    // Slips are mended and other spellings read as one, as when a rider speaks.
    let clauses = lexicon.reader.clauses(word);
    let wanted: Vec<&str> = clauses.iter().flat_map(|c| &c.words).map(|t| t.stem.as_str()).collect();
    let wanted: Vec<&str> = wanted.into_iter().filter(|s| !stems.is_small(s)).collect();
    let plain = word.to_lowercase();
    let mut rows: Vec<String> = Vec::new();
    let mut heard = Evidence::default();
    for h in lexicon.hear(word, Reporter::Rider, Venue::Home, &mut heard).heard {
        rows.push(format!("heard in these words: {}={}\n", h.id, h.answer));
    }
    for clause in &clauses {
        for found in lexicon.matches(clause, &[]) {
            let spoken = found.words.iter().filter_map(|i| word.get(clause.words.get(*i)?.span.clone()));
            let spoken = spoken.map(|word| format!("\"{word}\"")).collect::<Vec<_>>().join(" ");
            let entry = k.phrases.iter().find(|p| p.id.value == found.phrase.id);
            let place =
                entry.and_then(|p| k.place(&p.id)).map_or_else(String::new, |p| format!(" ({}:{})", p.file, p.line));
            rows.push(format!("heard by phrase {}: {spoken}{place}\n", found.phrase.id));
        }
    }
    let mut look = |kind: &str, id: &str, text: &str| {
        let words =
            || stems.all(text).into_iter().chain(stems.all(&id.replace(['-', '=', '.'], " "))).collect::<Vec<_>>();
        let by_stems = || {
            !wanted.is_empty() && {
                let words = words();
                wanted.iter().all(|w| words.iter().any(|x| x == w))
            }
        };
        if !plain.trim().is_empty() && (id.contains(&plain) || text.to_lowercase().contains(&plain) || by_stems()) {
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
    // Of a phrase only the wordings that hold the words are shown.
    for phrase in &k.phrases {
        phrase.say.iter().for_each(|say| look("phrase", phrase.id.as_str(), say));
    }
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
    let graph = super::graph(folder)?;
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
