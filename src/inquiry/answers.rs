//! How likely each answer to a question is, by who brings the complaint.
//!
//! [`roughly`] takes the other causes as independent of each other and is soon done: it sorts the
//! questions. [`exactly`] asks inference, and is kept for the few that may be asked.

use super::Situation;
use super::subject::Subject;
use crate::graph::{CauseIx, Degrees, FactIx, QuestionIx, SignIx, Topic};
use crate::inference::evidence::{Answer, read_sign, read_value};
use crate::inference::exact;
use crate::inference::problem::{fact_shares, prior};
use crate::inference::{Trouble, accounts::Accounts};
use crate::knowledge::terms::Word;

/// The share of people who cannot tell, where they choose from options. Judgement.
pub const CANNOT_TELL: f64 = 0.08;

/// Chances by answer, then by account of the subject.
pub type Rows = Vec<Vec<f64>>;

/// What one answer says of signs, as likelihoods by degree.
type Reading = Vec<(SignIx, Degrees)>;

/// Chances of the answers, the other causes taken as independent.
pub fn roughly(subject: &Subject, question: QuestionIx, s: Situation) -> Rows {
    match &subject.graph.question(question).topic {
        Topic::Signs(signs) => from_signs(subject, question, s, |sign| rough_degrees(subject, sign), signs),
        Topic::Facet(complaint, pos) => {
            let values = subject.graph.complaint(*complaint).facets.get(*pos).map_or(0, |u| u.shares.len());
            let shapes = shapes(subject, *pos);
            let told = |value| {
                let read = read_value(subject.graph, *complaint, *pos, value, s.by, true);
                shapes.iter().map(|shape| shape.iter().zip(&read).map(|(p, r)| p * r).sum()).collect()
            };
            by_account(subject, with_cannot_tell((0..values).map(told).collect()))
        }
        Topic::Fact(fact) => by_account(subject, fact_rows(subject, *fact)),
    }
}

/// Chances of the answers; exact for a question about one sign where a single cause brings the complaint.
///
/// # Errors
/// As [`crate::inference::infer`].
pub fn exactly(subject: &mut Subject, question: QuestionIx, s: Situation) -> Result<Rows, Trouble> {
    let topic = subject.graph.question(question).topic.clone();
    match &topic {
        Topic::Signs(signs) => match signs.as_slice() {
            [sign] => {
                let degrees = exact_degrees(subject, *sign)?;
                Ok(from_signs(subject, question, s, |_| degrees.clone(), signs))
            }
            _ => Ok(roughly(subject, question, s)),
        },
        _ => Ok(roughly(subject, question, s)),
    }
}

fn by_account(subject: &Subject, fine: Rows) -> Rows {
    fine.iter().map(|row| subject.by_account(row)).collect()
}

/// Every answer that tells something, and whether people may also say that they cannot tell.
fn readings(subject: &Subject, question: QuestionIx, s: Situation, signs: &[SignIx]) -> (Vec<Reading>, bool) {
    let g = subject.graph;
    let entry = g.question(question);
    let read = |sign: SignIx, answer| read_sign(g, sign, answer, s.by, s.at, true);
    if entry.options.is_empty() {
        // Half-hearted answers say little, and in thinking ahead they count as one.
        let words = [vec![Word::Sure], vec![Word::ThinkSo, Word::CannotTell, Word::ThinkNot], vec![Word::SureNot]];
        let told = |words: Vec<Word>| {
            let sum = |sign: &SignIx| {
                let all = words.iter().map(|w| read(*sign, Answer::Word(*w)));
                (*sign, all.fold([0.0; 3], |sum, d| std::array::from_fn(|i| sum[i] + d[i])))
            };
            signs.iter().map(sum).collect()
        };
        return (words.into_iter().map(told).collect(), false);
    }
    let options = entry.options.iter().filter(|o| !o.means.is_empty());
    let told = options.map(|o| {
        o.means.iter().filter_map(|(sign, answer)| Some((*sign, read(*sign, Answer::read(answer)?)))).collect()
    });
    (told.collect(), true)
}

