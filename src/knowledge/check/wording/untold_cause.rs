//! Where causes are told in riders' words, one that is not is passed over when words alone must decide.

use std::collections::BTreeSet;

use super::Text;
use crate::knowledge::Knowledge;
use crate::snag::Snag;

pub(super) fn check(k: &Knowledge, _: &[Text<'_>], notes: &mut Vec<Snag>) {
    let told: BTreeSet<&str> = k.tellings.iter().filter(|t| !t.said.is_empty()).map(|t| t.id.as_str()).collect();
    for cause in k.causes.iter().filter(|c| !told.is_empty() && !told.contains(c.id.as_str())) {
        notes.push(Snag {
            code: "untold-cause",
            place: k.place(&cause.id),
            headline: format!("nobody tells of `{}` in a rider's words", cause.id.value),
            nearest: None,
            mend: "add a `Telling` with some ways in which riders with it put it, before they know".to_owned(),
        });
    }
}
