//! Every line of the safety rules, through what the program says and offers.
//! Common practice, no source, unless one stands beside the check.

use knockwise::graph::{FaultGraph, Topic};
use knockwise::inference::evidence::Evidence;
use knockwise::inference::infer;
use knockwise::inquiry::{Situation, inquire, safety};
use knockwise::intake::Lexicon;
use knockwise::knowledge::terms::{Motion, Reporter, Ride, Venue};
use knockwise::session::Session;

use crate::scratch::built_in;

const RIDER: Situation = Situation { by: Reporter::Rider, at: Venue::Home };

fn heard(g: &FaultGraph, words: &str) -> Evidence {
    let mut evidence = Evidence::default();
    Lexicon::of(g).hear(words, RIDER.by, RIDER.at, &mut evidence);
    evidence
}

/// The ride advice as it is said first.
fn advised(words: &str) -> String {
    let g = built_in();
    let mut session = Session::new(g, RIDER);
    session.step(words);
    session.step("ride").text.replace("\n  ", " ")
}

#[test]
fn what_forbids_riding_speaks_with_the_first_answer() {
    let g = built_in();
    for words in [
        "there is a crack in my handlebar",
        "the battery is swollen",
        "the brake lever comes right to the bar",
        "the frame is cracked",
        "the motor keeps pushing after I stop pedalling",
    ] {
        let first = Session::new(g, RIDER).step(words).text;
        assert!(first.contains("May I ride it? Do not ride it"), "{words}: {first}");
    }
}

#[test]
fn not_knowing_leaves_a_red_flag_standing() {
    let g = built_in();
    let mut session = Session::new(g, RIDER);
    session.step("the battery is hot and smells");
    for line in ["?", "?", "another", "?"] {
        session.step(line);
    }
    let after = session.step("").text;
    assert!(after.contains("Do not ride it") && after.contains("fire service"), "{after}");
}

#[test]
fn no_riding_is_asked_for_while_riding_is_barred() {
    let g = built_in();
    let riding = |words: &str| {
        let e = heard(g, words);
        let p = infer(g, &e).unwrap();
        // Every question that could ever come up here: those proposed, then those proposed without them.
        let mut asked = Vec::new();
        loop {
            let next = inquire(g, &e, &p, RIDER, &asked).unwrap().proposals;
            if next.is_empty() {
                break;
            }
            asked.extend(next.iter().map(|n| n.question));
        }
        let rides = asked.iter().filter(|q| g.question(**q).moves.contains(&Motion::Riding)).count();
        (safety::advice(g, &e, &p).0, rides)
    };
    let (ride, rides) = riding("it creaks when I push hard and there is a crack in my handlebar");
    assert_eq!((ride, rides), (Ride::Stop, 0));
    let (ride, rides) = riding("it creaks when I push hard");
    assert!(ride != Ride::Stop && rides > 0, "without the crack there is riding to ask for: {rides}");
}

/// ADR and 49 CFR 173.185(f): damaged lithium batteries are not sent by air.
#[test]
fn a_hurt_battery_is_left_alone() {
    let g = built_in();
    let flag = g.flags.iter().find(|f| f.say.to_lowercase().contains("battery") && f.say.contains("fire service"));
    let flag = flag.expect("a red flag for a hurt battery");
    let said = flag.say.to_lowercase();
    for word in ["get away", "charge", "post", "fly", "dealer", "safe"] {
        assert!(said.contains(word), "{word}: {said}");
    }
    for cause in g.causes.iter().filter(|c| c.ride == Ride::Stop && c.id.starts_with("battery")) {
        let cautions: String = cause.cautions.iter().map(|c| c.text.to_lowercase()).collect();
        assert!(cautions.contains("never"), "{}: {cautions}", cause.id);
    }
}

