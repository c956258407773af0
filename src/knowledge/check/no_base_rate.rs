//! A cause exists once (`base`) or at both ends (`ends`), never neither or both.

use super::Report;

pub(super) fn check(report: &mut Report<'_>) {
    for cause in &report.knowledge.causes {
        if cause.base.is_some() == cause.ends.is_some() {
            let what = if cause.base.is_some() { "both `base` and `ends`" } else { "no base rate" };
            let headline = format!("cause `{}` has {what}", cause.id.value);
            let mend = "write `base: 0.02`, or `ends: (front: 0.02, rear: 0.02)` for a part that exists at both ends";
            report.say("no-base-rate", &cause.id, headline, mend);
        }
    }
}
