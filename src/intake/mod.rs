//! From a rider's words to reports.
//!
//! The lexicon stands in the knowledge folder; here is only the matching: stems
//! in order within a clause, a word or two between them allowed, the longest
//! wording first. Word lists of the knowledge say how the words beside them are
//! meant ([`Manner`]): turned round, weakened, of another bike, no longer so.
//! What was heard is shown with the words that said it ([`Heard`]).
//!
//! Reading order: [`text`] (words to clauses), [`lexicon`] (clauses to wordings),
//! `manner` (how they are meant), `doubt` (what the other words speak against), `amounts`
//! (numbers with units), `works` (what was done, by the names of remedies), `take_down` (meanings to evidence),
//! [`guess`] (where nothing was understood), [`reports`] (reports told by name), [`flaws`] (wordings that fail their
//! author).

mod amounts;
mod doubt;
pub mod flaws;
pub mod guess;
pub mod lexicon;
mod manner;
pub mod reports;
mod take_down;
pub mod text;
mod works;

use std::collections::{BTreeMap, BTreeSet};

use itertools::Itertools;

use crate::graph::{Meaning, RemedyIx};
use crate::inference::evidence::Evidence;
use crate::knowledge::terms::{Manner, Reporter, Venue, Word};
use crate::words::stems::Token;
use doubt::{Doubt, Spoken};
pub use lexicon::Lexicon;
use lexicon::Match;
use manner::Tone;
use take_down::TakeDown;
use text::Clause;
use works::Speech;

/// Longest text that is heard, in bytes; what follows is left out and said to be.
pub const LONGEST: usize = 20_000;

/// The answer heard of a remedy that changed nothing.
pub const TRIED: &str = "tried";

/// So few words beside a "still" tell of nothing else.
const BARELY: usize = 2;

/// Most clauses that are said to have told nothing.
const MISSED: usize = 3;

/// One thing heard.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Heard {
    /// The words that said it.
    pub text: String,
    /// What was heard: an id as in reports.
    pub id: String,
    /// The answer understood.
    pub answer: String,
}

/// Words that fit several things.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unclear {
    /// The words.
    pub text: String,
    /// What they may mean, as `ID=ANSWER`.
    pub may_be: Vec<String>,
}

/// What a text gave.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Intake {
    /// Everything heard, in the order of the text.
    pub heard: Vec<Heard>,
    /// Words that fit several things, of which none was told otherwise.
    pub unclear: Vec<Unclear>,
    /// Aspects told otherwise in an earlier text that are mended here.
    pub instead: Vec<String>,
    /// Clauses that speak of the bike and told nothing.
    pub missed: Vec<String>,
    /// True if the text was too long and its end was not heard.
    pub cut: bool,
}

impl Intake {
    /// Adds what was heard to what was heard in earlier texts.
    pub fn add_to(self, heard: &mut Vec<Heard>) {
        // Of a sign the last answer counts, as it does in the evidence.
        let end_of = |h: &Heard, new: &Heard| h.id.split_once('@').is_some_and(|(root, _)| root == new.id);
        let again = |h: &Heard| {
            let same = |new: &&Heard| new.id == h.id || end_of(h, new);
            self.heard.iter().filter(same).any(|new| new.answer != h.answer && !h.id.contains('.'))
        };
        heard.retain(|h| !self.instead.contains(&h.id) && !again(h));
        heard.extend(self.heard);
    }
}

/// A wording found in a text, and how it was meant.
pub(crate) struct Hit<'g> {
    /// The words.
    pub said: String,
    /// How they are meant.
    pub tone: Tone,
    /// What they mean.
    pub means: &'g [Meaning],
    /// What else they may mean.
    pub or: &'g [Meaning],
    /// Remedies they say were done in vain.
    pub tried: &'g [RemedyIx],
    /// Part, clause and sentence in which they stand, numbered through the text.
    pub at: [usize; 3],
    /// True if they come in place of what was told in earlier texts.
    pub mends: bool,
    /// True if what was done there changed nothing.
    pub vain: bool,
}

