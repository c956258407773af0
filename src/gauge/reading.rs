//! What a gauge says: an answer, its figures, its working, and what it means for signs.
//!
//! A gauge fills one in step by step, beginning with [`super::Inputs::reading`].

use super::GaugeError;
use super::soft::{Soft, SoftReport};
use crate::quantity::{Quantity, QuantityError};

/// What a gauge says.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// The answer in one sentence.
    pub headline: String,
    /// Every number of the answer.
    pub figures: Vec<Figure>,
    /// How it was reckoned, in two lines.
    pub working: [String; 2],
    /// Where formula and limits come from.
    pub source: String,
    /// When the model is off, if there is a model.
    pub model_note: Option<String>,
    /// What to mind; few, and each an act.
    pub cautions: Vec<String>,
    /// What the reading says about signs.
    pub softs: Vec<SoftReport>,
    /// A picture, where people would rather look.
    pub plot: Option<Plot>,
    gauge: &'static str,
    end: Option<&'static str>,
}

/// One number of an answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// A stable word for machines.
    pub key: &'static str,
    /// What it is, for people.
    pub name: &'static str,
    /// The number with its unit.
    pub quantity: Quantity,
    /// The number as it is shown.
    pub text: String,
}

/// A picture as a value; faces draw it.
#[derive(Clone, Debug, PartialEq)]
pub struct Plot {
    /// What it shows.
    pub title: String,
    /// The quantity along the foot, with its unit.
    pub across: String,
    /// The quantity up the side, with its unit.
    pub up: String,
    /// What is drawn; the first is the one to look at.
    pub series: Vec<Series>,
    /// Limits: lines straight across, with their names.
    pub levels: Vec<(String, f64)>,
    /// Where this reading stands.
    pub here: Option<(f64, f64)>,
}

/// One curve, or one set of single points.
#[derive(Clone, Debug, PartialEq)]
pub struct Series {
    /// What it is.
    pub name: String,
    /// Along the foot, up the side; finite.
    pub points: Vec<(f64, f64)>,
    /// Whether a line runs through the points.
    pub joined: bool,
}

impl Figure {
    /// A figure shown as its quantity prints.
    pub fn new(key: &'static str, name: &'static str, quantity: Quantity) -> Figure {
        Figure { key, name, quantity, text: quantity.to_string() }
    }
}

impl Reading {
    /// An answer with nothing but its headline.
    pub(super) fn new(gauge: &'static str, end: Option<&'static str>, headline: String) -> Reading {
        Reading {
            headline,
            figures: Vec::new(),
            working: Default::default(),
            source: String::new(),
            model_note: None,
            cautions: Vec::new(),
            softs: Vec::new(),
            plot: None,
            gauge,
            end,
        }
    }

    /// Adds a number in a unit.
    pub fn figure(self, key: &'static str, name: &'static str, number: f64, unit: &str) -> Result<Reading, GaugeError> {
        self.made(key, name, Quantity::new(number, unit))
    }

    /// Adds a number in SI units, shown in a unit: that of the question, as a rule.
    pub fn figure_si(self, key: &'static str, name: &'static str, si: f64, unit: &str) -> Result<Reading, GaugeError> {
        self.made(key, name, Quantity::from_si(si, unit))
    }

    fn made(
        mut self,
        key: &'static str,
        name: &'static str,
        quantity: Result<Quantity, QuantityError>,
    ) -> Result<Reading, GaugeError> {
        let quantity = quantity.map_err(|error| GaugeError::not_a_quantity(self.gauge, key, error))?;
        self.figures.push(Figure::new(key, name, quantity));
        Ok(self)
    }

    /// Shows how it was reckoned.
    pub fn working(mut self, first: impl Into<String>, second: impl Into<String>) -> Reading {
        self.working = [first.into(), second.into()];
        self
    }

    /// Says where formula, limits and errors come from.
    pub fn source(mut self, source: impl Into<String>) -> Reading {
        self.source = source.into();
        self
    }

    /// Says when the model is off.
    pub fn model_note(mut self, note: impl Into<String>) -> Reading {
        self.model_note = Some(note.into());
        self
    }

    /// Adds something to mind.
    pub fn caution(mut self, caution: impl Into<String>) -> Reading {
        self.cautions.push(caution.into());
        self
    }

    /// Adds what this reading says about a sign.
    pub fn soft(self, sign: &'static str, soft: Soft) -> Reading {
        self.report(SoftReport::plain(sign, soft))
    }

    /// Adds what this reading says about a sign with degrees.
    pub fn report(mut self, soft: SoftReport) -> Reading {
        self.softs.push(SoftReport { end: self.end, ..soft });
        self
    }

    /// Adds a picture.
    pub fn plot(mut self, plot: Plot) -> Reading {
        self.plot = Some(plot);
        self
    }
}

impl Plot {
    /// A picture with nothing in it yet.
    pub fn new(title: impl Into<String>, across: impl Into<String>, up: impl Into<String>) -> Plot {
        Plot {
            title: title.into(),
            across: across.into(),
            up: up.into(),
            series: Vec::new(),
            levels: Vec::new(),
            here: None,
        }
    }

    /// Adds a curve, reckoned at so many steps between two ends.
    pub fn curve(
        mut self,
        name: impl Into<String>,
        (from, to): (f64, f64),
        steps: u16,
        f: impl Fn(f64) -> f64,
    ) -> Plot {
        let at = |i: u16| from + (to - from) * f64::from(i) / f64::from(steps.max(1));
        let points = (0..=steps).map(|i| (at(i), f(at(i)))).filter(|(x, y)| x.is_finite() && y.is_finite()).collect();
        self.series.push(Series { name: name.into(), points, joined: true });
        self
    }

    /// Adds single points.
    pub fn points(mut self, name: impl Into<String>, points: Vec<(f64, f64)>) -> Plot {
        self.series.push(Series { name: name.into(), points, joined: false });
        self
    }

    /// Adds a limit.
    pub fn level(mut self, name: impl Into<String>, up: f64) -> Plot {
        self.levels.push((name.into(), up));
        self
    }

    /// Marks where this reading stands.
    pub fn here(mut self, across: f64, up: f64) -> Plot {
        self.here = Some((across, up));
        self
    }
}
