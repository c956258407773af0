//! Pictures of the surroundings of one entry, or of one assembly.
//!
//! [`picture`] chooses what is drawn, [`Picture::dot`] and [`Picture::svg`] draw
//! it. What exists at both ends of the bike is drawn once. A picture with more
//! links than an eye can follow is no use, so the strongest are kept, fairly by
//! cause, and what was left out is counted in the picture itself. Nothing here
//! writes a file; same graph and scope, same picture.

mod svg;

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

use petgraph::dot::{Config, Dot};
use petgraph::graph::{DiGraph, NodeIndex};
use petgraph::visit::EdgeRef;

use super::{FaultGraph, Link, Node, with_end};
use crate::words;

/// Links around one entry that fit on a page with their numbers. Judgement, by looking.
const AROUND_ENTRY: usize = 40;
/// Links of an assembly that fit on a poster. Judgement, by looking.
const IN_ASSEMBLY: usize = 130;

/// What a picture is of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Scope {
    /// One cause, complaint, sign, question or remedy, with or without `@front` or `@rear`.
    Entry(String),
    /// All causes of one assembly, such as `disc brakes`.
    Assembly(String),
}

/// A name that nothing has.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("nothing to draw is called `{name}`")]
pub struct Unknown {
    /// The name as it was given.
    pub name: String,
    /// The known name nearest to it, if one is near.
    pub nearest: Option<String>,
}

/// Kinds of entries, in the order of their columns.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// What can be asked or looked at.
    Question,
    /// What the bike does.
    Complaint,
    /// What is there or not.
    Sign,
    /// What can be wrong.
    Cause,
    /// What cures.
    Remedy,
}

impl Kind {
    /// The word for many of them.
    fn plural(self) -> &'static str {
        match self {
            Self::Question => "questions",
            Self::Complaint => "complaints",
            Self::Sign => "signs",
            Self::Cause => "causes",
            Self::Remedy => "remedies",
        }
    }
}

/// An entry in the picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Item {
    /// Its kind.
    pub kind: Kind,
    /// Its name in the knowledge, without an end.
    pub id: String,
    /// Its wording.
    pub text: String,
    /// True if it stands for a front and a rear one.
    pub both_ends: bool,
    /// True for the entry that was asked for.
    pub asked: bool,
}

/// A link in the picture, by positions in [`Picture::items`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// The cause, remedy or question.
    pub from: usize,
    /// What it brings or shows, cures, or settles.
    pub to: usize,
    /// How often it does so alone; a mechanic's hand for remedies, nothing for questions.
    pub strength: Option<f64>,
}

/// What was chosen to be drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Picture {
    /// What it is of.
    pub title: String,
    /// One sentence on it, or nothing.
    pub about: String,
    /// Entries, by kind and then by name.
    pub items: Vec<Item>,
    /// Links.
    pub lines: Vec<Line>,
    /// How many weaker links were left out, by what they lead to or come from.
    pub left_out: BTreeMap<Kind, usize>,
}

/// Kind and name without end: what one drawn item stands for.
type Name = (Kind, String);
/// From, to and strength.
type Tie = (Name, Name, Option<f64>);

