//! How what was found in a clause is meant: turned round, weakened, not at all.

use super::lexicon::Match;
use super::text::Clause;
use super::{Manner, Meaning, Word};

/// How many words before a match a negation reaches.
const REACH: usize = 3;
/// The same across a word that begins a circumstance: "does not do it so much when ...".
const REACH_TO_CIRCUMSTANCE: usize = 6;
/// Words after a no that it denies where no wording knows them.
const LACKED: usize = 2;
/// Words after a name-giving word that are a name.
const NAME: usize = 2;

/// True of a clause that comes in place of what was told before: "sorry, I meant the rear", "no, it has disc brakes".
pub fn mends(clause: &Clause) -> bool {
    let no = clause.plays(0, Manner::No) && (clause.words.len() == 1 || stands_alone(clause, 0));
    no || clause.holds(Manner::Mends)
}

/// True of the first word of a clause where speech follows it: "no, it has disc brakes".
fn stands_alone(clause: &Clause, at: usize) -> bool {
    at == 0 && clause.plays(1, Manner::Speaks)
}

/// True if one of these negations stands within three words before a mark.
fn turned_round(negations: &[usize], mark: usize) -> bool {
    negations.iter().any(|n| *n < mark && n + 3 >= mark)
}

/// Where a clause says that somebody never does a thing: what follows never came about, and nobody knows how it is.
pub fn never_done(clause: &Clause) -> Option<usize> {
    let denials = (1..clause.words.len()).filter(|i| matches!(clause.stem(*i), "not" | "never"));
    // "Even if I do not brake" tells when it does it.
    let open = |at: &usize| !clause.marked(Manner::When).any(|when| when.start < *at);
    denials.into_iter().filter(open).find(|at| {
        let person = (at.saturating_sub(2)..*at).any(|i| clause.plays(i, Manner::Persons));
        // Who cannot is kept from it by the bike.
        let able = (at.saturating_sub(2)..*at).any(|i| matches!(clause.stem(i), "can" | "could"));
        person && !able && (at + 1..at + 3).any(|i| clause.plays(i, Manner::Rides))
    })
}

/// How something is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tone {
    /// It is said not to be so.
    pub negated: bool,
    /// It is said with doubt.
    pub hedged: bool,
    /// It is said to stop then: of circumstances only.
    pub ceases: bool,
    /// The part is said to be as it should be.
    pub sound: bool,
    /// It is said to have been so and to be so no more.
    pub over: bool,
}

impl Tone {
    /// Said to be so, and nothing else.
    pub const PLAIN: Self = Self { negated: false, hedged: false, ceases: false, sound: false, over: false };

    /// True if it is denied, or only said of when it stops.
    pub fn doubts(self) -> bool {
        self.negated || self.ceases
    }

    /// The word of the answer.
    pub fn word(self) -> Word {
        match (self.negated, self.hedged) {
            (false, false) => Word::Sure,
            (false, true) => Word::ThinkSo,
            (true, true) => Word::ThinkNot,
            (true, false) => Word::SureNot,
        }
    }
}

/// What goes on into the next clause of a sentence.
#[derive(Default)]
pub struct Carried {
    /// The sentence that speaks of another bike.
    elsewhere: Option<usize>,
    /// The sentence in which a wish or a guess goes on with "and".
    aside: Option<usize>,
}

/// True of a clause that asks what might be so, and tells nothing: "is the head set loose?"
fn only_asks(clause: &Clause) -> bool {
    let thing = if asks_with_not(clause) { 2 } else { 1 };
    let about = clause.plays(0, Manner::Wonders) && clause.plays(thing, Manner::Things);
    clause.asks && about && !clause.holds(Manner::Bearable)
}

/// True of "isn't the loose wheel worse?": what stands in it is not denied.
fn asks_with_not(clause: &Clause) -> bool {
    clause.asks && clause.plays(0, Manner::Wonders) && clause.stem(1) == "not"
}

