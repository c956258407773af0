//! Lithium cells in a row: how many a battery has, and what volts and charge have to do with each other.

use crate::gauge::{GaugeError, Input, Inputs, Kind};

/// How many cells lie in a row.
pub const CELLS: Input = Input::optional(
    "cells",
    "cells in a row, the number before the s on the label: 10 for 10s",
    Kind::count(3.0, 24.0),
    "cells=10",
);

/// The nominal volts, from which the number of cells follows.
pub const MARKED: Input = Input::optional(
    "marked",
    "or the nominal volts marked on the battery",
    Kind::within(10.0, 100.0, "V"),
    "marked=36V",
);

/// A full cell, V: 10 in a row are 42.0 V, 13 are 54.6 V (data sheets of packs). Typical; the maker's figure wins.
pub const FULL: f64 = 4.2;

/// What to mind wherever battery contacts are measured.
pub const KEEP_SHUT: &str = "never open battery, charger or motor; measure only at contacts that the maker lets you reach, and never bridge them";

/// When not to measure at all.
pub const HANDS_OFF: &str = "swollen, hot, smelling, wet or fallen: do not measure or charge it; if it can be done safely put it \
     outdoors on stone, keep away, and ask the dealer";

/// Nominal volts of one cell as makers count them: 3.6 or 3.7, and rounder still on labels.
const NOMINAL: f64 = 3.65;
const NOMINAL_FROM: f64 = 3.4;
const NOMINAL_TO: f64 = 3.85;

/// Charge against volts at rest of one cell, C/20 at room temperature: Sunil, Pattipati and
/// Balasingam, "Piecewise linear approximation of battery open-circuit voltage characteristics using
/// dynamic programming", IEEE Transactions on Instrumentation and Measurement, 2025; data of the
/// authors, a cell of size 21700.
const REST: [(f64, f64); 10] = [
    (0.0, 2.5),
    (0.5, 2.808),
    (3.52, 3.1179),
    (8.54, 3.3182),
    (13.57, 3.4193),
    (29.15, 3.5826),
    (45.23, 3.6941),
    (83.92, 4.0664),
    (95.48, 4.1121),
    (100.0, FULL),
];

/// How far a cell may lie off the curve, V: another make, warmth, volts that have not settled. Judgement.
pub const ERROR: f64 = 0.06;

/// The number of cells in a row, as told or from the nominal volts.
pub fn count(inputs: &Inputs) -> Result<f64, GaugeError> {
    let (cells, marked) = match (inputs.may("cells", ""), inputs.may("marked", "V")) {
        (Some(cells), None) => return Ok(cells),
        (Some(cells), Some(marked)) => (cells, marked),
        (None, Some(marked)) => ((marked / NOMINAL).round(), marked),
        (None, None) => return Err(inputs.missing("cells")),
    };
    if (NOMINAL_FROM..=NOMINAL_TO).contains(&(marked / cells)) {
        return Ok(cells);
    }
    Err(inputs.unfit(
        format!("{marked} V is no nominal voltage of {cells} lithium cells in a row, which have 3.6 or 3.7 V each"),
        "read the label again; for another kind of cell ask its maker",
    ))
}

/// Charge in percent at so many volts a cell, at rest.
pub fn charge(volts: f64) -> f64 {
    between(volts, REST.map(|(charge, volts)| (volts, charge)))
}

/// Volts of a cell at rest at so many percent of charge.
pub fn rest(charge: f64) -> f64 {
    between(charge, REST)
}

/// Straight lines through points that rise; beyond them the last value.
fn between<const N: usize>(x: f64, points: [(f64, f64); N]) -> f64 {
    let x = x.clamp(points[0].0, points[N - 1].0);
    let pair = points.windows(2).find(|pair| x <= pair[1].0);
    pair.map_or(points[N - 1].1, |p| p[0].1 + (x - p[0].0) / (p[1].0 - p[0].0) * (p[1].1 - p[0].1))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// The same paper, another cell of that size at C/32: it lies within the error that the gauges state.
    #[test]
    fn another_cell_is_within_the_stated_error() {
        for (percent, volts) in [
            (9.55, 3.3231),
            (15.08, 3.4218),
            (29.15, 3.5737),
            (45.73, 3.7017),
            (83.42, 4.0637),
            (94.97, 4.1009),
            (100.0, 4.1932),
        ] {
            assert!((rest(percent) - volts).abs() < ERROR, "{percent} %: {} V for {volts}", rest(percent));
        }
    }

    proptest! {
        #[test]
        fn charge_rises_with_volts_and_back(a in 0.0f64..5.0, more in 0.0f64..1.0, percent in 0.0f64..100.0) {
            prop_assert!(charge(a) <= charge(a + more));
            prop_assert!((0.0..=100.0).contains(&charge(a)));
            prop_assert!((charge(rest(percent)) - percent).abs() < 1e-9);
        }
    }
}