/// Chooses what to draw.
///
/// # Errors
/// [`Unknown`] if nothing has the name, with the nearest name that something has.
pub fn picture(graph: &FaultGraph, scope: &Scope) -> Result<Picture, Unknown> {
    let all = merged(graph);
    let (centre, title, about, first, second, limit) = match scope {
        Scope::Entry(name) => {
            let centre = find(graph, name)?;
            let (first, second) = around(&all, &centre);
            let limit = if first.len() + second.len() > AROUND_ENTRY { first.len() } else { usize::MAX };
            let about = about(graph, &centre);
            let title = words::capitalised(&item(graph, &centre, false).text);
            (Some(centre), title, about, first, second, limit.min(AROUND_ENTRY))
        }
        Scope::Assembly(name) => {
            let (name, causes) = assembly(graph, name)?;
            let inside = |n: &Name| n.0 == Kind::Cause && causes.contains(&n.1);
            let first = all.into_iter().filter(|(from, to, _)| inside(from) || inside(to)).collect();
            let about = format!(
                "The {} of this assembly, each with what it brings most and what cures it.",
                words::counted(causes.len(), "cause", "causes")
            );
            (None, words::capitalised(&name), about, first, Vec::new(), IN_ASSEMBLY)
        }
    };
    let first: Vec<Tie> = first;
    let mut ties = first.clone();
    if ties.len() + second.len() <= limit {
        ties.extend(second);
    }
    let kept = reachable(strongest(ties, limit), centre.as_ref());
    let mut left_out = BTreeMap::new();
    for tie in first.iter().filter(|t| !kept.contains(t)) {
        *left_out.entry(far_end(tie, centre.as_ref())).or_default() += 1;
    }
    let names: BTreeSet<&Name> = kept.iter().flat_map(|(a, b, _)| [a, b]).chain(&centre).collect();
    let places: BTreeMap<&Name, usize> = names.iter().enumerate().map(|(i, n)| (*n, i)).collect();
    let items = names.iter().map(|n| item(graph, n, Some(*n) == centre.as_ref())).collect();
    let line = |(a, b, strength): &Tie| Some(Line { from: *places.get(a)?, to: *places.get(b)?, strength: *strength });
    let lines: Vec<Line> = kept.iter().filter_map(line).collect();
    let about = if lines.is_empty() {
        format!("{about} No link leads to it or from it.").trim_start().to_owned()
    } else {
        about
    };
    Ok(Picture { title, about, items, lines, left_out })
}

/// All links, those of front and rear made one, the stronger counting.
fn merged(graph: &FaultGraph) -> Vec<Tie> {
    let mut all: BTreeMap<(Name, Name), Option<f64>> = BTreeMap::new();
    for edge in graph.graph.edge_references() {
        let ends = (graph.graph.node_weight(edge.source()), graph.graph.node_weight(edge.target()));
        let (Some(from), Some(to)) = ends else { continue };
        let strength = match edge.weight() {
            Link::Brings(firing) => Some(firing.strength),
            Link::Shows([_, slight, strong]) => Some(slight + strong),
            Link::Cures(works) => Some(works.mechanic),
            Link::Settles => None,
        };
        let kept = all.entry((name_of(graph, *from), name_of(graph, *to))).or_insert(strength);
        if strength > *kept {
            *kept = strength;
        }
    }
    all.into_iter().map(|((from, to), strength)| (from, to, strength)).collect()
}

fn name_of(graph: &FaultGraph, node: Node) -> Name {
    match node {
        Node::Cause(c) => (Kind::Cause, graph.cause(c).id.clone()),
        Node::Complaint(c) => (Kind::Complaint, graph.complaint(c).id.clone()),
        Node::Sign(s) => (Kind::Sign, graph.sign(s).root.clone()),
        Node::Question(q) => (Kind::Question, root(&graph.question(q).id).to_owned()),
        Node::Remedy(r) => (Kind::Remedy, graph.remedy(r).id.clone()),
    }
}

fn root(id: &str) -> &str {
    id.split_once('@').map_or(id, |(root, _)| root)
}

/// Every name an entry answers to; causes first, since they are asked for most.
fn find(graph: &FaultGraph, name: &str) -> Result<Name, Unknown> {
    let mut known: Vec<(String, Kind)> = Vec::new();
    known.extend(graph.causes.iter().map(|c| (with_end(&c.id, c.end), Kind::Cause)));
    known.extend(graph.complaints.iter().map(|c| (c.id.clone(), Kind::Complaint)));
    known.extend(graph.signs.iter().map(|s| (s.id.clone(), Kind::Sign)));
    known.extend(graph.questions.iter().map(|q| (q.id.clone(), Kind::Question)));
    known.extend(graph.remedies.iter().map(|r| (r.id.clone(), Kind::Remedy)));
    if let Some((id, kind)) = known.iter().find(|(id, _)| id == name || root(id) == name) {
        return Ok((*kind, root(id).to_owned()));
    }
    let nearest = words::nearest(name, known.iter().map(|(id, _)| root(id))).map(str::to_owned);
    Err(Unknown { name: name.to_owned(), nearest })
}

