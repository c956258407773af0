//! Volts: what a battery shows at rest, as a rough state of charge.

use super::cells::{self, CELLS, ERROR, FULL, HANDS_OFF, KEEP_SHUT, MARKED};
use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Plot, Reading, short, soft_below};
use crate::quantity::sensible;

/// The volts gauge.
pub static GAUGE: Gauge = Gauge {
    name: "pack-volts",
    about: "the volts of an e-bike battery at rest as a rough state of charge",
    inputs: &[
        Input::required(
            "volts",
            "direct volts at the contacts, switched on, unloaded and rested for an hour; or as the display shows them",
            Kind::within(0.0, 110.0, "V"),
            "volts=36.9V",
        ),
        CELLS,
        MARKED,
    ],
    compute,
};

/// The charge is never known better than this, in points. Judgement.
const LEAST_ERROR: f64 = 3.0;

/// Charge from which a battery counts as low, percent: about its last lamp. Judgement.
const LOW: f64 = 15.0;

/// Volts a cell below which nothing but the electronics is read. Judgement.
const ASLEEP: f64 = 1.0;

/// A cell emptier than this should not be charged again by whoever finds it, V: data sheets of packs
/// switch off at 2.75 V a cell. Typical.
const TOO_EMPTY: f64 = 2.5;

/// Above this a full cell is more than a meter's error past full, V. Judgement.
const TOO_FULL: f64 = 4.25;

/// No lithium cell reads more than this, V. Judgement.
const IMPOSSIBLE: f64 = 4.5;

/// Direct volts that dry hands bear, V: IEC 61140. From memory.
const HARMLESS: f64 = 60.0;
const HIGH_VOLTS: &str = "full it has more than 60 V, which can hurt: leave measuring to the dealer";

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let volts = inputs.need("volts", "V")?;
    let count = cells::count(inputs)?;
    let each = volts / count;
    if each > IMPOSSIBLE {
        return Err(inputs.unfit(
            format!("{} V would be {} V in each of {count} cells, which hold {FULL} V full", short(volts), short(each)),
            "measure again on direct volts, or correct `cells`",
        ));
    }
    let asleep = each < ASLEEP;
    let charge = cells::charge(each);
    let error = ((cells::charge(each + ERROR) - cells::charge(each - ERROR)) / 2.0).max(LEAST_ERROR);
    let said = if asleep {
        "almost no volts at the contacts: that says nothing of the cells, for the electronics may be asleep or the battery \
         off; press its button, or wake it on its own charger, watched"
            .to_owned()
    } else if each < TOO_EMPTY {
        "the cells are emptier than they stand: do not charge it, the dealer has to judge it".to_owned()
    } else if each > TOO_FULL {
        "above full: check `cells`; if the number is right, neither charge nor ride, and ask the dealer".to_owned()
    } else if charge < LOW {
        format!(
            "about {} % charged, give or take {}: as good as empty under load, charge it first",
            whole(charge),
            whole(error)
        )
    } else {
        format!("about {} % charged, give or take {}", whole(charge), whole(error))
    };
    let unit = inputs.unit_of("volts");
    let reading = inputs
        .reading(format!("{} V from {count} cells: {said}", sensible(volts, 4)))
        .figure("cell", "volts a cell", each, "V")?
        .figure_si("full", "full", FULL * count, unit)?
        .figure("error", "error of the charge", error, "%")?
        .working(
            format!("a cell = {} V / {count} = {} V", sensible(volts, 4), sensible(each, 4)),
            if asleep {
                format!("below {ASLEEP} V a cell no charge is read")
            } else {
                format!(
                    "{} V at rest is {} % on the curve of a cell; low below {LOW} %; {ERROR} V of error a cell is {} points",
                    sensible(each, 4),
                    short(charge),
                    short(error)
                )
            },
        )
        .source(
            "charge against volts at rest: Sunil, Pattipati and Balasingam, IEEE Transactions on Instrumentation and \
             Measurement, 2025, a cell of size 21700; 4.2 V full: typical, data sheets of packs; 3.6 or 3.7 V nominal: \
             common practice; limits and error: judgement",
        )
        .model_note(
            "for cells that are full at 4.2 V; iron phosphate cells read otherwise. Volts say how full, not how much: a \
             worn battery reads full too. The drive switches off before 0 %",
        )
        .caution(KEEP_SHUT)
        .caution(HANDS_OFF)
        .caution("set the meter to direct volts above the battery's full voltage, leads in the volt sockets; the maker's figures win");
    let reading = if FULL * count > HARMLESS { reading.caution(HIGH_VOLTS) } else { reading };
    if asleep {
        return Ok(reading);
    }
    let plot = Plot::new("Charge of the battery at rest", "charge, %", "volts, V")
        .curve("at rest", (0.0, 100.0), 50, |percent| cells::rest(percent) * count)
        .level("full", FULL * count)
        .here(charge, volts);
    Ok(reading
        .figure("charge", "charged, about", charge, "%")?
        .plot(plot)
        .soft("battery-charge-low", soft_below(each, cells::rest(LOW), ERROR)))
}

