//! Chain length: links for a ring, a sprocket and a chain stay.
//!
//! ```text
//! L = 2 sqrt(C^2 - (R - r)^2) + pi (R + r) + 2 (R - r) asin((R - r) / C)        R, r = teeth x pitch / 2 pi
//! ```
//!
//! The length of a band about two circles. With a derailleur two links more than about the biggest ring
//! and the biggest sprocket, so that the cage is never stretched.

use std::f64::consts::PI;

use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Reading, short, soft_outside};

/// The chain-length gauge.
pub static GAUGE: Gauge = Gauge {
    name: "chain-length",
    about: "how many links a chain needs, and whether this one has them",
    inputs: &[
        Input::required("ring", "teeth of the biggest ring", Kind::count(10.0, 70.0), "ring=50"),
        Input::required("sprocket", "teeth of the biggest sprocket", Kind::count(9.0, 60.0), "sprocket=34"),
        Input::required(
            "stay",
            "from crank axle to rear axle; at its longest if the rear swings",
            Kind::within(250.0, 1500.0, "mm"),
            "stay=430mm",
        ),
        Input::optional(
            "derailleur",
            "whether a rear derailleur takes up slack",
            Kind::Choice(&["yes", "no"]),
            "derailleur=yes",
        ),
        Input::optional("links", "half-inch links that the chain has", Kind::count(40.0, 400.0), "links=112"),
    ],
    compute,
};

/// Half an inch, mm.
const PITCH: f64 = 12.7;

/// Links more than about both biggest, with a derailleur: common practice, no source.
const MORE: f64 = 2.0;

/// Links off the right number that a derailleur hides: one pair short, two pairs long. Judgement.
const HIDES: (f64, f64) = (1.0, 5.0);

/// How far a count of links may be off. Judgement.
const ERROR: f64 = 0.7;

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let (ring, sprocket) = (inputs.need("ring", "")?, inputs.need("sprocket", "")?);
    let stay = inputs.need("stay", "mm")?;
    let (big, small) = (ring.max(sprocket) * PITCH / (2.0 * PI), ring.min(sprocket) * PITCH / (2.0 * PI));
    let apart = big - small;
    if stay <= big + small {
        return Err(inputs.unfit(
            format!("a stay of {} mm leaves no room between ring and sprocket", short(stay)),
            "measure from axle to axle",
        ));
    }
    let band =
        (2.0 * (stay * stay - apart * apart).sqrt() + PI * (big + small) + 2.0 * apart * (apart / stay).asin()) / PITCH;
    let derailleur = inputs.choice("derailleur") != Some("no");
    // Inner and outer links alternate, so a chain has an even number of them; rounding is not to add a pair.
    let even = |links: f64| 2.0 * ((links - 1e-9) / 2.0).ceil();
    let needed = if derailleur { even(band + MORE) } else { even(band) };
    let what = if derailleur { "with its derailleur" } else { "without a derailleur" };
    let mut said = format!("{needed} links {what}");
    let links = inputs.may("links", "");
    if let Some(links) = links {
        said += &if links < needed {
            format!("; {links} are {} too few: do not shift into both biggest, and fit a longer chain", needed - links)
        } else if links > needed + if derailleur { HIDES.1 } else { 1.0 } {
            format!("; {links} are {} too many: shorten it, if the cage takes up no more", links - needed)
        } else {
            format!("; {links} will do")
        };
    }
    let mut reading = inputs
        .reading(said)
        .figure("band", "links tight about both", band, "")?
        .figure("needed", "links needed", needed, "")?
        .figure("error", "error of a count", ERROR, "")?
        .working(
            format!(
                "tight = (2 root({}^2 - {}^2) + pi x {} + 2 x {} asin) / 12.7 = {}",
                short(stay), short(apart), short(big + small), short(apart), short(band)
            ),
            if derailleur { format!("+ {MORE}, up to the next even number = {needed}") } else { format!("up to the next even number = {needed}") },
        )
        .source(
            "length of a band about two circles: geometry; pitch 12.7 mm: ISO 9633 (half an inch); two links more with a \
             derailleur: common practice, no source; what it hides and errors: judgement",
        )
        .caution("on a bike with rear suspension measure where the axles are farthest apart; the maker's number wins")
        .caution("one link too short tears the derailleur off: lay the chain round both biggest and look before cutting");
    if let Some(links) = links.filter(|_| derailleur) {
        reading = reading.soft("chain-length-off", soft_outside(links, (needed - HIDES.0, needed + HIDES.1), ERROR));
    }
    Ok(reading)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use crate::gauge::testing::{close, refused, sure, take, value};

    /// Ring and sprocket alike: twice the stay and once round (worked by hand): 2 x 406.4 / 12.7 + 20 = 84.
    #[test]
    fn alike_is_twice_the_stay_and_once_round() {
        let pairs = ["ring=20", "sprocket=20", "stay=406.4mm", "derailleur=no"];
        close(value("chain-length", &pairs, "band"), 84.0, 1e-9);
        close(value("chain-length", &pairs, "needed"), 84.0, 1e-9);
        close(value("chain-length", &["ring=20", "sprocket=20", "stay=16 in"], "needed"), 86.0, 1e-9);
        refused(
            "chain-length",
            &["ring=70", "sprocket=60", "stay=260mm"],
            "gauge `chain-length`: a stay of 260 mm leaves no room between ring and sprocket; measure from axle to axle",
        );
    }

    #[test]
    fn too_short_is_said_and_signed() {
        let of = |links: u16| format!("links={links}");
        let bike = ["ring=50", "sprocket=34", "stay=430mm"];
        let needed = value("chain-length", &bike, "needed") as u16;
        let with = |links: u16| [bike[0].to_owned(), bike[1].to_owned(), bike[2].to_owned(), of(links)];
        let ask = |links: u16| {
            let w = with(links);
            take("chain-length", &w.iter().map(String::as_str).collect::<Vec<_>>()).headline
        };
        let sign = |links: u16| {
            let w = with(links);
            sure("chain-length", &w.iter().map(String::as_str).collect::<Vec<_>>(), "chain-length-off")
        };
        assert!(
            ask(needed - 4).contains("4 too few")
                && ask(needed).ends_with("will do")
                && ask(needed + 8).contains("8 too many")
        );
        close(sign(needed - 1), 0.5, 1e-4);
        assert!(sign(needed - 6) > 0.999 && sign(needed + 2) < 0.001);
    }

    proptest! {
        #[test]
        fn bigger_and_longer_ask_for_more(ring in 20u8..60, sprocket in 10u8..50, stay in 390f64..520.0, more in 0.1f64..30.0) {
            let of = |ring: u8, stay: f64| {
                let pairs = [format!("ring={ring}"), format!("sprocket={sprocket}"), format!("stay={stay:.9}mm")];
                value("chain-length", &pairs.iter().map(String::as_str).collect::<Vec<_>>(), "band")
            };
            prop_assert!(of(ring, stay + more) > of(ring, stay));
            prop_assert!(of(ring + 1, stay) > of(ring, stay));
        }
    }
}
