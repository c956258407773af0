//! The decision at hand as a small table: who may fire the complaint, what can be
//! asked, what can be mended, and what everything costs in minutes.
//!
//! An [`Account`] says which causes together fire the complaint (none: something
//! outside our list does). Asking changes the weights of the accounts, mending
//! takes causes out of them. Answers count as independent given the account: exact
//! for the first question, because its row is, and a fair guess further on.
//!
//! Weights are not normalised: their sum is the chance of getting there, so
//! minutes simply add up over the branches.

/// Who fires the complaint.
#[derive(Debug, Clone, PartialEq)]
pub struct Account {
    /// Causes that fire it together, by any numbering; none of them is twice here.
    pub causes: Vec<usize>,
    /// Chance.
    pub chance: f64,
}

/// Something that can be asked or looked at.
#[derive(Debug, Clone, PartialEq)]
pub struct Ask {
    /// Minutes for one asking.
    pub minutes: f64,
    /// The place it needs to be set up, if any: a position in [`Outlook::setups`].
    pub place: Option<usize>,
    /// By answer, then by account: chance of the answer.
    pub answers: Vec<Vec<f64>>,
}

/// Something that can be mended.
#[derive(Debug, Clone, PartialEq)]
pub struct Repair {
    /// Minutes to look whether the fault is there.
    pub look: f64,
    /// Further minutes where it is.
    pub work: f64,
    /// The place it needs to be set up, if any.
    pub place: Option<usize>,
    /// Causes it is for, with the chance that it works.
    pub works: Vec<(usize, f64)>,
}

/// Everything the choice is made from.
#[derive(Debug, Clone, PartialEq)]
pub struct Outlook {
    slots: Vec<Slot>,
    accounts: usize,
    asks: Vec<Ask>,
    repairs: Vec<Repair>,
    moves: Vec<Vec<Move>>,
    /// By repair: slots that hold one of its causes, with the chance that it cures them.
    reach: Vec<Vec<(usize, f64)>>,
    setups: Vec<f64>,
    hand_over: f64,
}

/// An account with those of its causes that are not mended yet.
#[derive(Debug, Clone, PartialEq)]
struct Slot {
    account: usize,
    left: Vec<usize>,
}

/// What a repair does to a slot.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Move {
    from: usize,
    /// Nowhere: the complaint is gone.
    to: Option<usize>,
    chance: f64,
}

/// How far a sitting has got.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    weights: Vec<f64>,
    asked: u64,
    mended: u64,
    open: u64,
}

impl State {
    /// True if this was asked.
    pub fn has_asked(&self, ask: usize) -> bool {
        self.asked >> ask & 1 == 1
    }

    /// True if anything was mended.
    pub fn has_mended(&self) -> bool {
        self.mended != 0
    }

    /// The largest weight of any account.
    pub fn likeliest(&self) -> f64 {
        self.weights.iter().copied().fold(0.0, f64::max)
    }
}

/// What to do next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Act {
    /// Ask this.
    Ask(usize),
    /// Mend this.
    Mend(usize),
    /// Hand the bike over.
    HandOver,
}

/// An order of repairs, ended by handing over what is left.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// Repairs in order.
    pub order: Vec<usize>,
    /// Expected minutes, weighed by the chance of the state.
    pub minutes: f64,
}

/// Weights below this share of the whole are not planned for.
const NEGLIGIBLE: f64 = 1e-6;
/// States that come about more seldom are not thought through: what is gained there is not felt.
const SELDOM: f64 = 0.02;
/// Repairs in a row that do not pay, after which a plan is ended.
const IN_VAIN: usize = 4;
/// Questions are equals if their expected minutes differ by no more than this share: half a minute
/// in a hundred. Judgement.
const EQUAL: f64 = 0.005;
/// The part of what full knowledge would save that questions are taken to reach. Judgement.
const REACHED: f64 = 0.5;
/// Questions and repairs are kept in sets of bits.
const MOST: usize = 64;

