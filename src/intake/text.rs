//! From text to clauses: words folded, slips mended, marks set.
//!
//! A mark is a word or two of a word list ([`Manner`]): it says how the words
//! beside it are meant. A clause ends at a point, a comma or a turning word; a
//! comma after a circumstance ("when I coast, ...") ends nothing.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::ops::Range;

use itertools::Itertools;

use crate::graph::Reading;
use crate::knowledge::terms::Manner;
use crate::words::stems::{Stems, Token};

/// A clause without a point or comma ends here: nobody's negation reaches so far.
const LONGEST_CLAUSE: usize = 80;

/// What an unknown word is read as that is said twice.
const NOISE: &str = "nois";

/// A part of a sentence in which a negation or a circumstance holds.
#[derive(Debug, Clone, Default)]
pub struct Clause {
    /// All its words.
    pub words: Vec<Token>,
    /// Positions of the words that count.
    pub counting: Vec<usize>,
    /// For each word, which part of the clause it belongs to: numbered through the whole text.
    pub parts: Vec<usize>,
    /// What each word does to the clause by itself.
    pub roles: Vec<Vec<Manner>>,
    /// Marks, in order, with the words they cover.
    pub marks: Vec<(Manner, Range<usize>)>,
    /// Which sentence it belongs to.
    pub sentence: usize,
    /// True if a turning word stands before it.
    pub turned: bool,
    /// True if it ends as a heading or a question does.
    pub asks: bool,
    /// True if it is told piece by piece beside it: only what holds a turning word counts here.
    pub whole: bool,
}

impl Clause {
    /// Marks of one manner.
    pub fn marked(&self, manner: Manner) -> impl Iterator<Item = &Range<usize>> {
        self.marks.iter().filter(move |(m, _)| *m == manner).map(|(_, at)| at)
    }

    /// Where its parts stand in the text: what an "and" joins are two.
    pub fn pieces(&self) -> Vec<Range<usize>> {
        let numbered = self.words.iter().zip(&self.parts);
        let pieces = numbered.chunk_by(|(_, part)| **part);
        let spans = pieces.into_iter().filter_map(|(_, piece)| {
            let spans: Vec<&Range<usize>> = piece.map(|(word, _)| &word.span).collect();
            Some(spans.first()?.start..spans.last()?.end)
        });
        spans.collect()
    }

    /// True if the word in this place does this.
    pub fn plays(&self, at: usize, role: Manner) -> bool {
        self.roles.get(at).is_some_and(|roles| roles.contains(&role))
    }

    /// True if any of its words does this.
    pub fn holds(&self, role: Manner) -> bool {
        (0..self.words.len()).any(|at| self.plays(at, role))
    }

    /// The stem of the word in this place; none beyond its end.
    pub fn stem(&self, at: usize) -> &str {
        self.words.get(at).map_or("", |t| t.stem.as_str())
    }

    /// True if any mark of this manner stands here.
    pub fn has(&self, manner: Manner) -> bool {
        self.marked(manner).next().is_some()
    }
}

/// Reads texts with the word lists of the knowledge.
pub struct Reader {
    /// Turns words into stems.
    pub stems: Stems,
    /// By first stem: the stems of a listed wording and what it does, longest first.
    lists: HashMap<String, Vec<(Vec<String>, Manner)>>,
    /// By stem: what one word does by itself.
    roles: HashMap<String, Vec<Manner>>,
    /// Words that are no slips.
    plain: BTreeSet<String>,
    known: Known,
}

impl Reader {
    /// Prepares reading.
    pub fn new(reading: &Reading) -> Self {
        let stems = reading.stems();
        let mut lists: HashMap<String, Vec<(Vec<String>, Manner)>> = HashMap::new();
        for (manner, says) in reading.lists.iter().filter(|(m, _)| m.marks()) {
            for words in says.iter().map(|say| stems.all(say)) {
                if let Some(first) = words.first() {
                    lists.entry(first.clone()).or_default().push((words, *manner));
                }
            }
        }
        lists.values_mut().for_each(|list| list.sort_by_key(|(words, _)| usize::MAX - words.len()));
        let mut roles: HashMap<String, Vec<Manner>> = HashMap::new();
        for (manner, says) in reading.lists.iter().filter(|(m, _)| m.is_role()) {
            for word in says.iter().filter(|say| !say.contains(' ')).flat_map(|say| stems.all(say)) {
                roles.entry(word).or_default().push(*manner);
            }
        }
        let plain = reading.words(Manner::Plain).flat_map(|say| stems.all(say)).collect();
        Self { stems, lists, roles, plain, known: Known::default() }
    }

