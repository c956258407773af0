//! From checked knowledge to the graph.
//!
//! Entries with snags are left out as far as they are broken: a link to nothing
//! is no link. Whoever loads knowledge decides whether snags are fatal.

use std::collections::BTreeMap;

use itertools::Itertools;

use super::*;
use crate::knowledge::Knowledge;
use crate::knowledge::format::{self, Shape, Strength};
use crate::knowledge::terms::{Reporter, Venue};
use crate::words::wordings::Wordings;

/// What the rider takes as the end when the cause sits at that end; the rest
/// follows the background, since a frame carries sound. Judgement.
const OWN_END: f64 = 0.96;

/// Builds the graph.
pub fn build(k: &Knowledge) -> FaultGraph {
    let mut maker = Maker { k, g: FaultGraph::default(), steps: BTreeMap::new() };
    maker.steps = k.steps.iter().map(|s| (s.id.as_str(), s.number.value)).collect();
    maker.reporters();
    maker.facts_and_facets();
    maker.complaints();
    maker.signs();
    maker.causes();
    maker.questions();
    maker.remedies();
    maker.flags_and_words();
    maker.wordings_and_tellings();
    maker.g
}

struct Maker<'k> {
    k: &'k Knowledge,
    g: FaultGraph,
    steps: BTreeMap<&'k str, f64>,
}