impl Outlook {
    /// Puts the pieces together; what goes beyond 64 questions or repairs is left out.
    ///
    /// `hand_over` is what it costs to have somebody else cure it, in minutes.
    pub fn new(
        accounts: &[Account],
        mut asks: Vec<Ask>,
        mut repairs: Vec<Repair>,
        setups: Vec<f64>,
        hand_over: f64,
    ) -> (Self, State) {
        asks.truncate(MOST);
        repairs.truncate(MOST);
        let mut slots: Vec<Slot> = Vec::new();
        let mut weights = Vec::new();
        for (account, Account { causes, chance }) in accounts.iter().enumerate() {
            slots.push(Slot { account, left: causes.clone() });
            weights.push(*chance);
        }
        // What is left of an account after repairs, so that every move has somewhere to go.
        let mut next = 0;
        while let Some(slot) = slots.get(next).cloned() {
            if slot.left.len() > 1 {
                for out in &slot.left {
                    let left: Vec<usize> = slot.left.iter().copied().filter(|c| c != out).collect();
                    let smaller = Slot { account: slot.account, left };
                    if !slots.contains(&smaller) {
                        slots.push(smaller);
                        weights.push(0.0);
                    }
                }
            }
            next += 1;
        }
        let moves: Vec<Vec<Move>> = repairs.iter().map(|r| moves(&slots, r)).collect();
        let reach = moves.iter().map(|m| reach(m)).collect();
        let outlook = Self { slots, accounts: accounts.len(), asks, repairs, moves, reach, setups, hand_over };
        (outlook, State { weights, asked: 0, mended: 0, open: 0 })
    }

    /// The questions.
    pub fn asks(&self) -> &[Ask] {
        &self.asks
    }

    /// Chance of having got here.
    pub fn chance(&self, state: &State) -> f64 {
        state.weights.iter().sum()
    }

    /// Minutes of asking here, with the place set up if it is not yet.
    pub fn cost_of_asking(&self, state: &State, ask: usize) -> f64 {
        self.asks.get(ask).map_or(0.0, |a| a.minutes + self.setup(state, a.place))
    }

    /// The states after each answer; answers that cannot be are left out.
    pub fn after_asking(&self, state: &State, ask: usize) -> Vec<State> {
        let Some(entry) = self.asks.get(ask) else { return Vec::new() };
        let told = |answer: &Vec<f64>| {
            let weight = |(slot, w): (&Slot, &f64)| w * answer.get(slot.account).copied().unwrap_or(1.0);
            let weights: Vec<f64> = self.slots.iter().zip(&state.weights).map(weight).collect();
            let after = State { weights, asked: state.asked | 1 << ask, ..*state };
            State { open: state.open | bit(entry.place), ..after }
        };
        entry.answers.iter().map(told).filter(|s| self.chance(s) > 0.0).collect()
    }

    /// Minutes of a repair here, weighed by the chance of the state, and the state if it does not cure.
    pub fn after_mending(&self, state: &State, repair: usize) -> (f64, State) {
        let mut after = State { weights: state.weights.clone(), mended: state.mended | 1 << repair, ..*state };
        let Some(entry) = self.repairs.get(repair) else { return (0.0, after) };
        after.open |= bit(entry.place);
        let mut found = 0.0;
        for (slot, _) in self.reach.get(repair).into_iter().flatten() {
            found += state.weights[*slot];
            after.weights[*slot] = 0.0;
        }
        for m in self.moves.get(repair).into_iter().flatten() {
            if let Some(to) = m.to {
                after.weights[to] += m.chance * state.weights[m.from];
            }
        }
        let look = entry.look + self.setup(state, entry.place);
        (look * self.chance(state) + entry.work * found, after)
    }

    /// The greedy order of repairs by gain per minute, a place's set-up charged in full to what needs it first,
    /// handed over where that is cheapest (J. B. Kadane and H. A. Simon, 1977; S. Srinivas, 1995, for several faults).
    pub fn plan(&self, state: &State) -> Plan {
        let whole = self.chance(state);
        let (mut at, mut minutes) = (state.clone(), 0.0);
        let mut order = Vec::new();
        let mut best = (whole * self.hand_over, 0);
        // Once several repairs in a row were not worth their minutes, handing over stays cheapest.
        while order.len() < best.1 + IN_VAIN {
            let left = self.chance(&at);
            if left <= NEGLIGIBLE * whole {
                break;
            }
            let Some(repair) = self.best_repair(&at) else { break };
            let (cost, after) = self.after_mending(&at, repair);
            minutes += cost;
            order.push(repair);
            at = after;
            let handed_now = minutes + self.hand_over * self.chance(&at);
            if handed_now < best.0 {
                best = (handed_now, order.len());
            }
        }
        order.truncate(best.1);
        Plan { order, minutes: best.0 }
    }

