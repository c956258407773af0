//! Thread: which thread a pedal or a bottom bracket has, and which way it turns.

use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Reading, short};
use crate::quantity::sensible;

/// The thread gauge.
pub static GAUGE: Gauge = Gauge {
    name: "thread",
    about: "which thread a pedal or bottom bracket has, its pitch in mm, and which way it turns",
    inputs: &[
        Input::required(
            "part",
            "what is screwed in, and on which side of the bike seen by its rider",
            Kind::Choice(&["pedal-left", "pedal-right", "bracket-left", "bracket-right"]),
            "part=pedal-left",
        ),
        Input::optional(
            "kind",
            "the kind of thread, if it is known",
            Kind::Choice(&["common", "one-piece", "english", "italian", "french", "swiss"]),
            "kind=common",
        ),
        Input::optional(
            "diameter",
            "or the outer diameter of the thread, by calliper",
            Kind::within(8.0, 40.0, "mm"),
            "diameter=14.2mm",
        ),
        Input::optional(
            "pitch",
            "and from crest to crest, by thread gauge",
            Kind::within(0.5, 3.0, "mm"),
            "pitch=1.27mm",
        ),
        Input::optional("count", "or the threads in an inch", Kind::within(8.0, 50.0, "tpi"), "count=20tpi"),
    ],
    compute,
};

/// A thread of a bicycle: outer diameter and pitch in mm, and whether left and right side turn the left-hand way.
struct Thread {
    kind: &'static str,
    of: &'static str,
    name: &'static str,
    diameter: f64,
    pitch: f64,
    left_handed: (bool, bool),
}

const INCH: f64 = 25.4;

const THREADS: [Thread; 7] = [
    Thread {
        kind: "common",
        of: "pedal",
        name: "9/16 in x 20 tpi",
        diameter: 9.0 / 16.0 * INCH,
        pitch: INCH / 20.0,
        left_handed: (true, false),
    },
    Thread {
        kind: "one-piece",
        of: "pedal",
        name: "1/2 in x 20 tpi, one-piece cranks",
        diameter: INCH / 2.0,
        pitch: INCH / 20.0,
        left_handed: (true, false),
    },
    Thread {
        kind: "french",
        of: "pedal",
        name: "old French, 14 x 1.25 mm",
        diameter: 14.0,
        pitch: 1.25,
        left_handed: (true, false),
    },
    Thread {
        kind: "english",
        of: "bracket",
        name: "English, 1.370 in x 24 tpi",
        diameter: 1.370 * INCH,
        pitch: INCH / 24.0,
        left_handed: (false, true),
    },
    Thread {
        kind: "italian",
        of: "bracket",
        name: "Italian, 36 mm x 24 tpi",
        diameter: 36.0,
        pitch: INCH / 24.0,
        left_handed: (false, false),
    },
    Thread {
        kind: "french",
        of: "bracket",
        name: "French, 35 x 1 mm",
        diameter: 35.0,
        pitch: 1.0,
        left_handed: (false, false),
    },
    Thread {
        kind: "swiss",
        of: "bracket",
        name: "Swiss, 35 x 1 mm",
        diameter: 35.0,
        pitch: 1.0,
        left_handed: (false, true),
    },
];

/// How far a calliper over worn crests may be off, mm: they read small rather than large. Judgement.
const ERROR: f64 = 0.15;

/// How far a pitch may be off, mm. Judgement.
const PITCH_ERROR: f64 = 0.03;

/// Farther off than this it is no thread of the list, mm. Judgement.
const FAR: f64 = 0.5;
const PITCH_FAR: f64 = 0.1;

/// Threads that fit worse than the best by less than this, in errors, are in doubt. Judgement.
const DOUBT: f64 = 2.0;