/// The assembly's own spelling and the names of its causes.
fn assembly(graph: &FaultGraph, name: &str) -> Result<(String, BTreeSet<String>), Unknown> {
    let wanted = name.trim().replace(['-', '_'], " ").to_lowercase();
    let causes: BTreeSet<String> = graph.causes.iter().filter(|c| c.assembly == wanted).map(|c| c.id.clone()).collect();
    if causes.is_empty() {
        let known: BTreeSet<&str> = graph.causes.iter().map(|c| c.assembly.as_str()).collect();
        let nearest = words::nearest(&wanted, known).map(str::to_owned);
        return Err(Unknown { name: name.to_owned(), nearest });
    }
    Ok((wanted, causes))
}

/// The links that make an entry's surroundings, and remedies that are welcome if there is room.
fn around(all: &[Tie], centre: &Name) -> (Vec<Tie>, Vec<Tie>) {
    let touching = |set: &BTreeSet<&Name>, kinds: &[(Kind, Kind)]| -> Vec<Tie> {
        let fits = |t: &&Tie| {
            (set.contains(&t.0) || set.contains(&t.1)) && kinds.iter().any(|(a, b)| t.0.0 == *a && t.1.0 == *b)
        };
        all.iter().filter(fits).cloned().collect()
    };
    let near: Vec<Tie> = all.iter().filter(|t| t.0 == *centre || t.1 == *centre).cloned().collect();
    let set: BTreeSet<&Name> = near.iter().flat_map(|t| [&t.0, &t.1]).filter(|n| *n != centre).collect();
    let noticed = [(Kind::Cause, Kind::Complaint), (Kind::Cause, Kind::Sign)];
    let more = match centre.0 {
        // What a complaint can still be asked about belongs to the complaint's own picture.
        Kind::Cause => touching(&set, &[(Kind::Question, Kind::Sign)]),
        Kind::Question | Kind::Remedy => touching(&set, &noticed),
        Kind::Complaint | Kind::Sign => Vec::new(),
    };
    let first: Vec<Tie> = near.iter().chain(&more).cloned().collect();
    let second = if matches!(centre.0, Kind::Complaint | Kind::Sign | Kind::Question) {
        let causes: BTreeSet<&Name> = first.iter().map(|t| &t.0).filter(|n| n.0 == Kind::Cause).collect();
        touching(&causes, &[(Kind::Remedy, Kind::Cause)])
    } else {
        Vec::new()
    };
    (first, second)
}

fn cause_of(tie: &Tie) -> Option<&Name> {
    [&tie.0, &tie.1].into_iter().find(|n| n.0 == Kind::Cause)
}

/// Keeps a number of links: each cause's strongest of a kind before any cause's
/// second, and no second of some causes where there is no room for all.
fn strongest(mut ties: Vec<Tie>, limit: usize) -> Vec<Tie> {
    let by_strength = |a: &Tie, b: &Tie| {
        let strength = |t: &Tie| t.2.unwrap_or(1.0);
        strength(b).total_cmp(&strength(a)).then_with(|| (&a.0, &a.1).cmp(&(&b.0, &b.1)))
    };
    ties.sort_by(by_strength);
    let mut seen: BTreeMap<(Name, Kind), usize> = BTreeMap::new();
    let mut ranked: Vec<(usize, Tie)> = Vec::new();
    for tie in ties {
        let rank = cause_of(&tie).map_or(0, |cause| {
            let nth = seen.entry((cause.clone(), if tie.1.0 == Kind::Cause { tie.0.0 } else { tie.1.0 })).or_default();
            *nth += 1;
            *nth
        });
        ranked.push((rank, tie));
    }
    ranked.sort_by(|a, b| a.0.cmp(&b.0).then_with(|| by_strength(&a.1, &b.1)));
    let first_cut = ranked.get(limit).map_or(usize::MAX, |(rank, _)| *rank);
    ranked.truncate(limit);
    ranked.retain(|(rank, _)| *rank < first_cut.max(2));
    ranked.into_iter().map(|(_, tie)| tie).collect()
}