fn whole(percent: f64) -> String {
    sensible(percent.round(), 3)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use crate::gauge::testing::{close, refused, sure, take, value};

    /// Data sheets of packs: 10 cells in a row are full at 42.0 V, 13 at 54.6 V. By arithmetic 7 at 29.4
    /// and 14 at 58.8 V. Which label goes with which: common practice, no source.
    #[test]
    fn labels_and_full_volts_of_usual_packs() {
        for (marked, cells, full) in [
            ("marked=24V", "cells=7", 29.4),
            ("marked=36V", "cells=10", 42.0),
            ("marked=48V", "cells=13", 54.6),
            ("marked=52V", "cells=14", 58.8),
            ("marked=36.5V", "cells=10", 42.0),
            ("marked=60V", "cells=16", 67.2),
            ("marked=72V", "cells=20", 84.0),
        ] {
            close(value("pack-volts", &["volts=30V", marked], "full"), full, 1e-9);
            close(value("pack-volts", &["volts=30V", cells], "full"), full, 1e-9);
        }
        close(value("pack-volts", &["volts=42V", "cells=10"], "charge"), 100.0, 1e-9);
        let alike = |cells: &str, volts: &str| value("pack-volts", &[volts, cells], "charge");
        close(alike("cells=10", "volts=37V"), alike("cells=13", "volts=48.1V"), 1e-9);
    }

    #[test]
    fn signs_turn_at_their_limits() {
        // 15 % on the straight line from (13.57 %, 3.4193 V) to (29.15 %, 3.5826 V).
        let fifteen = 10.0 * (3.4193 + (15.0 - 13.57) / (29.15 - 13.57) * (3.5826 - 3.4193));
        close(sure("pack-volts", &[&format!("volts={fifteen:.12}V"), "cells=10"], "battery-charge-low"), 0.5, 1e-6);
        assert!(sure("pack-volts", &["volts=41V", "cells=10"], "battery-charge-low") < 1e-3);
        assert!(sure("pack-volts", &["volts=30V", "cells=10"], "battery-charge-low") > 0.999);
        let reading = take("pack-volts", &["volts=0.2V", "cells=10"]);
        assert!(reading.softs.is_empty() && reading.headline.contains("asleep"), "{}", reading.headline);
        let says = |volts: &str| take("pack-volts", &[volts, "cells=10"]).headline;
        assert!(says("volts=22V").contains("do not charge it"));
        assert!(says("volts=43.5V").contains("neither charge nor ride"));
        let high = take("pack-volts", &["volts=60V", "cells=16"]);
        assert!(high.cautions.iter().any(|caution| caution.contains("more than 60 V")));
        assert_eq!(says("volts=36.9V"), "36.9 V from 10 cells: about 45 % charged, give or take 8");
    }

    #[test]
    fn what_does_not_fit_is_refused() {
        refused(
            "pack-volts",
            &["volts=54.6V", "cells=10"],
            "gauge `pack-volts`: 54.6 V would be 5.46 V in each of 10 cells, which hold 4.2 V full; measure again on direct volts, or correct `cells`",
        );
        refused(
            "pack-volts",
            &["volts=12.8V", "marked=12V"],
            "gauge `pack-volts`: 12 V is no nominal voltage of 3 lithium cells in a row, which have 3.6 or 3.7 V each; read the label again; for another kind of cell ask its maker",
        );
        refused(
            "pack-volts",
            &["volts=36V"],
            "gauge `pack-volts` needs `cells`, cells in a row, the number before the s on the label: 10 for 10s; add `cells=10`",
        );
    }

    proptest! {
        #[test]
        fn more_volts_are_more_charge(cells in 3u8..24, each in 1.0f64..4.4, more in 0.0f64..0.1) {
            let at = |each: f64| {
                let pairs = [format!("volts={:.9}V", each * f64::from(cells)), format!("cells={cells}")];
                value("pack-volts", &pairs.each_ref().map(String::as_str), "charge")
            };
            prop_assert!(at(each + 1e-6) <= at(each + more + 1e-6));
        }
    }
}
