//! Whole conversations. A talk file holds typed lines; `card ID=ANSWER` lines tell
//! what the rider knows, and a line `...` answers from the card for as long as
//! questions are asked, with `?` for what is not on it. The snapshot is the talk
//! as it stands on a terminal of 80 columns.

use crate::scratch::built_in;
use knockwise::graph::{FaultGraph, Question, Topic};
use knockwise::inquiry::Situation;
use knockwise::knowledge::terms::{Reporter, Venue, Word};
use knockwise::session::{Session, options};
use knockwise::words::laid_out;

const MOST_QUESTIONS: usize = 9;
const COLUMNS: usize = 79;

fn situation() -> Situation {
    Situation { by: Reporter::Rider, at: Venue::Home }
}

/// The number that the card gives for a question, or `?`.
fn from_card(g: &FaultGraph, question: &Question, card: &[(String, String)]) -> String {
    let told = |id: &str| card.iter().find(|(known, _)| known == id).map(|(_, answer)| answer.as_str());
    let number = |i: Option<usize>| i.map_or("?".to_owned(), |i| (i + 1).to_string());
    match &question.topic {
        Topic::Signs(signs) if question.options.is_empty() => {
            let sign = g.sign(signs[0]);
            let word = told(&sign.id).or_else(|| told(&sign.root));
            number(word.and_then(|w| Word::ALL.iter().position(|x| x.word() == w)))
        }
        Topic::Signs(_) => {
            let fits = |means: &[(knockwise::graph::SignIx, String)]| {
                !means.is_empty()
                    && means.iter().all(|(s, answer)| {
                        let sign = g.sign(*s);
                        told(&sign.id).or_else(|| told(&sign.root)) == Some(answer.as_str())
                    })
            };
            number(question.options.iter().position(|o| fits(&o.means)))
        }
        Topic::Facet(c, pos) => {
            let facet = g.facet(g.complaint(*c).facets[*pos].facet);
            let value = told(&format!("{}.{}", g.complaint(*c).id, facet.id)).or_else(|| told(&facet.id));
            number(value.and_then(|v| facet.values.iter().position(|x| x.id == v)))
        }
        Topic::Fact(f) => {
            let fact = g.fact(*f);
            number(told(&fact.id).and_then(|v| fact.values.iter().position(|x| x.id == v)))
        }
    }
}

fn held(g: &FaultGraph, talk: &str) -> String {
    let mut session = Session::new(g, situation());
    let mut card = Vec::new();
    let mut shown = session.greeting();
    let step = |session: &mut Session<'_>, line: &str, shown: &mut String| {
        let prompt = session.prompt();
        let reply = session.step(line);
        *shown += &format!("{prompt}{line}\n{}", reply.text);
    };
    for line in talk.lines().filter(|l| !l.starts_with('#')) {
        if let Some((id, answer)) = line.strip_prefix("card ").and_then(|l| l.split_once('=')) {
            card.push((id.to_owned(), answer.to_owned()));
        } else if line == "..." {
            for _ in 0..MOST_QUESTIONS {
                let Some(question) = session.asking() else { break };
                let answer = from_card(g, g.question(question), &card);
                step(&mut session, &answer, &mut shown);
            }
        } else {
            step(&mut session, line, &mut shown);
        }
    }
    laid_out(&shown, COLUMNS)
}

#[test]
fn whole_conversations() {
    let g = built_in();
    insta::glob!("../talks", "*.txt", |path| {
        let talk = std::fs::read_to_string(path).unwrap();
        insta::assert_snapshot!(held(g, &talk));
    });
}

/// Any lines with any of them taken back leave what stands: the same as if
/// only the rest had been typed.
#[test]
fn what_is_taken_back_leaves_no_trace() {
    let g = built_in();
    let mut with = Session::new(g, situation());
    let mut without = Session::new(g, situation());
    for line in ["it creaks when I pedal hard", "2"] {
        with.step(line);
        without.step(line);
    }
    for line in ["1", "undo", "it also pulls to the left", "undo", "?", "undo"] {
        with.step(line);
    }
    assert_eq!(with.step("likely"), without.step("likely"));
    assert_eq!(with.step(""), without.step(""));
}

