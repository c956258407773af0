//! A cause that nothing cures sends the rider away empty-handed.

use std::collections::BTreeSet;

use super::Report;

pub(super) fn check(report: &mut Report<'_>) {
    let k = report.knowledge;
    let cured: BTreeSet<&str> = k.remedies.iter().flat_map(|r| &r.cures.0).map(|(cause, _)| cause.as_str()).collect();
    for cause in k.causes.iter().filter(|c| !cured.contains(c.id.as_str())) {
        let headline = format!("no remedy cures `{}`", cause.id.value);
        report.say("cause-without-remedy", &cause.id, headline, "name it under `cures` of a remedy, or write one");
    }
}