    /// These stems and every stem met so far are known from here on; others may be slips of one.
    pub fn knows<'s>(&mut self, stems: impl IntoIterator<Item = &'s str>) {
        let mut all = self.stems.met();
        all.extend(stems.into_iter().map(str::to_owned));
        self.known = Known::of(all);
    }

    /// True if the stem belongs to the lexicon and is no common word.
    pub fn telling(&self, stem: &str) -> bool {
        stem.len() > 3 && self.known.has(stem) && !self.is_idle(stem)
    }

    /// True of a common word, or one that begins a mark.
    pub fn is_idle(&self, stem: &str) -> bool {
        self.is_common(stem) || self.lists.contains_key(stem)
    }

    /// True of a common word, which names no part.
    pub fn is_common(&self, stem: &str) -> bool {
        self.plain.contains(stem) || self.stems.is_small(stem)
    }

    /// What a word does by itself.
    fn roles(&self, stem: &str) -> &[Manner] {
        self.roles.get(stem).map_or(&[], Vec::as_slice)
    }

    /// Splits a text into clauses.
    pub fn clauses(&self, text: &str) -> Vec<Clause> {
        let mut slips: HashMap<String, Option<String>> = HashMap::new();
        let mut out = Cutter { reader: self, clauses: Vec::new(), run: Vec::new(), sentence: 0, part: 0 };
        for (between, tokens) in self.stems.read(text) {
            out.between(between, tokens.first().map_or("", |t| t.stem.as_str()));
            for mut token in tokens {
                if !self.plain.contains(&token.stem) {
                    let mend = || self.known.nearest(&token.stem).map(str::to_owned);
                    if let Some(right) = slips.entry(token.stem.clone()).or_insert_with(mend) {
                        token.stem = right.clone();
                    }
                }
                let sounds = self.is_sound(&token.stem) && out.run.last().is_some_and(|t| t.stem == token.stem);
                out.run.push(token);
                if sounds {
                    let said = out.run.len() - 2;
                    out.run.iter_mut().skip(said).for_each(|t| NOISE.clone_into(&mut t.stem));
                }
            }
            if out.run.len() >= LONGEST_CLAUSE {
                out.end();
            }
        }
        out.end();
        if let Some(last) = out.clauses.last_mut().filter(|_| text.trim_end().ends_with('?')) {
            last.asks = true;
        }
        out.clauses
    }

    /// True of a word that nobody knows: said twice, it is a sound ("scrrr scrrr").
    fn is_sound(&self, stem: &str) -> bool {
        let word = stem.chars().count() > 2 && stem.chars().all(char::is_alphabetic);
        word && !self.known.has(stem) && !self.plain.contains(stem) && !self.stems.is_small(stem)
    }

    /// Marks in a run of words, the longest first at each place.
    fn marks(&self, words: &[Token]) -> Vec<(Manner, Range<usize>)> {
        let mut marks = Vec::new();
        let mut at = 0;
        while let Some(token) = words.get(at) {
            let fits = |(list, _): &&(Vec<String>, Manner)| {
                list.iter().enumerate().all(|(i, stem)| words.get(at + i).is_some_and(|t| t.stem == *stem))
            };
            match self.lists.get(&token.stem).and_then(|lists| lists.iter().find(fits)) {
                Some((list, manner)) => {
                    marks.push((*manner, at..at + list.len()));
                    at += list.len();
                }
                None => at += 1,
            }
        }
        marks
    }
}

/// Cuts a stream of words into clauses.
struct Cutter<'r> {
    reader: &'r Reader,
    clauses: Vec<Clause>,
    run: Vec<Token>,
    sentence: usize,
    part: usize,
}