fn from_signs(
    subject: &Subject,
    question: QuestionIx,
    s: Situation,
    degrees: impl Fn(SignIx) -> Vec<Degrees>,
    signs: &[SignIx],
) -> Rows {
    let by_sign: Vec<(SignIx, Vec<Degrees>)> = signs.iter().map(|s| (*s, degrees(*s))).collect();
    let (readings, cannot_tell) = readings(subject, question, s, signs);
    let n = subject.known.sets.len() + 2;
    let row = |reading: &Reading| -> Vec<f64> {
        let one = |at: usize| {
            let each = reading.iter().filter_map(|(sign, likelihood)| {
                let (_, degrees) = by_sign.iter().find(|(s, _)| s == sign)?;
                Some(degrees.get(at)?.iter().zip(likelihood).map(|(p, l)| p * l).sum::<f64>())
            });
            each.product()
        };
        (0..n).map(one).collect()
    };
    let rows: Rows = readings.iter().map(row).collect();
    by_account(subject, if cannot_tell { with_cannot_tell(rows) } else { rows })
}

/// Makes rows of likelihoods proper chances and adds the answer that tells nothing.
fn with_cannot_tell(mut rows: Rows) -> Rows {
    let n = rows.first().map_or(0, Vec::len);
    for at in 0..n {
        let sum: f64 = rows.iter().filter_map(|r| r.get(at)).sum();
        let scale = if sum > 0.0 { (1.0 - CANNOT_TELL) / sum } else { 0.0 };
        rows.iter_mut().filter_map(|r| r.get_mut(at)).for_each(|x| *x *= scale);
    }
    rows.push(vec![CANNOT_TELL; n]);
    rows
}

/// Chances of no, slight and strong, for every set, the background and the rest.
fn rough_degrees(subject: &Subject, sign: SignIx) -> Vec<Degrees> {
    let b = subject.graph.sign(sign).background;
    let slight = if subject.graph.sign(sign).degrees { 0.7 } else { 0.0 };
    let links: Vec<(usize, Degrees)> = subject.graph.shown_by(sign).map(|(c, d)| (c.index(), d)).collect();
    // Chances of at most no and at most slight: causes pull up independently.
    let at_most = |there: &dyn Fn(usize) -> f64, level: usize| {
        let own = if level == 0 { 1.0 - b } else { 1.0 - b * (1.0 - slight) };
        links.iter().fold(own, |p, (cause, d)| {
            let below: f64 = d.iter().take(level + 1).sum();
            p * (1.0 - there(*cause) * (1.0 - below))
        })
    };
    let degrees = |set: &[usize]| {
        let there = |c: usize| if set.contains(&c) { 1.0 } else { subject.known.aside.get(c).copied().unwrap_or(0.0) };
        let (none, slight) = (at_most(&there, 0), at_most(&there, 1));
        [none, (slight - none).max(0.0), 1.0 - slight]
    };
    let sets = subject.known.sets.iter().map(|(set, _)| degrees(set));
    sets.chain([degrees(&[]), degrees(&[])]).collect()
}

/// As [`rough_degrees`], but what one cause or the background alone brings is exact.
fn exact_degrees(subject: &mut Subject, sign: SignIx) -> Result<Vec<Degrees>, Trouble> {
    let mut all = rough_degrees(subject, sign);
    let there = reported_too(subject, sign, [0.0, 1.0, 1.0])?;
    let strong =
        if subject.graph.sign(sign).degrees { reported_too(subject, sign, [0.0, 0.0, 1.0])? } else { there.clone() };
    for (at, ((there, strong), degrees)) in there.iter().zip(&strong).zip(&mut all).enumerate() {
        let single = subject.known.sets.get(at).is_none_or(|(set, _)| set.len() == 1);
        if single && at < subject.known.sets.len() + 1 {
            *degrees = [(1.0 - there).max(0.0), (there - strong).max(0.0), *strong];
        }
    }
    Ok(all)
}

