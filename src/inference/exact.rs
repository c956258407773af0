//! The explained-set table: exact, additions of non-negative terms only.
//!
//! A table holds, for every combination of levels of the items open at the
//! moment, the chance of having got there. Causes are taken one by one; each
//! mixes what happens without it and with it. An item opens at its first cause
//! and closes, weighed by its report, after its last, so the table is as wide
//! as the reports are entangled and no wider. Items whose report leaves only
//! the lowest level fold into the causes. Nothing is ever subtracted, so nothing
//! cancels (Heckerman's 1989 inclusion-exclusion loses all digits at ten items).
//!
//! Forward tables and backward tables meet at each cause and give its marginals.

use super::problem::{Link, Prior, Problem};
use super::table::{Layout, Take, dot, lower, raise, rescale, spread, summed_out};

/// Why no exact answer is given.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum Trouble {
    /// The reports cannot all be true at once.
    #[error("the reports contradict each other: no bike could show them all")]
    Contradiction,
    /// The tables would not fit.
    #[error("too many reports bear on the same causes to be weighed exactly; take some back")]
    TooWide,
}

/// Largest number of table cells kept at once, in all forward tables together (1 GiB).
const MOST_CELLS: usize = 1 << 27;

/// Everything the passes give.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    /// By cause: chance that it is there.
    pub present: Vec<f64>,
    /// By complaint, then by cause: chance that its link fires it as reported.
    pub fires: Vec<Vec<f64>>,
    /// By cause: chance that it fires any complaint as reported.
    pub fires_any: Vec<f64>,
    /// Natural logarithm of the chance of the reports.
    pub log_evidence: f64,
}

/// Natural logarithm of the chance of the reports.
///
/// # Errors
/// [`Trouble`].
pub fn evidence(problem: &Problem) -> Result<f64, Trouble> {
    let plan = Plan::of(problem, true);
    plan.forward(|_, _| ()).map(|(log, _)| log)
}

/// Chance of the reports and all marginals.
///
/// # Errors
/// [`Trouble`].
pub fn solve(problem: &Problem) -> Result<Solution, Trouble> {
    let plan = Plan::of(problem, false);
    if plan.cells() > MOST_CELLS {
        return Err(Trouble::TooWide);
    }
    let mut befores: Vec<Vec<f64>> = Vec::new();
    let (log_evidence, _) = plan.forward(|_, table| befores.push(table.to_vec()))?;
    let n = problem.causes.len();
    let mut solution = Solution {
        present: vec![0.0; n],
        fires: vec![vec![0.0; n]; problem.events],
        fires_any: vec![0.0; n],
        log_evidence,
    };
    plan.loose_marginals(&mut solution);
    plan.backward(befores, &mut solution);
    Ok(solution)
}

/// An item that needs a place in the table.
#[derive(Debug, Clone)]
struct Open {
    /// Its position in the problem.
    item: usize,
    /// Number of levels told apart.
    radix: usize,
    /// Chance of each level with no cause.
    background: [f64; 3],
    /// Likelihood of the report at each level.
    weights: [f64; 3],
}

/// A cause as the table sees it.
#[derive(Debug, Clone)]
struct Part {
    cause: usize,
    absent: f64,
    live: f64,
    repaired: f64,
    /// How many items of the table it reaches.
    uses: usize,
    /// Open items it reaches: place in `Plan::open`, chances by merged level, reached when repaired too.
    reaches: Vec<(usize, [f64; 3], bool)>,
}

#[derive(Debug, Clone, Copy)]
enum Step {
    Open(usize),
    Cause(usize),
    Close(usize),
}

struct Plan<'p> {
    problem: &'p Problem,
    open: Vec<Open>,
    parts: Vec<Part>,
    steps: Vec<Step>,
    /// Logarithm of the factor of everything outside the table.
    outside: f64,
    impossible: bool,
}

