//! Any lines in any order: what stands is what the answers that stand say, and
//! nothing else. The judge keeps its own list of what was told and asks inference
//! itself; of the session it only uses which question stands.

use std::collections::BTreeSet;

use knockwise::graph::{End, FaultGraph, QuestionIx, RemedyIx, SignIx, Topic};
use knockwise::inference::evidence::{Answer, Evidence, Repair, SignReport, read_sign, read_value};
use knockwise::inference::{Posterior, infer};
use knockwise::inquiry::{Situation, inquire};
use knockwise::intake::guess::{Guess, guess};
use knockwise::intake::{Heard, Lexicon, Unclear, reports};
use knockwise::knowledge::terms::{Reporter, Venue, Word};
use knockwise::session::command::TABLE;
use knockwise::session::{Session, faults, options};
use proptest::prelude::*;

use crate::scratch::built_in;

const RIDER: Situation = Situation { by: Reporter::Rider, at: Venue::Home };

/// Made ready once for each thread, and kept for good.
fn lexicon() -> &'static Lexicon<'static> {
    thread_local!(static LEXICON: &'static Lexicon<'static> = Box::leak(Box::new(Lexicon::of(built_in()))));
    LEXICON.with(|lexicon| *lexicon)
}

/// What somebody does. Numbers are taken round the end of what there is.
#[derive(Debug, Clone)]
enum Does {
    Says(&'static str),
    Answers(usize),
    CannotTell,
    Another,
    Undoes,
    Changes(usize),
    SaysWrong(usize),
    Tried(usize),
    Mends(usize),
    Same,
    Better,
    Worse,
    Looks(&'static str),
}

/// Long enough that none is taken for an answer.
const SPEECH: &[&str] = &[
    "something rubs once every turn of the wheel, it has disc brakes",
    "the rear brake squeals very loudly whenever I pull the lever on the way down",
    "it creaks when I push hard on the pedals up the hill",
    "my chain keeps slipping when I push hard uphill in the small gears",
    "since last week my e-bike stays dead when I press the button",
    "it is an e-bike and it is rather new and it stood all winter",
    "the lavender in the garden smells very nice today, do you not think so",
    "the front tyre loses air overnight and I do not know why that is",
];

fn does() -> impl Strategy<Value = Does> {
    prop_oneof![
        4 => prop::sample::select(SPEECH).prop_map(Does::Says),
        6 => (1usize..9).prop_map(Does::Answers),
        1 => Just(Does::CannotTell),
        1 => Just(Does::Another),
        3 => Just(Does::Undoes),
        2 => (1usize..6).prop_map(Does::Changes),
        1 => (1usize..6).prop_map(Does::SaysWrong),
        1 => (1usize..5).prop_map(Does::Tried),
        2 => (1usize..5).prop_map(Does::Mends),
        1 => Just(Does::Same),
        1 => Just(Does::Better),
        1 => Just(Does::Worse),
        2 => prop::sample::select(&["why", "likely", "heard", "ride", "reasons 2", "", "help", "99"][..]).prop_map(Does::Looks),
    ]
}

/// One thing told, as the judge writes it down.
#[derive(Debug, Clone)]
enum Entry {
    Speech(String),
    Answer(QuestionIx, usize),
    Skip(QuestionIx),
    Meant(String),
    Unclear,
    Wrong(String),
    Tried(RemedyIx, Option<End>, bool),
    /// The entry in this place no longer stands.
    Gone(usize),
}

/// The judge.
#[derive(Default)]
struct Judge {
    told: Vec<Entry>,
    mending: Option<(RemedyIx, Option<End>)>,
}

impl Judge {
    fn stands(&self) -> Vec<usize> {
        let gone: Vec<usize> =
            self.told.iter().filter_map(|e| if let Entry::Gone(at) = e { Some(*at) } else { None }).collect();
        (0..self.told.len()).filter(|at| !gone.contains(at)).collect()
    }

    /// Where no complaint has a name, the words alone may be plain enough.
    fn guess(&self, e: &mut Evidence, heard: &mut Vec<Heard>, clear: bool, missed: bool, last: Option<&String>) {
        if let Some(words) = last.filter(|_| clear)
            && let Some(Guess::Taken(event, taken)) = guess(built_in(), e, heard, missed, words)
            && !self.told.iter().any(|t| matches!(t, Entry::Wrong(id) if *id == taken.id))
        {
            e.events.push(event);
            heard.push(taken);
        }
    }

    fn evidence(&self) -> (Evidence, Vec<Heard>) {
        let (evidence, heard, _) = self.replayed();
        (evidence, heard)
    }

    /// The evidence, what stands as heard, and the ids of all that was ever heard, in order.
    fn replayed(&self) -> (Evidence, Vec<Heard>, Vec<String>) {
        let mut numbered: Vec<String> = Vec::new();
        let (g, lexicon) = (built_in(), lexicon());
        let mut e = Evidence::default();
        let mut heard: Vec<Heard> = Vec::new();
        let mut clear = true;
        let mut missed = false;
        let (mut guessed, mut last) = (false, None);
        for entry in self.stands().into_iter().map(|at| &self.told[at]) {
            // A guess stands from the first answer on, for that is about it.
            if !guessed && matches!(entry, Entry::Answer(..) | Entry::Skip(_) | Entry::Tried(..)) {
                guessed = true;
                self.guess(&mut e, &mut heard, clear, missed, last);
            }
            match entry {
                Entry::Speech(words) => {
                    last = Some(words);
                    let weighed = e.telling.clone();
                    let intake = lexicon.hear(words, RIDER.by, RIDER.at, &mut e);
                    clear &= intake.unclear.is_empty();
                    missed |= !intake.missed.is_empty() && e.telling != weighed;
                    intake.add_to(&mut heard);
                }
                Entry::Answer(q, option) => answer(g, &mut e, *q, *option),
                Entry::Meant(report) => {
                    reports::report(g, &mut e, report, RIDER.by, RIDER.at).unwrap();
                    let (id, answer) = report.split_once('=').unwrap();
                    heard.push(Heard { text: String::new(), id: id.to_owned(), answer: answer.to_owned() });
                }
                Entry::Skip(_) | Entry::Unclear | Entry::Gone(_) => {}
                Entry::Wrong(id) => {
                    heard.retain(|h| h.id != *id && h.id.split('.').next() != Some(id));
                    forget(g, &mut e, id);
                }
                Entry::Tried(remedy, end, better) => {
                    for (cause, works) in g.cured_by(*remedy).filter(|(c, _)| g.cause(*c).end == *end) {
                        // Better, not good: the cause it was for is gone in 7 of 10.
                        let works = if *better { 0.7 } else { works.by(RIDER.by) };
                        for event in 0..e.events.len() {
                            // The same work done twice is no second trial.
                            match e.repairs.iter_mut().find(|r| (r.cause, r.event) == (cause, event)) {
                                Some(before) => before.works = before.works.max(works),
                                None => e.repairs.push(Repair { cause, works, event }),
                            }
                        }
                    }
                }
            }
            numbered.extend(heard.iter().map(|h| h.id.clone()));
        }
        if !guessed {
            self.guess(&mut e, &mut heard, clear, missed, last);
        }
        numbered.extend(heard.iter().map(|h| h.id.clone()));
        let mut seen = BTreeSet::new();
        numbered.retain(|id| seen.insert(id.clone()));
        (e, heard, numbered)
    }

    /// The complaints that were first heard in what was told last.
    fn brought_last(&self) -> Vec<String> {
        let mut earlier = Self { told: self.told.clone(), mending: None };
        earlier.told.pop();
        let before = earlier.evidence().1;
        let complaint = |h: &Heard| {
            let root = h.id.split('#').next().unwrap();
            built_in().find_complaint(root).is_some() && matches!(h.answer.as_str(), "sure" | "think-so")
        };
        let new = |h: &Heard| complaint(h) && !before.iter().any(|old| old.id == h.id);
        self.evidence().1.into_iter().filter(new).map(|h| h.id).collect()
    }

    fn believes(&self) -> Option<Posterior> {
        let (e, _) = self.evidence();
        if e.says_nothing() { None } else { infer(built_in(), &e).ok() }
    }

    fn remedy(&self, n: usize) -> Option<(RemedyIx, Option<End>)> {
        let g = built_in();
        let (e, _) = self.evidence();
        let believes = self.believes()?;
        let cause = faults::ranked(g, &believes).get(n - 1)?.cause;
        let end = g.cause(cause).end;
        let unknown = |q: QuestionIx, n: usize| g.question(q).options.get(n).is_some_and(|o| o.means.is_empty());
        let skipped = self.stands().into_iter().filter_map(|at| match self.told[at] {
            Entry::Skip(q) => Some(q),
            Entry::Answer(q, n) if unknown(q, n) => Some(q),
            _ => None,
        });
        let skipped: Vec<QuestionIx> = skipped.collect();
        let planned = inquire(g, &e, &believes, RIDER, &skipped).ok()?.remedies;
        // What was tried comes last; of the rest what the plan has soonest.
        let tried = |r: RemedyIx| {
            self.stands()
                .into_iter()
                .any(|at| matches!(self.told[at], Entry::Tried(x, x_end, _) if x == r && x_end == end))
        };
        let place = |r: RemedyIx| planned.iter().position(|p| p.remedy == r && p.end == end).unwrap_or(planned.len());
        g.remedies_of(cause).map(|(r, _)| r).min_by_key(|r| (tried(*r), place(*r))).map(|r| (r, end))
    }

    fn tells(&mut self, entry: Entry) {
        self.told.push(entry);
        // What contradicts the rest is not taken.
        if infer(built_in(), &self.evidence().0).is_err() {
            self.told.pop();
        }
    }

    /// The line that is typed, and what it means where this question stands.
    fn does(&mut self, what: &Does, session: &Session<'_>) -> String {
        let (g, lexicon) = (built_in(), lexicon());
        let (standing, open) = (session.asking(), session.clearing());
        match what {
            Does::Says(words) => {
                let said = |at: usize| matches!(&self.told[at], Entry::Speech(before) if before == words);
                if self.stands().into_iter().any(said) {
                    return (*words).to_owned();
                }
                let (mut e, _) = self.evidence();
                let before = e.telling.clone();
                let heard = !lexicon.hear(words, RIDER.by, RIDER.at, &mut e).heard.is_empty();
                // Words that name nothing are weighed where there is something to weigh.
                if heard || (e.telling != before && !e.says_nothing()) {
                    self.tells(Entry::Speech((*words).to_owned()));
                }
                (*words).to_owned()
            }
            // What the last words brought in passing is asked about: a no takes it out.
            Does::Answers(n) if session.hint() == "yes or no" => {
                if *n == 2 {
                    self.brought_last().into_iter().for_each(|id| self.tells(Entry::Wrong(id)));
                }
                n.to_string()
            }
            Does::Answers(n) if open.is_some() => {
                if let Some(report) = open.and_then(|u: &Unclear| u.may_be.get(n - 1)) {
                    self.tells(Entry::Meant(report.clone()));
                }
                n.to_string()
            }
            // Where asking has ended a number is one of the list of causes.
            Does::Answers(n) if standing.is_none() => {
                let listed = |p: &Posterior| faults::worth_naming(&faults::ranked(g, p)).len();
                if self.believes().is_some_and(|p| *n <= listed(&p)) {
                    self.mending = self.remedy(*n).or(self.mending);
                }
                n.to_string()
            }
            Does::Answers(n) => {
                let offered = |q| options::offered(g, &self.evidence().0, q);
                if let Some((q, option)) = standing.and_then(|q| Some((q, *offered(q).get(n - 1)?))) {
                    self.tells(Entry::Answer(q, option));
                }
                n.to_string()
            }
            Does::CannotTell => {
                if open.is_some() {
                    self.tells(Entry::Unclear);
                } else if let Some(q) = standing {
                    self.tells(Entry::Skip(q));
                }
                "?".to_owned()
            }
            Does::Another => "another".to_owned(),
            Does::Undoes => {
                self.mending = None;
                self.told.pop();
                "undo".to_owned()
            }
            Does::Changes(n) => {
                let answers =
                    |at: &usize| matches!(self.told[*at], Entry::Answer(..) | Entry::Skip(_) | Entry::Tried(..));
                let place = self.stands().into_iter().filter(answers).nth(n - 1);
                if let Some(at) = place {
                    self.told.push(Entry::Gone(at));
                }
                format!("change {n}")
            }
            Does::SaysWrong(n) => {
                let (_, heard, numbered) = self.replayed();
                if let Some(id) = numbered.into_iter().nth(n - 1).filter(|id| heard.iter().any(|h| h.id == *id)) {
                    self.tells(Entry::Wrong(id));
                }
                format!("wrong {n}")
            }
            Does::Tried(n) => {
                if let Some((remedy, end)) = self.remedy(*n) {
                    // Open at which end, both were tried.
                    let fault = self.believes().and_then(|p| faults::ranked(built_in(), &p).into_iter().nth(n - 1));
                    if let Some(twin) = fault.and_then(|f| f.twin) {
                        self.told.push(Entry::Tried(remedy, built_in().cause(twin).end, false));
                    }
                    self.tells(Entry::Tried(remedy, end, false));
                }
                format!("tried {n}")
            }
            Does::Mends(n) => {
                self.mending = self.remedy(*n).or(self.mending);
                format!("mend {n}")
            }
            Does::Same | Does::Better | Does::Worse => {
                let better = matches!(what, Does::Better);
                // What did some good may be done once more.
                let mending = if better { self.mending } else { self.mending.take() };
                if let Some((remedy, end)) = mending {
                    self.tells(Entry::Tried(remedy, end, better));
                }
                format!("{what:?}").to_lowercase()
            }
            Does::Looks(line) => (*line).to_owned(),
        }
    }
}

/// An answer, written into the evidence by the judge's own hand.
fn answer(g: &FaultGraph, e: &mut Evidence, q: QuestionIx, option: usize) {
    let question = g.question(q);
    let mut report = |sign, answer| {
        let likelihood = read_sign(g, sign, answer, RIDER.by, RIDER.at, true);
        e.report_sign(SignReport { signs: vec![sign], by: RIDER.by, likelihood });
    };
    match &question.topic {
        Topic::Signs(signs) if question.options.is_empty() => {
            signs.iter().for_each(|s| report(*s, Answer::Word(Word::ALL[option])));
        }
        Topic::Signs(_) => {
            question.options[option].means.iter().for_each(|(s, a)| report(*s, Answer::read(a).unwrap()));
        }
        Topic::Facet(complaint, pos) => {
            let told = read_value(g, *complaint, *pos, option, RIDER.by, true);
            if let Some(event) = e.events.iter_mut().find(|x| x.complaint == *complaint) {
                event.facets.insert(*pos, told);
            }
        }
        Topic::Fact(fact) => e.know(g, *fact, option),
    }
}

/// Takes what an id names out of the evidence.
fn forget(g: &FaultGraph, e: &mut Evidence, id: &str) {
    if let Some((complaint, facet)) = id.split_once('.') {
        let complaint = g.find_complaint(complaint).unwrap();
        let pos = g.find_facet(complaint, facet).unwrap();
        e.events.iter_mut().filter(|x| x.complaint == complaint).for_each(|x| drop(x.facets.remove(&pos)));
    } else if let Some(complaint) = g.find_complaint(id) {
        // What was tried for a complaint goes with it; what was tried for another stays with that.
        let tried = std::mem::take(&mut e.repairs).into_iter().map(|r| (e.events[r.event].complaint, r));
        let tried: Vec<_> = tried.filter(|(whose, _)| *whose != complaint).collect();
        e.events.retain(|x| x.complaint != complaint);
        let place = |whose| e.events.iter().position(|x| x.complaint == whose).unwrap();
        e.repairs = tried.into_iter().map(|(whose, r)| Repair { event: place(whose), ..r }).collect();
    } else if let Some(fact) = g.find_fact(id) {
        e.facts.remove(&fact);
    } else {
        let signs = g.find_signs(id);
        e.signs.retain(|r| r.signs.iter().all(|s| !signs.contains(s)));
    }
}

#[track_caller]
fn same_belief(got: Option<&Posterior>, want: Option<&Posterior>) {
    assert_eq!(got.is_some(), want.is_some());
    let (Some(got), Some(want)) = (got, want) else { return };
    for (a, b) in got.present.iter().zip(&want.present).chain(got.brings_any.iter().zip(&want.brings_any)) {
        assert!((a - b).abs() < 1e-12, "{a} instead of {b}");
    }
    assert!((got.log_evidence - want.log_evidence).abs() < 1e-9);
}

/// The sitting kept and taken up again.
fn again(session: &Session<'_>) -> Session<'static> {
    Session::resume(built_in(), &session.kept().join("\n")).unwrap()
}

fn config(cases: u32) -> ProptestConfig {
    let cases = std::env::var("PROPTEST_CASES").ok().and_then(|n| n.parse().ok()).unwrap_or(cases);
    ProptestConfig { cases, failure_persistence: None, ..ProptestConfig::default() }
}

proptest! {
    #![proptest_config(config(40))]

    #[test]
    fn what_stands_is_what_the_answers_that_stand_say(all in prop::collection::vec(does(), 1..14)) {
        let mut session = Session::new(built_in(), RIDER);
        let mut judge = Judge::default();
        for what in &all {
            let line = judge.does(what, &session);
            session.step(&line);
            same_belief(session.posterior(), judge.believes().as_ref());
        }
        // Taken back to the beginning, nothing is left.
        for _ in 0..judge.told.len() {
            session.step("undo");
        }
        prop_assert!(session.kept().iter().all(|l| l.starts_with("asking")), "{:?}", session.kept());
        prop_assert!(session.posterior().is_none());
    }

    #[test]
    fn kept_and_taken_up_anywhere_it_goes_on_the_same(
        before in prop::collection::vec(does(), 1..8),
        after in prop::collection::vec(does(), 1..4),
    ) {
        let mut session = Session::new(built_in(), RIDER);
        let mut judge = Judge::default();
        for what in &before {
            let line = judge.does(what, &session);
            session.step(&line);
        }
        let mut taken_up = again(&session);
        prop_assert_eq!(taken_up.kept(), session.kept());
        prop_assert_eq!(taken_up.asking(), session.asking());
        prop_assert_eq!(taken_up.prompt(), session.prompt());
        prop_assert_eq!(taken_up.hint(), session.hint());
        // What was said on the screen before is said again once; from there on it is the same.
        session.step("");
        taken_up.step("");
        for what in &after {
            let line = judge.does(what, &session);
            prop_assert_eq!(taken_up.step(&line), session.step(&line), "at {}", line);
        }
    }

    #[test]
    fn no_line_in_any_state_ends_badly(lines in prop::collection::vec(any_line(), 1..12)) {
        let mut session = Session::new(built_in(), RIDER);
        for line in &lines {
            let reply = if line == "\u{3}" { session.leave_question() } else { session.step(line) };
            prop_assert!(!reply.text.trim().is_empty(), "{:?} was not answered", line);
            prop_assert!(!session.hint().is_empty());
        }
        let mut taken_up = again(&session);
        prop_assert_eq!(taken_up.kept(), session.kept());
        prop_assert_eq!(taken_up.step("likely"), session.step("likely"));
    }
}

/// Every word of the table with and without numbers, numbers, short words, speech, and no words at all.
fn any_line() -> impl Strategy<Value = String> {
    let words: Vec<&'static str> = TABLE.iter().flat_map(|e| e.also.iter().copied().chain([e.word])).collect();
    let number = prop_oneof![4 => (0u64..12).boxed(), 1 => any::<u64>().boxed()];
    prop_oneof![
        3 => prop::sample::select(words.clone()).prop_map(str::to_owned),
        3 => (prop::sample::select(words), number.clone()).prop_map(|(w, n)| format!("{w} {n}")),
        3 => number.prop_map(|n| n.to_string()),
        1 => prop::sample::select(&["yes", "no", "maybe", "front", "rear", "both", "-1", "1.5", "\u{3}"][..]).prop_map(str::to_owned),
        3 => prop::sample::select(SPEECH).prop_map(str::to_owned),
        1 => any::<String>(),
        1 => "[\\r\\n\\t\u{1b}\u{202e} a-z]{0,20}",
    ]
}

/// A number, a short word or `?` where nothing is asked is no answer to what could be asked; a number is
/// one of the list of causes.
#[test]
fn what_is_typed_while_no_question_stands_answers_none() {
    let g = built_in();
    let endings = ["there is a crack in my handlebar", "the battery is swollen", "chain is dry and rusty and squeaks"];
    for words in endings {
        let mut session = Session::new(g, RIDER);
        session.step(words);
        assert_eq!(session.asking(), None, "{words}: asking has ended");
        let told = |session: &Session<'_>| -> Vec<String> {
            session.kept().into_iter().filter(|l| !l.starts_with("mending")).collect()
        };
        let before = told(&session);
        let believed = session.posterior().cloned();
        for line in ["1", "0", "2", "?", "yes", "no", "maybe", "I don't know", "5", "99"] {
            let reply = session.step(line).text;
            assert_eq!(told(&session), before, "{words}, then {line}: {reply}");
            assert_eq!(session.posterior(), believed.as_ref());
            let shows = reply.contains("What to do");
            assert!(shows || line != "1", "{words}: {reply}");
            assert!(!shows || ["1", "2", "5"].contains(&line), "{words}, then {line}: {reply}");
        }
        // Asked on, the very same words answer.
        session.step("another");
        if session.asking().is_some() {
            session.step("1");
            assert_eq!(told(&session).len(), before.len() + 1, "{words}");
        }
    }
}

/// Of the brakes that the rider told of only the kinds they can be are offered, numbered from 1.
#[test]
fn what_a_bike_cannot_have_is_not_offered() {
    let g = built_in();
    let mut session = Session::new(g, RIDER);
    session.step("the disc brake rubs all the time since I put the wheel back");
    let fact = g.find_fact("brakes").unwrap();
    let brakes = g.question_ixs().find(|q| matches!(g.question(*q).topic, Topic::Fact(f) if f == fact)).unwrap();
    for _ in 0..20 {
        if session.asking() == Some(brakes) {
            break;
        }
        session.step("another");
    }
    let asked = session.step("").text;
    assert!(
        asked.contains("1. disc brakes worked by fluid") && asked.contains("2. disc brakes worked by a cable"),
        "{asked}"
    );
    assert!(!asked.contains("squeeze the rim"), "{asked}");
    assert!(session.step("3").text.contains("from 1 to 2"));
    session.step("second one");
    assert!(session.kept().iter().any(|l| l.starts_with("answered") && l.ends_with(" 2")), "{:?}", session.kept());
}

#[test]
fn what_was_meant_comes_in_place_of_what_was_said_of_the_bike() {
    let mut session = Session::new(built_in(), RIDER);
    session.step("my e-bike with a mid motor stays dead when I press the button");
    session.step("sorry, I meant it has a hub motor");
    let heard = session.step("heard").text;
    assert!(heard.contains("motor in a wheel hub") && !heard.contains("at the cranks"), "{heard}");
}

/// Told in words, a cure is asked about, and the noise that is gone is not taken for one that is there.
#[test]
fn a_cure_in_words_is_asked_about() {
    let mut session = Session::new(built_in(), RIDER);
    session.step("the left crank knocks once every turn and has come loose");
    let mut told = session.kept();
    let reply = session.step("put a new left crank on, all quiet now, thanks").text;
    // The work that is named is the work that is asked about.
    assert!(reply.contains("Is it cured, then (replace the crank)?"), "{reply}");
    told.extend(["mending replace-crank", "asking whether-cured"].map(str::to_owned));
    assert_eq!(session.kept(), told);
    session.step("mend");
    let reply = session.step("knock gone, turns free").text;
    assert!(reply.contains("Is it cured, then ("), "{reply}");
    for trouble in [
        "it still knocks, but only when I stand up now",
        "my brakes are gone now",
        "all quiet now, the battery is swollen and there is smoke",
    ] {
        let reply = session.step(trouble).text;
        assert!(!reply.contains("Is it cured"), "{trouble}: {reply}");
    }
}

/// A place said while nothing is asked is heard as speech, and shown to have been.
#[test]
fn a_place_said_unasked_is_speech() {
    let mut session = Session::new(built_in(), RIDER);
    session.step("it squeals when I brake");
    session.leave_question();
    assert_eq!(session.asking(), None);
    let reply = session.step("front").text;
    assert!(reply.contains("where: front (\"front\")"), "{reply}");
    assert_eq!(session.kept().last().map(String::as_str), Some("said front"));
}

/// Left with control C, the question stands again only when it is wished for.
#[test]
fn a_question_that_was_left_is_not_answered() {
    let mut session = Session::new(built_in(), RIDER);
    session.step("something rubs once every turn of the wheel");
    let question = session.asking();
    assert!(question.is_some());
    session.leave_question();
    let told = session.kept();
    session.step("1");
    session.step("?");
    assert_eq!(session.kept(), told);
    assert_eq!(again(&session).asking(), None);
    session.step("");
    assert_eq!(session.asking(), question);
}

/// The advice of the first answer; common practice, no source: one sound brake is not enough, and
/// nobody rides on a flat tyre, however gently.
#[test]
fn a_weak_brake_asks_for_care_and_a_flat_tyre_for_none_at_all() {
    let first = |words: &str| Session::new(built_in(), RIDER).step(words).text;
    for words in ["my front brake is weak", "the rear brake is weak", "brakes are weak", "the brakes are bad"] {
        let said = first(words);
        let advice = said.split("What may bring it").next().unwrap();
        assert!(advice.contains("Ride gently") || advice.contains("Do not ride"), "{said}");
        assert!(advice.contains("do not ride in traffic or downhill"), "{said}");
    }
    for words in ["I have a flat tyre at the back", "my tyre is flat"] {
        let said = first(words);
        assert!(said.contains("Do not ride it"), "{said}");
        assert!(!said.to_lowercase().contains("ride gently"), "{said}");
    }
    assert!(first("it makes a noise").contains("You may ride it"), "care is not asked for on every noise");
}

/// An answer cannot tell more than it has values (Shannon, A Mathematical Theory of
/// Communication, 1948: entropy is at most the logarithm of the number of outcomes), and with
/// several complaints one is talked about at a time.
#[test]
fn with_two_complaints_no_question_promises_more_than_an_answer_can_tell() {
    let (graph, lexicon) = (built_in(), lexicon());
    for words in [
        "the wheel wobbles and there was a ping",
        "the front brake squeals and the chain keeps slipping when I push hard",
        "it shifts badly, the battery does not charge and the front tyre goes flat",
    ] {
        let mut evidence = Evidence::default();
        lexicon.hear(words, RIDER.by, RIDER.at, &mut evidence);
        assert!(evidence.events.len() > 1, "{words}");
        let inquiry = inquire(graph, &evidence, &infer(graph, &evidence).unwrap(), RIDER, &[]).unwrap();
        assert!(!inquiry.proposals.is_empty(), "{words}");
        let mut about = Vec::new();
        for p in &inquiry.proposals {
            let question = graph.question(p.question);
            // One more for "can't tell".
            let answers = options::options(graph, p.question).len() + 1;
            assert!(p.gain_bits <= (answers as f64).log2(), "{words}: {} tells {} bits", question.id, p.gain_bits);
            if let Topic::Facet(complaint, _) = question.topic {
                about.push(complaint);
            }
        }
        about.dedup();
        assert!(about.len() < 2, "{words}: aspects of two complaints are mixed");
    }
}

/// Who picks "can't tell" among the options has answered: the question does not come again.
#[test]
fn an_option_that_tells_nothing_is_an_answer() {
    let graph = built_in();
    let mut idle_seen = 0;
    for words in ["the front wheel bumps up and down once every turn", "my tyre is flat again", "the chain slips"] {
        let mut session = Session::new(graph, RIDER);
        session.step(words);
        let mut asked = Vec::new();
        for _ in 0..12 {
            let Some(question) = session.asking() else { break };
            assert!(!asked.contains(&question), "{} comes again", graph.question(question).id);
            asked.push(question);
            let options = &graph.question(question).options;
            let idle = options.iter().position(|o| o.means.is_empty());
            idle_seen += usize::from(idle.is_some());
            session.step(&idle.map_or("?".to_owned(), |i| (i + 1).to_string()));
        }
    }
    assert!(idle_seen > 0, "no question asked here has such an option");
}

/// Who said rear is not sent to the front, until something was mended at the rear in vain.
#[test]
fn what_was_told_of_the_rear_is_not_looked_for_in_front() {
    let graph = built_in();
    let mut session = Session::new(graph, RIDER);
    session.step("the rear wheel rubs once every turn of the wheel");
    let mut asked = 0;
    for _ in 0..10 {
        let Some(question) = session.asking() else { break };
        if let Topic::Signs(signs) = &graph.question(question).topic {
            asked += 1;
            let front = |s: &SignIx| graph.sign(*s).end == Some(End::Front);
            assert!(!signs.iter().all(front), "{} is asked", graph.question(question).ask);
        }
        session.step("?");
        session.step("another");
    }
    assert!(asked > 1, "hardly a sign was asked for");
}

/// A cure is of one complaint; the others are gone on with.
#[test]
fn a_cure_leaves_the_other_complaints() {
    let graph = built_in();
    let mut session = Session::new(graph, RIDER);
    session.step("My saddle creaks and the rear light does not work.");
    session.step("mend");
    let reply = session.step("cured");
    assert!(!reply.ended, "{}", reply.text);
    let left = session.posterior().unwrap();
    assert_eq!(left.brings.len(), 1);
    let likeliest = graph.cause(left.ranking()[0]);
    assert!(["lights", "seat"].contains(&likeliest.assembly.as_str()), "{}", likeliest.name);
    // Taken up again it stands where it stood.
    assert_eq!(again(&session).kept(), session.kept());
    same_belief(again(&session).posterior(), session.posterior());
    session.step("mend");
    assert!(session.step("it works now").ended);
}

/// An option may be answered by its own words, and by those who pass on what they were told.
#[test]
fn answers_in_words_are_taken_as_the_options_say_them() {
    let graph = built_in();
    let after = |answer: &str| {
        let mut session = Session::new(graph, RIDER);
        session.step("my saddle creaks");
        let five = |s: &Session<'_>| {
            s.asking().is_some_and(|q| {
                let question = graph.question(q);
                matches!(question.topic, Topic::Signs(_)) && question.options.is_empty()
            })
        };
        for _ in 0..20 {
            if five(&session) {
                break;
            }
            session.step("another");
        }
        assert!(five(&session), "no question with the five words came");
        session.step(answer);
        session.kept().pop().unwrap()
    };
    for (said, number) in
        [("I think so", 2), ("yes, certain", 1), ("he says yes", 1), ("I don't think so", 4), ("of course", 1)]
    {
        assert_eq!(after(said), after(&number.to_string()), "{said}");
    }
}

/// Two complaints of one fault go with it, and who is cured has no sitting left to go on with.
#[test]
fn one_cure_ends_all_that_its_cause_brought() {
    let mut session = Session::new(built_in(), RIDER);
    session.step("The rear hydraulic brake is weak, and its lever is spongy since the bike stood upside down.");
    assert_eq!(session.posterior().unwrap().brings.len(), 2);
    session.step("mend");
    let reply = session.step("cured");
    assert!(reply.ended, "{}", reply.text);
    assert!(session.kept().is_empty(), "{:?}", session.kept());
}

/// What was guessed from the words is what the answers are about: none is asked for twice.
#[test]
fn an_answer_about_a_guess_counts() {
    let mut session = Session::new(built_in(), RIDER);
    session.step("Trigger just flops, I push it with my thumb and nothing bites, sometimes on the tenth go it clicks.");
    let first = session.asking().unwrap();
    session.step("1");
    assert_ne!(session.asking(), Some(first));
}

#[test]
fn a_question_is_no_report() {
    let mut session = Session::new(built_in(), RIDER);
    session.step("Is the head set loose?");
    assert!(session.posterior().is_none());
    session.step("Is it normal that the brake squeals?");
    assert!(session.posterior().is_some());
}

#[test]
fn a_bike_without_a_motor_has_none_that_runs_on() {
    let mut session = Session::new(built_in(), RIDER);
    session.step("The motor keeps driving after I stop pedalling.");
    assert_eq!(session.posterior().unwrap().brings.len(), 1);
    session.step("it is an ordinary bike, it has no motor");
    assert!(session.posterior().is_none());
}

#[test]
fn a_remedy_can_be_asked_for_by_the_name_of_its_cause() {
    let mut session = Session::new(built_in(), RIDER);
    session.step("It creaks when I pedal.");
    assert!(session.step("mend chain dry").text.starts_with("Chain dry."));
    // What is no cause's name is what the rider says.
    assert!(session.step("mend the squeal of the front brake").text.contains("squeal"));
}

/// "The third one" and "back" name an option.
#[test]
fn options_are_named_by_their_place() {
    let graph = built_in();
    let answered = |answer: &str| {
        let mut session = Session::new(graph, RIDER);
        session.step("It knocks.");
        while session.asking().is_some_and(|q| !graph.question(q).ask.starts_with("Does it come from the front")) {
            session.step("another");
        }
        session.step(answer);
        session.kept().pop().unwrap()
    };
    assert_eq!(answered("the third one"), answered("3"));
    assert_eq!(answered("back"), answered("rear"));
    assert_ne!(answered("the first one"), answered("rear"));
}

/// What mends an earlier word comes in its place; any other stands beside it.
#[test]
fn a_word_that_is_mended_is_given_up() {
    let ends = |second: &str| {
        let mut session = Session::new(built_in(), RIDER);
        session.step("the front brake squeals");
        session.step(second);
        let heard = session.step("heard").text;
        [heard.contains("where: front"), heard.contains("where: rear")]
    };
    assert_eq!(ends("sorry, I meant the rear brake squeals"), [false, true]);
    assert_eq!(ends("the rear brake squeals too"), [true, true]);
}

/// What some good came of may be done once more, and then be said to have cured it.
#[test]
fn better_leaves_the_work_open() {
    let mut session = Session::new(built_in(), RIDER);
    session.step("the brake lever feels spongy, hydraulic disc");
    session.step("mend");
    let reply = session.step("better").text;
    assert!(reply.contains("Once more of the same (bleed the brake"), "{reply}");
    assert!(session.step("cured").ended);
}

/// A word is explained without being taken for a complaint, and a complaint is not taken for a question about a word.
#[test]
fn a_word_asked_about_is_explained() {
    let mut session = Session::new(built_in(), RIDER);
    assert!(session.step("What is a head set?").text.contains("bearings in which the fork turns"));
    assert!(session.posterior().is_none());
    session.step("what is the creak when I pedal");
    assert!(session.posterior().is_some());
}

/// What was misheard is taken out by one of its words, with all that hangs on it.
#[test]
fn what_was_misheard_is_named_by_a_word() {
    let mut session = Session::new(built_in(), RIDER);
    session.step("it squeals at the back");
    session.step("wrong back");
    assert!(!session.step("heard").text.contains("where"));
    session.step("wrong noise");
    assert!(session.posterior().is_none(), "{:?}", session.kept());
    assert!(session.step("wrong pedal").text.contains("Nothing that I took down"));
}

/// Nobody is told that a bare yes was not understood where nothing was asked.
#[test]
fn a_yes_to_nothing_is_told_so() {
    let mut session = Session::new(built_in(), RIDER);
    session.step("it squeals at the back");
    session.leave_question();
    assert!(session.step("yes").text.contains("No question stands"));
}

/// What forbids riding is not lifted by words that only begin like an answer.
#[test]
fn a_no_to_something_else_clears_no_danger() {
    for said in ["no wait", "no I have not tried that yet", "no tools here", "yes, how do I open the axle?"] {
        let mut session = Session::new(built_in(), RIDER);
        session.step("front hydraulic disc brake rubs since the wheel was out");
        assert!(session.asking().is_some());
        let before = session.prompt();
        let told = session.kept().len();
        session.step(said);
        assert!(!session.kept().iter().skip(told).any(|line| line.starts_with("answered")), "{said}");
        assert_eq!(session.prompt(), before, "{said}");
    }
    // Nor is what is told after such a no turned round.
    let mut session = Session::new(built_in(), RIDER);
    session.step("my saddle creaks");
    let reply = session.step("no my brakes dont work at all").text;
    assert!(reply.contains("Do not ride it"), "{reply}");
}

/// Who finds it cured without having asked how is believed; who says it still does it says it is the same.
#[test]
fn a_cure_and_its_want_are_heard_in_plain_words() {
    let mut session = Session::new(built_in(), RIDER);
    session.step("my saddle creaks");
    assert!(session.step("it is gone").ended);
    // Asked whether it is gone, who says so answers.
    let mut session = Session::new(built_in(), RIDER);
    session.step("front hydraulic disc brake rubs all the time since the wheel was out");
    for _ in 0..9 {
        if session.asking().is_some_and(|q| built_in().question(q).ask.ends_with("gone?")) {
            break;
        }
        session.step("another");
    }
    assert!(!session.step("it is gone").ended);
    assert!(session.kept().last().is_some_and(|l| l.starts_with("answered")), "{:?}", session.kept());
    let mut session = Session::new(built_in(), RIDER);
    session.step("it creaks when I push hard on the pedals up the hill");
    session.step("mend");
    assert!(session.step("still creaks").text.contains("it changed nothing"));
}
