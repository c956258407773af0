//! What was told in a sitting, one thing after the other, and how it is written down.

use super::options::options;
use crate::graph::{End, FaultGraph, QuestionIx, RemedyIx, SignIx, with_end};
use crate::inference::evidence::Evidence;
use crate::inference::problem::{fact_shares, prior};
use crate::intake::Heard;
use crate::knowledge::terms::{Venue, Word};
use crate::words::harmless;

/// One thing told in a sitting.
#[derive(Debug, Clone, PartialEq)]
pub enum Told {
    /// The rider spoke.
    Words(String),
    /// An option of a question was picked.
    Picked(QuestionIx, usize),
    /// The question cannot be answered.
    Skipped(QuestionIx),
    /// Something heard is not so: its id.
    Wrong(String),
    /// Of what words may mean, this is meant: a report.
    Meant(String),
    /// What these words mean cannot be told.
    Unclear(String),
    /// What was told in this place, counted from 0, is taken back.
    Withdrawn(usize),
    /// A remedy was done, at this end, and the complaint stayed; the chance that
    /// it did away with its cause is the remedy's own unless it is known better.
    Stayed(RemedyIx, Option<End>, Option<f64>),
    /// A remedy was done, at this end; this complaint, if any, is gone with it, and something is left.
    Cured(RemedyIx, Option<End>, Option<String>),
}

/// After a repair that made it better the cause it was for is gone oftener than
/// not, and something else goes on; else the work wants doing once more. Judgement.
pub const GONE_IF_BETTER: f64 = 0.7;

/// One line that [`read`] turns back.
pub fn written(graph: &FaultGraph, told: &Told) -> String {
    match told {
        Told::Words(words) => format!("said {words}"),
        Told::Picked(q, i) => format!("answered {} {}", graph.question(*q).id, i + 1),
        Told::Skipped(q) => format!("skipped {}", graph.question(*q).id),
        Told::Wrong(id) => format!("wrong {id}"),
        Told::Meant(report) => format!("meant {report}"),
        Told::Unclear(words) => format!("unclear {}", words.replace('\n', " ")),
        Told::Withdrawn(place) => format!("withdrew {}", place + 1),
        Told::Stayed(r, end, known) => {
            let how = if known.is_some() { "better" } else { "same" };
            format!("{how} {}", with_end(&graph.remedy(*r).id, *end))
        }
        Told::Cured(r, end, complaint) => {
            let complaint = complaint.as_ref().map(|c| format!(" {c}")).unwrap_or_default();
            format!("cured {}{complaint}", with_end(&graph.remedy(*r).id, *end))
        }
    }
}

/// The line that says which remedy is being tried.
pub fn written_mending(graph: &FaultGraph, remedy: RemedyIx, end: Option<End>) -> String {
    format!("mending {}", with_end(&graph.remedy(remedy).id, end))
}

/// The question that stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asked {
    /// The best one, for as long as asking pays.
    Best,
    /// This one, whatever it is worth.
    This(QuestionIx),
    /// None: it was left.
    Nothing,
    /// None of the knowledge: something that was said is made sure of.
    Whether(Whether),
}

/// What is made sure of, by a yes or a no, before it counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Whether {
    /// It is cured, for so it sounded.
    Cured,
    /// All that clears an alarm is so: its place among the red flags.
    Clear(usize),
    /// The same, where a yes ends the work as well.
    ClearOfCure(usize),
    /// This complaint is gone, by its place among all, and something else is left.
    Gone(usize),
    /// The bike does beside what was told what the last words seemed to tell.
    Beside,
}

/// The line that says which question stands, where it is not the best one.
pub fn written_asked(graph: &FaultGraph, asked: Asked) -> Option<String> {
    let clear = |what, flag: usize| graph.flags.get(flag).map(|flag| format!("asking {what} {}", flag.id));
    match asked {
        Asked::Best => None,
        Asked::This(q) => Some(format!("asking {}", graph.question(q).id)),
        Asked::Nothing => Some("asking nothing".to_owned()),
        Asked::Whether(Whether::Cured) => Some("asking whether-cured".to_owned()),
        Asked::Whether(Whether::Beside) => Some("asking whether-beside".to_owned()),
        Asked::Whether(Whether::Gone(event)) => Some(format!("asking whether-gone {}", event + 1)),
        Asked::Whether(Whether::Clear(flag)) => clear("whether-clear", flag),
        Asked::Whether(Whether::ClearOfCure(flag)) => clear("whether-clear-of-cure", flag),
    }
}

/// The line that says where the sitting is held.
pub fn written_place(at: Venue) -> String {
    format!("at {}", at.word())
}