/// By set and background: chance that the sign is as weighed, given that they bring the complaint.
fn reported_too(subject: &mut Subject, sign: SignIx, weights: Degrees) -> Result<Vec<f64>, Trouble> {
    let graph = subject.graph;
    subject.problem.report_sign(graph, &[sign], weights);
    let solved = exact::solve(&subject.problem.silenced(subject.item));
    subject.problem.items.pop();
    let Accounts { sets, aside, log_quiet, .. } = &subject.known;
    match solved {
        Ok(solution) => {
            let scale = (solution.log_evidence - log_quiet).exp();
            let ratio = |cause: &usize| {
                let before = aside.get(*cause).copied().unwrap_or(0.0);
                let after = solution.present.get(*cause).copied().unwrap_or(0.0);
                if before > 0.0 { (scale * after / before).min(1.0) } else { 0.0 }
            };
            let by_set = sets.iter().map(|(set, _)| set.first().map_or(0.0, ratio));
            Ok(by_set.chain([scale.min(1.0)]).collect())
        }
        Err(Trouble::Contradiction) => Ok(vec![0.0; sets.len() + 1]),
        Err(wide) => Err(wide),
    }
}

/// Distributions of a facet's values, for every set, the background and the rest.
fn shapes(subject: &Subject, pos: usize) -> Vec<Vec<f64>> {
    let Some(event) = subject.evidence.events.get(subject.item) else { return Vec::new() };
    let shares = subject.graph.complaint(event.complaint).facets.get(pos).map(|u| u.shares.clone()).unwrap_or_default();
    let mut by_cause = std::collections::BTreeMap::new();
    for (cause, firing) in subject.graph.firings(event.complaint) {
        by_cause.insert(cause.index(), firing.shapes.get(pos).unwrap_or(&shares));
    }
    let sets = subject.known.sets.iter().map(|(set, _)| {
        let each: Vec<&Vec<f64>> = set.iter().filter_map(|c| by_cause.get(c).copied()).collect();
        let mean = |v: usize| each.iter().filter_map(|s| s.get(v)).sum::<f64>() / each.len().max(1) as f64;
        (0..shares.len()).map(mean).collect()
    });
    sets.chain([shares.clone(), shares.clone()]).collect()
}

/// Chances of the values of a bike fact, by value, then for every set, the background and the rest.
fn fact_rows(subject: &Subject, fact: FactIx) -> Rows {
    let (g, e) = (subject.graph, subject.evidence);
    let now = fact_shares(g, e);
    let shares = now.get(fact.index()).cloned().unwrap_or_default();
    let concerned = |c: CauseIx| {
        let cause = g.cause(c);
        cause.fits.iter().any(|(f, _)| *f == fact) || cause.odds.iter().any(|(f, ..)| *f == fact)
    };
    let rows = shares.iter().enumerate().map(|(value, share)| {
        if *share == 0.0 {
            return vec![0.0; subject.known.sets.len() + 2];
        }
        let mut after = e.clone();
        after.know(g, fact, value);
        let known = fact_shares(g, &after);
        let ratio = |c: &usize| {
            let cause = CauseIx(*c);
            if !concerned(cause) {
                return 1.0;
            }
            let before = prior(g, e, &now, cause);
            if before > 0.0 { prior(g, &after, &known, cause) / before } else { 1.0 }
        };
        let sets = subject.known.sets.iter().map(|(set, _)| share * set.iter().map(ratio).product::<f64>());
        sets.chain([*share, *share]).collect()
    });
    let mut rows: Rows = rows.collect();
    for at in 0..subject.known.sets.len() {
        let sum: f64 = rows.iter().filter_map(|r| r.get(at)).sum();
        rows.iter_mut().filter_map(|r| r.get_mut(at)).for_each(|x| *x /= if sum > 0.0 { sum } else { 1.0 });
    }
    rows
}