impl Maker<'_> {
    fn table(&self, id: &str) -> Option<AnswerTable> {
        let table = self.k.tables.iter().find(|t| t.id.as_str() == id)?;
        let row = |r: &(format::Number, format::Number, format::Number, format::Number, format::Number)| {
            normalised(&[r.0.value, r.1.value, r.2.value, r.3.value, r.4.value])
        };
        let five = |v: Vec<f64>| v.try_into().unwrap_or([0.2; 5]);
        Some(AnswerTable { there: five(row(&table.there)), missing: five(row(&table.missing)) })
    }

    fn reporters(&mut self) {
        for (i, who) in Reporter::ALL.iter().enumerate() {
            if let Some(entry) = self.k.reporters.iter().find(|r| r.id.as_str() == who.word()) {
                let asked = self.table(entry.asked.as_str()).unwrap_or_default();
                let told = self.table(entry.told.as_str()).unwrap_or_default();
                if let Some(place) = self.g.tables.get_mut(i) {
                    *place = (asked, told);
                }
            }
        }
    }

    fn facts_and_facets(&mut self) {
        let value = |v: &format::Value| Value { id: v.id.value.clone(), name: v.name.clone() };
        for fact in &self.k.facts {
            self.g.facts.push(Fact {
                id: fact.id.value.clone(),
                name: fact.name.clone(),
                ask: fact.ask.clone(),
                why: fact.why.clone(),
                history: fact.history,
                values: fact.values.iter().map(value).collect(),
                shares: shares(&fact.values),
            });
        }
        for facet in &self.k.facets {
            let yes_no = facet.values.is_empty();
            let values = if yes_no {
                ["yes", "no"].map(|v| Value { id: v.to_owned(), name: v.to_owned() }).to_vec()
            } else {
                facet.values.iter().map(value).collect()
            };
            self.g.facets.push(Facet {
                id: facet.id.value.clone(),
                name: if facet.name.is_empty() { facet.id.value.replace('-', " ") } else { facet.name.clone() },
                ask: facet.ask.clone(),
                why: facet.why.clone(),
                values,
                yes_no,
                moot: Vec::new(),
                minutes: facet.minutes.value,
                at: if facet.at.is_empty() { Venue::ALL.to_vec() } else { facet.at.clone() },
            });
        }
        for (at, facet) in self.k.facets.iter().enumerate() {
            let moot = facet.moot.iter().filter_map(|id| match self.meanings(id.as_str()) {
                Some(Meaning::Value(None, facet, value)) => Some((facet, value)),
                _ => None,
            });
            let moot = moot.collect();
            if let Some(entry) = self.g.facets.get_mut(at) {
                entry.moot = moot;
            }
        }
    }

    fn facet_ix(&self, id: &str) -> Option<FacetIx> {
        self.g.facets.iter().position(|f| f.id == id).map(FacetIx)
    }

    fn complaints(&mut self) {
        for entry in &self.k.complaints {
            let mut facets = Vec::new();
            for id in &entry.facets {
                let Some(ix) = self.facet_ix(id.as_str()) else { continue };
                let Some(own) = self.k.facets.iter().find(|f| f.id.value == id.value) else { continue };
                let base = own.yes.as_ref().map_or_else(|| shares(&own.values), |y| vec![y.value, 1.0 - y.value]);
                let special = entry.shares.0.iter().find(|(f, _)| f.value == id.value);
                let shares = special.map_or_else(|| base.clone(), |(_, s)| self.shape(ix, &base, s));
                let mut hits = [0.8; 3];
                let own_hits = entry.hits.0.iter().filter(|(f, _)| f.value == id.value).flat_map(|(_, h)| &h.0);
                for (who, n) in own.hits.0.iter().chain(own_hits) {
                    let place = Reporter::find(who.as_str()).and_then(|r| hits.get_mut(r as usize));
                    if let Some(place) = place {
                        *place = n.value;
                    }
                }
                facets.push(FacetUse { facet: ix, shares, hits });
            }
            let ix = ComplaintIx(self.g.complaints.len());
            let needs = self.fits(&entry.needs.0);
            self.g.complaints.push(Complaint {
                id: entry.id.value.clone(),
                name: entry.name.clone(),
                ask: entry.ask.clone(),
                background: entry.background.value,
                facets,
                needs,
            });
            let node = self.g.graph.add_node(Node::Complaint(ix));
            self.g.nodes.complaints.push(node);
        }
    }

    fn fits(&self, pairs: &[(format::Id, Vec<format::Id>)]) -> Vec<(FactIx, Vec<bool>)> {
        let one = |(fact, values): &(format::Id, Vec<format::Id>)| {
            let ix = self.g.find_fact(fact.as_str())?;
            let fits = self.g.fact(ix).values.iter().map(|v| values.iter().any(|x| x.value == v.id)).collect();
            Some((ix, fits))
        };
        pairs.iter().filter_map(one).collect()
    }

    /// A full distribution: what is listed, and the rest by the background's shares.
    fn shape(&self, facet: FacetIx, background: &[f64], shape: &Shape) -> Vec<f64> {
        match shape {
            Shape::Yes(yes) => vec![yes.value, 1.0 - yes.value],
            Shape::Values(pairs) => {
                let values = &self.g.facet(facet).values;
                let listed: Vec<Option<f64>> = values
                    .iter()
                    .map(|v| pairs.0.iter().find(|(id, _)| id.value == v.id).map(|(_, n)| n.value))
                    .collect();
                filled(&listed, background)
            }
        }
    }

    fn signs(&mut self) {
        for entry in &self.k.signs {
            let noticed: Vec<(String, AnswerTable)> = entry
                .noticed
                .0
                .iter()
                .filter_map(|(who, table)| Some((who.value.clone(), self.table(table.as_str())?)))
                .collect();
            for end in ends(entry.ends) {
                let ix = SignIx(self.g.signs.len());
                self.g.signs.push(Sign {
                    id: with_end(entry.id.as_str(), end),
                    root: entry.id.value.clone(),
                    end,
                    name: named(&entry.name, end),
                    degrees: entry.degrees,
                    background: entry.background.value,
                    noticed: noticed.clone(),
                });
                if end.is_some() {
                    self.g.sign_names.entry(with_end(entry.id.as_str(), end)).or_default().push(ix);
                }
                self.g.sign_names.entry(entry.id.value.clone()).or_default().push(ix);
                let node = self.g.graph.add_node(Node::Sign(ix));
                self.g.nodes.signs.push(node);
            }
        }
    }

    fn strength(&self, s: &Strength) -> Option<Degrees> {
        let plain = |p: f64| [1.0 - p, 0.0, p];
        match s {
            Strength::Chance(p) => Some(plain(*p)),
            Strength::Step(word) => self.steps.get(word.as_str()).map(|p| plain(*p)),
            Strength::Degrees { slight, strong } => Some([1.0 - slight - strong, *slight, *strong]),
        }
    }

    fn cautions(&self, ids: &[format::Id]) -> Vec<Caution> {
        ids.iter()
            .filter_map(|id| self.k.cautions.iter().find(|c| c.id.value == id.value))
            .map(|c| Caution {
                id: c.id.value.clone(),
                text: c.text.clone(),
                at_work: c.at_work,
                fits: self.fits(&c.fits.0),
            })
            .collect()
    }

    fn citation(&self, id: &format::Id) -> String {
        self.k.sources.iter().find(|s| s.id.value == id.value).map_or_else(String::new, |s| s.cite.clone())
    }

    fn causes(&mut self) {
        let k = self.k;
        for entry in &k.causes {
            let places = match (&entry.ends, &entry.base) {
                (Some(e), _) => vec![(Some(End::Front), e.front.value), (Some(End::Rear), e.rear.value)],
                (None, Some(base)) => vec![(None, base.value)],
                (None, None) => continue,
            };
            for (end, base) in places {
                let ix = CauseIx(self.g.causes.len());
                let odds = entry
                    .odds
                    .0
                    .iter()
                    .filter_map(|(key, times)| {
                        let (fact, value) = key.as_str().split_once('=').unwrap_or((key.as_str(), "yes"));
                        let fact = self.g.find_fact(fact)?;
                        let value = self.g.fact(fact).values.iter().position(|v| v.id == value)?;
                        Some((fact, value, times.value))
                    })
                    .collect();
                self.g.causes.push(Cause {
                    id: entry.id.value.clone(),
                    end,
                    name: named(&entry.name, end),
                    plain: entry.plain.clone(),
                    assembly: k.assembly(&entry.id).replace('-', " "),
                    base,
                    fits: self.fits(&entry.fits.0),
                    odds,
                    ride: entry.ride,
                    cautions: self.cautions(&entry.cautions),
                    check: entry.check.clone(),
                    source: self.citation(&entry.source),
                });
                let node = self.g.graph.add_node(Node::Cause(ix));
                self.g.nodes.causes.push(node);
                self.link_complaints(entry, end, node);
                self.link_signs(entry, end, node);
            }
        }
    }

    fn link_complaints(&mut self, entry: &format::Cause, end: Option<End>, node: NodeIndex) {
        for brings in &entry.brings {
            let Some(complaint) = self.g.find_complaint(brings.complaint.as_str()) else { continue };
            let Some([_, _, strength]) = self.strength(&brings.strength.value) else { continue };
            let shapes = self
                .g
                .complaint(complaint)
                .facets
                .iter()
                .map(|u| {
                    let id = &self.g.facet(u.facet).id;
                    let told = brings.facets.0.iter().find(|(f, _)| f.value == *id);
                    match (told, end) {
                        (Some((_, s)), Some(end)) if id != "end" => {
                            self.at_own_end(u.facet, self.shape(u.facet, &u.shares, s), end)
                        }
                        (Some((_, s)), _) => self.shape(u.facet, &u.shares, s),
                        (None, Some(end)) if id == "end" => {
                            let own = |v: &Value| (v.id == end.word()).then_some(OWN_END);
                            filled(&self.g.facet(u.facet).values.iter().map(own).collect::<Vec<_>>(), &u.shares)
                        }
                        (None, _) => u.shares.clone(),
                    }
                })
                .collect();
            if let Some(to) = self.g.nodes.complaints.get(complaint.0).copied() {
                self.g.graph.add_edge(node, to, Link::Brings(Firing { strength, shapes }));
            }
        }
    }

    /// What is told of either wheel is told of that at the cause's own end.
    fn at_own_end(&self, facet: FacetIx, mut shape: Vec<f64>, end: End) -> Vec<f64> {
        let values = &self.g.facet(facet).values;
        let at = |end: End| {
            values.iter().position(|v| v.id.strip_prefix(end.word()).is_some_and(|rest| rest.starts_with('-')))
        };
        let [Some(front), Some(rear)] = End::BOTH.map(at) else { return shape };
        let (own, other) = if end == End::Front { (front, rear) } else { (rear, front) };
        let both: f64 = [own, other].iter().filter_map(|place| shape.get(*place)).sum();
        for (place, share) in [(own, OWN_END), (other, 1.0 - OWN_END)] {
            if let Some(value) = shape.get_mut(place) {
                *value = both * share;
            }
        }
        shape
    }

    fn link_signs(&mut self, entry: &format::Cause, end: Option<End>, node: NodeIndex) {
        for (key, strength) in &entry.shows.0 {
            let Some(degrees) = self.strength(&strength.value) else { continue };
            for sign in self.g.find_signs(key.as_str()) {
                let meets = match (self.g.sign(sign).end, end) {
                    (Some(theirs), Some(ours)) => theirs == ours,
                    _ => true,
                };
                if let (true, Some(to)) = (meets, self.g.nodes.signs.get(sign.0).copied()) {
                    self.g.graph.add_edge(node, to, Link::Shows(degrees));
                }
            }
        }
    }

    fn questions(&mut self) {
        let k = self.k;
        for entry in &k.questions {
            let has_ends = entry.settles.iter().any(|s| k.signs.iter().any(|x| x.id.value == s.value && x.ends));
            for end in ends(has_ends) {
                // A question about both ends at once names the end with the sign.
                let at_end = |name: &str| {
                    self.g.find_signs(name).into_iter().find(|s| {
                        let theirs = self.g.sign(*s).end;
                        theirs.is_none() || theirs == end || name.contains('@')
                    })
                };
                let signs: Vec<SignIx> = entry.settles.iter().filter_map(|s| at_end(s.as_str())).collect();
                if signs.is_empty() {
                    continue;
                }
                let options = entry
                    .options
                    .iter()
                    .map(|o| Choice {
                        say: placed_text(&o.say, end),
                        means: o
                            .means
                            .0
                            .iter()
                            .filter_map(|(s, a)| Some((at_end(s.as_str())?, a.value.clone())))
                            .collect(),
                    })
                    .collect();
                let question = Question {
                    id: with_end(entry.id.as_str(), end),
                    topic: Topic::Signs(signs),
                    ask: placed_text(&entry.ask, end),
                    why: entry.why.clone(),
                    options,
                    minutes: entry.minutes.value,
                    at: entry.at.clone(),
                    by: entry.by.clone(),
                    moves: entry.moves.clone(),
                    tools: entry.tools.clone(),
                };
                self.add_question(question);
            }
        }
        let plain = |id: String, topic, ask: &str, why: &str, minutes, at: Vec<Venue>| Question {
            id,
            topic,
            ask: ask.to_owned(),
            why: why.to_owned(),
            options: Vec::new(),
            minutes,
            at,
            by: Vec::new(),
            moves: Vec::new(),
            tools: Vec::new(),
        };
        for c in self.g.complaint_ixs() {
            for (pos, usage) in self.g.complaint(c).facets.clone().iter().enumerate() {
                let facet = self.g.facet(usage.facet).clone();
                let id = format!("{}.{}", self.g.complaint(c).id, facet.id);
                let topic = Topic::Facet(c, pos);
                self.add_question(plain(id, topic, &facet.ask, &facet.why, facet.minutes, facet.at));
            }
        }
        for f in self.g.fact_ixs() {
            let fact = self.g.fact(f).clone();
            let id = format!("bike.{}", fact.id);
            self.add_question(plain(id, Topic::Fact(f), &fact.ask, &fact.why, 0.3, Venue::ALL.to_vec()));
        }
    }

    fn add_question(&mut self, question: Question) {
        let ix = QuestionIx(self.g.questions.len());
        let node = self.g.graph.add_node(Node::Question(ix));
        match &question.topic {
            Topic::Signs(signs) => {
                for sign in signs {
                    if let Some(to) = self.g.nodes.signs.get(sign.0).copied() {
                        self.g.graph.add_edge(node, to, Link::Settles);
                    }
                }
            }
            Topic::Facet(complaint, _) => {
                if let Some(to) = self.g.nodes.complaints.get(complaint.0).copied() {
                    self.g.graph.add_edge(node, to, Link::Settles);
                }
            }
            Topic::Fact(_) => {}
        }
        self.g.nodes.questions.push(node);
        self.g.questions.push(question);
    }

    fn remedies(&mut self) {
        let k = self.k;
        for entry in &k.remedies {
            let ix = RemedyIx(self.g.remedies.len());
            let node = self.g.graph.add_node(Node::Remedy(ix));
            for (cause, works) in &entry.cures.0 {
                let works = Works { rider: works.rider.value, mechanic: works.mechanic.value };
                for cause in self.g.find_causes(cause.as_str()) {
                    if let Some(to) = self.g.nodes.causes.get(cause.0).copied() {
                        self.g.graph.add_edge(node, to, Link::Cures(works));
                    }
                }
            }
            self.g.nodes.remedies.push(node);
            self.g.remedies.push(Remedy {
                id: entry.id.value.clone(),
                name: entry.name.clone(),
                minutes: entry.minutes.value,
                price: entry.price.as_ref().map_or(0.0, |p| p.value),
                undoes: entry.undoes,
                at: entry.at.clone(),
                tools: entry.tools.clone(),
                parts: entry.parts.clone(),
                steps: entry.steps.clone(),
                cautions: self.cautions(&entry.cautions),
                proof: entry.proof.clone(),
                slip: entry.slip.clone(),
                hand_over: entry.hand_over.clone(),
                source: self.citation(&entry.source),
            });
        }
    }

    fn flags_and_words(&mut self) {
        for entry in &self.k.flags {
            let mut when = Vec::new();
            for id in &entry.when {
                if let Some(meaning) = self.meanings(id.as_str()) {
                    match meaning {
                        Meaning::Complaint(c) => when.push(Trigger::Complaint(c)),
                        Meaning::Sign(signs) => when.extend(signs.into_iter().map(Trigger::Sign)),
                        Meaning::Value(Some(c), facet, v) => {
                            let pos = self.g.complaint(c).facets.iter().position(|u| u.facet == facet);
                            when.extend(pos.map(|p| Trigger::Value(c, p, v)));
                        }
                        Meaning::Value(None, ..) | Meaning::Fact(..) => {}
                    }
                }
            }
            let cautions = self.cautions(&entry.cautions);
            self.g.flags.push(RedFlag {
                id: entry.id.value.clone(),
                when,
                say: entry.say.clone(),
                clear: entry.clear.clone(),
                hands_off: entry.hands_off,
                cautions,
            });
        }
        let glosses = self.k.glosses.iter().map(|g| Gloss { of: g.of.clone(), plain: g.plain.clone() });
        self.g.glosses = glosses.collect();
        for entry in &self.k.phrases {
            let mean = |ids: &[format::Id]| ids.iter().flat_map(|id| self.meanings(id.as_str())).collect();
            let (means, denies, or) = (mean(&entry.means), mean(&entry.denies), mean(&entry.or));
            let named = |id: &format::Id| self.g.remedies.iter().position(|r| r.id == id.value).map(RemedyIx);
            let tried = entry.tried.iter().filter_map(named).collect();
            self.g.phrases.push(Phrase { id: entry.id.value.clone(), means, denies, tried, or });
        }
        self.g.reading.alike = self.k.alike.iter().map(|a| (a.id.value.clone(), a.say.clone())).collect();
        let texts = |ids: &[format::Id]| ids.iter().map(|id| id.value.clone()).collect();
        let amount = |a: &format::Amount| Amount {
            gauge: a.gauge.value.clone(),
            keys: texts(&a.keys),
            near: a.near.clone(),
            also: a.also.clone(),
        };
        self.g.reading.amounts = self.k.amounts.iter().map(amount).collect();
        let every = |say: &String| alternatives(&self.k.written_out(say));
        let list = |l: &format::Wordlist| (l.does, l.say.iter().flat_map(every).collect());
        self.g.reading.lists = self.k.lists.iter().map(list).collect();
    }

    fn wordings_and_tellings(&mut self) {
        let stems = self.g.reading.stems();
        let written_out = |p: &format::Phrase| p.say.iter().map(|say| self.k.written_out(say)).collect();
        let said: Vec<Vec<String>> = self.k.phrases.iter().map(written_out).collect();
        self.g.wordings = Wordings::of(&stems, said.iter().map(Vec::as_slice));
        let told = self.k.tellings.iter().map(|t| (t.id.as_str(), t.said.as_slice()));
        self.g.tellings = tellings::Tellings::count(&stems, &self.g.causes, told);
    }

    fn meanings(&self, text: &str) -> Option<Meaning> {
        let g = &self.g;
        let Some((left, right)) = text.split_once('=') else {
            let signs = g.find_signs(text);
            return match g.find_complaint(text) {
                Some(c) => Some(Meaning::Complaint(c)),
                None if !signs.is_empty() => Some(Meaning::Sign(signs)),
                None => None,
            };
        };
        let value_of = |values: &[Value]| values.iter().position(|v| v.id == right);
        if let Some((complaint, facet)) = left.split_once('.') {
            let c = g.find_complaint(complaint)?;
            let facet = self.facet_ix(facet)?;
            return Some(Meaning::Value(Some(c), facet, value_of(&g.facet(facet).values)?));
        }
        if let Some(facet) = self.facet_ix(left) {
            // A fact may share its name with a facet; the value decides.
            if let Some(v) = value_of(&g.facet(facet).values) {
                return Some(Meaning::Value(None, facet, v));
            }
        }
        let fact = g.find_fact(left)?;
        Some(Meaning::Fact(fact, value_of(&g.fact(fact).values)?))
    }
}