    /// The repair with the most chance of cure per minute.
    pub fn best_repair(&self, state: &State) -> Option<usize> {
        self.best_repair_of(state, |_| true)
    }

    fn best_repair_of(&self, state: &State, allowed: impl Fn(usize) -> bool) -> Option<usize> {
        let left = self.chance(state);
        let mut best: Option<(usize, f64)> = None;
        for (repair, (entry, reach)) in self.repairs.iter().zip(&self.reach).enumerate() {
            if state.mended >> repair & 1 == 1 || !allowed(repair) {
                continue;
            }
            let (mut found, mut cured) = (0.0, 0.0);
            for (slot, cures) in reach {
                let weight = state.weights[*slot];
                found += weight;
                cured += weight * cures;
            }
            let cost = (entry.look + self.setup(state, entry.place)) * left + entry.work * found;
            // What cures nothing by itself may still clear the way for the rest.
            let gain = cured + 1e-6 * found;
            if gain > 0.0 && best.is_none_or(|(_, rate)| gain / cost > rate) {
                best = Some((repair, gain / cost));
            }
        }
        best.map(|(repair, _)| repair)
    }

    /// Expected fall of the entropy of the accounts, in bits, times the chance of the state.
    pub fn bits(&self, state: &State, ask: usize) -> f64 {
        self.told(self.uncertainty(state), &self.after_asking(state, ask))
    }

    /// Bits by which it is less uncertain after the answers than before.
    fn told(&self, before: f64, after: &[State]) -> f64 {
        (before - after.iter().map(|s| self.uncertainty(s)).sum::<f64>()).max(0.0)
    }

    /// Minutes saved by asking once and then mending, the asking paid; weighed by the chance of the state.
    pub fn saves(&self, state: &State, ask: usize) -> f64 {
        let cost = self.chance(state) * self.cost_of_asking(state, ask);
        self.saved(self.plan(state).minutes - cost, &self.after_asking(state, ask))
    }

    /// Minutes by which mending after the answers is shorter than before.
    fn saved(&self, before: f64, after: &[State]) -> f64 {
        before - after.iter().map(|s| self.plan(s).minutes).sum::<f64>()
    }

    /// Entropy of the accounts times the chance of the state.
    fn uncertainty(&self, state: &State) -> f64 {
        let mut by_account = vec![0.0; self.accounts];
        for (slot, weight) in self.slots.iter().zip(&state.weights) {
            by_account[slot.account] += weight;
        }
        let total: f64 = by_account.iter().sum();
        total * entropy(by_account.into_iter().map(|w| w / total))
    }