impl<'p> Plan<'p> {
    /// With `merge`, causes that reach a single open item join its background: their
    /// marginals are not asked for.
    fn of(problem: &'p Problem, merge: bool) -> Self {
        // Causes that no report concerns carry a factor of 1 and take no part.
        let mut place = vec![usize::MAX; problem.causes.len()];
        let mut parts: Vec<Part> = Vec::new();
        for link in problem.items.iter().flat_map(|item| &item.links) {
            if let (Some(slot), Some(prior)) = (place.get_mut(link.cause), problem.causes.get(link.cause))
                && *slot == usize::MAX
            {
                *slot = parts.len();
                parts.push(Part::of(link.cause, prior));
            }
        }
        let mut open: Vec<Open> = Vec::new();
        let mut tabled = Vec::new();
        let mut factor = Factor { log: 0.0, product: 1.0 };
        for (index, item) in problem.items.iter().enumerate() {
            let (radix, joined) = levels_told_apart(&item.weights);
            let weights = merged_weights(&item.weights, &joined);
            let background = merged(&item.background, &joined);
            let told = |link: &Link| (place[link.cause], merged(&link.chances, &joined));
            if radix == 1 {
                factor.times(weights[0]);
            } else if weights.iter().skip(1).all(|w| *w == 0.0) {
                // Only the lowest level is left: every cause that is there must stay silent.
                factor.times(weights[0] * background[0]);
                for link in &item.links {
                    let (slot, [silent, ..]) = told(link);
                    parts[slot].live *= silent;
                    if !problem.causes[link.cause].mutes(index) {
                        parts[slot].repaired *= silent;
                    }
                }
            } else {
                for link in &item.links {
                    let (slot, [silent, ..]) = told(link);
                    parts[slot].uses += usize::from(silent < 1.0);
                }
                tabled.push((index, radix, joined, Open { item: index, radix, background, weights }));
            }
        }
        for (index, radix, joined, mut item) in tabled {
            for link in &problem.items[index].links {
                let part = &mut parts[place[link.cause]];
                let chances = merged(&link.chances, &joined);
                if chances[0] == 1.0 {
                    continue;
                }
                if merge && part.uses == 1 && part.repaired == 0.0 {
                    let mut with = item.background.map(|b| b * part.live);
                    raise(&mut with[..radix], 1, radix, &chances);
                    item.background.iter_mut().zip(with).for_each(|(b, w)| *b = *b * part.absent + w);
                    (part.absent, part.live) = (1.0, 0.0);
                } else {
                    let always = !problem.causes[link.cause].mutes(index);
                    part.reaches.push((open.len(), chances, always));
                }
            }
            open.push(item);
        }
        for part in parts.iter().filter(|p| p.reaches.is_empty()) {
            factor.times(part.absent + part.live + part.repaired);
        }
        let mut plan = Self {
            problem,
            open,
            parts,
            steps: Vec::new(),
            outside: factor.log + if factor.product > 0.0 { factor.product.ln() } else { 0.0 },
            impossible: factor.product == 0.0,
        };
        plan.schedule();
        plan
    }

    /// Orders the causes so that few items are open at a time: what is open is
    /// used up first, then the cause that opens least, first come on ties.
    fn schedule(&mut self) {
        let mut users = vec![0usize; self.open.len()];
        let mut waiting: Vec<usize> = Vec::new();
        for (p, part) in self.parts.iter().enumerate() {
            // A cause that cannot be there only carries its absence.
            if !part.reaches.is_empty() {
                waiting.push(p);
                part.reaches.iter().for_each(|(o, ..)| users[*o] += 1);
            }
        }
        let mut is_open = vec![false; self.open.len()];
        while !waiting.is_empty() {
            let cost = |p: &usize| {
                let reaches = self.parts.get(*p).map(|x| x.reaches.as_slice()).unwrap_or_default();
                let opens: usize =
                    reaches.iter().filter(|(o, ..)| !is_open[*o]).map(|(o, ..)| self.open[*o].radix).sum();
                let closes = reaches.iter().filter(|(o, ..)| users[*o] == 1).count();
                (opens, usize::MAX - closes, *p)
            };
            let Some(next) = waiting.iter().copied().min_by_key(cost) else { break };
            waiting.retain(|p| *p != next);
            let reached: Vec<usize> = self.parts[next].reaches.iter().map(|(o, ..)| *o).collect();
            for o in &reached {
                if !is_open[*o] {
                    is_open[*o] = true;
                    self.steps.push(Step::Open(*o));
                }
            }
            self.steps.push(Step::Cause(next));
            for o in reached {
                users[o] -= 1;
                if users[o] == 0 {
                    self.steps.push(Step::Close(o));
                }
            }
        }
        for (o, opened) in is_open.into_iter().enumerate() {
            if !opened {
                self.steps.push(Step::Open(o));
                self.steps.push(Step::Close(o));
            }
        }
    }

    /// Cells of all tables kept by the forward pass.
    fn cells(&self) -> usize {
        let mut width = 1usize;
        let mut cells = 0usize;
        for step in &self.steps {
            match step {
                Step::Open(o) => width = width.saturating_mul(self.open[*o].radix),
                Step::Close(o) => width /= self.open[*o].radix,
                Step::Cause(_) => cells = cells.saturating_add(width),
            }
        }
        cells
    }