fn ends(both: bool) -> Vec<Option<End>> {
    if both { End::BOTH.map(Some).to_vec() } else { vec![None] }
}

fn named(name: &str, end: Option<End>) -> String {
    end.map_or_else(|| name.to_owned(), |e| format!("{name} ({})", e.word()))
}

fn placed_text(text: &str, end: Option<End>) -> String {
    text.replace("{end}", end.map_or("", End::word))
}

/// A wording once for every choice among its alternatives: `dim|dark lamp` is two.
fn alternatives(say: &str) -> Vec<String> {
    say.split(' ').map(|word| word.split('|')).multi_cartesian_product().map(|words| words.join(" ")).collect()
}

fn shares(values: &[format::Value]) -> Vec<f64> {
    normalised(&values.iter().map(|v| v.share.value).collect::<Vec<_>>())
}

fn normalised(numbers: &[f64]) -> Vec<f64> {
    let total: f64 = numbers.iter().sum();
    if total > 0.0 {
        numbers.iter().map(|n| n / total).collect()
    } else {
        vec![1.0 / numbers.len().max(1) as f64; numbers.len()]
    }
}

/// Listed chances as they are; what is left of 1 goes to the others by their shares.
fn filled(listed: &[Option<f64>], background: &[f64]) -> Vec<f64> {
    let told: f64 = listed.iter().flatten().sum();
    let rest: f64 = listed.iter().zip(background).filter(|(l, _)| l.is_none()).map(|(_, b)| b).sum();
    let left = (1.0 - told).max(0.0);
    let full: Vec<f64> = listed
        .iter()
        .zip(background)
        .map(|(l, b)| l.unwrap_or(if rest > 0.0 { left * b / rest } else { 0.0 }))
        .collect();
    normalised(&full)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_rest_follows_the_background() {
        let shape = filled(&[Some(0.8), None, None], &[0.2, 0.6, 0.2]);
        assert!((shape[0] - 0.8).abs() < 1e-12);
        assert!((shape[1] - 0.15).abs() < 1e-12);
        assert!((shape[2] - 0.05).abs() < 1e-12);
    }
}
