//! The layered picture: questions, what is noticed, causes, remedies, in columns.
//!
//! Links join neighbouring columns only, so that none runs behind an entry. The
//! order in a column follows the mean place of the neighbours (barycentre; Sugiyama,
//! Tagawa and Toda 1981), heights are the nearest to it that keep the order and
//! the gaps (least squares by pooling neighbours; Ayer and others 1955). Numbers
//! stand on a straight piece at the cause's side, where every link has its own row.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use super::{Item, Kind, Line, Picture, percent};
use crate::words;

/// Size of text, and its line height.
const TEXT: f64 = 13.0;
const LEADING: f64 = 16.0;
/// How much wider bold text runs.
const BOLD: f64 = 1.17;
/// Space around everything, inside entries, and between entries of a column.
const MARGIN: f64 = 28.0;
const PAD: f64 = 9.0;
const GAP: f64 = 12.0;
/// Rows of numbers at the cause's side, and of bare ends at the other.
const NUMBER_ROW: f64 = 15.0;
const BARE_ROW: f64 = 7.0;
/// Length of the straight piece that carries the number.
const STUB: f64 = 46.0;
/// Sweeps after which order and heights no longer change in practice.
const SWEEPS: usize = 16;

const COLUMNS: [(&str, f64); 4] =
    [("Ask or look", 236.0), ("What is noticed", 240.0), ("Cause", 224.0), ("Remedy", 226.0)];
/// Space right of each column for its links.
const GUTTERS: [f64; 4] = [80.0, 200.0, 150.0, 0.0];

fn column(kind: Kind) -> usize {
    match kind {
        Kind::Question => 0,
        Kind::Complaint | Kind::Sign => 1,
        Kind::Cause => 2,
        Kind::Remedy => 3,
    }
}

/// Fill and line; dark enough in line to print without colour.
fn colours(kind: Kind) -> (&'static str, &'static str) {
    match kind {
        Kind::Question => ("#eef2f7", "#4b5f78"),
        Kind::Complaint => ("#fdf0d9", "#94620f"),
        Kind::Sign => ("#f2f6e2", "#627420"),
        Kind::Cause => ("#fbe7e2", "#96301f"),
        Kind::Remedy => ("#e3f2ea", "#1f6a4b"),
    }
}

/// An entry with its place.
struct Placed<'p> {
    item: &'p Item,
    rows: Vec<String>,
    note: Option<&'static str>,
    x: f64,
    width: f64,
    y: f64,
    height: f64,
}

impl Placed<'_> {
    fn middle(&self) -> f64 {
        self.y + self.height / 2.0
    }
}

/// Draws a picture.
pub(super) fn draw(picture: &Picture) -> String {
    let mut used = [false; 4];
    picture.items.iter().for_each(|i| used[column(i.kind)] = true);
    let mut lefts = [0.0; 4];
    let mut right = MARGIN;
    for (c, (_, width)) in COLUMNS.iter().enumerate() {
        lefts[c] = right;
        if used[c] {
            right += width + if used.iter().skip(c + 1).any(|u| *u) { GUTTERS[c] } else { 0.0 };
        }
    }
    let width = (right + MARGIN).max(760.0);
    let shift = (width - right - MARGIN) / 2.0;
    let mut placed: Vec<Placed<'_>> =
        picture.items.iter().map(|item| sized(item, lefts[column(item.kind)] + shift, picture)).collect();
    let order = ordered(picture);
    spread(&mut placed, &order, &picture.lines);

    let mut head = String::new();
    let mut y = MARGIN + 18.0;
    for row in wrapped(&picture.title, width - 2.0 * MARGIN, 22.0 * BOLD) {
        text(&mut head, MARGIN, y, "font-size=\"22\" font-weight=\"bold\"", &row);
        y += 26.0;
    }
    for row in wrapped(&picture.about, width - 2.0 * MARGIN, 14.0) {
        text(&mut head, MARGIN, y, "font-size=\"14\" fill=\"#444\"", &row);
        y += 18.0;
    }
    y += 14.0;
    for (c, (name, w)) in COLUMNS.iter().enumerate().filter(|(c, _)| used[*c]) {
        text(
            &mut head,
            lefts[c] + shift + w / 2.0,
            y,
            "font-size=\"13\" font-weight=\"bold\" fill=\"#555\" text-anchor=\"middle\"",
            name,
        );
    }
    let top = y + 16.0;
    let mut body = String::new();
    links(&mut body, picture, &placed);
    placed.iter().for_each(|p| entry(&mut body, p));
    let tall = placed.iter().map(|p| p.y + p.height).fold(0.0, f64::max);
    let (foot, bottom) = legend(picture, top + tall + 34.0, width);
    let _ = write!(head, "<g transform=\"translate(0 {top:.1})\">\n{body}</g>\n");

    let title = escaped(&picture.title);
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width:.0}\" height=\"{bottom:.0}\" viewBox=\"0 0 {width:.0} {bottom:.0}\" \
         role=\"img\" font-family=\"sans-serif\" font-size=\"{TEXT}\" fill=\"#1c1c1c\">\n<title>{title}</title>\n\
         <rect width=\"100%\" height=\"100%\" fill=\"#ffffff\"/>\n{head}{foot}</svg>\n"
    )
}