/// Which words of a clause say nothing of this bike as it is.
pub fn deaf(clause: &Clause, withdrawn: bool, carried: &mut Carried) -> Vec<bool> {
    let n = clause.words.len();
    let same = |at: Option<usize>| at == Some(clause.sentence) && !clause.turned;
    let goes_on = matches!(clause.stem(0), "and" | "or") && !clause.plays(1, Manner::Resumes);
    let aside = same(carried.aside) && goes_on;
    let mut deaf = vec![withdrawn || only_asks(clause) || aside || same(carried.elsewhere); n];
    carried.aside = carried.aside.filter(|_| aside);
    if clause.turned {
        carried.elsewhere = None;
    }
    let mut close = |from: usize, to: usize| deaf.iter_mut().take(to).skip(from).for_each(|d| *d = true);
    // "I never ride without it creaking" tells that it creaks.
    if let Some(at) = never_done(clause).filter(|_| !clause.has(Manner::Over)) {
        let ends = |i: &usize| clause.stem(*i) == "without" || clause.marked(Manner::Unless).any(|m| m.start == *i);
        let other = |i: &usize| clause.parts.get(*i) != clause.parts.get(at);
        close(at, (at..n).find(|i| ends(i) || other(i)).unwrap_or(n));
    }
    for (manner, at) in &clause.marks {
        match manner {
            Manner::Aside => {
                close(at.start, n);
                carried.aside = Some(clause.sentence);
            }
            Manner::Names => close(at.start, at.end + NAME),
            Manner::Unknown if !clause.plays(at.end, Manner::Presumes) => close(0, n),
            Manner::Elsewhere => {
                let likened = (at.start.saturating_sub(3)..=at.start).rev().find(|i| clause.plays(*i, Manner::Likens));
                close(likened.unwrap_or(0), n);
                if likened.is_none() {
                    carried.elsewhere = Some(clause.sentence);
                }
            }
            _ => {}
        }
    }
    deaf
}

/// The matches that say something, each with how it is meant.
pub fn tones<'m, 'g>(clause: &Clause, deaf: &[bool], matches: &'m [Match<'g>]) -> Vec<(&'m Match<'g>, Tone)> {
    let unless = clause.has(Manner::Unless);
    let heard = |at: &std::ops::Range<usize>| !deaf.get(at.start).copied().unwrap_or(false);
    let hedged = clause.marked(Manner::Hedges).any(heard);
    let within = |i: usize| matches.iter().any(|m| m.words.contains(&i));
    // "No the tyre is flat" mends what was said before, and denies nothing.
    let alone = |i: usize| clause.stem(i) == "no" && stands_alone(clause, i);
    let asking = |i: usize| i == 1 && asks_with_not(clause);
    let negations = clause.marked(Manner::Negates).map(|at| at.start).filter(|i| !alone(*i) && !asking(*i));
    let negations: Vec<usize> = negations.collect();
    // "No noise" denies the noise, and is when the circumstance beside it is not.
    let denies = |at: &&std::ops::Range<usize>| matches!(clause.stem(at.start), "no" | "not");
    let quiet: Vec<usize> = clause.marked(Manner::Ceases).filter(denies).map(|at| at.start).collect();
    // A negation that belongs to a wording has done its work.
    let free: Vec<usize> = negations.iter().copied().filter(|i| !within(*i)).collect();
    // But "no nail or stone" denies the stone too, though "no nail" is a wording.
    let denying = |i: usize| matches.iter().any(|m| !m.phrase.denies.is_empty() && m.words.contains(&i));
    let lasting: Vec<usize> = negations.iter().copied().filter(|i| denying(*i)).collect();
    let place = |word: usize| clause.counting.iter().take_while(|c| **c < word).count();
    let part = |word: usize| clause.parts.get(word).copied().unwrap_or(0);
    let whens: Vec<usize> = clause.marked(Manner::When).map(|at| at.start).collect();
    let said_of = |manner: Manner, m: &Match<'_>| {
        let own = m.words.first().map_or(0, |w| part(*w));
        clause.marked(manner).any(|at| {
            let own_word = |i: usize| m.words.contains(&i);
            // "The noise is gone since ..." is over, though the noise is heard with its "gone".
            let taken = if manner == Manner::Over { at.clone().all(own_word) } else { at.clone().any(own_word) };
            heard(at) && !turned_round(&negations, at.start) && !taken && part(at.start) == own
        })
    };
    let mut out = Vec::new();
    for (number, m) in matches.iter().enumerate() {
        let facts = m.phrase.means.iter().all(|x| matches!(x, Meaning::Fact(..)));
        let over = !facts && (said_of(Manner::Over, m) || (whens.is_empty() && is_gone(clause, m, &negations)));
        let first = m.words.iter().min().copied().unwrap_or(0);
        let last = m.words.iter().max().copied().unwrap_or(0);
        let reaches = |n: &usize| {
            let apart = place(first).saturating_sub(place(*n));
            let circumstance = whens.iter().any(|w| *n < *w && *w < first);
            let reach = if circumstance { REACH_TO_CIRCUMSTANCE } else { REACH };
            // It turns round the next thing said; others only in a row or as a circumstance of it.
            let between = matches.iter().take(number).any(|k| k.words.iter().any(|w| *w > *n && *w < first));
            let row = (*n..first).any(|i| matches!(clause.stem(i), "or" | "nor" | "and"));
            *n < first && apart <= reach && (!between || circumstance || row)
        };
        let told = m.phrase.means.iter().all(|x| matches!(x, Meaning::Value(..)));
        let or = |n: &&usize| (**n..first).any(|i| matches!(clause.stem(i), "or" | "nor"));
        let goes_on = lasting.iter().filter(or).any(&reaches);
        let before = usize::from(goes_on || free.iter().any(&reaches) || (!told && quiet.iter().any(&reaches)));
        let inside = free.iter().filter(|n| first < **n && **n < last).count();
        let negated = (before + inside) % 2 == 1 && !unless;
        let sound = said_of(Manner::Sound, m);
        let ceases = sound || said_of(Manner::Ceases, m);
        out.push((m, Tone { negated, hedged, ceases, sound, over }));
    }
    out
}