    /// Runs forward, showing the table before each cause; gives the log of the chance of the reports.
    fn forward(&self, mut show: impl FnMut(usize, &[f64])) -> Result<(f64, Vec<f64>), Trouble> {
        if self.impossible {
            return Err(Trouble::Contradiction);
        }
        if self.widest() > MOST_CELLS {
            return Err(Trouble::TooWide);
        }
        let mut layout = Layout::default();
        let mut table = vec![1.0];
        let mut log = self.outside;
        for step in &self.steps {
            match step {
                Step::Open(o) => {
                    let item = &self.open[*o];
                    table = (0..item.radix).flat_map(|l| table.iter().map(move |x| x * item.background[l])).collect();
                    layout.open(*o, item.radix);
                }
                Step::Cause(p) => {
                    show(*p, &table);
                    let part = &self.parts[*p];
                    let mut next: Vec<f64> = table.iter().map(|x| x * part.absent).collect();
                    for (chance, repaired) in [(part.live, false), (part.repaired, true)] {
                        if chance > 0.0 {
                            let mut with: Vec<f64> = table.iter().map(|x| x * chance).collect();
                            for (o, chances, _) in part.reached(repaired) {
                                let (stride, radix) = layout.place(*o);
                                raise(&mut with, stride, radix, chances);
                            }
                            next.iter_mut().zip(with).for_each(|(a, b)| *a += b);
                        }
                    }
                    table = next;
                }
                Step::Close(o) => {
                    let (stride, radix) = layout.place(*o);
                    table = summed_out(&table, stride, radix, &self.open[*o].weights);
                    layout.close(*o);
                }
            }
            log += rescale(&mut table).ok_or(Trouble::Contradiction)?;
        }
        match table.first() {
            Some(x) if *x > 0.0 => Ok((log + x.ln(), table)),
            _ => Err(Trouble::Contradiction),
        }
    }

    fn widest(&self) -> usize {
        let (mut width, mut widest) = (1usize, 1usize);
        for step in &self.steps {
            match step {
                Step::Open(o) => width = width.saturating_mul(self.open[*o].radix),
                Step::Close(o) => width /= self.open[*o].radix,
                Step::Cause(_) => {}
            }
            widest = widest.max(width);
        }
        widest
    }

    /// Marginals of causes that no open item concerns.
    fn loose_marginals(&self, solution: &mut Solution) {
        for (present, prior) in solution.present.iter_mut().zip(&self.problem.causes) {
            *present = prior.live;
        }
        for part in self.parts.iter().filter(|p| p.reaches.is_empty()) {
            let total = part.absent + part.live + part.repaired;
            if total > 0.0 {
                let present = part.live / total;
                solution.present[part.cause] = present;
                self.unweighed(part.cause, present, solution);
            }
        }
    }

    /// Complaints whose report tells nothing are fired as the cause would fire them.
    fn unweighed(&self, cause: usize, present: f64, solution: &mut Solution) {
        for (event, item) in self.problem.items.iter().take(self.problem.events).enumerate() {
            if levels_told_apart(&item.weights).0 == 1 {
                for link in item.links.iter().filter(|l| l.cause == cause) {
                    let fires = present * link.chances[2];
                    solution.fires[event][cause] = fires;
                    solution.fires_any[cause] += fires * (1.0 - solution.fires_any[cause]);
                }
            }
        }
    }

    fn backward(&self, mut befores: Vec<Vec<f64>>, solution: &mut Solution) {
        let mut layout = Layout::default();
        let mut after = vec![1.0];
        for step in self.steps.iter().rev() {
            match step {
                Step::Close(o) => {
                    let item = &self.open[*o];
                    // Backwards, items come in reverse; their places are set by the same rule.
                    layout = self.layout_before_close(*o);
                    let (stride, radix) = layout.place(*o);
                    after = spread(&after, stride, radix, &item.weights);
                }
                Step::Open(o) => {
                    let item = &self.open[*o];
                    let width = after.len() / item.radix;
                    after = (0..width)
                        .map(|s| (0..item.radix).map(|l| item.background[l] * after[s + l * width]).sum())
                        .collect();
                    layout.close(*o);
                }
                Step::Cause(p) => {
                    let part = &self.parts[*p];
                    let before = befores.pop().unwrap_or_default();
                    after = self.meet(part, &layout, &before, after, solution);
                }
            }
            // Only ratios are taken from here, so the scale is free.
            let _ = rescale(&mut after);
        }
    }