fn sized<'p>(item: &'p Item, x: f64, picture: &Picture) -> Placed<'p> {
    let width = COLUMNS[column(item.kind)].1;
    let size = if item.asked { TEXT * BOLD } else { TEXT };
    let inner = width - 2.0 * PAD - if item.kind == Kind::Remedy { 14.0 } else { 6.0 };
    let rows = wrapped(&item.text, inner, size);
    let ends = |side: fn(&Line, &Picture) -> (usize, usize), left: bool| {
        picture
            .lines
            .iter()
            .filter(|l| picture.items.get(if left { side(l, picture).1 } else { side(l, picture).0 }) == Some(item))
            .count()
    };
    let row = if item.kind == Kind::Cause { NUMBER_ROW } else { BARE_ROW };
    let ports = ends(sides, true).max(ends(sides, false)) as f64 * row;
    let note = note(item, picture);
    let words = rows.len() as f64 * LEADING + if note.is_some() { 14.0 } else { 0.0 };
    Placed { item, rows, note, x, width, y: 0.0, height: words.max(ports) + 2.0 * PAD }
}

/// What is said of ends. A sign follows its causes; it is told only where they do not tell.
fn note(item: &Item, picture: &Picture) -> Option<&'static str> {
    let get = |i: usize| picture.items.get(i);
    let mut causes = picture.lines.iter().filter(|l| get(l.to) == Some(item)).filter_map(|l| get(l.from));
    match item.kind {
        _ if !item.both_ends => None,
        Kind::Question => Some("likewise at the rear"),
        Kind::Sign if !item.asked && causes.all(|c| c.both_ends) => None,
        _ => Some("front and rear"),
    }
}

/// The ends of a link as (left, right) by column.
fn sides(line: &Line, picture: &Picture) -> (usize, usize) {
    let at = |i: usize| picture.items.get(i).map_or(0, |item| column(item.kind));
    if at(line.from) < at(line.to) { (line.from, line.to) } else { (line.to, line.from) }
}

/// Entries of each column from top to bottom.
fn ordered(picture: &Picture) -> Vec<Vec<usize>> {
    let mut strengths = vec![0.0_f64; picture.items.len()];
    let mut near: Vec<Vec<usize>> = vec![Vec::new(); picture.items.len()];
    for line in &picture.lines {
        for (i, other) in [(line.from, line.to), (line.to, line.from)] {
            if let (Some(s), Some(n)) = (strengths.get_mut(i), near.get_mut(i)) {
                *s = s.max(line.strength.unwrap_or(0.0));
                n.push(other);
            }
        }
    }
    let of = |v: &[f64], i: usize| v.get(i).copied().unwrap_or(0.0);
    let mut order: Vec<Vec<usize>> = vec![Vec::new(); COLUMNS.len()];
    for (i, item) in picture.items.iter().enumerate() {
        order[column(item.kind)].push(i);
    }
    order.iter_mut().for_each(|c| c.sort_by(|a, b| of(&strengths, *b).total_cmp(&of(&strengths, *a)).then(a.cmp(b))));
    let mut best = (crossings(&order, picture), order.clone());
    for sweep in 0..SWEEPS {
        let forth = sweep % 2 == 0;
        for step in 0..COLUMNS.len() {
            let c = if forth { step } else { COLUMNS.len() - 1 - step };
            let ranks = ranks(&order, picture.items.len());
            let means: BTreeMap<usize, f64> = order[c]
                .iter()
                .map(|&i| {
                    // Half of the sweeps look one way only, which is what untangles.
                    let one_way = |o: &usize| {
                        let theirs = picture.items.get(*o).map_or(c, |x| column(x.kind));
                        sweep >= SWEEPS / 2 || (theirs < c) == forth
                    };
                    let all = near.get(i).map(Vec::as_slice).unwrap_or_default();
                    let mut chosen: Vec<f64> = all.iter().filter(|o| one_way(o)).map(|o| of(&ranks, *o)).collect();
                    if chosen.is_empty() {
                        chosen = all.iter().map(|o| of(&ranks, *o)).collect();
                    }
                    let mean = chosen.iter().sum::<f64>() / chosen.len().max(1) as f64;
                    (i, if chosen.is_empty() { of(&ranks, i) } else { mean })
                })
                .collect();
            let mean = |i: &usize| means.get(i).copied().unwrap_or(0.0);
            order[c].sort_by(|a, b| mean(a).total_cmp(&mean(b)));
        }
        let now = crossings(&order, picture);
        if now < best.0 {
            best = (now, order.clone());
        }
    }
    best.1
}

