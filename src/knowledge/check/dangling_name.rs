//! Every name used must be defined somewhere.

use std::collections::{BTreeMap, BTreeSet};

use super::{Report, end_of};
use crate::knowledge::format::{Id, Placed, Shape, Strength};
use crate::knowledge::terms::{Reporter, Venue, Word};
use crate::knowledge::{Knowledge, Named};
use crate::words;

struct Names<'k> {
    by_kind: BTreeMap<&'static str, BTreeSet<&'k str>>,
    values: BTreeMap<String, BTreeSet<&'k str>>,
}

impl<'k> Names<'k> {
    fn of(k: &'k Knowledge) -> Self {
        fn ids<T: Named>(entries: &[T]) -> (&'static str, BTreeSet<&str>) {
            (T::KIND, entries.iter().map(|e| e.id().as_str()).collect())
        }
        let by_kind = BTreeMap::from([
            ids(&k.sources),
            ids(&k.steps),
            ids(&k.tables),
            ids(&k.facts),
            ids(&k.facets),
            ids(&k.complaints),
            ids(&k.signs),
            ids(&k.causes),
            ids(&k.questions),
            ids(&k.cautions),
            ids(&k.remedies),
            ids(&k.classes),
        ]);
        let mut values = BTreeMap::new();
        for fact in &k.facts {
            values.insert(format!("fact {}", fact.id.value), fact.values.iter().map(|v| v.id.as_str()).collect());
        }
        for facet in &k.facets {
            let names = if facet.values.is_empty() {
                BTreeSet::from(["yes", "no"])
            } else {
                facet.values.iter().map(|v| v.id.as_str()).collect()
            };
            values.insert(format!("facet {}", facet.id.value), names);
        }
        Self { by_kind, values }
    }

    fn kind(&self, kind: &str) -> impl Iterator<Item = &'k str> {
        self.by_kind.get(kind).into_iter().flatten().copied()
    }

    fn has(&self, kind: &str, name: &str) -> bool {
        self.by_kind.get(kind).is_some_and(|set| set.contains(name))
    }

    fn values(&self, of: &str, name: &str) -> Option<&BTreeSet<&'k str>> {
        self.values.get(&format!("{of} {name}"))
    }
}

pub(super) fn check(report: &mut Report<'_>) {
    let k = report.knowledge;
    let names = Names::of(k);
    sources(report, &names);
    for complaint in &k.complaints {
        for facet in &complaint.facets {
            known(report, &names, "facet", facet, facet.as_str());
        }
        for (facet, shape) in &complaint.shares.0 {
            shape_names(report, &names, facet, shape);
        }
        fits(report, &names, &complaint.needs.0);
    }
    k.cautions.iter().for_each(|caution| fits(report, &names, &caution.fits.0));
    for sign in &k.signs {
        for (who, table) in &sign.noticed.0 {
            let (reporter, venue) = end_of(who.as_str());
            if Reporter::find(reporter).is_none() || venue.is_some_and(|v| Venue::find(v).is_none()) {
                let headline = format!("nobody is called `{}`", who.value);
                report.say(
                    "dangling-name",
                    who,
                    headline,
                    "write a reporter, or reporter@place such as `rider@telephone`",
                );
            }
            known(report, &names, "answer table", table, table.as_str());
        }
    }
    for cause in &k.causes {
        fits(report, &names, &cause.fits.0);
        for (key, _) in &cause.odds.0 {
            let (fact, value) = key.as_str().split_once('=').unwrap_or((key.as_str(), "yes"));
            fact_value(report, &names, key, fact, value);
        }
        for brings in &cause.brings {
            known(report, &names, "complaint", &brings.complaint, brings.complaint.as_str());
            strength(report, &names, &brings.strength);
            for (facet, shape) in &brings.facets.0 {
                shape_names(report, &names, facet, shape);
                let owned = k
                    .complaints
                    .iter()
                    .find(|c| c.id.value == brings.complaint.value)
                    .is_none_or(|c| c.facets.iter().any(|f| f.value == facet.value));
                if !owned && names.has("facet", facet.as_str()) {
                    let headline = format!("complaint `{}` has no facet `{}`", brings.complaint.value, facet.value);
                    report.say("dangling-name", facet, headline, "leave it out, or add the facet to the complaint");
                }
            }
        }
        for (sign, step) in &cause.shows.0 {
            known(report, &names, "sign", sign, end_of(sign.as_str()).0);
            strength(report, &names, step);
        }
        cautions(report, &names, &cause.cautions);
    }
    for question in &k.questions {
        for sign in &question.settles {
            known(report, &names, "sign", sign, end_of(sign.as_str()).0);
        }
        for (sign, answer) in question.options.iter().flat_map(|o| &o.means.0) {
            known(report, &names, "sign", sign, end_of(sign.as_str()).0);
            let word = answer.as_str();
            if Word::find(word).is_none() && !matches!(word, "slight" | "strong") {
                let headline = format!("`{word}` is not an answer");
                report.say(
                    "dangling-name",
                    answer,
                    headline,
                    "write sure, think-so, cannot-tell, think-not, sure-not, slight or strong",
                );
            }
        }
    }
    for remedy in &k.remedies {
        for (cause, _) in &remedy.cures.0 {
            known(report, &names, "cause", cause, cause.as_str());
        }
        cautions(report, &names, &remedy.cautions);
    }
    for flag in &k.flags {
        flag.when.iter().for_each(|id| meaning(report, k, &names, id));
        cautions(report, &names, &flag.cautions);
    }
    for id in k.phrases.iter().flat_map(|p| p.means.iter().chain(&p.denies).chain(&p.or)) {
        meaning(report, k, &names, id);
    }
    for id in k.facets.iter().flat_map(|f| &f.moot) {
        meaning(report, k, &names, id);
    }
    let wordings = k.phrases.iter().map(|p| (&p.id, &p.say)).chain(k.lists.iter().map(|l| (&l.id, &l.say)));
    for (id, say) in wordings {
        let classes = say.iter().flat_map(|say| say.split('<').skip(1));
        for name in classes.map(|rest| rest.split('>').next().unwrap_or_default()) {
            known(report, &names, "word class", id, name);
        }
    }
    for telling in &k.tellings {
        known(report, &names, "cause", &telling.id, telling.id.as_str());
    }
    for id in k.phrases.iter().flat_map(|p| &p.tried) {
        known(report, &names, "remedy", id, id.as_str());
    }
}