impl Cutter<'_> {
    /// What stands before a word.
    fn between(&mut self, text: &str, word: &str) {
        let asks = text.contains(['?', ':']);
        if text.contains(['.', '!', '?', '\u{2026}']) || text.matches('\n').count() > 1 {
            self.end();
            self.sentence += 1;
        } else if text.contains([';', ':', '(', ')', '\u{2013}', '\u{2014}', '|', '\u{2022}', '*'])
            || text.contains(" /")
            || text.contains(" -")
            || text.contains("- ")
            || text.contains("--")
        {
            self.end();
        } else if text.contains(',') {
            let marks = self.reader.marks(&self.run);
            let turn = marks.iter().rev().find(|(m, _)| *m == Manner::Turns).map_or(0, |(_, at)| at.end);
            // "Creaks when I pedal, gone when I coast": there the circumstance belongs to what stands before it.
            let told = |i: usize| self.run.get(i).is_some_and(|t| self.reader.telling(&t.stem));
            let plays = |stem: &str, role: Manner| self.reader.roles(stem).contains(&role);
            let narrows = |i: usize| self.run.get(i).is_some_and(|t| plays(&t.stem, Manner::Narrows));
            let leads = |at: usize| at == turn || (at == turn + 1 && (narrows(turn) || !told(turn)));
            let goes_on = marks.iter().any(|(m, at)| *m == Manner::When && leads(at.start));
            if goes_on || plays(word, Manner::Relates) {
                // "When I coast, it stops": the circumstance belongs to what follows.
                return;
            }
            self.end();
        }
        if let Some(last) = self.clauses.last_mut().filter(|_| asks && self.run.is_empty()) {
            last.asks = true;
        }
    }

    fn end(&mut self) {
        let words = self.reader.stems.as_one(std::mem::take(&mut self.run));
        let marks = self.reader.marks(&words);
        let turns: Vec<Range<usize>> =
            marks.iter().filter(|(m, _)| *m == Manner::Turns).map(|(_, at)| at.clone()).collect();
        if turns.iter().any(|at| at.start > 0) {
            self.clause(words.clone(), false);
            if let Some(whole) = self.clauses.last_mut() {
                whole.whole = true;
            }
        }
        let (mut from, mut turned) = (0, false);
        for turn in turns.into_iter().chain(std::iter::once(words.len()..words.len())) {
            let piece = words.get(from..turn.start).unwrap_or_default().to_vec();
            if !piece.is_empty() {
                self.clause(piece, turned);
            }
            (from, turned) = (turn.end, true);
        }
        self.part += 1;
    }

    fn clause(&mut self, words: Vec<Token>, turned: bool) {
        let mut parts = Vec::with_capacity(words.len());
        let roles: Vec<Vec<Manner>> = words.iter().map(|word| self.reader.roles(&word.stem).to_vec()).collect();
        for roles in &roles {
            if roles.contains(&Manner::Joins) {
                self.part += 1;
            }
            parts.push(self.part);
        }
        self.part += 1;
        let counting =
            (0..words.len()).filter(|i| words.get(*i).is_some_and(|t| !self.reader.stems.is_small(&t.stem))).collect();
        let marks = self.reader.marks(&words);
        self.clauses.push(Clause {
            words,
            counting,
            parts,
            roles,
            marks,
            sentence: self.sentence,
            turned,
            asks: false,
            whole: false,
        });
    }
}

/// Known stems, kept so that the nearest to a slip is found soon.
#[derive(Default)]
struct Known {
    all: BTreeSet<String>,
    /// By first letter: the set of letters, the number of letters, the stem.
    by_first: BTreeMap<char, Vec<(u32, usize, String)>>,
}

impl Known {
    fn of(all: BTreeSet<String>) -> Self {
        let mut by_first: BTreeMap<char, Vec<(u32, usize, String)>> = BTreeMap::new();
        for stem in &all {
            let length = stem.chars().count();
            if let Some(first) = stem.chars().next().filter(|_| length >= 4) {
                by_first.entry(first).or_default().push((letters(stem), length, stem.clone()));
            }
        }
        Self { all, by_first }
    }

    fn has(&self, stem: &str) -> bool {
        self.all.contains(stem)
    }

    /// Mends a slip: the known stem one letter away (two in long words), same
    /// first letter; in short words no letter stands for another.
    fn nearest(&self, stem: &str) -> Option<&str> {
        let length = stem.chars().count();
        if !(4..=24).contains(&length) || self.has(stem) || stem.bytes().any(|b| b.is_ascii_digit()) {
            return None;
        }
        let allowed = if length >= 8 { 2 } else { 1 };
        let own = letters(stem);
        let near = |(set, long, _): &&(u32, usize, String)| {
            let apart = (set ^ own).count_ones() as usize;
            // Short words differ by one letter from too many others.
            let short = (length > 4 && *long != length) || (apart == 0 && *long == length);
            long.abs_diff(length) <= allowed && apart <= 2 * allowed && (length > 5 || short)
        };
        let candidates = self.by_first.get(&stem.chars().next()?)?;
        let measured =
            candidates.iter().filter(near).map(|(_, _, known)| (strsim::damerau_levenshtein(stem, known), known));
        measured.filter(|(distance, _)| *distance <= allowed).min().map(|(_, known)| known.as_str())
    }
}

/// The set of a word's letters, as bits.
fn letters(word: &str) -> u32 {
    word.bytes().filter(u8::is_ascii_lowercase).fold(0, |set, b| set | 1 << (b - b'a'))
}