    /// Takes one cause backwards and reads its marginals where the passes meet.
    fn meet(&self, part: &Part, layout: &Layout, before: &[f64], after: Vec<f64>, solution: &mut Solution) -> Vec<f64> {
        let carried = |chance: f64, repaired: bool| {
            let mut table: Vec<f64> = after.iter().map(|x| x * chance).collect();
            for (o, chances, _) in part.reached(repaired) {
                let (stride, radix) = layout.place(*o);
                lower(&mut table, stride, radix, chances, Take::All);
            }
            table
        };
        let live = carried(part.live, false);
        let mut total: Vec<f64> = after.iter().zip(&live).map(|(a, l)| a * part.absent + l).collect();
        if part.repaired > 0.0 {
            total.iter_mut().zip(carried(part.repaired, true)).for_each(|(t, r)| *t += r);
        }
        let evidence = dot(before, &total);
        let present = dot(before, &live) / evidence;
        solution.present[part.cause] = present;
        self.unweighed(part.cause, present, solution);
        if part.live > 0.0 {
            self.firing(part, layout, before, &after, evidence, solution);
        }
        total
    }

    /// Chances that the cause fires each complaint, and any of them.
    fn firing(
        &self,
        part: &Part,
        layout: &Layout,
        before: &[f64],
        after: &[f64],
        evidence: f64,
        solution: &mut Solution,
    ) {
        let is_event = |o: usize| self.open[o].item < self.problem.events;
        let events: Vec<usize> = part.reaches.iter().map(|(o, ..)| *o).filter(|o| is_event(*o)).collect();
        let joint = |take: &dyn Fn(usize) -> Take| {
            let mut table: Vec<f64> = after.iter().map(|x| x * part.live).collect();
            for (o, chances, _) in part.reached(false) {
                let (stride, radix) = layout.place(*o);
                lower(&mut table, stride, radix, chances, take(*o));
            }
            dot(before, &table) / evidence
        };
        for (i, event) in events.iter().enumerate() {
            let fires = joint(&|o| if o == *event { Take::Top } else { Take::All });
            solution.fires[self.open[*event].item][part.cause] = fires;
            // Fires this one and none of those before: parts that exclude each other.
            let first = if i == 0 {
                fires
            } else {
                joint(&|o| match events.iter().position(|e| *e == o) {
                    Some(j) if j < i => Take::BelowTop,
                    Some(j) if j == i => Take::Top,
                    _ => Take::All,
                })
            };
            solution.fires_any[part.cause] += first;
        }
    }

    /// Which items are open, and in what order, just before this one closes.
    fn layout_before_close(&self, closing: usize) -> Layout {
        let mut layout = Layout::default();
        for step in &self.steps {
            match step {
                Step::Open(o) => layout.open(*o, self.open[*o].radix),
                Step::Close(o) if *o == closing => break,
                Step::Close(o) => layout.close(*o),
                Step::Cause(_) => {}
            }
        }
        layout
    }
}

impl Part {
    fn of(cause: usize, prior: &Prior) -> Self {
        let repaired = prior.repaired.as_ref().map_or(0.0, |m| m.chance);
        Self { cause, absent: prior.absent, live: prior.live, repaired, uses: 0, reaches: Vec::new() }
    }

    fn reached(&self, repaired: bool) -> impl Iterator<Item = &(usize, [f64; 3], bool)> {
        self.reaches.iter().filter(move |(_, _, always)| *always || !repaired)
    }
}

/// A product of many factors that may be very small; zero makes it impossible.
#[derive(Debug)]
struct Factor {
    log: f64,
    product: f64,
}

impl Factor {
    fn times(&mut self, x: f64) {
        self.product *= x;
        // Long before the product could fade away, its logarithm is put aside.
        if self.product < 1e-100 && x > 0.0 && self.product > 0.0 {
            self.log += self.product.ln();
            self.product = 1.0;
        }
    }
}

/// Joins neighbouring levels that the report weighs alike; gives their number
/// and, for each level, the joined one.
fn levels_told_apart(weights: &[f64; 3]) -> (usize, [usize; 3]) {
    let mut merge = [0; 3];
    for level in 1..3 {
        merge[level] = merge[level - 1] + usize::from(weights[level] != weights[level - 1]);
    }
    (merge[2] + 1, merge)
}

fn merged(chances: &[f64; 3], merge: &[usize; 3]) -> [f64; 3] {
    let mut out = [0.0; 3];
    for (level, to) in merge.iter().enumerate() {
        out[*to] += chances[level];
    }
    out
}

fn merged_weights(weights: &[f64; 3], merge: &[usize; 3]) -> [f64; 3] {
    let mut out = [0.0; 3];
    for (level, to) in merge.iter().enumerate() {
        out[*to] = weights[level];
    }
    out
}
