//! A sign that no cause shows tells nothing.

use std::collections::BTreeSet;

use super::{Report, end_of};

pub(super) fn check(report: &mut Report<'_>) {
    let k = report.knowledge;
    let shown: BTreeSet<&str> =
        k.causes.iter().flat_map(|c| &c.shows.0).map(|(sign, _)| end_of(sign.as_str()).0).collect();
    for sign in k.signs.iter().filter(|s| !shown.contains(s.id.as_str())) {
        let headline = format!("no cause shows the sign `{}`", sign.id.value);
        report.say("orphan-sign", &sign.id, headline, "link a cause to it under `shows`, or delete it");
    }
}