fn sources(report: &mut Report<'_>, names: &Names<'_>) {
    let k = report.knowledge;
    let used = k.steps.iter().map(|e| &e.source);
    let used = used.chain(k.tables.iter().map(|e| &e.source));
    let used = used.chain(k.facts.iter().map(|e| &e.source));
    let used = used.chain(k.complaints.iter().map(|e| &e.source));
    let used = used.chain(k.signs.iter().map(|e| &e.source));
    let used = used.chain(k.causes.iter().map(|e| &e.source));
    let used = used.chain(k.remedies.iter().map(|e| &e.source));
    let used = used.chain(k.cautions.iter().map(|e| &e.source));
    let used = used.chain(k.limits.iter().map(|e| &e.source));
    for source in used {
        known(report, names, "source", source, source.as_str());
    }
    for reporter in &k.reporters {
        known(report, names, "answer table", &reporter.asked, reporter.asked.as_str());
        known(report, names, "answer table", &reporter.told, reporter.told.as_str());
    }
}

fn known(report: &mut Report<'_>, names: &Names<'_>, kind: &'static str, at: &Id, name: &str) {
    if !names.has(kind, name) {
        let nearest = super::nearest_of(name, names.kind(kind));
        let headline = format!("no file defines a {kind} called `{name}`");
        report.say_with_nearest("dangling-name", at, headline, nearest, "correct the spelling, or define it");
    }
}

fn cautions(report: &mut Report<'_>, names: &Names<'_>, ids: &[Id]) {
    for id in ids {
        known(report, names, "caution", id, id.as_str());
    }
}

fn strength(report: &mut Report<'_>, names: &Names<'_>, strength: &Placed<Strength>) {
    if let Strength::Step(step) = &strength.value
        && !names.has("step", step)
    {
        let nearest = super::nearest_of(step, names.kind("step"));
        let headline = format!("there is no step called `{step}`");
        report.say_with_nearest("dangling-name", strength, headline, nearest, "write a number, or a step of scale.ron");
    }
}

fn value(report: &mut Report<'_>, names: &Names<'_>, of: &'static str, owner: &str, at: &Id, name: &str) {
    if let Some(values) = names.values(of, owner)
        && !values.contains(name)
    {
        let nearest = super::nearest_of(name, values.iter().copied());
        let headline = format!("{of} `{owner}` has no value `{name}`");
        let all: Vec<&str> = values.iter().copied().collect();
        let mend = format!("write {}", words::listed(&all, "or"));
        report.say_with_nearest("dangling-name", at, headline, nearest, &mend);
    }
}

fn fact_value(report: &mut Report<'_>, names: &Names<'_>, at: &Id, fact: &str, name: &str) {
    known(report, names, "bike fact", at, fact);
    value(report, names, "fact", fact, at, name);
}

fn fits(report: &mut Report<'_>, names: &Names<'_>, fits: &[(Id, Vec<Id>)]) {
    for (fact, values) in fits {
        known(report, names, "bike fact", fact, fact.as_str());
        for v in values {
            value(report, names, "fact", fact.as_str(), v, v.as_str());
        }
    }
}

fn shape_names(report: &mut Report<'_>, names: &Names<'_>, facet: &Id, shape: &Shape) {
    known(report, names, "facet", facet, facet.as_str());
    if let Shape::Values(pairs) = shape {
        for (name, _) in &pairs.0 {
            value(report, names, "facet", facet.as_str(), name, name.as_str());
        }
    }
}

/// `sign`, `complaint`, `complaint.facet=value`, `facet=value` or `fact=value`.
fn meaning(report: &mut Report<'_>, k: &Knowledge, names: &Names<'_>, id: &Id) {
    let text = id.as_str();
    let Some((left, right)) = text.split_once('=') else {
        if !names.has("sign", end_of(text).0) && !names.has("complaint", text) {
            let nearest = super::nearest_of(text, names.kind("sign").chain(names.kind("complaint")));
            let headline = format!("no sign or complaint is called `{text}`");
            report.say_with_nearest("dangling-name", id, headline, nearest, "correct the spelling, or define it");
        }
        return;
    };
    let facet = match left.split_once('.') {
        Some((complaint, facet)) => {
            known(report, names, "complaint", id, complaint);
            let entry = k.complaints.iter().find(|c| c.id.value == complaint);
            if let Some(entry) = entry.filter(|c| c.facets.iter().all(|f| f.value != facet)) {
                let own: Vec<&str> = entry.facets.iter().map(Id::as_str).collect();
                let headline = format!("complaint `{complaint}` has no facet `{facet}`");
                let nearest = super::nearest_of(facet, own.iter().copied());
                let mend = if own.is_empty() {
                    "leave it out".to_owned()
                } else {
                    format!("write {}", words::listed(&own, "or"))
                };
                return report.say_with_nearest("dangling-name", id, headline, nearest, &mend);
            }
            facet
        }
        None if names.has("facet", left) => left,
        None => return fact_value(report, names, id, left, right),
    };
    known(report, names, "facet", id, facet);
    value(report, names, "facet", facet, id, right);
}