    /// The base policy of the roll-out: of the questions that pay at once, the one that tells
    /// most per minute; if none pays, the first repair of the plan.
    fn simple_choice(&self, state: &State) -> Act {
        let now = self.plan(state);
        let before = self.uncertainty(state);
        let mut asks: Vec<(f64, f64, usize, Vec<State>)> = self
            .open_asks(state)
            .map(|ask| {
                let after = self.after_asking(state, ask);
                let cost = self.chance(state) * self.cost_of_asking(state, ask);
                (self.told(before, &after) / cost, cost, ask, after)
            })
            .collect();
        asks.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.2.cmp(&b.2)));
        // Plans are dear: they are made until the first question pays, and that is the one.
        let pays = |(_, cost, _, after): &&(f64, f64, usize, Vec<State>)| self.saved(now.minutes - cost, after) > 1e-9;
        match (asks.iter().find(pays), now.order.first()) {
            (Some((_, _, ask, _)), _) => Act::Ask(*ask),
            (None, Some(repair)) => Act::Mend(*repair),
            (None, None) => Act::HandOver,
        }
    }

    /// Expected minutes under the base policy for so many steps, then repairs alone.
    fn simple_value(&self, state: &State, steps: usize) -> f64 {
        if steps == 0 || self.chance(state) < SELDOM {
            return self.plan(state).minutes;
        }
        match self.simple_choice(state) {
            Act::Ask(ask) => self.value_of_asking(state, ask, steps - 1),
            Act::Mend(repair) => self.value_of_mending(state, repair, steps - 1),
            Act::HandOver => self.hand_over * self.chance(state),
        }
    }

    fn value_of_asking(&self, state: &State, ask: usize, steps: usize) -> f64 {
        let after: f64 = self.after_asking(state, ask).iter().map(|s| self.simple_value(s, steps)).sum();
        self.chance(state) * self.cost_of_asking(state, ask) + after
    }

    fn value_of_mending(&self, state: &State, repair: usize, steps: usize) -> f64 {
        let (cost, after) = self.after_mending(state, repair);
        // Whoever mends may hand over afterwards, never before.
        cost + self.simple_value(&after, steps)
    }

    /// Decides by roll-out: the best few questions and repairs are followed under the base
    /// policy, and the least expected minutes win (F. Tu and K. R. Pattipati, 2003).
    ///
    /// Gives the act and, for each question rolled out, the expected minutes from here on, the
    /// best first; weighed by the chance of the state. Where no question pays at once those that tell
    /// most per minute are rolled out all the same: two may pay together.
    pub fn decide(&self, state: &State, width: usize, steps: usize) -> (Act, Vec<(usize, f64)>) {
        let now = self.plan(state);
        let before = self.uncertainty(state);
        let mut asks: Vec<(f64, f64, usize)> = self
            .open_asks(state)
            .map(|ask| {
                let cost = self.chance(state) * self.cost_of_asking(state, ask);
                let after = self.after_asking(state, ask);
                (self.saved(now.minutes - cost, &after), self.told(before, &after) / cost.max(1e-12), ask)
            })
            .collect();
        asks.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.2.cmp(&b.2)));
        let mut chosen: Vec<usize> = asks.iter().filter(|a| a.0 > 0.0).take(width).map(|a| a.2).collect();
        asks.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.2.cmp(&b.2)));
        let telling = if chosen.is_empty() { width } else { width.div_ceil(2) };
        for (.., ask) in asks.iter().take(telling) {
            if !chosen.contains(ask) {
                chosen.push(*ask);
            }
        }
        let mut acts = vec![(self.hand_over * self.chance(state), Act::HandOver)];
        let first = now.order.first().copied().or_else(|| self.best_repair(state));
        let second = self.best_repair_of(state, |r| Some(r) != first);
        for repair in first.into_iter().chain(second) {
            acts.push((self.value_of_mending(state, repair, steps), Act::Mend(repair)));
        }
        let mut rolled: Vec<(usize, f64)> =
            chosen.into_iter().map(|ask| (ask, self.value_of_asking(state, ask, steps))).collect();
        rolled.sort_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)));
        let least = rolled.first().map(|(_, minutes)| *minutes);
        self.easiest_first(state, &mut rolled);
        // Among equals the first stays: acts before questions, so nothing is asked in vain.
        let asking = rolled.first().zip(least).map(|((ask, _), minutes)| (minutes + 1e-9, Act::Ask(*ask)));
        let least = acts.into_iter().chain(asking).min_by(|a, b| a.0.total_cmp(&b.0));
        let act = match least.map_or(Act::HandOver, |a| a.1) {
            Act::Ask(ask) => Act::Ask(ask),
            idle => asks
                .first()
                .filter(|(_, rate, _)| *rate * self.worth_of_a_bit(state, now.minutes) > 1.0)
                .map_or(idle, |a| Act::Ask(a.2)),
        };
        (act, rolled)
    }

    /// Of questions whose minutes hardly differ, the one that is answered soonest comes first.
    fn easiest_first(&self, state: &State, rolled: &mut [(usize, f64)]) {
        let Some((_, least)) = rolled.first().copied() else { return };
        let equals = rolled.iter().take_while(|(_, minutes)| *minutes <= least * (1.0 + EQUAL)).count();
        let soonest = |a: &usize, b: &usize| {
            let cost = |at: &usize| rolled.get(*at).map_or(0.0, |(ask, _)| self.cost_of_asking(state, *ask));
            cost(a).total_cmp(&cost(b)).then(a.cmp(b))
        };
        if let Some(best) = (0..equals).min_by(soonest)
            && let Some(front) = rolled.get_mut(..=best)
        {
            front.rotate_right(1);
        }
    }

    /// Minutes that a bit is worth where many questions are needed before any of them pays: a part
    /// of what full knowledge would save, spread over all that is not known.
    fn worth_of_a_bit(&self, state: &State, now: f64) -> f64 {
        let known = |(slot, weight): (usize, &f64)| {
            let cures = (0..self.repairs.len()).filter(|r| state.mended >> r & 1 == 0).map(|repair| {
                let entry = &self.repairs[repair];
                let works = self.reach[repair].iter().find(|(s, _)| *s == slot).map_or(0.0, |(_, cures)| *cures);
                let minutes = entry.look + entry.work + self.setup(state, entry.place);
                if works > 0.0 { minutes + (1.0 - works) * self.hand_over } else { self.hand_over }
            });
            weight * cures.fold(self.hand_over, f64::min)
        };
        let perfect: f64 = state.weights.iter().enumerate().map(known).sum();
        let open = self.uncertainty(state);
        if open > 0.0 { REACHED * (now - perfect) / open } else { 0.0 }
    }

    fn open_asks<'a>(&'a self, state: &'a State) -> impl Iterator<Item = usize> + 'a {
        (0..self.asks.len()).filter(|ask| !state.has_asked(*ask))
    }

    fn setup(&self, state: &State, place: Option<usize>) -> f64 {
        match place {
            Some(p) if state.open >> p & 1 == 0 => self.setups.get(p).copied().unwrap_or(0.0),
            _ => 0.0,
        }
    }
}