/// True if a part of a clause tells of something and says that it is gone: with a circumstance it is gone only then.
fn is_gone(clause: &Clause, m: &Match<'_>, negations: &[usize]) -> bool {
    let part = |word: usize| clause.parts.get(word).copied();
    let last = m.words.iter().max().copied().unwrap_or(0);
    clause.marked(Manner::Ceases).any(|at| {
        let gone = clause.plays(at.start, Manner::Vanished);
        gone && !turned_round(negations, at.start) && at.start > last && part(at.start) == part(last)
    })
}

/// Words of a clause that are said not to be so, or to be as they should: they speak for no cause.
pub fn denied(clause: &Clause, told: &[(&Match<'_>, Tone)]) -> Vec<bool> {
    let mut denied = vec![false; clause.words.len()];
    let part = |word: usize| clause.parts.get(word).copied();
    let whens = |within: &dyn Fn(usize) -> bool| clause.marked(Manner::When).any(|at| within(at.start));
    // "Fine in the small gears" is well there only.
    for at in clause.marked(Manner::Sound).filter(|at| !whens(&|when| part(when) == part(at.start))) {
        let here = denied.iter_mut().enumerate().filter(|(i, _)| part(*i) == part(at.start));
        here.for_each(|(_, d)| *d = told.iter().all(|(_, tone)| !tone.negated));
    }
    for (m, _) in told.iter().filter(|(m, tone)| tone.negated && !tone.ceases && says_what_is(m)) {
        denied.iter_mut().enumerate().filter(|(i, _)| m.words.contains(i)).for_each(|(_, d)| *d = true);
    }
    // "No mudguards or rack": what no wording knows is denied by the no before it.
    let within = |i: usize| told.iter().any(|(m, _)| m.words.contains(&i));
    let lacks = (0..clause.words.len()).filter(|i| matches!(clause.stem(*i), "no" | "without" | "nor" | "neither"));
    for no in lacks.filter(|i| !within(*i) && !stands_alone(clause, *i)) {
        let next = (no + 1..clause.words.len()).take_while(|i| !whens(&|when| when == *i) && !within(*i));
        for i in next.filter(|i| clause.counting.contains(i)).take(LACKED) {
            denied.get_mut(i).into_iter().for_each(|d| *d = true);
        }
    }
    denied
}

/// True of a match that tells what the bike does or shows, and not only when or where.
fn says_what_is(m: &Match<'_>) -> bool {
    m.phrase.means.iter().chain(&m.phrase.denies).any(|x| matches!(x, Meaning::Complaint(_) | Meaning::Sign(_)))
}

/// True of a clause that says that what was named before it was looked for in vain: "but there isn't one".
pub fn finds_none(clause: &Clause) -> bool {
    let from_end = |back: usize| clause.words.len().checked_sub(back).map_or("", |at| clause.stem(at));
    let found = matches!(from_end(2), "found" | "find" | "saw" | "see" | "was");
    let lacks = from_end(2) == "not" && matches!(from_end(1), "one" | "ani");
    clause.turned && (lacks || (found && from_end(1) == "none"))
}

/// True if a clause is nothing but a no.
pub fn only_denies(clause: &Clause) -> bool {
    clause.words.len() <= 3
        && clause.words.first().is_some_and(|t| matches!(t.stem.as_str(), "no" | "none" | "nope" | "never" | "not"))
}
