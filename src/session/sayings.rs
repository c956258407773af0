//! Short sayings of the knowledge, held against a line as it was typed.

use itertools::Itertools;

use crate::graph::Reading;
use crate::knowledge::terms::Manner;

/// A line in small letters, without what thumbs leave out: apostrophes, commas, points.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line(String);

impl Line {
    /// Of what was typed.
    pub fn of(typed: &str) -> Self {
        let small = typed.to_lowercase().replace(['\'', '\u{2019}'], "");
        let words = small.split_whitespace().map(|word| word.trim_matches([',', '.', '!', ';']));
        Self(words.filter(|word| !word.is_empty()).join(" "))
    }

    /// The whole line.
    pub fn text(&self) -> &str {
        &self.0
    }

    /// Its words.
    pub fn words(&self) -> impl Iterator<Item = &str> {
        self.0.split(' ').filter(|word| !word.is_empty())
    }

    /// True if it is one of these sayings and nothing else.
    pub fn is(&self, reading: &Reading, manner: Manner) -> bool {
        sayings(reading, manner).any(|saying| saying == *self)
    }

    /// True if one of these sayings stands in it.
    pub fn holds(&self, reading: &Reading, manner: Manner) -> bool {
        self.held(reading, manner).is_some()
    }

    /// The first of these sayings that stands in it.
    pub fn held(&self, reading: &Reading, manner: Manner) -> Option<Self> {
        let among = format!(" {} ", self.0);
        sayings(reading, manner).find(|saying| among.contains(&format!(" {} ", saying.0)))
    }

    /// True if one of these sayings begins it.
    pub fn begins(&self, reading: &Reading, manner: Manner) -> bool {
        self.is(reading, manner) || self.after(reading, manner).next().is_some()
    }

    /// What follows these sayings, for each that begins it.
    pub fn after(&self, reading: &Reading, manner: Manner) -> impl Iterator<Item = Self> {
        let rest = |saying: Self| Some(Self(self.0.strip_prefix(&saying.0)?.strip_prefix(' ')?.to_owned()));
        sayings(reading, manner).filter_map(rest)
    }

    /// The same without one of these sayings at its end, if one stands there.
    pub fn without(&self, reading: &Reading, manner: Manner) -> Self {
        let rest = |saying: Self| Some(Self(self.0.strip_suffix(&saying.0)?.strip_suffix(' ')?.to_owned()));
        sayings(reading, manner).find_map(rest).unwrap_or_else(|| self.clone())
    }
}

/// What is passed on for somebody else, as he would say it: "she's not sure" is "not sure", "he thinks so" is "think so".
pub fn passed_on(line: &Line, reading: &Reading) -> Line {
    let own = line.after(reading, Manner::PassedOn).next().unwrap_or_else(|| line.clone());
    own.without(reading, Manner::PassedOn)
}

fn sayings(reading: &Reading, manner: Manner) -> impl Iterator<Item = Line> {
    reading.words(manner).map(|saying| Line::of(saying))
}
