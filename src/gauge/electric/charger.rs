//! Charger: whether its volts are those of the battery.

use super::cells::{self, CELLS, FULL, HANDS_OFF, KEEP_SHUT, MARKED};
use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Reading, Soft, soft_outside};
use crate::quantity::sensible;

/// The charger gauge.
pub static GAUGE: Gauge = Gauge {
    name: "charger",
    about: "whether the volts on a charger's label are those of the battery; they are not all that has to match",
    inputs: &[
        Input::required(
            "output",
            "the charging volts on the output line of the charger's label",
            Kind::within(5.0, 120.0, "V"),
            "output=42V",
        ),
        Input::optional(
            "full",
            "the charging volts in the maker's book or on the battery's label",
            Kind::within(10.0, 110.0, "V"),
            "full=42V",
        ),
        CELLS,
        MARKED,
    ],
    compute,
};

/// A label this far off still names the same volts, percent: labels are rounded. Judgement.
const BAND: f64 = 1.0;

/// How far a label may be off its charger, percent. Judgement.
const ERROR: f64 = 0.5;

/// Nominal volts a cell, as they stand on labels.
const NOMINAL: std::ops::RangeInclusive<f64> = 3.4..=3.75;

/// Of chargers that belong to another battery, how many have the same volts nonetheless. Judgement.
const WRONG_ALIKE: f64 = 0.5;

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let output = inputs.need("output", "V")?;
    let cells = match inputs.has("cells") || inputs.has("marked") || !inputs.has("full") {
        true => Some(cells::count(inputs)?),
        false => None,
    };
    let full = inputs.may("full", "V").or(cells.map(|cells| FULL * cells)).ok_or_else(|| inputs.missing("full"))?;
    if let Some(cells) = cells.filter(|cells| (full / cells - FULL).abs() > 0.3) {
        return Err(inputs.unfit(
            format!("{} V is no charging voltage of {cells} lithium cells in a row", sensible(full, 4)),
            "read the battery's label again; its maker knows other kinds of cell",
        ));
    }
    let off = (output / full - 1.0) * 100.0;
    let (out, want) = (sensible(output, 4), sensible(full, 4));
    let nominal = off < -BAND && cells.is_some_and(|cells| NOMINAL.contains(&(output / cells)));
    let said = if nominal {
        format!(
            "{out} V looks like the nominal figure of a {want} V charger: find the charging volts on its output line"
        )
    } else if off > BAND {
        format!("{out} V is too much for a battery that is full at {want} V: do not plug it in, it can set it on fire")
    } else if off < -BAND {
        format!(
            "{out} V is too little for a battery that is full at {want} V: it belongs to another battery, do not use it"
        )
    } else {
        format!("{out} V is the right voltage; use it only if it is also the one named for this battery")
    };
    let unit = inputs.unit_of("output");
    let reading = inputs
        .reading(said)
        .figure_si("full", "charging volts wanted", full, unit)?
        .figure("off", "off the volts wanted", off, "%")?
        .figure("error", "error of a label", ERROR, "%")?
        .working(
            match cells.filter(|_| !inputs.has("full")) {
                Some(cells) => format!("full = {cells} cells x {FULL} V = {want} V"),
                None => format!("full = {want} V, as told"),
            },
            format!("off = {out} / {want} - 1 = {} %; a match within {BAND} %, labels to {ERROR} %", sensible(off, 3)),
        )
        .source(
            "battery and charger are a matched pair: TBIS 15194:2019 cl. 4.2.3.1 (national adoption of EN 15194); wrong \
             charger volts among causes of fires: London Fire Brigade, quoted by BBC News, 31 March 2023; 4.2 V a cell: typical, data sheets \
             of packs; band, error: judgement",
        )
        .caution("equal volts are not enough: plug, polarity, current and the talk between both have to match, so only the charger named by the maker will do")
        .caution("never measure inside, never change a plug")
        .caution(KEEP_SHUT)
        .caution(HANDS_OFF);
    if nominal {
        return Ok(reading);
    }
    let outside =
        soft_outside(output, (full * (1.0 - BAND / 100.0), full * (1.0 + BAND / 100.0)), full * ERROR / 100.0);
    let there = WRONG_ALIKE * outside.missing + outside.there;
    Ok(reading.soft("charger-label-differs", Soft { there: there.min(1.0), missing: outside.missing }))
}

#[cfg(test)]
mod tests {
    use crate::gauge::testing::{close, refused, sure, take, value};

    /// Data sheets of packs: 36 V, ten cells, 42.0 V; 48 V, thirteen cells, 54.6 V.
    #[test]
    fn full_volts_of_usual_packs() {
        close(value("charger", &["output=42V", "marked=36V"], "full"), 42.0, 1e-9);
        close(value("charger", &["output=54.6V", "marked=48V"], "full"), 54.6, 1e-9);
        close(value("charger", &["output=29.4V", "cells=7"], "off"), 0.0, 1e-9);
        close(value("charger", &["output=42V", "full=41.5V"], "full"), 41.5, 1e-9);
    }

    /// London Fire Brigade's example (BBC News, 31 March 2023): a 48 V charger on a 36 V battery.
    #[test]
    fn a_48_v_charger_on_a_36_v_battery_is_stopped() {
        let says = |output: &str| take("charger", &[output, "marked=36V"]).headline;
        assert!(says("output=54.6V").contains("do not plug it in"));
        assert!(says("output=29.4V").contains("too little"));
        assert!(says("output=42V").contains("the right voltage"));
        let nominal = take("charger", &["output=36V", "marked=36V"]);
        assert!(nominal.headline.contains("nominal figure") && nominal.softs.is_empty(), "{}", nominal.headline);
    }

    #[test]
    fn equal_volts_prove_little_and_others_much() {
        close(sure("charger", &["output=42V", "cells=10"], "charger-label-differs"), 1.0 / 3.0, 0.03);
        assert!(sure("charger", &["output=54.6V", "cells=10"], "charger-label-differs") > 0.999);
        refused(
            "charger",
            &["output=42V", "full=54.6V", "cells=10"],
            "gauge `charger`: 54.6 V is no charging voltage of 10 lithium cells in a row; read the battery's label again; its maker knows other kinds of cell",
        );
        refused(
            "charger",
            &["output=42V"],
            "gauge `charger` needs `cells`, cells in a row, the number before the s on the label: 10 for 10s; add `cells=10`",
        );
    }
}
