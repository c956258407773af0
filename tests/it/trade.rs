//! What every workshop knows, asked of the shipped knowledge as a rider would.
//!
//! All of it is common practice of the trade, no source.

use crate::asked::{Told, cautioned, steps_in_order};
use knockwise::gauge;

// 1. Disc rub. Common practice, no source.

#[test]
fn disc_rub_once_per_turn_is_the_rotor() {
    let told = [
        Told::say("The disc brake rubs once every turn of the wheel."),
        Told::say("My disc brake rubs once per wheel turn, pedalling or not."),
        Told::default()
            .bike("brakes=disc-cable")
            .report("noise=sure")
            .report("noise.sound=rub")
            .report("noise.rhythm=wheel-turn")
            .report("noise.coasting=sure"),
    ];
    for told in told {
        let judged = told.asked();
        judged.leads("rotor-not-true").check_says("rotor-not-true", &["lift the wheel", "spin"]);
        judged.not_among(2, "wheel-not-true").not_among(2, "wheel-not-true-no-rim-brake");
        let remedy = judged.offered("true-rotor");
        steps_in_order(remedy, &["wheel sits straight", "spin", "bend"]);
        cautioned(remedy, "walking pace");
    }
}

#[test]
fn disc_rub_all_the_time_is_the_caliper() {
    let judged = Told::say("The disc brake rubs all the time, also when coasting.").asked();
    judged.leads("caliper-off-centre").check_says("caliper-off-centre", &["lift the wheel", "spin"]);
    assert!(judged.place("rotor-not-true") > 1);
    // The same words on brakes at the rim have no disc to speak of.
    let rim = Told::say("The brake rubs once every turn of the wheel.").bike("brakes=rim").asked();
    rim.leads("wheel-not-true").not_among(5, "rotor-not-true").not_among(5, "caliper-off-centre");
}

// 2. Loose head set. Common practice, no source.

#[test]
fn front_knock_is_the_head_set() {
    let story = "It knocks at the front when I brake and on rough ground.";
    let judged = Told::say(story).asked();
    judged.leads("head-set-loose").check_says("head-set-loose", &["front brake", "rock"]);
    let seen = Told::say(story).report("play-at-upper-cup=sure").asked();
    seen.leads("head-set-loose");
    assert!(seen.chance("head-set-loose") > judged.chance("head-set-loose"), "movement at the cup speaks for it");
    let new = Told::say(story).bike("age=new").asked();
    let used = Told::say(story).bike("age=used").asked();
    assert!(new.chance("head-set-loose") > used.chance("head-set-loose"), "common on a new bike");
    let remedy = seen.offered("set-threadless-head");
    steps_in_order(remedy, &["slacken the bolts at the side of the stem", "draw", "maker's torque", "rock again"]);
    assert!(remedy.steps.iter().any(|s| s.contains("just until the movement")), "no tighter than needed");
    assert!(remedy.steps.last().is_some_and(|s| s.contains("bars swing freely")));
    assert!(remedy.slip.contains("The top cap only sets them"), "preload is not a strength test");
}

// 3. Air spring. Common practice, no source.

#[test]
fn pedal_strikes_and_bottoming_after_weeks_are_lost_air() {
    let judged = Told::say(
        "After some weeks the pedals strike the ground, the rear feels soft and it bottoms out hard over bigger bumps.",
    )
    .bike("suspension=full")
    .asked();
    judged.leads("shock-air-low").advice("gently").not_among(2, "shock-damper-blown");
    let remedy = judged.offered("set-air-spring");
    steps_in_order(
        remedy,
        &["full riding kit", "base pressure", "pump off before each reading", "note the new pressure"],
    );
    assert!(remedy.steps.iter().any(|s| s.contains("near 30 %") && s.contains("40 %: too soft")));
}

