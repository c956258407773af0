//! The shapes of the files, field for field.
//!
//! Every id and number remembers its place in the text ([`Placed`]), so that
//! what is wrong with it can be shown there. Nothing is derived here and no
//! number is judged here; that is the business of `check`.

use std::fmt;
use std::marker::PhantomData;

use ron::value::RawValue;
use serde::Deserialize;
use serde::de::{DeserializeOwned, Deserializer, Error as _, MapAccess, Visitor};

use super::read::PLACE_MARK;
use super::terms::{Motion, Reporter, Ride, Standing, Venue};

/// A value and where it stands: the address and length of its text in memory.
///
/// Addresses only ever get compared with the bounds of the texts still held
/// by the knowledge, which turns them into line and column.
#[derive(Debug, Clone)]
pub struct Placed<T> {
    /// The value.
    pub value: T,
    /// Address of its first byte.
    pub address: usize,
    /// Length in bytes.
    pub length: usize,
}

/// A name that other entries use.
pub type Id = Placed<String>;
/// A number, not yet judged.
pub type Number = Placed<f64>;

/// Types that can be read from the raw text of one value.
pub trait FromRaw: Sized {
    /// Reads the value, or says what was expected.
    fn from_raw(raw: &str) -> Result<Self, String>;
}

fn reread<T: DeserializeOwned>(raw: &str, what: &str) -> Result<T, String> {
    super::read::options().from_str(raw).map_err(|_| format!("{what} belongs here"))
}

impl FromRaw for String {
    fn from_raw(raw: &str) -> Result<Self, String> {
        // Most texts hold no escape and need no second reading.
        match raw.strip_prefix('"').and_then(|r| r.strip_suffix('"')) {
            Some(plain) if !plain.contains(['\\', '"']) => Ok(plain.to_owned()),
            _ => reread(raw, "a text in double quotes"),
        }
    }
}

impl FromRaw for f64 {
    fn from_raw(raw: &str) -> Result<Self, String> {
        raw.replace('_', "").parse().map_err(|_| "a number belongs here".to_owned())
    }
}

/// How often a cause alone brings something.
#[derive(Debug, Clone, PartialEq)]
pub enum Strength {
    /// A named step, such as `usually`.
    Step(String),
    /// A plain chance.
    Chance(f64),
    /// Chances for a sign that has degrees.
    Degrees {
        /// Chance of the slight degree.
        slight: f64,
        /// Chance of the strong degree.
        strong: f64,
    },
}

impl FromRaw for Strength {
    fn from_raw(raw: &str) -> Result<Self, String> {
        #[derive(Deserialize)]
        #[serde(deny_unknown_fields)]
        struct Degrees {
            slight: f64,
            strong: f64,
        }
        if raw.starts_with('(') {
            let d: Degrees = reread(raw, "`(slight: 0.3, strong: 0.5)`")?;
            Ok(Self::Degrees { slight: d.slight, strong: d.strong })
        } else if raw.starts_with(|c: char| c.is_ascii_lowercase()) && raw != "inf" {
            Ok(Self::Step(raw.to_owned()))
        } else {
            f64::from_raw(raw)
                .map(Self::Chance)
                .map_err(|_| "a number or a named step such as `usually` belongs here".to_owned())
        }
    }
}

impl<'de, T: FromRaw> Deserialize<'de> for Placed<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let raw: &'de RawValue = Deserialize::deserialize(deserializer)?;
        let text = raw.get_ron().trim();
        let (address, length) = (text.as_ptr() as usize, text.len());
        match T::from_raw(text) {
            Ok(value) => Ok(Self { value, address, length }),
            Err(why) => Err(D::Error::custom(format!("{PLACE_MARK}{address}{PLACE_MARK}{why}"))),
        }
    }
}

/// A map kept as a list: order, places and even repeated keys stay visible.
#[derive(Debug, Clone)]
pub struct Pairs<V>(pub Vec<(Id, V)>);

