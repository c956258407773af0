//! What to ask next and when to stop, whether to ride, what to mend first.
//!
//! Everything here is a choice made with the exact probabilities of [`crate::inference`]; nothing
//! is shown and nothing is remembered. What is chosen is what costs the fewest expected minutes to
//! a confirmed cure: questions, set-up, repairs, parts, handing over.
//!
//! Reading order: [`safety`] (ride advice), [`outlook`] (the decision as a small table), [`subject`]
//! (a complaint and who may bring it), [`answers`] (what people may say), [`remedies`] (what can be
//! mended), [`open`] (what may be asked), this file (the choice). [`outcomes`] is the evidence that an answer leaves.

pub mod answers;
mod open;
pub mod outcomes;
pub mod outlook;
pub mod remedies;
pub mod safety;
pub mod subject;

use crate::graph::{CauseIx, End, FaultGraph, QuestionIx, RemedyIx, Topic};
use crate::inference::evidence::Evidence;
use crate::inference::{Posterior, Trouble};
use crate::knowledge::terms::{Reporter, Venue};
use outlook::{Act, Ask, Outlook, Repair, State};
use remedies::Planned;
use subject::Subject;

/// Causes below this chance lend no question its worth.
const WORTH_ASKING: f64 = 0.005;

/// Minutes that reading and weighing any question takes. Judgement: without it,
/// ten easy questions would look cheaper than one good look.
const ATTENTION: f64 = 0.5;

/// Minutes to fetch tools, charged to whatever needs them first. Judgement.
const TOOLS_AT_HOME: f64 = 4.0;
/// The same where they hang on the wall. Judgement.
const TOOLS_AT_BENCH: f64 = 1.0;

/// Questions weighed to the end: the best by information per minute.
pub const WEIGHED: usize = 12;
/// The outlook holds no more questions at once.
const MOST_WEIGHED: usize = 64;
/// Questions thought through to their ends.
const WIDTH: usize = 4;
/// Further steps that are thought ahead.
const STEPS: usize = 2;

/// Minutes that are given for not asking the same at the other end straight after. Judgement.
const PATIENCE: f64 = 1.0;

/// Where we are and who answers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Situation {
    /// Who answers.
    pub by: Reporter,
    /// Where.
    pub at: Venue,
}

impl Situation {
    /// Who answers in a place: at the bench a mechanic, elsewhere the rider.
    pub fn in_place(at: Venue) -> Self {
        Self { by: if at == Venue::Bench { Reporter::Mechanic } else { Reporter::Rider }, at }
    }
}

/// A question with what it is worth.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposal {
    /// The question.
    pub question: QuestionIx,
    /// Expected information about what brings the complaint, in bits.
    pub gain_bits: f64,
    /// Minutes to answer.
    pub minutes: f64,
    /// Expected minutes saved on the way to a cure, against mending at once; the asking paid.
    pub saves_minutes: f64,
}

/// Why no more is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stop {
    /// Mending, or handing over, now costs less than any answer could save.
    NothingPays,
    /// Nothing in our list brings it, more likely than any cause.
    Outside,
    /// A danger speaks louder than any question: nobody should go near, or nothing pays besides.
    Danger,
}

/// What may be asked, what may be mended, and whether asking goes on.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Inquiry {
    /// Questions, the best first.
    pub proposals: Vec<Proposal>,
    /// Remedies for the complaint under discussion: what pays here in order, then what a workshop would do.
    pub remedies: Vec<Planned>,
    /// A cause that forbids riding and is not cleared: the first question is about it.
    pub pressing: Option<CauseIx>,
    /// Why no more is asked, if so.
    pub stop: Option<Stop>,
}

/// Chooses what to do next.
///
/// The one function through which questions are chosen. Questions that cannot be asked here, that
/// this person answered, or that need riding while the bike must not be ridden are left out. With
/// several complaints the first for which asking pays is the one asked about.
///
/// # Errors
/// As [`crate::inference::infer`].
pub fn inquire(
    g: &FaultGraph,
    e: &Evidence,
    posterior: &Posterior,
    s: Situation,
    without: &[QuestionIx],
) -> Result<Inquiry, Trouble> {
    inquire_weighing(g, e, posterior, s, without, WEIGHED)
}

