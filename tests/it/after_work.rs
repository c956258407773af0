//! What riders tell of work they have done: in vain, with half a success, or asked about beforehand. The sentences are
//! common practice of a workshop's counter, no source.

use crate::said_back::sitting;

/// Work named by what was done and to which part is noted as done in vain, in the first line as well.
#[test]
fn work_in_vain_is_known_by_its_part() {
    for (said, remedy) in [
        ("front brake lever is spongy, hydraulic. Bled it twice, no better", "bleed the brake"),
        ("rear brake sticks on, pulled by a cable. New cable didn't help", "fit a new brake cable"),
        ("creaks when pedalling, tightened the cranks, still creaks", "tighten the crank"),
        ("creaks when pedalling. The pedals were taken off, cleaned and greased; no change", "tighten the pedals"),
        ("the chain skips under load. replaced the cassette, same story", "replace chain and sprockets"),
        ("front wheel wobbles, had it trued, made no difference", "true the wheel"),
    ] {
        let (_, reply) = sitting(&[said]);
        let noted = reply.lines().any(|line| line.contains("tried, without a change") && line.contains(remedy));
        assert!(noted, "{said}: {reply}");
    }
    // What helped, what is only planned and what goes on with something else are none.
    for said in [
        "creaks when pedalling. Greasing the seat post helped but did not cure it",
        "creaks when pedalling. should I replace the bottom bracket?",
        "creaks when pedalling. I haven't greased the pedals",
    ] {
        let (_, reply) = sitting(&[said]);
        assert!(!reply.contains("tried, without a change"), "{said}: {reply}");
    }
}

/// Of two complaints one may be cured: it is asked about by its name, and the other stands.
#[test]
fn one_of_two_is_gone() {
    let two = "brake lever comes to the bar, hydraulic, and it creaks when pedalling seated";
    for said in [
        "he bled it, brake is fine now, but the creak is still there",
        "one of the two is gone, the brake. the creak is still there",
    ] {
        let (mut session, reply) = sitting(&[two, "mend", said]);
        assert!(reply.contains("Is this gone, then: a brake lever feels wrong?"), "{said}: {reply}");
        assert_eq!(session.prompt(), "DO NOT RIDE > ", "{said}: nothing is taken off before the yes");
        // What clears the alarm is asked with it.
        assert!(reply.contains("the brake holds the wheel"), "{said}: {reply}");
        let reply = session.step("yes").text;
        let heard = session.step("heard").text;
        assert!(
            heard.contains("a creak") && !heard.contains("a brake lever feels wrong: yes"),
            "{said}: {reply}{heard}"
        );
        assert_ne!(session.prompt(), "DO NOT RIDE > ", "{said}: {reply}");
    }
    // A no leaves all as it was.
    let (mut session, _) = sitting(&[two, "mend", "the brake is fine now, but the creak is still there", "no"]);
    assert!(session.step("heard").text.contains("a brake lever feels wrong"));
    // What was asked stands in the kept sitting.
    let (session, _) = sitting(&[two, "mend", "the brake is fine now, but the creak is still there"]);
    assert!(session.kept().contains(&"asking whether-gone 1".to_owned()), "{:?}", session.kept());
}

/// Gone here and still there is better, and no cure.
#[test]
fn gone_in_part_is_better() {
    let said = "skip is gone in all but the smallest, and there it still jumps";
    let (session, reply) = sitting(&["the chain skips under load", "mend", said]);
    assert!(reply.contains("Better is not good yet"), "{reply}");
    assert!(session.kept().iter().any(|line| line.starts_with("better ")), "{:?}", session.kept());
}

/// Plain words for a cure are asked about.
#[test]
fn all_gone_is_a_cure() {
    for said in ["all gone now", "he rang back, we regreased it, he says it's all gone"] {
        let (_, reply) = sitting(&["creaks when pedalling", "mend", said]);
        assert!(reply.contains("Is it cured, then"), "{said}: {reply}");
    }
}

/// What the work takes is told without its steps, and how a thing is looked at by the name of the fault.
#[test]
fn the_work_is_asked_about() {
    for asked in ["what should he bring, and what'll it cost him?", "how long will it take?", "do I need any tools?"] {
        let (_, reply) = sitting(&["the chain skips, derailleur gears", asked]);
        assert!(reply.contains("minutes)") && reply.contains("Tools:"), "{asked}: {reply}");
        assert!(!reply.contains("  1. "), "{asked}: {reply}");
    }
    let (mut session, reply) = sitting(&["a tyre loses air", "how do i check the rim tape?"]);
    assert!(reply.starts_with("Rim tape shifted") && reply.contains("To make sure:"), "{reply}");
    // Who asks how a thing is looked at has not mended it.
    session.step("it still loses air");
    assert!(!session.kept().iter().any(|line| line.starts_with("same ")), "{:?}", session.kept());
    let (_, reply) = sitting(&["creaks when pedalling", "it's not the pedals"]);
    assert!(reply.contains("What settles it:") && reply.contains("tried "), "{reply}");
}