impl<V> Default for Pairs<V> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

impl<'de, V: Deserialize<'de>> Deserialize<'de> for Pairs<V> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Reader<V>(PhantomData<V>);
        impl<'de, V: Deserialize<'de>> Visitor<'de> for Reader<V> {
            type Value = Pairs<V>;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a map such as {\"key\": value}")
            }
            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
                let mut pairs = Vec::new();
                while let Some(pair) = map.next_entry::<Id, V>()? {
                    pairs.push(pair);
                }
                Ok(Pairs(pairs))
            }
        }
        deserializer.deserialize_map(Reader(PhantomData))
    }
}

/// How a facet of a complaint comes out: a chance of yes, or chances of its values.
#[derive(Debug, Clone)]
pub enum Shape {
    /// Chance of yes of a yes-or-no facet.
    Yes(Number),
    /// Chances of some values; the rest is shared by the background's shares.
    Values(Pairs<Number>),
}

impl<'de> Deserialize<'de> for Shape {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let raw: &'de RawValue = Deserialize::deserialize(deserializer)?;
        let text = raw.get_ron().trim();
        let read = |e: ron::error::SpannedError| {
            let address = text.as_ptr() as usize;
            match e.code {
                ron::Error::Message(m) if m.starts_with(PLACE_MARK) => D::Error::custom(m),
                _ => D::Error::custom(format!(
                    "{PLACE_MARK}{address}{PLACE_MARK}a chance of yes, or a map of values and chances, belongs here"
                )),
            }
        };
        if text.starts_with('{') {
            super::read::options().from_str(text).map(Self::Values).map_err(read)
        } else {
            super::read::options().from_str(text).map(Self::Yes).map_err(read)
        }
    }
}