/// Drops what hangs on nothing once weaker links are gone.
fn reachable(ties: Vec<Tie>, centre: Option<&Name>) -> Vec<Tie> {
    let Some(centre) = centre else { return ties };
    let mut seen = BTreeSet::from([centre.clone()]);
    loop {
        let before = seen.len();
        for (a, b, _) in &ties {
            if seen.contains(a) || seen.contains(b) {
                seen.extend([a.clone(), b.clone()]);
            }
        }
        if seen.len() == before {
            break;
        }
    }
    ties.into_iter().filter(|(a, _, _)| seen.contains(a)).collect()
}

/// The kind by which a link that was left out is counted.
fn far_end(tie: &Tie, centre: Option<&Name>) -> Kind {
    match centre {
        Some(centre) if tie.0 == *centre => tie.1.0,
        Some(centre) if tie.1 == *centre || centre.0 == Kind::Question => tie.0.0,
        _ if tie.1.0 == Kind::Cause => tie.0.0,
        _ => tie.1.0,
    }
}

fn item(graph: &FaultGraph, name: &Name, asked: bool) -> Item {
    let (kind, id) = name;
    let (text, ends) = match kind {
        Kind::Cause => graph.causes.iter().find(|c| c.id == *id).map(|c| (c.name.clone(), c.end)),
        Kind::Complaint => graph.complaints.iter().find(|c| c.id == *id).map(|c| (c.name.clone(), None)),
        Kind::Sign => graph.signs.iter().find(|s| s.root == *id).map(|s| (s.name.clone(), s.end)),
        Kind::Remedy => graph.remedies.iter().find(|r| r.id == *id).map(|r| (r.name.clone(), None)),
        Kind::Question => graph.questions.iter().find(|q| root(&q.id) == *id).map(|q| {
            let end = super::End::BOTH.into_iter().find(|e| with_end(id, Some(*e)) == q.id);
            (q.ask.clone(), end)
        }),
    }
    .unwrap_or_else(|| (id.clone(), None));
    let text = match ends {
        Some(end) => text.trim_end_matches(&format!(" ({})", end.word())).to_owned(),
        None => text,
    };
    Item { kind: *kind, id: id.clone(), text: words::capitalised(&text), both_ends: ends.is_some(), asked }
}

fn about(graph: &FaultGraph, (kind, id): &Name) -> String {
    let said = match kind {
        Kind::Cause => graph.causes.iter().find(|c| c.id == *id).map(|c| c.plain.clone()),
        Kind::Question => graph
            .questions
            .iter()
            .find(|q| root(&q.id) == *id)
            .map(|q| format!("Why: {}.", q.why.trim_end_matches('.'))),
        _ => None,
    };
    said.unwrap_or_default()
}

impl Picture {
    /// What was left out, as a sentence; empty if nothing was.
    pub fn omission(&self) -> String {
        let total: usize = self.left_out.values().sum();
        if total == 0 {
            return String::new();
        }
        if let (1, Some(kind)) = (self.left_out.len(), self.left_out.keys().next()) {
            let links = words::counted(total, "weaker link", "weaker links");
            return format!("and {links} to {}, not drawn", kind.plural());
        }
        let parts: Vec<String> = self.left_out.iter().map(|(kind, n)| format!("{n} to {}", kind.plural())).collect();
        let links = words::counted(total, "weaker link", "weaker links");
        format!("and {links}, not drawn: {}", words::listed(&parts, "and"))
    }