/// As [`inquire`], with so many questions weighed exactly; the rest are sorted out by their rough worth.
/// Of more than 64 the best 64 are weighed.
///
/// # Errors
/// As [`inquire`].
pub fn inquire_weighing(
    g: &FaultGraph,
    e: &Evidence,
    posterior: &Posterior,
    s: Situation,
    without: &[QuestionIx],
    weighed: usize,
) -> Result<Inquiry, Trouble> {
    let mut first: Option<Inquiry> = None;
    for item in subjects(e) {
        let inquiry = about(g, e, posterior, s, without, (item, weighed))?;
        if inquiry.stop.is_none() {
            return Ok(inquiry);
        }
        first.get_or_insert(inquiry);
    }
    Ok(first.unwrap_or_default())
}

/// Complaints in the order told; without any, the sign whose report speaks loudest.
fn subjects(e: &Evidence) -> Vec<usize> {
    if !e.events.is_empty() {
        return (0..e.events.len()).collect();
    }
    // Signs stand in the problem in the order of their names.
    let mut signs: Vec<_> = e.signs.iter().map(|r| (&r.signs, r.likelihood[2] / r.likelihood[0].max(1e-9))).collect();
    signs.sort_by(|a, b| a.0.cmp(b.0));
    signs.dedup_by(|a, b| a.0 == b.0);
    let loudest = signs.iter().enumerate().max_by(|a, b| a.1.1.total_cmp(&b.1.1));
    loudest.filter(|(_, (_, ratio))| *ratio > 1.0).map(|(i, _)| i).into_iter().collect()
}

fn about(
    g: &FaultGraph,
    e: &Evidence,
    posterior: &Posterior,
    s: Situation,
    without: &[QuestionIx],
    (item, weighed): (usize, usize),
) -> Result<Inquiry, Trouble> {
    let mut subject = Subject::new(g, e, item, s.by)?;
    let (ride, _) = safety::advice(g, e, posterior);
    let matters: Vec<bool> = g.cause_ixs().map(|c| posterior.ranked_by(c) >= WORTH_ASKING).collect();
    let possible = open::questions(g, e, s, ride, item, &matters, without);
    let table = Table::new(&mut subject, &possible, s, weighed.min(MOST_WEIGHED))?;
    let (outlook, state) = (&table.outlook, &table.state);
    let (act, rolled) = outlook.decide(state, WIDTH, STEPS);
    let plan = outlook.plan(state);
    let now = plan.minutes;
    let mut proposals: Vec<Proposal> = table
        .questions
        .iter()
        .enumerate()
        .map(|(ask, question)| {
            let ahead = rolled.iter().find(|(a, _)| *a == ask).map(|(_, minutes)| now - minutes);
            Proposal {
                question: *question,
                gain_bits: outlook.bits(state, ask),
                minutes: minutes(g, *question),
                saves_minutes: ahead.unwrap_or_else(|| outlook.saves(state, ask)),
            }
        })
        .filter(|p| p.gain_bits > 1e-6)
        .collect();
    proposals.sort_by(|a, b| b.saves_minutes.total_cmp(&a.saves_minutes).then(a.question.cmp(&b.question)));
    if let Act::Ask(ask) = act
        && let Some(question) = table.questions.get(ask)
    {
        proposals.sort_by_key(|p| p.question != *question);
        turn_from_what_was_just_seen(g, e, &mut proposals);
    }
    let flags = safety::red_flags(g, e);
    let danger = !flags.is_empty();
    let hands_off = flags.iter().any(|f| f.hands_off);
    // A grave suspicion is not left open: before asking ends, whatever it costs, it is asked about.
    let ends = !matches!(act, Act::Ask(_)) && !danger;
    let pressing = if ends { safety::pressing(g, posterior, e, &possible, without) } else { None };
    if let Some((_, question)) = pressing {
        lead_with(&mut proposals, question, minutes(g, question));
    }
    let stop = match act {
        _ if hands_off => Some(Stop::Danger),
        _ if pressing.is_some() => None,
        Act::Ask(_) => None,
        _ if danger => Some(Stop::Danger),
        _ if subject.known.unlisted > likeliest(posterior) => Some(Stop::Outside),
        _ => Some(Stop::NothingPays),
    };
    let remedies = remedies::listed(&subject, s, outlook, state, &plan.order, &table.repairs);
    Ok(Inquiry { proposals, remedies, pressing: pressing.map(|(c, _)| c), stop })
}