/// A kept sitting, taken up, is the same sitting: at every point of every talk.
#[test]
fn a_kept_sitting_goes_on_as_it_was() {
    let g = built_in();
    let mut session = Session::new(g, situation());
    let lines = [
        "it rubs once every turn of the wheel",
        "1",
        "?",
        "and it squeals",
        "2",
        "mend",
        "same",
        "tried 2",
        "mend",
        "better",
        "change 1",
        "2",
    ];
    for line in lines {
        session.step(line);
        let mut again = Session::resume(g, &session.kept().join("\n")).unwrap();
        assert_eq!(again.kept(), session.kept());
        assert_eq!(again.step("likely"), session.step("likely"), "after {line}");
        assert_eq!(again.step("heard"), session.step("heard"), "after {line}");
    }
    assert!(session.kept().len() >= 8, "{:?}", session.kept());
}

#[test]
fn a_kept_sitting_that_cannot_be_taken_says_where() {
    let g = built_in();
    let why = |kept: &str| Session::resume(g, kept).err().unwrap();
    insta::assert_snapshot!(why("said it knocks\nanswered bike.brakes 9"), @"line 2 of the kept sitting cannot be taken: there is no such answer");
    insta::assert_snapshot!(why("danced all night"), @"line 1 of the kept sitting cannot be taken: nothing begins with `danced`");
    insta::assert_snapshot!(why("same hammer-it"), @"line 1 of the kept sitting cannot be taken: this remedy is not known");
}

/// Changing an answer leaves what the other answers and the new one would.
#[test]
fn a_changed_answer_is_as_if_it_had_been_given_so() {
    let g = built_in();
    let mut changed = Session::new(g, situation());
    let mut straight = Session::new(g, situation());
    changed.step("it rubs once every turn of the wheel");
    changed.step("1");
    changed.step("change 1");
    changed.step("3");
    straight.step("it rubs once every turn of the wheel");
    straight.step("3");
    assert_eq!(changed.step("likely"), straight.step("likely"));
}

/// The same numbers stand for the same options wherever they are shown, also
/// where what was told before rules some of them out.
#[test]
fn options_are_as_many_as_outcomes() {
    use knockwise::inference::evidence::{Event, Evidence};
    use knockwise::inquiry::outcomes::Outcomes;
    use knockwise::intake::Lexicon;
    let g = built_in();
    let mut told = Evidence::default();
    Lexicon::of(g).hear("my e-bike stays dead, it has disc brakes", Reporter::Rider, Venue::Home, &mut told);
    assert!(!told.facts.is_empty() && !told.events.is_empty());
    for q in g.question_ixs() {
        for mut evidence in [Evidence::default(), told.clone()] {
            if let Topic::Facet(c, _) = g.question(q).topic {
                evidence.events.push(Event::certain(c));
            }
            let outcomes = Outcomes::reported(g, &evidence, q, situation());
            assert_eq!(outcomes.all.len(), options::options(g, q).len(), "{}", g.question(q).id);
        }
    }
}

/// A number means the option beside it, also where others are ruled out: no
/// bike without a motor stays dead, and the third answer is still the third.
#[test]
fn a_number_means_the_option_beside_it() {
    use knockwise::inference::evidence::Evidence;
    use knockwise::inquiry::outcomes::Outcomes;
    use knockwise::intake::Lexicon;
    let g = built_in();
    let mut told = Evidence::default();
    Lexicon::of(g).hear("my e-bike stays dead, it has disc brakes", Reporter::Rider, Venue::Home, &mut told);
    for q in g.question_ixs() {
        let Topic::Fact(fact) = g.question(q).topic else { continue };
        let outcomes = Outcomes::reported(g, &told, q, situation());
        for (i, outcome) in outcomes.all.iter().enumerate() {
            assert_eq!(outcome.1.known(fact), Some(i), "{}", g.question(q).id);
        }
    }
}

#[test]
fn what_is_not_understood_leaves_the_question_that_is_answered_anew() {
    let g = built_in();
    let mut session = Session::new(g, situation());
    session.step("it rubs once every turn of the wheel");
    let best = session.asking();
    // Not the question that would be asked first anyway.
    session.step("another");
    let other = session.asking();
    assert_ne!(other, best);
    session.step("1");
    session.step("change 1");
    session.step("qwertz uiop");
    assert_eq!(session.asking(), other);
}
