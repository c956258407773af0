//! A sign that no question settles is never learned of.

use std::collections::BTreeSet;

use super::{Report, end_of};

pub(super) fn check(report: &mut Report<'_>) {
    let k = report.knowledge;
    let asked: BTreeSet<&str> = k.questions.iter().flat_map(|q| &q.settles).map(|s| end_of(s.as_str()).0).collect();
    for sign in k.signs.iter().filter(|s| !asked.contains(s.id.as_str())) {
        let headline = format!("no question settles the sign `{}`", sign.id.value);
        report.say("unasked-sign", &sign.id, headline, "name it under `settles` of a question, or write one");
    }
}