/// Entropy of a distribution in bits (C. E. Shannon, 1948).
pub fn entropy(chances: impl IntoIterator<Item = f64>) -> f64 {
    chances.into_iter().filter(|p| *p > 0.0).map(|p| -p * p.log2()).sum()
}

fn bit(place: Option<usize>) -> u64 {
    place.map_or(0, |p| 1 << p)
}

/// Slots that are moved, each once, with the chance of going nowhere: of a cure.
fn reach(moves: &[Move]) -> Vec<(usize, f64)> {
    let mut all: Vec<(usize, f64)> = Vec::new();
    for m in moves {
        let cures = if m.to.is_none() { m.chance } else { 0.0 };
        match all.last_mut().filter(|(from, _)| *from == m.from) {
            Some((_, chance)) => *chance += cures,
            None => all.push((m.from, cures)),
        }
    }
    all
}

/// Where a repair takes every slot that holds one of its causes; slots in order.
fn moves(slots: &[Slot], repair: &Repair) -> Vec<Move> {
    let mut all = Vec::new();
    for (from, slot) in slots.iter().enumerate() {
        let mut branches: Vec<(Vec<usize>, f64)> = vec![(slot.left.clone(), 1.0)];
        for (cause, works) in repair.works.iter().filter(|(c, _)| slot.left.contains(c)) {
            let split = |(left, chance): (Vec<usize>, f64)| {
                let gone: Vec<usize> = left.iter().copied().filter(|c| c != cause).collect();
                [(gone, chance * works), (left, chance * (1.0 - works))]
            };
            branches = branches.into_iter().flat_map(split).filter(|(_, chance)| *chance > 0.0).collect();
        }
        if branches.len() == 1 && branches.first().is_some_and(|(left, _)| *left == slot.left) {
            continue;
        }
        for (left, chance) in branches {
            let to = slots.iter().position(|s| s.account == slot.account && s.left == left);
            all.push(Move { from, to: if left.is_empty() { None } else { to }, chance });
        }
    }
    all
}