impl Thread {
    /// How badly it fits what was measured, in errors.
    fn misfit(&self, diameter: Option<f64>, pitch: Option<f64>) -> f64 {
        let by = |got: Option<f64>, want: f64, error: f64| got.map_or(0.0, |got| (got - want).abs() / error);
        by(diameter, self.diameter, ERROR) + by(pitch, self.pitch, PITCH_ERROR)
    }
}

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let part = inputs.choice("part").ok_or_else(|| inputs.missing("part"))?;
    let (of, side) = part.split_once('-').unwrap_or((part, ""));
    let of_part = || THREADS.iter().filter(|thread| thread.of == of);
    let diameter = inputs.may("diameter", "mm");
    let pitch = match (inputs.may("pitch", "mm"), inputs.may("count", "tpi")) {
        (Some(_), Some(_)) => return Err(inputs.unfit("both `pitch` and `count` were given", "leave one of them out")),
        (Some(pitch), None) => Some(pitch),
        (None, Some(count)) => Some(INCH / count),
        (None, None) => None,
    };
    let kind = inputs.choice("kind");
    let (thread, others) = match kind {
        Some(kind) => {
            let kind = if kind == "common" && of == "bracket" { "english" } else { kind };
            let known = of_part().find(|thread| thread.kind == kind);
            let thread = known.ok_or_else(|| {
                let kinds: Vec<_> = of_part().map(|thread| format!("`{}`", thread.kind)).collect();
                inputs.unfit(format!("no {of} thread is called `{kind}`"), format!("known: {}", kinds.join(", ")))
            })?;
            (thread, Vec::new())
        }
        None => {
            if diameter.is_none() {
                return Err(inputs.missing("kind"));
            }
            let fit = |thread: &Thread| thread.misfit(diameter, pitch);
            let best = of_part().map(fit).fold(f64::INFINITY, f64::min);
            // Of those that fit about as well, the list has the commonest first.
            let mut all = of_part().filter(|thread| fit(thread) < best + DOUBT);
            let first = all.next().ok_or_else(|| inputs.missing("kind"))?;
            (first, all.collect())
        }
    };
    let far = |got: Option<f64>, want: f64, limit: f64| got.is_some_and(|got| (got - want).abs() > limit);
    if far(diameter, thread.diameter, FAR) || far(pitch, thread.pitch, PITCH_FAR) {
        return Err(inputs.unfit(
            format!(
                "what was measured is no {} ({} mm, pitch {} mm)",
                thread.name,
                mm(thread.diameter),
                mm(thread.pitch)
            ),
            "measure again over the crests, or ask the maker: frames and cranks without these threads exist",
        ));
    }
    let turns = |thread: &Thread| if side == "left" { thread.left_handed.0 } else { thread.left_handed.1 };
    let left_handed = turns(thread);
    let (hand, on, off) = if left_handed {
        ("left-hand", "anticlockwise", "clockwise")
    } else {
        ("right-hand", "clockwise", "anticlockwise")
    };
    let doubt = if others.is_empty() {
        String::new()
    } else {
        let names: Vec<_> = others.iter().map(|other| other.name).collect();
        let act = if others.iter().any(|other| turns(other) != left_handed) {
            "and these do not all turn the same way: put no spanner on before pitch or mark has told"
        } else {
            "measure the pitch, look for a mark"
        };
        format!("; but it cannot be told for sure from {}, {act}", names.join(" or "))
    };
    Ok(inputs
        .reading(format!(
            "{}, {hand} on the {side}: seen from that side of the bike it comes off {off} and goes on {on}{doubt}",
            thread.name
        ))
        .figure("diameter", "outer diameter", thread.diameter, "mm")?
        .figure("pitch", "pitch", thread.pitch, "mm")?
        .figure("count", "threads in an inch", INCH / thread.pitch, "tpi")?
        .figure("error", "error of a calliper", ERROR, "mm")?
        .working(
            format!("pitch = 25.4 mm / {} tpi = {} mm", sensible(INCH / thread.pitch, 4), mm(thread.pitch)),
            match diameter {
                Some(got) => format!(
                    "measured {} mm, {} mm off {} mm, give or take {ERROR} mm",
                    sensible(got, 4),
                    short(got - thread.diameter),
                    mm(thread.diameter)
                ),
                None => format!("outer diameter {} mm, as the kind has it; a calliper reads to {ERROR} mm", mm(thread.diameter)),
            },
        )
        .source(
            "bottom bracket, fixed cup left-hand: ISO 6696:1989; 1.370 and 1.375 in are used for each other, Italian and French \
             both right-hand, Swiss left-hand at the drive side, and pedal threads: trade tables; errors: judgement",
        )
        .caution("turn the first threads by fingers, clean and greased: forced crosswise it ruins crank or frame")
        .caution("pressed-in brackets have no thread; the maker's book wins"))
}