#[test]
fn sag_of_forty_percent_at_160_psi_needs_about_twenty_more() {
    let sag = gauge::find("sag").unwrap();
    let pairs = |text: &str| gauge::split_pairs(text);
    let psi = |text: &str| {
        let reading = sag.take(&sag.read(&pairs(text)).unwrap()).unwrap();
        let figure = |key: &str| {
            let found = reading.figures.iter().find(|f| f.key == key);
            found.unwrap_or_else(|| panic!("{:?}", reading.figures)).quantity.in_unit("psi").unwrap()
        };
        reading.figures.iter().filter(|f| f.key.contains("pressure")).map(|f| figure(f.key)).collect::<Vec<f64>>()
    };
    let found = psi("percent=40%,pressure=160psi,target=30%");
    assert!(!found.is_empty());
    for pressure in found {
        assert!((172.0..=185.0).contains(&pressure), "{pressure} psi");
    }
    // No change wanted, none given.
    for pressure in psi("percent=30%,pressure=160psi,target=30%") {
        assert!((pressure - 160.0).abs() < 0.5, "{pressure} psi");
    }
    let judged = Told::default().bike("suspension=full").measure("sag:stroke=57mm,sag=23mm,pressure=160psi").asked();
    let idle = Told::default().bike("suspension=full").asked();
    assert!(judged.chance("shock-air-low") > idle.chance("shock-air-low"), "a deep sag speaks for lost air");
}

// 4. Cable tension. Common practice, no source.

#[test]
fn will_not_climb_is_a_slack_cable_and_not_the_limit_screws() {
    for story in [
        "It will not climb to the larger sprockets.",
        "It won't shift up to the bigger sprockets at the back, it changed well until last month.",
    ] {
        let judged = Told::say(story).asked();
        judged.leads("rear-cable-slack").advice("ride");
        judged.check_says("rear-cable-slack", &["adjuster", "one click at a time", "out"]);
        for screws in ["rear-limits-too-near", "low-limit-too-far", "high-limit-too-far"] {
            judged.not_among(2, screws);
        }
        let remedy = judged.offered("set-rear-cable-tension");
        steps_in_order(remedy, &["out one click", "in by a click", "one click of the lever", "stop screws alone"]);
        assert!(remedy.proof.contains("One click of the lever, one sprocket"));
    }
    let new = Told::say("It will not climb to the larger sprockets.").bike("age=new").asked();
    let used = Told::say("It will not climb to the larger sprockets.").bike("age=used").asked();
    assert!(new.chance("rear-cable-slack") > used.chance("rear-cable-slack"), "new cables settle");
}

#[test]
fn will_not_drop_is_a_dragging_or_tight_cable() {
    let judged = Told::say("It will not drop to the smaller sprockets.").asked();
    let first: Vec<&str> = judged.order().into_iter().take(2).collect();
    assert!(first.contains(&"rear-cable-drags") && first.contains(&"rear-cable-tight"), "{first:?}");
    judged.not_among(2, "rear-cable-slack").not_among(2, "rear-limits-too-near").not_among(2, "high-limit-too-far");
    judged.check_says("rear-cable-tight", &["adjuster in"]).check_says("rear-cable-drags", &["sleeve"]);
    // Fresh from work on the gears it is rather set too tight; neglected, it drags.
    let worked = Told::say("It will not drop to the smaller sprockets.").bike("worked-on=gears").asked();
    worked.leads("rear-cable-tight");
    Told::say("It will not drop to the smaller sprockets.").bike("neglected=yes").asked().leads("rear-cable-drags");
}

// 5. Centring a caliper. Common practice, no source.

#[test]
fn a_caliper_is_centred_with_the_lever_held() {
    let judged = Told::say("The disc brake rubs all the time.").asked();
    let remedy = judged.offered("centre-caliper");
    steps_in_order(
        remedy,
        &[
            "seat the wheel straight",
            "slacken both caliper bolts",
            "lever and hold it",
            "maker's torque",
            "let the lever go",
        ],
    );
    assert!(remedy.slip.starts_with("Letting the lever go before"), "{}", remedy.slip);
    cautioned(remedy, "walking pace");
}

// 6. Chain. Common practice, no source.

#[test]
fn a_dry_chain_chirps_and_a_dirty_one_grinds() {
    let dry = Told::say("My chain chirps when I pedal.").asked();
    dry.leads("chain-dry").not_among(2, "chain-dirty");
    let judged = Told::say("It grinds when I pedal, the chain is dirty and covered in black oil.").asked();
    judged.leads("chain-dirty").not_among(2, "chain-dry");
    let remedy = dry.offered("oil-chain");
    steps_in_order(remedy, &["brush the chain", "rinse", "dry it completely", "inner side of every roller"]);
    assert!(remedy.steps.iter().any(|s| s.contains("oil on a wet chain locks water in")));
    assert!(remedy.steps.iter().any(|s| s.contains("never sprayed towards the wheel")));
    cautioned(remedy, "degreaser");
}