/// What a kept line holds.
pub enum Kept {
    /// Something told.
    Told(Told),
    /// The remedy that was being tried.
    Mending(RemedyIx, Option<End>),
    /// The question that stood.
    Asked(Asked),
    /// Where the sitting is held.
    At(Venue),
}

/// Reads a line that [`written`] or one of its like wrote.
///
/// # Errors
/// What is wrong with it.
pub fn read(graph: &FaultGraph, line: &str) -> Result<Kept, String> {
    let (kind, rest) = line.split_once(' ').ok_or("it holds one word only")?;
    let question =
        |id: &str| graph.question_ixs().find(|q| graph.question(*q).id == id).ok_or("this question is not known");
    let remedy = |name: &str| {
        let (id, end) = name.split_once('@').map_or((name, None), |(id, end)| (id, Some(end)));
        let end = end.and_then(|e| End::BOTH.into_iter().find(|x| x.word() == e));
        let remedy = graph.remedy_ixs().find(|r| graph.remedy(*r).id == id).ok_or("this remedy is not known")?;
        Ok::<_, &str>((remedy, end))
    };
    Ok(Kept::Told(match kind {
        "said" => Told::Words(rest.to_owned()),
        "wrong" => Told::Wrong(rest.to_owned()),
        "meant" => Told::Meant(rest.to_owned()),
        "unclear" => Told::Unclear(rest.to_owned()),
        "skipped" => Told::Skipped(question(rest)?),
        "withdrew" => {
            let place = rest.parse::<usize>().ok().and_then(|n| n.checked_sub(1));
            Told::Withdrawn(place.ok_or("a number from 1 must stand there")?)
        }
        "answered" => {
            let (id, number) = rest.rsplit_once(' ').ok_or("the number of the answer is missing")?;
            let question = question(id)?;
            let option = number.parse::<usize>().ok().and_then(|n| n.checked_sub(1));
            let option = option.filter(|i| *i < options(graph, question).len());
            Told::Picked(question, option.ok_or("there is no such answer")?)
        }
        "same" | "better" => {
            let (remedy, end) = remedy(rest)?;
            Told::Stayed(remedy, end, (kind == "better").then_some(GONE_IF_BETTER))
        }
        "cured" => {
            let (name, complaint) = rest.split_once(' ').map_or((rest, None), |(name, c)| (name, Some(c.to_owned())));
            let (remedy, end) = remedy(name)?;
            Told::Cured(remedy, end, complaint)
        }
        "at" => return Ok(Kept::At(Venue::find(rest).ok_or("no place is called so")?)),
        "mending" => {
            let (remedy, end) = remedy(rest)?;
            return Ok(Kept::Mending(remedy, end));
        }
        "asking" if rest == "nothing" => return Ok(Kept::Asked(Asked::Nothing)),
        "asking" if rest == "whether-cured" => return Ok(Kept::Asked(Asked::Whether(Whether::Cured))),
        "asking" if rest == "whether-beside" => return Ok(Kept::Asked(Asked::Whether(Whether::Beside))),
        "asking" if rest.starts_with("whether-gone ") => {
            let place = rest.rsplit(' ').next().and_then(|n| n.parse::<usize>().ok()).and_then(|n| n.checked_sub(1));
            return Ok(Kept::Asked(Asked::Whether(Whether::Gone(place.ok_or("a number from 1 must stand there")?))));
        }
        "asking" if rest.starts_with("whether-clear") => {
            let flag = graph.flags.iter().position(|f| rest.ends_with(&format!(" {}", f.id)));
            let flag = flag.ok_or("this alarm is not known")?;
            let of_cure = rest.starts_with("whether-clear-of-cure ");
            let whether = if of_cure { Whether::ClearOfCure(flag) } else { Whether::Clear(flag) };
            return Ok(Kept::Asked(Asked::Whether(whether)));
        }
        "asking" => return Ok(Kept::Asked(Asked::This(question(rest)?))),
        _ => return Err(format!("nothing begins with `{}`", harmless(kind))),
    }))
}

/// Takes a cured complaint out of the evidence, with the signs that its cause showed.
pub fn cured(graph: &FaultGraph, evidence: &mut Evidence, remedy: RemedyIx, end: Option<End>, complaint: Option<&str>) {
    if let Some(complaint) = complaint {
        forget(graph, evidence, complaint);
    }
    for cause in graph.cured_at(remedy, end) {
        let shown = |sign| graph.shown_by(sign).any(|(c, degrees)| c == cause && degrees[0] < 0.5);
        evidence.signs.retain(|r| !r.signs.iter().any(|s| shown(*s)));
    }
}