    /// The picture as DOT text, for programs that lay out graphs.
    pub fn dot(&self) -> String {
        let mut graph: DiGraph<&Item, &Line> = DiGraph::new();
        let nodes: Vec<NodeIndex> = self.items.iter().map(|i| graph.add_node(i)).collect();
        for line in &self.lines {
            let (Some(from), Some(to)) = (nodes.get(line.from), nodes.get(line.to)) else { continue };
            // Turned round, questions stand left of what they settle.
            let settles = line.strength.is_none();
            let (from, to) = if settles { (to, from) } else { (from, to) };
            graph.add_edge(*from, *to, line);
        }
        let settings = [Config::NodeNoLabel, Config::EdgeNoLabel, Config::GraphContentOnly];
        let node = |_, (_, item): (NodeIndex, &&Item)| node_attributes(item);
        let edge = |_, edge: petgraph::graph::EdgeReference<'_, &Line>| match edge.weight().strength {
            Some(strength) => format!("label=\"{}\" penwidth=\"{:.1}\"", percent(strength), 1.0 + 2.0 * strength),
            None => "style=\"dashed\" dir=\"back\"".to_owned(),
        };
        let content = Dot::with_attr_getters(&graph, &settings, &edge, &node);
        let title = [self.title.clone(), self.omission()].join("\n");
        let mut out = String::from("digraph {\n");
        // Writing to a String cannot fail.
        let _ = writeln!(out, "    graph [ rankdir=\"RL\" labelloc=\"t\" label={} ]", quoted(title.trim_end()));
        let _ = write!(out, "    node [ style=\"filled\" fontname=\"sans-serif\" ]\n{content:?}}}\n");
        out
    }

    /// The picture as SVG, ready to be looked at and printed.
    pub fn svg(&self) -> String {
        svg::draw(self)
    }
}

fn node_attributes(item: &Item) -> String {
    let (shape, fill) = match item.kind {
        Kind::Question => ("ellipse", "#eef2f7"),
        Kind::Complaint => ("hexagon", "#fdf0d9"),
        Kind::Sign => ("note", "#f2f6e2"),
        Kind::Cause => ("box", "#fbe7e2"),
        Kind::Remedy => ("cds", "#e3f2ea"),
    };
    let width = if item.asked { "3" } else { "1" };
    let ends = if item.both_ends { "\nfront and rear" } else { "" };
    let text = format!("{}{ends}", textwrap::fill(&item.text, 28));
    format!(
        "label={} tooltip={} shape=\"{shape}\" fillcolor=\"{fill}\" penwidth=\"{width}\"",
        quoted(&text),
        quoted(&item.id)
    )
}

/// A chance in hundred, as it stands on a link.
fn percent(chance: f64) -> String {
    let hundred = chance * 100.0;
    match hundred {
        h if h < 0.1 => "<0.1".to_owned(),
        h if h < 0.95 => format!("{h:.1}"),
        h if h > 99.0 => ">99".to_owned(),
        h => format!("{h:.0}"),
    }
}