fn mm(number: f64) -> String {
    sensible(number, 6)
}

#[cfg(test)]
mod tests {
    use crate::gauge::testing::{close, refused, take, value};

    /// 9/16 in is 14.2875 mm and 20 tpi 1.27 mm; 1.370 in is 34.798 mm and 24 tpi 1.0583 mm: by the inch.
    #[test]
    fn inches_in_millimetres() {
        let pedal = |key: &str| value("thread", &["part=pedal-left", "kind=common"], key);
        close(pedal("diameter"), 14.2875, 1e-9);
        close(pedal("pitch"), 1.27, 1e-9);
        let bracket = |key: &str| value("thread", &["part=bracket-right", "kind=common"], key);
        close(bracket("diameter"), 34.798, 1e-9);
        close(bracket("pitch"), 1.0583, 5e-5);
    }

    /// ISO 6696:1989: fixed cup, at the drive side, left-hand. Trade tables: left pedal left-hand; Italian and
    /// French brackets right-hand on both sides; Swiss left-hand at the drive side.
    #[test]
    fn which_way_it_turns() {
        for (part, kind, left_handed) in [
            ("pedal-left", "common", true),
            ("pedal-right", "common", false),
            ("pedal-left", "one-piece", true),
            ("bracket-right", "english", true),
            ("bracket-left", "english", false),
            ("bracket-right", "italian", false),
            ("bracket-right", "french", false),
            ("bracket-right", "swiss", true),
            ("bracket-left", "swiss", false),
        ] {
            let said = take("thread", &[&format!("part={part}"), &format!("kind={kind}")]).headline;
            let way = if left_handed { "comes off clockwise" } else { "comes off anticlockwise" };
            assert!(said.contains(way), "{part} {kind}: {said}");
        }
    }

    #[test]
    fn a_thread_is_known_by_its_measures() {
        let says = |pairs: &[&str]| take("thread", pairs).headline;
        assert!(says(&["part=bracket-left", "diameter=35.9mm"]).starts_with("Italian"));
        assert!(says(&["part=bracket-left", "diameter=34.7mm", "count=24tpi"]).starts_with("English"));
        assert!(says(&["part=pedal-left", "diameter=1/2 in"]).starts_with("1/2 in"));
        let unsure = says(&["part=bracket-right", "diameter=35mm", "pitch=1mm"]);
        assert!(unsure.contains("cannot be told for sure from Swiss"), "{unsure}");
        let either = says(&["part=bracket-right", "diameter=34.9mm"]);
        assert!(either.starts_with("English") && either.contains("put no spanner on"), "{either}");
        refused(
            "thread",
            &["part=pedal-left", "diameter=20mm"],
            "gauge `thread`: what was measured is no 9/16 in x 20 tpi (14.2875 mm, pitch 1.27 mm); measure again over the crests, or ask the maker: frames and cranks without these threads exist",
        );
        refused(
            "thread",
            &["part=pedal-left", "kind=italian"],
            "gauge `thread`: no pedal thread is called `italian`; known: `common`, `one-piece`, `french`",
        );
        refused(
            "thread",
            &["part=pedal-left"],
            "gauge `thread` needs `kind`, the kind of thread, if it is known; add `kind=common`",
        );
    }
}