/// The other end of what was just looked at waits where something else is worth nearly as much:
/// nobody likes to be asked the same twice running.
fn turn_from_what_was_just_seen(g: &FaultGraph, e: &Evidence, proposals: &mut [Proposal]) {
    let Some(seen) = e.signs.last().and_then(|r| r.signs.first()) else { return };
    let Some(best) = proposals.first().filter(|p| open::looks_for(g, p.question, *seen)) else { return };
    let least = (best.saves_minutes - PATIENCE).max(0.0);
    let other = |p: &Proposal| p.saves_minutes > least && !open::looks_for(g, p.question, *seen);
    if let Some(turned) = proposals.iter().position(other).and_then(|at| proposals.get_mut(..=at)) {
        turned.rotate_right(1);
    }
}

fn likeliest(posterior: &Posterior) -> f64 {
    posterior.ranking().first().map_or(0.0, |c| posterior.ranked_by(*c))
}

/// Puts a question first, whether it was weighed or not.
fn lead_with(proposals: &mut Vec<Proposal>, question: QuestionIx, minutes: f64) {
    if !proposals.iter().any(|p| p.question == question) {
        proposals.push(Proposal { question, gain_bits: 0.0, minutes, saves_minutes: 0.0 });
    }
    proposals.sort_by_key(|p| p.question != question);
}

/// The decision about one subject.
struct Table {
    outlook: Outlook,
    state: State,
    questions: Vec<QuestionIx>,
    repairs: Vec<(Repair, RemedyIx, Option<End>)>,
}

impl Table {
    /// Weighs questions exactly, best first by their rough worth, until those weighed cannot be beaten.
    fn new(subject: &mut Subject, possible: &[QuestionIx], s: Situation, weighed: usize) -> Result<Self, Trouble> {
        let g = subject.graph;
        let tools = if tools_are_out(g, subject.evidence) { 0.0 } else { fetching_tools(s.at) };
        let ask = |question: QuestionIx, answers| Ask {
            minutes: minutes(g, question),
            place: place_of(&g.question(question).tools),
            answers,
        };
        let rough = possible.iter().map(|q| ask(*q, answers::roughly(subject, *q, s))).collect::<Vec<_>>();
        let mut order: Vec<(f64, QuestionIx)> = Vec::new();
        // Questions are looked through some at a time, for the outlook holds no more at once.
        for (asks, questions) in rough.chunks(MOST_WEIGHED).zip(possible.chunks(MOST_WEIGHED)) {
            let (outlook, state) = Outlook::new(&subject.accounts, asks.to_vec(), Vec::new(), vec![tools], 0.0);
            let rate = |(i, q): (usize, &QuestionIx)| (outlook.bits(&state, i) / outlook.cost_of_asking(&state, i), *q);
            order.extend(questions.iter().enumerate().map(rate));
        }
        order.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        let questions: Vec<QuestionIx> = order.into_iter().take(weighed).map(|(_, q)| q).collect();
        let mut asks = Vec::new();
        for question in &questions {
            asks.push(ask(*question, answers::exactly(subject, *question, s)?));
        }
        let repairs = remedies::repairs(subject, s);
        let bare = repairs.iter().map(|(r, ..)| r.clone()).collect();
        let (outlook, state) = Outlook::new(&subject.accounts, asks, bare, vec![tools], remedies::hand_over(s));
        Ok(Self { outlook, state, questions, repairs })
    }
}

/// Minutes of asking a question, with reading and weighing it.
pub fn minutes(graph: &FaultGraph, question: QuestionIx) -> f64 {
    graph.question(question).minutes + ATTENTION
}

/// Minutes until tools are at hand.
pub fn fetching_tools(at: Venue) -> f64 {
    match at {
        Venue::Telephone => 0.0,
        Venue::Bench => TOOLS_AT_BENCH,
        Venue::Roadside | Venue::Home => TOOLS_AT_HOME,
    }
}

/// What needs tools needs them fetched.
fn place_of(tools: &[String]) -> Option<usize> {
    (!tools.is_empty()).then_some(0)
}

/// True if something was answered that needed tools.
fn tools_are_out(g: &FaultGraph, e: &Evidence) -> bool {
    g.questions.iter().any(|q| match &q.topic {
        Topic::Signs(signs) => !q.tools.is_empty() && signs.iter().all(|s| e.has_sign(*s)),
        _ => false,
    })
}