#[test]
fn motor_battery_and_charger_are_never_opened() {
    let g = built_in();
    let opens = |text: &str| {
        let text = text.to_lowercase();
        ["open the motor", "open the battery", "open the charger", "open up the motor"]
            .iter()
            .any(|w| text.contains(w) && !text.contains("never") && !text.contains("not"))
    };
    for r in &g.remedies {
        for step in &r.steps {
            assert!(!opens(step), "{}: {step}", r.id);
        }
    }
    for q in &g.questions {
        assert!(!opens(&q.ask), "{}: {}", q.id, q.ask);
    }
}

/// Before a caliper or derailleur is touched: wheel seated straight, axle tight.
#[test]
fn the_wheel_is_seated_before_caliper_or_derailleur_is_set() {
    let g = built_in();
    let sets = ["centre-caliper", "centre-rim-brake", "set-rear-cable", "straighten-hanger"];
    let mut found = 0;
    for r in g.remedies.iter().filter(|r| sets.contains(&r.id.as_str())) {
        found += 1;
        let early: String = r.steps.iter().take(2).map(|s| s.to_lowercase()).collect();
        let cautions: String = r.cautions.iter().map(|c| c.text.to_lowercase()).collect();
        assert!((early + &cautions).contains("wheel"), "{}", r.id);
    }
    assert!(found >= 1, "none of the remedies is there");
}

#[test]
fn brakes_are_proved_before_the_road() {
    let g = built_in();
    for c in g.cause_ixs().filter(|c| g.cause(*c).assembly.ends_with("brakes") && g.cause(*c).ride != Ride::Ride) {
        for (r, _) in g.remedies_of(c) {
            let r = g.remedy(r);
            let told =
                r.proof.clone() + &r.cautions.iter().map(|c| c.text.as_str()).collect::<String>() + &r.steps.concat();
            let told = told.to_lowercase();
            let proved = ["walking pace", "firm pull", "brakes", "lever", "spin"].iter().any(|w| told.contains(w));
            assert!(proved, "{} does not prove the brake: {told}", r.id);
        }
    }
}

#[test]
fn a_spinning_wheel_is_announced() {
    let g = built_in();
    let q = g.question_ixs().find(|q| g.question(*q).moves.contains(&Motion::SpinningWheel)).unwrap();
    assert!(knockwise::session::reply::question(g, &Evidence::default(), q).contains("Take care: a spinning wheel"));
    for q in g.questions.iter().filter(|q| matches!(q.topic, Topic::Signs(_))) {
        if q.ask.to_lowercase().contains("spin the") || q.ask.to_lowercase().contains("spin it") {
            assert!(q.moves.contains(&Motion::SpinningWheel), "{} spins a wheel and does not say so", q.id);
        }
    }
}

/// What is grave and unlikely is named with its check; where riding is forbidden it need not be.
#[test]
fn a_grave_chance_is_looked_for_before_the_ride() {
    let rattle = advised("It rattles over bumps.");
    assert!(!rattle.contains("Do not ride it"), "{rattle}");
    assert!(rattle.contains("But look first whether it is this"), "{rattle}");
    // Each of what may rub at a tyre is seldom; that one of them forbids riding is not.
    let rub = advised("It rubs at the front tyre once every turn of the wheel.");
    assert!(rub.contains("Do not ride it") && rub.contains("until it is ruled out"), "{rub}");
    let bulge = advised("There is a bulge in the side of the tyre.");
    assert!(bulge.contains("Do not ride it") && !bulge.contains("But look first"), "{bulge}");
}

/// Who must get away is told nothing else to do.
#[test]
fn danger_stands_alone() {
    let said = advised("The battery smokes and smells burnt, it was left in the rain.");
    assert!(said.contains("Get away from the battery"), "{said}");
    assert!(!said.contains("until it is ruled out") && !said.contains("because of"), "{said}");
}

/// Advice for a hand at work stands with the work.
#[test]
fn ride_advice_holds_no_workshop_caution() {
    let said = advised("The bars turn in the stem when I hit a bump.");
    assert!(said.contains("Do not ride it") && !said.contains("Tighten to the torque"), "{said}");
}