fn quoted(text: &str) -> String {
    let text = words::harmless(text).replace('\\', "\\\\").replace('"', "\\\"").replace('\n', "\\n");
    format!("\"{text}\"")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::graph::build::build;
    use crate::knowledge::Knowledge;
    use crate::snag::Source;

    fn graph(text: &str) -> FaultGraph {
        let source = Source { name: "worked-example.ron".into(), text: text.into() };
        build(&Knowledge::load(vec![vec![source]]).0)
    }

    fn worked() -> FaultGraph {
        graph(include_str!("../../tests/worked/w20.ron"))
    }

    fn entry(graph: &FaultGraph, name: &str) -> Picture {
        picture(graph, &Scope::Entry(name.into())).unwrap()
    }

    #[test]
    fn a_cause_with_what_it_brings_and_what_cures_it() {
        insta::assert_snapshot!(entry(&worked(), "rotor").dot(), @r##"
        digraph {
            graph [ rankdir="RL" labelloc="t" label="Rotor" ]
            node [ style="filled" fontname="sans-serif" ]
            0 [ label="?" tooltip="ask-wobble" shape="ellipse" fillcolor="#eef2f7" penwidth="1"]
            1 [ label="Noise" tooltip="noise" shape="hexagon" fillcolor="#fdf0d9" penwidth="1"]
            2 [ label="Weak braking" tooltip="weak-braking" shape="hexagon" fillcolor="#fdf0d9" penwidth="1"]
            3 [ label="Rotor wobbles" tooltip="rotor-wobbles" shape="note" fillcolor="#f2f6e2" penwidth="1"]
            4 [ label="Rotor" tooltip="rotor" shape="box" fillcolor="#fbe7e2" penwidth="3"]
            5 [ label="Mend" tooltip="mend-all" shape="cds" fillcolor="#e3f2ea" penwidth="1"]
            3 -> 0 [ style="dashed" dir="back"]
            4 -> 3 [ label="95" penwidth="2.9"]
            4 -> 1 [ label="80" penwidth="2.6"]
            5 -> 4 [ label="80" penwidth="2.6"]
            4 -> 2 [ label="10" penwidth="1.2"]
        }
        "##);
    }

    #[test]
    fn same_graph_same_picture() {
        let scope = Scope::Assembly("Worked-Example".into());
        let (a, b) = (picture(&worked(), &scope).unwrap(), picture(&worked(), &scope).unwrap());
        assert_eq!(a.svg(), b.svg());
        assert_eq!(a.dot(), b.dot());
        assert_eq!(a.items.iter().filter(|i| i.kind == Kind::Cause).count(), 4);
    }

    #[test]
    fn unknown_names_meet_their_nearest() {
        let unknown = picture(&worked(), &Scope::Entry("calliper".into())).unwrap_err();
        assert_eq!(unknown.nearest.as_deref(), Some("caliper"));
        let unknown = picture(&worked(), &Scope::Assembly("worked examples".into())).unwrap_err();
        assert_eq!(unknown.nearest.as_deref(), Some("worked example"));
        assert_eq!(picture(&worked(), &Scope::Entry("xyzzy".into())).unwrap_err().nearest, None);
    }

    #[test]
    fn front_and_rear_are_drawn_once_and_text_is_escaped() {
        let g = graph(
            r#"[
            Sign(id: "s", name: "a < b & \"c\"", ends: true, background: 0.1, source: "x"),
            Question(id: "q", settles: ["s"], ask: "At the {end}?", why: "w", minutes: 1, at: [home]),
            Cause(id: "c", name: "loose", plain: "p", ends: (front: 0.1, rear: 0.2), source: "x", ride: Ride,
                check: "c", shows: {"s": 0.005}),
        ]"#,
        );
        for name in ["c", "c@rear", "s@front", "q", "q@rear"] {
            let p = entry(&g, name);
            assert_eq!(p.items.len(), 3, "{name}");
            assert!(p.items.iter().all(|i| i.both_ends));
            assert!(p.svg().contains("A &lt; b &amp; &quot;c&quot;"));
            assert!(p.svg().contains(">0.5<"));
            assert!(p.dot().contains(r#"A < b & \"c\""#), "{}", p.dot());
        }
    }

    #[test]
    fn many_links_are_cut_and_counted() {
        let causes: String = (0..60)
            .map(|i| format!("Cause(id: \"c{i}\", name: \"n\", plain: \"p\", base: 0.1, source: \"x\", ride: Ride, check: \"c\", brings: [(complaint: \"noise\", strength: 0.{:02})]),", i + 10))
            .collect();
        let g = graph(&format!(
            "[Complaint(id: \"noise\", name: \"noise\", ask: \"?\", background: 0.1, facets: [], source: \"x\"), {causes}]"
        ));
        let p = entry(&g, "noise");
        assert_eq!(p.lines.len(), AROUND_ENTRY);
        assert_eq!(p.omission(), "and 20 weaker links to causes, not drawn");
        assert!(p.lines.iter().all(|l| l.strength.unwrap() > 0.295));
        assert!(p.svg().contains("and 20 weaker links"));
    }
}
