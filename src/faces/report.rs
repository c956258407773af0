//! The answer for people: what was heard, may I ride, what it is, what to ask, what to do.

use super::answered::Answered;
use crate::session::{repairs, reply};
use crate::words::{capitalised, laid_out};

const WIDTH: usize = 78;
const MOST_CAUSES: usize = 6;

/// The whole report.
pub fn text(a: &Answered) -> String {
    let g = &a.graph;
    let mut out = String::new();
    if !a.heard.is_empty() {
        out += &reply::newly_heard(g, &a.heard);
    }
    if a.nothing_heard() {
        out += "Nothing was heard that says what the bike does.\n";
        out += "Say it in your own words, such as: --say 'it knocks when I brake'\n";
        return laid_out(&(out + &warnings(a)), WIDTH);
    }
    out += &reply::ride(g, &a.evidence, &a.posterior);
    out += &reply::likely(g, &a.evidence, &a.posterior, MOST_CAUSES);
    let leading = a.posterior.ranking().first().copied().filter(|c| a.posterior.ranked_by(*c) > 0.0);
    if let Some(first) = leading.map(|c| g.cause(c)) {
        out += &format!("{}. {}\nTo make sure: {}\n", capitalised(&first.name), first.plain, first.check);
    }
    if let (Some(best), None) = (a.inquiry.proposals.first(), a.inquiry.stop) {
        out += &format!("\nThe next thing worth knowing\n{}", reply::question(g, &a.evidence, best.question));
    }
    if let Some(first) = a.inquiry.remedies.first() {
        out += &repairs::how_to(g.remedy(first.remedy), &a.evidence);
    }
    laid_out(&(out + &warnings(a)), WIDTH)
}

fn warnings(a: &Answered) -> String {
    a.warnings.iter().map(|w| format!("Note: {w}\n")).collect()
}
