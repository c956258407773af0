//! Names are lower case with hyphens, so that they can be typed and joined.

use super::Report;
use crate::knowledge::Named;
use crate::knowledge::format::Id;

pub(super) fn check(report: &mut Report<'_>) {
    let k = report.knowledge;
    fn ids<T: Named>(entries: &[T]) -> impl Iterator<Item = &Id> {
        entries.iter().map(Named::id)
    }
    let values = k.facts.iter().flat_map(|f| &f.values).chain(k.facets.iter().flat_map(|f| &f.values));
    let all = ids(&k.causes)
        .chain(ids(&k.complaints))
        .chain(ids(&k.facets))
        .chain(ids(&k.facts))
        .chain(ids(&k.signs))
        .chain(ids(&k.questions))
        .chain(ids(&k.remedies))
        .chain(ids(&k.cautions))
        .chain(ids(&k.flags))
        .chain(ids(&k.phrases))
        .chain(ids(&k.glosses))
        .chain(ids(&k.classes))
        .chain(values.map(|v| &v.id));
    for id in all {
        let fine = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
        if id.value.is_empty() || !id.value.chars().all(fine) {
            let headline = format!("`{}` is not a name", id.value);
            report.say("bad-id", id, headline, "use lower-case letters, digits and hyphens only");
        }
    }
    let signs: std::collections::BTreeSet<&str> = k.signs.iter().map(|s| s.id.as_str()).collect();
    for complaint in k.complaints.iter().filter(|c| signs.contains(c.id.as_str())) {
        let headline = format!("`{}` is the name of a sign and of a complaint", complaint.id.value);
        report.say("bad-id", &complaint.id, headline, "rename one: reports name signs and complaints alike");
    }
}
