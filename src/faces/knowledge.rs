//! `knowledge check` and `knowledge stats`.

use std::path::Path;

use super::Outcome;
use crate::graph::build::build;
use crate::graph::draw::{Scope, picture};
use crate::inference::evidence::Evidence;
use crate::intake::Lexicon;
use crate::intake::flaws::{Flaw, flaws};
use crate::knowledge::terms::{Reporter, Venue};
use crate::knowledge::{Knowledge, read};
use crate::snag::Snag;
use crate::words::counted;

fn read_all(folder: Option<&Path>) -> Result<(Knowledge, String, usize), String> {
    let (sources, mut snags) = match folder {
        Some(folder) => read::folder(folder).map_err(|s| s.to_string())?,
        None => (read::built_in(), Vec::new()),
    };
    let (knowledge, more) = Knowledge::load(vec![sources]);
    snags.extend(more);
    snags.extend(of_words(&knowledge));
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
    flaws(&Lexicon::of(&graph)).into_iter().map(snag).collect()
}

/// Finds entries whose name or words hold these words, and what is heard in them as a rider's.
///
/// # Errors
/// If the folder cannot be read.
pub fn find(word: &str, folder: Option<&Path>) -> Result<Outcome, String> {
    let (k, _, _) = read_all(folder)?;
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