/// Place of every entry within its column, from 0 at the top to 1.
fn ranks(order: &[Vec<usize>], n: usize) -> Vec<f64> {
    let mut ranks = vec![0.0; n];
    for column in order {
        for (at, i) in column.iter().enumerate() {
            if let Some(rank) = ranks.get_mut(*i) {
                *rank = (at as f64 + 0.5) / column.len() as f64;
            }
        }
    }
    ranks
}

fn crossings(order: &[Vec<usize>], picture: &Picture) -> usize {
    let ranks = ranks(order, picture.items.len());
    let rank = |i: usize| ranks.get(i).copied().unwrap_or(0.0);
    let col = |i: usize| picture.items.get(i).map_or(0, |x| column(x.kind));
    let ends: Vec<(usize, f64, f64)> =
        picture.lines.iter().map(|l| sides(l, picture)).map(|(a, b)| (col(a), rank(a), rank(b))).collect();
    let crossed = |a: &(usize, f64, f64), b: &(usize, f64, f64)| a.0 == b.0 && (a.1 - b.1) * (a.2 - b.2) < 0.0;
    ends.iter().enumerate().map(|(i, a)| ends.iter().skip(i + 1).filter(|b| crossed(a, b)).count()).sum()
}

/// Gives every entry its height on the page.
fn spread(placed: &mut [Placed<'_>], order: &[Vec<usize>], lines: &[Line]) {
    let mut near: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for line in lines {
        near.entry(line.from).or_default().push(line.to);
        near.entry(line.to).or_default().push(line.from);
    }
    for column in order {
        let total: f64 = column.iter().filter_map(|i| placed.get(*i)).map(|p| p.height + GAP).sum();
        let mut y = -total / 2.0;
        for i in column {
            if let Some(p) = placed.get_mut(*i) {
                p.y = y;
                y += p.height + GAP;
            }
        }
    }
    for _ in 0..SWEEPS {
        for column in order {
            // The shift that makes "in order with gaps" into "in order".
            let mut before = 0.0;
            let mut pools: Vec<(f64, usize)> = Vec::new();
            let mut shifts = Vec::new();
            for i in column {
                let Some(p) = placed.get(*i) else { continue };
                let theirs: Vec<f64> =
                    near.get(i).into_iter().flatten().filter_map(|o| placed.get(*o)).map(Placed::middle).collect();
                let wish =
                    if theirs.is_empty() { p.middle() } else { theirs.iter().sum::<f64>() / theirs.len() as f64 };
                let mut pool = (wish - p.height / 2.0 - before, 1);
                while let Some(last) = pools.pop() {
                    if last.0 <= pool.0 {
                        pools.push(last);
                        break;
                    }
                    let n = last.1 + pool.1;
                    pool = ((last.0 * last.1 as f64 + pool.0 * pool.1 as f64) / n as f64, n);
                }
                pools.push(pool);
                shifts.push((*i, before));
                before += p.height + GAP;
            }
            let levels = pools.iter().flat_map(|(level, n)| std::iter::repeat_n(*level, *n));
            for ((i, shift), level) in shifts.into_iter().zip(levels) {
                if let Some(p) = placed.get_mut(i) {
                    p.y = level + shift;
                }
            }
        }
    }
    let top = placed.iter().map(|p| p.y).fold(f64::INFINITY, f64::min);
    placed.iter_mut().for_each(|p| p.y -= top);
}

/// Height at which each link meets each of its two ends.
fn ports(picture: &Picture, placed: &[Placed<'_>]) -> Vec<(f64, f64)> {
    let mut at = vec![(0.0, 0.0); picture.lines.len()];
    let ends: Vec<(usize, usize)> = picture.lines.iter().map(|l| sides(l, picture)).collect();
    for (i, p) in placed.iter().enumerate() {
        for left in [true, false] {
            let (mine, other) = if left { (1, 0) } else { (0, 1) };
            let end = |e: &(usize, usize), which| if which == 0 { e.0 } else { e.1 };
            let height = |l: &usize| ends.get(*l).and_then(|e| placed.get(end(e, other))).map_or(0.0, Placed::middle);
            let mut here: Vec<usize> =
                (0..ends.len()).filter(|l| ends.get(*l).is_some_and(|e| end(e, mine) == i)).collect();
            here.sort_by(|a, b| height(a).total_cmp(&height(b)).then(a.cmp(b)));
            let step = ((p.height - PAD) / here.len().max(1) as f64).min(26.0);
            for (n, l) in here.iter().enumerate() {
                let y = p.middle() + (n as f64 - (here.len() as f64 - 1.0) / 2.0) * step;
                if let Some(port) = at.get_mut(*l) {
                    if mine == 0 { port.0 = y } else { port.1 = y }
                }
            }
        }
    }
    at
}

fn links(out: &mut String, picture: &Picture, placed: &[Placed<'_>]) {
    let mut numbers = String::new();
    for (line, (y1, y2)) in picture.lines.iter().zip(ports(picture, placed)) {
        let (left, right) = sides(line, picture);
        let (Some(a), Some(b)) = (placed.get(left), placed.get(right)) else { continue };
        let (x1, x2) = (a.x + a.width, b.x);
        // The straight piece is at the cause, which may be on either side.
        let numbered = line.strength.is_some();
        let from = if numbered && a.item.kind == Kind::Cause { x1 + STUB } else { x1 };
        let to = if numbered && b.item.kind == Kind::Cause { x2 - STUB } else { x2 };
        let half = (from + to) / 2.0;
        let kind = match (a.item.kind, b.item.kind) {
            (kind, Kind::Cause) | (Kind::Cause, kind) => kind,
            _ => Kind::Question,
        };
        let look = match line.strength {
            Some(s) => format!("stroke-width=\"{:.1}\"", 0.8 + 2.4 * s),
            None => "stroke-width=\"1.2\" stroke-dasharray=\"5 4\"".to_owned(),
        };
        let _ = writeln!(
            out,
            "<path d=\"M{x1:.1} {y1:.1}H{from:.1}C{half:.1} {y1:.1} {half:.1} {y2:.1} {to:.1} {y2:.1}H{x2:.1}\" \
             fill=\"none\" stroke=\"{}\" stroke-opacity=\"0.8\" {look}/>",
            colours(kind).1
        );
        if let Some(s) = line.strength {
            let (x, y) = if a.item.kind == Kind::Cause { (x1 + 24.0, y1) } else { (x2 - 24.0, y2) };
            let said = percent(s);
            let w = 7.0 * said.len() as f64 + 5.0;
            let _ = writeln!(
                numbers,
                "<rect x=\"{:.1}\" y=\"{:.1}\" width=\"{w:.1}\" height=\"13\" fill=\"#ffffff\"/>",
                x - w / 2.0,
                y - 6.5
            );
            text(&mut numbers, x, y + 4.0, "font-size=\"11\" text-anchor=\"middle\"", &said);
        }
    }
    out.push_str(&numbers);
}

fn entry(out: &mut String, p: &Placed<'_>) {
    let _ = write!(out, "<g><title>{}</title>", escaped(&p.item.id));
    shape(out, p.item.kind, (p.x, p.y, p.width, p.height), p.item.asked);
    let below = if p.note.is_some() { 14.0 } else { 0.0 };
    let first = p.middle() - (p.rows.len() as f64 * LEADING + below) / 2.0 + 12.5;
    let x = p.x + p.width / 2.0 - if p.item.kind == Kind::Remedy { 5.0 } else { 0.0 };
    let look = if p.item.asked { "text-anchor=\"middle\" font-weight=\"bold\"" } else { "text-anchor=\"middle\"" };
    for (n, row) in p.rows.iter().enumerate() {
        text(out, x, first + n as f64 * LEADING, look, row);
    }
    if let Some(note) = p.note {
        let y = first + p.rows.len() as f64 * LEADING - 1.0;
        text(out, x, y, "text-anchor=\"middle\" font-size=\"11\" font-style=\"italic\" fill=\"#444\"", note);
    }
    out.push_str("</g>\n");
}

/// Every kind has its own outline, so that a copy in grey still tells them apart.
fn shape(out: &mut String, kind: Kind, (x, y, w, h): (f64, f64, f64, f64), asked: bool) {
    let (fill, line) = colours(kind);
    let (r, b) = (x + w, y + h);
    let outline = match kind {
        // A pill.
        Kind::Question => {
            let c = (h / 2.0).min(18.0);
            format!(
                "M{:.1} {y:.1}H{:.1}A{c:.1} {c:.1} 0 0 1 {r:.1} {:.1}V{:.1}A{c:.1} {c:.1} 0 0 1 {:.1} {b:.1}H{:.1}A{c:.1} {c:.1} 0 0 1 {x:.1} {:.1}V{:.1}A{c:.1} {c:.1} 0 0 1 {:.1} {y:.1}Z",
                x + c,
                r - c,
                y + c,
                b - c,
                r - c,
                x + c,
                b - c,
                y + c,
                x + c
            )
        }
        // What is said: a bubble.
        Kind::Complaint => format!(
            "M{x:.1} {y:.1}H{r:.1}V{b:.1}H{:.1}L{:.1} {:.1}V{b:.1}H{x:.1}Z",
            x + (w / 2.0).min(30.0),
            x + (w / 4.0).min(16.0),
            b + (h / 3.0).min(9.0)
        ),
        // What is seen: a sheet with its corner turned.
        Kind::Sign => format!(
            "M{x:.1} {y:.1}H{:.1}L{r:.1} {:.1}V{b:.1}H{x:.1}ZM{:.1} {y:.1}V{:.1}H{r:.1}",
            r - 12.0,
            y + 12.0,
            r - 12.0,
            y + 12.0
        ),
        // A box with a second line at each side.
        Kind::Cause => {
            format!("M{x:.1} {y:.1}H{r:.1}V{b:.1}H{x:.1}ZM{:.1} {y:.1}V{b:.1}M{:.1} {y:.1}V{b:.1}", x + 4.0, r - 4.0)
        }
        // An act: it points onward.
        Kind::Remedy => {
            format!("M{x:.1} {y:.1}H{:.1}L{r:.1} {:.1}L{:.1} {b:.1}H{x:.1}Z", r - 14.0, y + h / 2.0, r - 14.0)
        }
    };
    let thick = if asked { 3.0 } else { 1.4 };
    let _ = writeln!(
        out,
        "<path d=\"{outline}\" fill=\"{fill}\" stroke=\"{line}\" stroke-width=\"{thick}\" stroke-linejoin=\"round\"/>"
    );
}

/// What the shapes, numbers and lines mean; gives its bottom too.
fn legend(picture: &Picture, mut y: f64, width: f64) -> (String, f64) {
    let mut out = String::new();
    let omission = picture.omission();
    for row in wrapped(&omission, width - 2.0 * MARGIN, TEXT * BOLD) {
        text(&mut out, width / 2.0, y, "text-anchor=\"middle\" font-weight=\"bold\"", &row);
        y += 24.0;
    }
    let _ = writeln!(out, "<path d=\"M{MARGIN} {y:.1}H{:.1}\" stroke=\"#999\" stroke-width=\"1\"/>", width - MARGIN);
    y += 14.0;
    let samples = [
        (Kind::Question, "to ask or look at"),
        (Kind::Complaint, "what the bike does"),
        (Kind::Sign, "what is found on it"),
        (Kind::Cause, "what is wrong"),
        (Kind::Remedy, "what mends it"),
    ];
    let mut x = MARGIN;
    for (kind, said) in samples.into_iter().filter(|(k, _)| picture.items.iter().any(|i| i.kind == *k)) {
        let w = 34.0 + measure(said, 12.0) + 26.0;
        if x + w > width - MARGIN {
            x = MARGIN;
            y += 30.0;
        }
        shape(&mut out, kind, (x, y, 26.0, 16.0), false);
        text(&mut out, x + 34.0, y + 12.5, "font-size=\"12\"", said);
        x += w;
    }
    y += 42.0;
    let mut notes = Vec::new();
    let numbers_to = |kinds: &[Kind]| {
        picture.lines.iter().any(|l| {
            let (a, b) = sides(l, picture);
            l.strength.is_some() && [a, b].iter().filter_map(|i| picture.items.get(*i)).any(|i| kinds.contains(&i.kind))
        })
    };
    if numbers_to(&[Kind::Complaint, Kind::Sign]) {
        notes.push("Left of a cause: of 100 bikes with this cause alone, how many show it.");
    }
    if numbers_to(&[Kind::Remedy]) {
        notes.push("Right of a cause: of 100 such bikes, how many the remedy mends in a mechanic's hands.");
    }
    if picture.lines.iter().any(|l| l.strength.is_some()) {
        notes.push("The thicker the line, the stronger.");
    }
    if picture.lines.iter().any(|l| l.strength.is_none()) {
        notes.push("A dashed line leads to what a question settles.");
    }
    for row in wrapped(&notes.join(" "), width - 2.0 * MARGIN, 12.0) {
        text(&mut out, MARGIN, y, "font-size=\"12\" fill=\"#444\"", &row);
        y += 17.0;
    }
    (out, y + MARGIN - 10.0)
}

fn text(out: &mut String, x: f64, y: f64, look: &str, said: &str) {
    let _ = writeln!(out, "<text x=\"{x:.1}\" y=\"{y:.1}\" {look}>{}</text>", escaped(said));
}

/// Breaks text by its estimated width on the page.
fn wrapped(said: &str, width: f64, size: f64) -> Vec<String> {
    let said = words::harmless(said);
    let mut rows: Vec<String> = Vec::new();
    let mut row = String::new();
    for word in said.split_whitespace() {
        if !row.is_empty() && measure(&row, size) + measure(word, size) + 0.33 * size > width {
            rows.push(std::mem::take(&mut row));
        }
        if !row.is_empty() {
            row.push(' ');
        }
        for c in word.chars() {
            row.push(c);
            // A word wider than the entry is broken where it must be.
            if measure(&row, size) > width {
                row.pop();
                rows.push(std::mem::replace(&mut row, c.to_string()));
            }
        }
    }
    if !row.is_empty() {
        rows.push(row);
    }
    rows
}

/// Width of text in a wide sans-serif face; a narrower face only leaves more room.
fn measure(said: &str, size: f64) -> f64 {
    let ems = said.chars().map(|c| match c {
        'i' | 'j' | 'l' | 'I' | '.' | ',' | ':' | ';' | '\'' | '|' | '!' | ' ' => 0.33,
        'f' | 't' | 'r' | '-' | '(' | ')' | '/' | '"' => 0.43,
        'm' | 'w' | 'M' | 'W' | '@' | '%' => 1.0,
        c if c.is_ascii_uppercase() => 0.75,
        c if c.is_ascii() => 0.635,
        c => 0.68 * unicode_width::UnicodeWidthChar::width(c).unwrap_or(1) as f64,
    });
    ems.sum::<f64>() * size
}

fn escaped(said: &str) -> String {
    let said = words::harmless(said).replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;");
    said.replace('"', "&quot;")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wrapped_text_fits_and_loses_nothing() {
        let said = "the rear wheel squeals a-very-long-word-that-does-not-fit-any-row-at-all once";
        let rows = wrapped(said, 120.0, 13.0);
        assert!(rows.iter().all(|r| measure(r, 13.0) <= 120.0), "{rows:?}");
        assert_eq!(rows.concat().replace(' ', ""), said.replace(' ', ""));
    }

    #[test]
    fn markup_in_names_stays_text() {
        assert_eq!(escaped("<a href=\"x\">\u{1b}&"), "&lt;a href=&quot;x&quot;&gt;&lt;1b&gt;&amp;");
    }
}