/// Moves what was heard of parts at the end that was named first to the end that is named instead: "sorry, I
/// meant the rear". `mended` is the aspect that was told otherwise.
pub fn move_to_the_other_end(graph: &FaultGraph, evidence: &mut Evidence, heard: &mut [Heard], mended: &str) {
    let told =
        heard.iter().rfind(|h| h.id == mended).and_then(|h| End::BOTH.into_iter().find(|e| e.word() == h.answer));
    let Some(end) = told.filter(|_| mended.ends_with(".end")) else { return };
    let moved = |sign: SignIx| {
        let other = |s: &SignIx| graph.sign(*s).end == Some(end);
        graph.find_signs(&graph.sign(sign).root).into_iter().find(other)
    };
    for h in heard.iter_mut() {
        let [sign] = graph.find_signs(&h.id)[..] else { continue };
        let Some(other) = moved(sign).filter(|other| *other != sign) else { continue };
        for report in evidence.signs.iter_mut().filter(|r| r.signs == [sign]) {
            report.signs = vec![other];
        }
        h.id.clone_from(&graph.sign(other).id);
    }
}

/// Signs, by their ids, that a bike of this kind cannot show: shiny pads are not a rim brake's where there are discs.
pub fn signs_that_cannot_be(graph: &FaultGraph, evidence: &Evidence, heard: &[Heard]) -> Vec<String> {
    let shares = fact_shares(graph, evidence);
    let has = |cause| prior(graph, evidence, &shares, cause) > 0.0;
    let unseen = |h: &&Heard| {
        let signs = graph.find_signs(&h.id);
        !signs.is_empty() && !signs.into_iter().flat_map(|sign| graph.shown_by(sign)).any(|(cause, _)| has(cause))
    };
    heard.iter().filter(unseen).map(|h| h.id.clone()).collect()
}

/// Takes out complaints that a bike of this kind cannot have: without a motor none runs on.
pub fn drop_what_cannot_be(graph: &FaultGraph, evidence: &mut Evidence, heard: &mut [Heard]) {
    let shares = fact_shares(graph, evidence);
    let cannot = |event: &usize| {
        let complaint = evidence.events.get(*event).map(|e| e.complaint);
        complaint.is_some_and(|c| {
            let uncaused = || graph.firings(c).all(|(cause, _)| prior(graph, evidence, &shares, cause) == 0.0);
            evidence.rules_out(&graph.complaint(c).needs) || uncaused()
        })
    };
    let gone: Vec<String> =
        (0..evidence.events.len()).rev().filter(cannot).map(|event| evidence.event_name(graph, event)).collect();
    for name in gone {
        let told = heard.iter_mut().filter(|h| h.id == name);
        told.for_each(|h| Word::SureNot.word().clone_into(&mut h.answer));
        forget(graph, evidence, &name);
    }
}

/// Takes what an id names out of the evidence; `noise#2` is the second event of a complaint.
pub fn forget(graph: &FaultGraph, evidence: &mut Evidence, id: &str) {
    let (name, facet) = id.split_once('.').map_or((id, None), |(name, facet)| (name, Some(facet)));
    let (root, number) = name.split_once('#').map_or((name, 1), |(root, n)| (root, n.parse().unwrap_or(1)));
    if let Some(complaint) = graph.find_complaint(root) {
        let events = evidence.events.iter().enumerate().filter(|(_, e)| e.complaint == complaint);
        let Some((event, _)) = events.take(number).last().filter(|_| number > 0) else { return };
        match facet {
            Some(facet) => {
                let Some(pos) = graph.find_facet(complaint, facet) else { return };
                if let Some(event) = evidence.events.get_mut(event) {
                    event.facets.remove(&pos);
                }
            }
            None => {
                evidence.events.remove(event);
                // Repairs were for complaints by place; what they were for may be gone.
                evidence.repairs.retain(|r| r.event != event);
                evidence.repairs.iter_mut().filter(|r| r.event > event).for_each(|r| r.event -= 1);
            }
        }
    } else if let Some(fact) = graph.find_fact(id) {
        evidence.facts.remove(&fact);
    } else if let Some(remedy) = graph.remedy_ixs().find(|r| graph.remedy(*r).id == id) {
        evidence.repairs.retain(|r| !graph.cured_by(remedy).any(|(c, _)| c == r.cause));
    } else {
        let signs = graph.find_signs(id);
        evidence.signs.retain(|r| !r.signs.iter().any(|s| signs.contains(s)));
    }
}
