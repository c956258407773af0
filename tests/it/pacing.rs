//! Nobody is asked the same twice running: what was just looked at at one wheel is not asked of the
//! other straight after, where something else pays.

use knockwise::built_in;
use knockwise::graph::{FaultGraph, QuestionIx, Topic};
use knockwise::inference::evidence::Evidence;
use knockwise::inference::infer;
use knockwise::inquiry::outcomes::Outcomes;
use knockwise::inquiry::{Inquiry, Situation, inquire};
use knockwise::intake::Lexicon;
use knockwise::knowledge::terms::{Reporter, Venue};

const OPENINGS: [&str; 6] = [
    "something rubs once every turn of the wheel",
    "the battery does not last as long as it used to",
    "the bike is hard to push and slow",
    "it wobbles when I ride without hands",
    "there is a knock when I brake",
    "it feels soft and bouncy",
];
const HOME: Situation = Situation { by: Reporter::Rider, at: Venue::Home };

/// What a question looks for, whichever the end.
fn looks_for(g: &FaultGraph, question: QuestionIx) -> Vec<&str> {
    let Topic::Signs(signs) = &g.question(question).topic else { return Vec::new() };
    signs.iter().filter_map(|s| g.sign(*s).id.split('@').next()).collect()
}

fn is_same(g: &FaultGraph, a: QuestionIx, b: QuestionIx) -> bool {
    looks_for(g, a).iter().any(|sign| looks_for(g, b).contains(sign))
}

/// Asks up to ten questions; `answer` picks from the outcomes, none if they cannot tell.
fn ask(
    g: &FaultGraph,
    opening: &str,
    answer: impl Fn(usize, usize) -> Option<usize>,
    see: &mut impl FnMut(&Inquiry, QuestionIx),
) {
    let mut evidence = Evidence::default();
    Lexicon::of(g).hear(opening, HOME.by, HOME.at, &mut evidence);
    let mut without = Vec::new();
    for n in 0..10 {
        let posterior = infer(g, &evidence).unwrap();
        let inquiry = inquire(g, &evidence, &posterior, HOME, &without).unwrap();
        let Some(next) = inquiry.proposals.first().filter(|_| inquiry.stop.is_none()).map(|p| p.question) else {
            return;
        };
        see(&inquiry, next);
        let all = Outcomes::reported(g, &evidence, next, HOME).all;
        let after = answer(n, all.len()).and_then(|at| all.into_iter().nth(at)).map(|(_, after)| after);
        match after.filter(|after| *after != evidence && infer(g, after).is_ok()) {
            Some(after) => evidence = after,
            None => without.push(next),
        }
    }
}

#[test]
fn the_other_wheel_waits_where_something_else_pays() {
    let g = built_in::graph().unwrap();
    let mut asked = 0;
    for opening in OPENINGS {
        for turn in 0..4 {
            let mut last = None;
            ask(g, opening, |n, of| Some((n + turn) % of), &mut |inquiry, next| {
                asked += 1;
                if let Some(last) = last.replace(next).filter(|last| is_same(g, *last, next)) {
                    let least = inquiry.proposals[0].saves_minutes - 1.0;
                    let pays = |q: &&knockwise::inquiry::Proposal| {
                        q.saves_minutes > least.max(0.0) && !is_same(g, last, q.question)
                    };
                    let other = inquiry.proposals.iter().find(pays);
                    assert!(other.is_none() || inquiry.pressing.is_some(), "{opening}: {}", g.question(next).id);
                }
            });
        }
    }
    assert!(asked > 100, "{asked} questions are too few to tell");
}

#[test]
fn who_cannot_tell_from_one_wheel_is_not_asked_of_the_other() {
    let g = built_in::graph().unwrap();
    let mut asked = 0;
    for opening in OPENINGS {
        let mut seen: Vec<QuestionIx> = Vec::new();
        ask(g, opening, |_, _| None, &mut |_, next| {
            let again =
                seen.iter().find(|q| is_same(g, **q, next) && looks_for(g, next).len() == looks_for(g, **q).len());
            assert!(again.is_none(), "{opening}: {}", g.question(next).id);
            seen.push(next);
        });
        asked += seen.len();
    }
    assert!(asked > 20, "{asked} questions are too few to tell");
}