/// A danger told beside a cure, an answer or a denial is heard.
#[test]
fn a_danger_beside_anything_is_heard() {
    // Nor is it asked about first, where riding is forbidden anyhow.
    let (_, reply) =
        sitting(&["front wheel wobbles and rumbles", "no, but the frame has a crack near the bottom bracket"]);
    assert!(!reply.contains("Does it do this as well") && reply.contains("cracked or bent frame"), "{reply}");
    let two = "the rear brake squeals and it creaks when pedalling";
    for told in [
        "the brake is fine now, but there is still a crack in the fork and the creak remains",
        "yes, and the frame is cracked",
        "no, but the battery is swollen",
    ] {
        let (session, reply) = sitting(&[two, "mend", told]);
        assert_eq!(session.prompt(), "DO NOT RIDE > ", "{told}: {reply}");
    }
}

/// What is asked about the way home says nothing of the fault, though it names a brake.
#[test]
fn the_way_home_is_no_finding() {
    let said = "can he ride it here slowly using the back brake, it's only half a mile";
    let (mut session, reply) = sitting(&["the front brake lever comes to the bar, hydraulic", said]);
    assert_eq!(reply.matches("May I ride it? Do not ride it").count(), 1, "{reply}");
    assert!(!session.step("heard").text.contains("where: rear"));
}

/// One of two is gone: the one that is named beside it, or it is asked which.
#[test]
fn one_of_two_is_the_one_that_is_named() {
    let told = "it creaks when I pedal and my rear tyre goes flat";
    let (_, reply) = sitting(&[told, "one of the two is cured, the creak"]);
    assert!(reply.contains("Is this gone, then: it makes a noise?"), "{reply}");
    let (_, reply) = sitting(&[told, "one of the two is cured"]);
    assert!(reply.contains("Which of these is gone?") && reply.contains("a tyre loses air"), "{reply}");
}

/// What is told again in the same line is there still.
#[test]
fn what_is_told_again_is_not_gone() {
    let told = "the front light is out and the chain slips, hub gear";
    let (_, reply) =
        sitting(&[told, "tightened the nuts, the wheel is firm now but the chain still slips and the light is out"]);
    assert!(!reply.contains("Is this gone"), "{reply}");
}

/// Who goes on to tell that the other is gone too has said yes to the first.
#[test]
fn a_second_one_gone_lets_the_first_stand() {
    let told = "it creaks when I pedal and the chain slips and the front light is out";
    let (_, reply) = sitting(&[told, "greased the post, the creak is gone", "new chain, the chain no longer slips"]);
    assert!(reply.contains("the chain jumps or slips?") && !reply.contains("it makes a noise?"), "{reply}");
}

/// "Better, but" is better, whichever work it was.
#[test]
fn better_with_a_but_is_better() {
    let (session, _) =
        sitting(&["it creaks when I sit and pedal", "mend", "did it now, it's better but still creaks when I sit"]);
    assert!(session.kept().iter().any(|line| line.starts_with("better ")), "{:?}", session.kept());
}

/// A danger whose part was replaced is asked about, and is not told again by the name of the old part.
#[test]
fn a_danger_replaced_is_asked_about() {
    let told = "my front brake is weak and there is a hairline crack in the bar next to the stem";
    let (mut session, reply) = sitting(&[told, "the cracked bar was thrown away, a new one is fitted"]);
    assert!(reply.starts_with("Is it cured, then (replace the bars"), "{reply}");
    assert_eq!(session.prompt(), "DO NOT RIDE > ", "nothing is lifted before the yes");
    session.step("no");
    assert_eq!(session.prompt(), "DO NOT RIDE > ", "a no lifts nothing");
}

/// A complaint that is gone is written down as cured by what most likely did it, and not as misheard.
#[test]
fn what_is_gone_was_there() {
    let told = "my front disc brake is weak, the caliper is wet, and the chain skips";
    let (session, _) =
        sitting(&[told, "the shop put a new caliper in, brake is great now but the chain still skips", "yes"]);
    let cured = session.kept().iter().any(|line| line.starts_with("cured ") && line.ends_with(" weak-braking"));
    assert!(cured, "{:?}", session.kept());
}