#[test]
fn spray_near_the_rotor_contaminates_the_brake() {
    let squeal = |sprayed: &str| {
        Told::say("The brakes squeal when I brake.").bike("brakes=disc-hydraulic").bike(sprayed).asked()
    };
    let (yes, no) = (squeal("sprayed=yes"), squeal("sprayed=no"));
    yes.leads("pads-contaminated");
    assert!(yes.chance("pads-contaminated") > 2.0 * no.chance("pads-contaminated"));
    let said = Told::say("I used degreaser on the chain and now the disc brake squeals.").asked();
    said.leads("pads-contaminated");
}

// 7. Range and skipping on an e-bike. Common practice, no source.

#[test]
fn a_dragging_brake_costs_range() {
    let range = || Told::say("The battery of my e-bike does not last as long as it did.");
    let free = range().report("wheel-stops-early=sure-not").asked();
    let drags = range().report("wheel-stops-early=sure").asked();
    for cause in ["piston-sticks", "caliper-off-centre", "rim-brake-tight", "hub-brake-tight"] {
        assert!(drags.chance(cause) > 2.0 * free.chance(cause), "{cause}");
    }
}

#[test]
fn skipping_under_motor_power_is_wear_and_makes_more() {
    let judged = Told::say("The chain skips under motor power.").bike("motor=mid").asked();
    let first: Vec<&str> = judged.order().into_iter().take(2).collect();
    assert!(first.contains(&"cassette-worn") && first.contains(&"chain-worn"), "{first:?}");
    let worn = judged.remedy("replace-chain-and-sprockets");
    cautioned(worn, "under motor power a jumping chain ruins chain and sprockets quickly");
    let without = Told::say("The chain skips under power.").bike("motor=none").asked();
    assert!(
        judged.chance("cassette-worn") + judged.chance("chain-worn")
            > without.chance("cassette-worn") + without.chance("chain-worn"),
        "the motor's force wears chain and sprockets sooner"
    );
}

// 8. Sealed units, magnet and sensor cable. Common practice, no source.

#[test]
fn a_speed_error_is_magnet_and_sensor_cable() {
    let judged = Told::say("My e-bike shows a speed sensor error.").asked();
    judged.leads("wheel-magnet-shifted");
    let first: Vec<&str> = judged.order().into_iter().take(3).collect();
    assert!(first.contains(&"speed-sensor-cable-damaged"), "{first:?}");
    let remedy = judged.offered("set-wheel-magnet");
    steps_in_order(remedy, &["wipe both", "tighten it so that it does not turn"]);
    // A new magnet that did not help points at the cable.
    let after = Told::say("My e-bike shows a speed sensor error on and off. I fitted a new magnet.").asked();
    after.leads("speed-sensor-cable-damaged");
}

#[test]
fn motor_and_battery_are_never_opened() {
    let judged = Told::say("My e-bike is dead.").asked();
    let ids = ["isolate-dangerous-battery", "replace-motor-battery", "exchange-motor", "renew-hub-motor-gear"];
    let mut seen = 0;
    for remedy in &judged.0.graph.remedies {
        let sealed = ids.contains(&remedy.id.as_str());
        seen += usize::from(sealed);
        if sealed {
            cautioned(remedy, "never open");
        }
        for step in &remedy.steps {
            let step = step.to_lowercase();
            for part in ["battery", "motor", "charger"] {
                for verb in ["open the", "unscrew the", "take apart the"] {
                    assert!(!step.contains(&format!("{verb} {part}")), "{}: {step}", remedy.id);
                }
            }
        }
    }
    assert_eq!(seen, ids.len());
}

#[test]
fn a_swollen_battery_is_left_alone() {
    let judged = Told::say("The battery of my e-bike is swollen.").asked();
    judged.leads("battery-swollen").advice("stop");
    let cautions: Vec<&str> = judged.cause("battery-swollen").cautions.iter().map(|c| c.text.as_str()).collect();
    assert!(cautions.iter().any(|c| c.contains("Get away") && c.contains("fire service")), "{cautions:?}");
    let remedy = judged.remedy("isolate-dangerous-battery");
    assert!(remedy.steps.iter().any(|s| s.contains("fire service")));
    for story in ["The battery hisses and smells.", "My e-bike battery is hot and smoking."] {
        Told::say(story).asked().leads("battery-swollen").advice("stop");
    }
}

#[test]
fn cracked_bars_are_not_ridden() {
    let judged = Told::say("There is a crack in my handlebar.").asked();
    judged.leads("bar-or-stem-cracked").advice("stop");
    cautioned(judged.remedy("renew-bars-or-stem"), "replace it, do not straighten");
}