impl Lexicon<'_> {
    /// True if a text says that somebody never does a thing, and tells nothing else.
    pub fn never_comes_about(&self, text: &str) -> bool {
        let clauses = self.reader.clauses(text);
        !clauses.is_empty() && clauses.iter().all(|clause| manner::never_done(clause).is_some())
    }

    /// True if a text says that what was done changed nothing.
    pub fn changed_nothing(&self, text: &str) -> bool {
        self.reader.clauses(text).iter().any(|clause| clause.has(Manner::Vain))
    }

    /// The remedies that a text says were done, whatever came of it; `chances` say how likely each was tried.
    pub fn works_done(&self, text: &str, chances: &BTreeMap<RemedyIx, f64>) -> Vec<RemedyIx> {
        let clauses = self.reader.clauses(text);
        let speech = Speech { reader: &self.reader, text, clauses: &clauses };
        let all = 0..clauses.len();
        all.flat_map(|number| self.works.done(&speech, number, &[], chances)).unique().collect()
    }

    /// Hears a text and adds what it says to the evidence.
    pub fn hear(&self, text: &str, by: Reporter, at: Venue, evidence: &mut Evidence) -> Intake {
        let mut end = text.len().min(LONGEST);
        while !text.is_char_boundary(end) {
            end -= 1;
        }
        let shown = text.get(..end).unwrap_or_default();
        let clauses = self.reader.clauses(shown);
        let (mut found, mut over) = (Vec::new(), Vec::new());
        let mut missed = Vec::new();
        let (mut words_told, mut done) = (Vec::new(), Vec::new());
        let mut carried = manner::Carried::default();
        // Numbers that a gauge took are no words any more.
        let mut read = Vec::new();
        let told = amounts::take(self, shown, &clauses, evidence, &mut read);
        let withdrawn: BTreeSet<usize> =
            clauses.iter().filter(|c| c.has(Manner::Withdrawn)).map(|c| c.sentence).collect();
        for (number, clause) in clauses.iter().enumerate() {
            let mut deaf = manner::deaf(clause, withdrawn.contains(&clause.sentence), &mut carried);
            let is_read = |word: &Token| told.iter().any(|t| t.start <= word.span.start && word.span.end <= t.end);
            deaf.iter_mut().zip(&clause.words).filter(|(_, word)| is_read(word)).for_each(|(deaf, _)| *deaf = true);
            let gauged = clause.words.iter().any(is_read);
            // "Creak? None." denies what was asked.
            let denied = clauses.get(number + 1).is_some_and(|next| clause.asks && manner::only_denies(next));
            let not_found = clauses.get(number + 1).is_some_and(manner::finds_none);
            let same = |c: &&Clause| c.sentence == clause.sentence;
            let mends = clauses.iter().filter(same).any(manner::mends);
            let matches = self.matches(clause, &deaf);
            let words = |from: Option<&usize>, to: Option<&usize>| {
                let span = |i: Option<&usize>| i.and_then(|i| clause.words.get(*i)).map(|t| t.span.clone());
                let (from, to) = (span(from).unwrap_or_default(), span(to).unwrap_or_default());
                shown.get(from.start..to.end).unwrap_or_default().to_owned()
            };
            let open = || clause.counting.iter().copied().filter(|i| deaf.get(*i) != Some(&true));
            let telling = || open().filter(|i| self.reader.telling(clause.stem(*i))).count();
            let unheard = !clause.whole && matches.is_empty() && telling() > 1;
            let told = manner::tones(clause, &deaf, &matches);
            let not_so = manner::denied(clause, &told);
            // A clause of everyday words may hold two that riders use too; with three it speaks of the bike.
            if !clause.whole && (matches.iter().any(|m| !m.phrase.is_guard()) || telling() > 2) {
                let so = open().filter(|i| not_so.get(*i) != Some(&true));
                let words = so.filter_map(|i| self.graph.tellings.word(clause.stem(i)));
                words_told.extend(words.map(|word| (clause.sentence, word)));
            }
            if unheard && !gauged && clause.counting.len() > 2 && missed.len() < MISSED {
                missed.push(words(clause.counting.first(), clause.counting.last()));
            }
            let in_vain = in_vain(&clauses, number);
            let vain = in_vain.is_some();
            if vain && !clause.whole && !matches.iter().any(|m| !m.phrase.tried.is_empty()) {
                let at = [clause.parts.first().copied().unwrap_or(0), number, clause.sentence];
                let said = words(clause.counting.first(), clause.counting.last());
                let tone = Tone::PLAIN;
                let complains = |m: &&Match<'_>| m.phrase.means.iter().any(|m| matches!(m, Meaning::Complaint(_)));
                let mut deaf = deaf.clone();
                let complaint = matches.iter().filter(complains).flat_map(|m| &m.words);
                complaint.for_each(|i| deaf.get_mut(*i).into_iter().for_each(|deaf| *deaf = true));
                done.push((in_vain, Hit { said, tone, means: &[], or: &[], tried: &[], at, mends, vain }, deaf));
            }
            for (hit, tone) in told {
                let means = &hit.phrase.means;
                let sign = !means.is_empty() && means.iter().all(|m| matches!(m, Meaning::Sign(_)));
                let denied = denied || (not_found && sign && !tone.negated);
                let tone = Tone { negated: tone.negated != denied, ..tone };
                let (first, last) = (hit.words.iter().min(), hit.words.iter().max());
                let part = first.and_then(|f| clause.parts.get(*f)).copied().unwrap_or(0);
                let (said, at) = (words(first, last), [part, number, clause.sentence]);
                let vain = vain && !tone.negated;
                let meant =
                    |tone: Tone, means| Hit { said: said.clone(), tone, means, or: &[], tried: &[], at, mends, vain };
                if tone.over {
                    over.push(meant(tone, &hit.phrase.means));
                    continue;
                }
                if !hit.phrase.denies.is_empty() {
                    let tone = Tone { negated: !tone.negated, ceases: false, sound: false, ..tone };
                    found.push(meant(tone, &hit.phrase.denies));
                }
                let tried: &[RemedyIx] = if vain { &hit.phrase.tried } else { &[] };
                found.push(Hit { or: &hit.phrase.or, tried, ..meant(tone, &hit.phrase.means) });
            }
        }
        let usual = self.usual.get_or_init(|| Spoken::of(self.graph, &[]));
        let doubt = Doubt::of(self.graph, usual, &words_told);
        let (doubted, found): (Vec<Hit<'_>>, _) = found.into_iter().partition(|hit| doubt.is_cast_on(hit));
        evidence.telling.add(self.graph, words_told.into_iter().map(|(_, word)| word));
        missed.extend(doubted.into_iter().map(|hit| hit.said).take(MISSED.saturating_sub(missed.len())));
        let mut take = TakeDown::new(self.graph, by, at, evidence);
        take.all(&found);
        let chances = if done.is_empty() { BTreeMap::new() } else { take.chances_of_remedies() };
        let speech = Speech { reader: &self.reader, text: shown, clauses: &clauses };
        for (in_vain, hit, deaf) in &done {
            // "Sealant topped up, still runny": there something else goes on.
            let complains = |h: &&Hit<'_>| h.means.iter().any(|m| matches!(m, Meaning::Complaint(_)));
            let goes_on = |n: usize| found.iter().filter(complains).any(|h| h.at[1] == n);
            let says = |n: usize| clauses.get(n).is_some_and(|c| c.has(Manner::Vain) || c.counting.len() <= BARELY);
            if !in_vain.is_some_and(|n| says(n) || goes_on(n)) {
                continue;
            }
            let works = self.works.done(&speech, hit.at[1], deaf, &chances);
            works.into_iter().for_each(|remedy| take.tried(&found, hit, remedy));
        }
        over.iter().for_each(|hit| take.denied(hit));
        let (mut heard, unclear, instead) = take.done();
        heard.extend(read);
        Intake { heard, unclear, instead, missed, cut: end < text.len() }
    }
}

/// The clause that says that what another tells was done has changed nothing: itself, or one straight after it.
fn in_vain(clauses: &[Clause], number: usize) -> Option<usize> {
    let own = clauses.get(number)?;
    let next = clauses.iter().enumerate().skip(number + 1);
    let follows = next.take_while(|(_, c)| c.sentence <= own.sentence + 1).take(2);
    // "Tightened it, the click is gone but the gears are still the same": what stayed is another thing.
    let better = |c: &Clause| {
        c.words.iter().any(|t| matches!(t.stem.as_str(), "better" | "help"))
            && !c.has(Manner::Vain)
            && !c.has(Manner::Negates)
    };
    let over = |(_, c): &(usize, &Clause)| !c.has(Manner::Ceases) && !c.has(Manner::Over) && !better(c);
    let mut told = std::iter::once((number, own)).chain(follows).take_while(over);
    told.find(|(_, c)| c.has(Manner::Vain) || c.has(Manner::GoesOn)).map(|(n, _)| n)
}