macro_rules! entry {
    ($(#[$doc:meta])* $name:ident { $($(#[$fdoc:meta])* $field:ident : $type:ty,)* }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Deserialize)]
        #[serde(deny_unknown_fields)]
        pub struct $name { $($(#[$fdoc])* pub $field: $type,)* }
    };
}

mod speech;
pub use speech::{Alike, Amount, Phrase, Telling, Wordclass, Wordlist};

entry! {
    /// Where numbers come from.
    Source {
        /// Name used by other entries.
        id: Id,
        /// Author or organisation, year, title or standard and clause.
        cite: String,
        /// What it is worth.
        standing: Standing,
    }
}

entry! {
    /// A named strength.
    Step {
        /// The word.
        id: Id,
        /// Its number.
        number: Number,
        /// Source id.
        source: Id,
    }
}

entry! {
    /// Chances of the five answers.
    AnswerTable {
        /// Name used by signs and reporters.
        id: Id,
        /// Plain wording.
        name: String,
        /// Chances of the five answers when the thing is there.
        there: (Number, Number, Number, Number, Number),
        /// Chances of the five answers when it is not.
        missing: (Number, Number, Number, Number, Number),
        /// Source id.
        source: Id,
    }
}

entry! {
    /// How a reporter's words are read unless a sign says otherwise.
    ReporterEntry {
        /// `rider`, `mechanic` or `gauge`.
        id: Id,
        /// Plain wording.
        name: String,
        /// Answer table for asked answers.
        asked: Id,
        /// Answer table for what is said without being asked.
        told: Id,
    }
}

entry! {
    /// One value of a bike fact or facet.
    Value {
        /// Name of the value.
        id: Id,
        /// Plain wording.
        name: String,
        /// Its share.
        share: Number,
    }
}

entry! {
    /// What the bike is or what happened to it.
    BikeFact {
        /// Name.
        id: Id,
        /// Plain wording.
        name: String,
        /// The question.
        ask: String,
        /// Why it is asked, in half a line.
        why: String,
        /// True for what happened to the bike.
        #[serde(default)]
        history: bool,
        /// Exclusive values with their shares of arriving bikes.
        values: Vec<Value>,
        /// Source id.
        source: Id,
    }
}

entry! {
    /// An aspect of a complaint.
    Facet {
        /// Name.
        id: Id,
        /// What it is called in a list; the name of the entry where nothing is said.
        #[serde(default)]
        name: String,
        /// The question.
        ask: String,
        /// What it separates.
        why: String,
        /// Exclusive values, or none for a yes-or-no facet.
        #[serde(default)]
        values: Vec<Value>,
        /// `facet=value` of the same complaint that makes asking senseless.
        #[serde(default)]
        moot: Vec<Id>,
        /// Chance of yes in the background, for a yes-or-no facet.
        #[serde(default)]
        yes: Option<Number>,
        /// How often each reporter names the true value.
        #[serde(default)]
        hits: Pairs<Number>,
        /// Minutes to answer.
        minutes: Number,
        /// Where it can be answered.
        #[serde(default)]
        at: Vec<Venue>,
    }
}

entry! {
    /// What the bike does, one event.
    Complaint {
        /// Name.
        id: Id,
        /// Statement.
        name: String,
        /// The question.
        ask: String,
        /// Chance of it with none of our causes.
        background: Number,
        /// Its facets, in the order in which they are best asked.
        facets: Vec<Id>,
        /// The background's shares where they differ from the facet's own.
        #[serde(default)]
        shares: Pairs<Shape>,
        /// Hits where they differ from the facet's own.
        #[serde(default)]
        hits: Pairs<Pairs<Number>>,
        /// Bikes that can have it.
        #[serde(default)]
        needs: Pairs<Vec<Id>>,
        /// Source id.
        source: Id,
    }
}

entry! {
    /// Something on the bike that is there or not, apart from the complaint.
    Sign {
        /// Name.
        id: Id,
        /// Statement.
        name: String,
        /// True if it exists at the front and at the rear.
        #[serde(default)]
        ends: bool,
        /// True if slight and strong matter separately.
        #[serde(default)]
        degrees: bool,
        /// Chance of it with none of our causes.
        background: Number,
        /// Answer table by reporter, or by `reporter@place`.
        #[serde(default)]
        noticed: Pairs<Id>,
        /// Source id.
        source: Id,
    }
}

entry! {
    /// How a cause brings a complaint.
    Brings {
        /// Complaint id.
        complaint: Id,
        /// How often the cause alone brings it.
        strength: Placed<Strength>,
        /// How the event comes out then.
        #[serde(default)]
        facets: Pairs<Shape>,
    }
}

entry! {
    /// Base rates of a cause that exists at both ends.
    Ends {
        /// At the front.
        front: Number,
        /// At the rear.
        rear: Number,
    }
}

entry! {
    /// A state of a part.
    Cause {
        /// Name.
        id: Id,
        /// Short plain name.
        name: String,
        /// One sentence: what it is and what it does.
        plain: String,
        /// Base rate of a cause that exists once.
        #[serde(default)]
        base: Option<Number>,
        /// Base rates of a cause that exists front and rear.
        #[serde(default)]
        ends: Option<Ends>,
        /// Source id of the base rate and strengths.
        source: Id,
        /// Bikes that can have it.
        #[serde(default)]
        fits: Pairs<Vec<Id>>,
        /// Multipliers of the base-rate odds.
        #[serde(default)]
        odds: Pairs<Number>,
        /// Complaints it brings.
        #[serde(default)]
        brings: Vec<Brings>,
        /// Signs it shows.
        #[serde(default)]
        shows: Pairs<Placed<Strength>>,
        /// Whether the bike may be ridden with it.
        ride: Ride,
        /// Caution ids.
        #[serde(default)]
        cautions: Vec<Id>,
        /// The act that confirms it.
        check: String,
    }
}

entry! {
    /// One option of a question.
    Choice {
        /// What is offered.
        say: String,
        /// What it means for each sign.
        means: Pairs<Id>,
    }
}

entry! {
    /// A question about signs.
    Question {
        /// Name.
        id: Id,
        /// Sign ids.
        settles: Vec<Id>,
        /// What is asked.
        ask: String,
        /// What it separates, half a line.
        why: String,
        /// Exclusive options; the five answers if there are none.
        #[serde(default)]
        options: Vec<Choice>,
        /// Minutes to answer.
        minutes: Number,
        /// Where it can be asked or done.
        at: Vec<Venue>,
        /// Who can answer it; anybody if empty.
        #[serde(default)]
        by: Vec<Reporter>,
        /// What it puts in motion.
        #[serde(default)]
        moves: Vec<Motion>,
        /// What it needs.
        #[serde(default)]
        tools: Vec<String>,
    }
}

entry! {
    /// Chance that a remedy works.
    Works {
        /// Done by the rider.
        rider: Number,
        /// Done by a mechanic.
        mechanic: Number,
    }
}

entry! {
    /// What cures a cause.
    Remedy {
        /// Name.
        id: Id,
        /// Imperative, short.
        name: String,
        /// Causes it cures, with the chance that it works.
        cures: Pairs<Works>,
        /// Minutes of work.
        minutes: Number,
        /// Where it can be done.
        at: Vec<Venue>,
        /// Parts' price as minutes of a workshop's work.
        #[serde(default)]
        price: Option<Number>,
        /// False if it cannot be undone.
        #[serde(default = "yes")]
        undoes: bool,
        /// Tools with sizes.
        tools: Vec<String>,
        /// Parts.
        #[serde(default)]
        parts: Vec<String>,
        /// Steps, each one act.
        steps: Vec<String>,
        /// Caution ids.
        #[serde(default)]
        cautions: Vec<Id>,
        /// How the person knows that it is cured.
        proof: String,
        /// What is usually done wrong.
        #[serde(default)]
        slip: String,
        /// When to hand it over.
        #[serde(default)]
        hand_over: String,
        /// Source id.
        source: Id,
    }
}

fn yes() -> bool {
    true
}

entry! {
    /// A warning that stands where the hand is.
    Caution {
        /// Name.
        id: Id,
        /// The words.
        text: String,
        /// True if it is for the hand at work, not for who rides on.
        #[serde(default)]
        at_work: bool,
        /// By bike fact, the values to which it speaks; of another bike it is not shown.
        #[serde(default)]
        fits: Pairs<Vec<Id>>,
        /// Source id.
        source: Id,
    }
}

entry! {
    /// A report that speaks at once, whatever the probabilities.
    RedFlag {
        /// Name.
        id: Id,
        /// Signs, complaints or `complaint.facet=value`.
        when: Vec<Id>,
        /// What is said.
        say: String,
        /// What clears it.
        clear: String,
        /// True if nobody should go near to look: asking ends.
        #[serde(default)]
        hands_off: bool,
        /// Caution ids.
        #[serde(default)]
        cautions: Vec<Id>,
    }
}

entry! {
    /// A word that not every rider knows, or a name that is no brand.
    Gloss {
        /// Name.
        id: Id,
        /// The word in its forms, as it stands in texts.
        of: Vec<String>,
        /// What it is, in plain words that can stand beside it.
        plain: String,
        /// Other plain words beside which it explains itself.
        #[serde(default)]
        beside: Vec<String>,
        /// True if it needs no explaining.
        #[serde(default)]
        common: bool,
    }
}

entry! {
    /// A limit that a gauge reading is held against.
    Limit {
        /// Name.
        id: Id,
        /// Name of the gauge.
        gauge: Id,
        /// What it applies to.
        applies: String,
        /// The limit with its unit, such as `0.75 %`.
        value: String,
        /// Source id.
        source: Id,
    }
}

impl Placed<String> {
    /// The name as text.
    pub fn as_str(&self) -> &str {
        &self.value
    }
}
