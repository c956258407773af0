//! What a conversation says back: ride advice that is true and said once, and answers and cures in
//! sentences of the rider's own. The sentences are common practice of a workshop's counter, no source.

use knockwise::graph::{Question, Topic};
use knockwise::inference::evidence::Evidence;
use knockwise::inquiry::Situation;
use knockwise::intake::Lexicon;
use knockwise::knowledge::terms::{Reporter, Venue};
use knockwise::session::Session;

use crate::scratch::built_in;

const RIDER: Situation = Situation { by: Reporter::Rider, at: Venue::Home };

pub fn sitting(lines: &[&str]) -> (Session<'static>, String) {
    let mut session = Session::new(built_in(), RIDER);
    let mut last = String::new();
    for line in lines {
        last = session.step(line).text;
    }
    (session, last)
}

/// Asks on until a question that fits stands.
#[track_caller]
fn ask_on(session: &mut Session<'_>, fits: impl Fn(&Question) -> bool) {
    for _ in 0..60 {
        if session.asking().is_some_and(|q| fits(built_in().question(q))) {
            return;
        }
        session.step("another");
    }
    panic!("no such question is asked");
}

/// Asks on until the question of this id stands.
#[track_caller]
fn ask(session: &mut Session<'_>, id: &str) {
    ask_on(session, |q| q.id == id);
}

/// Who mends the chain under a cracked bar is not told that it may be ridden, before or after.
#[test]
fn a_cure_beside_a_danger_gives_one_ride_advice() {
    let (mut session, _) = sitting(&["there is a crack in my handlebar and the chain slips", "mend sprockets worn"]);
    let reply = session.step("cured");
    assert!(!reply.ended && reply.text.contains("Do not ride"), "{}", reply.text);
    assert!(!reply.text.contains("may be ridden"), "{}", reply.text);
    // With nothing else to mind it may.
    let (mut session, _) = sitting(&["the chain squeaks", "mend"]);
    let reply = session.step("cured");
    assert!(reply.ended && reply.text.contains("it may be ridden again"), "{}", reply.text);
}

/// What was only seen, and complained of by nobody, forbids riding after the cure as before.
#[test]
fn a_danger_that_was_only_seen_outlives_a_cure() {
    let (mut session, _) = sitting(&["the chain squeaks, and the front axle is loose", "mend chain dry"]);
    assert_eq!(session.prompt(), "DO NOT RIDE > ");
    let reply = session.step("cured");
    assert!(!reply.ended && !reply.text.contains("may be ridden"), "{}", reply.text);
    assert_eq!(session.prompt(), "DO NOT RIDE > ");
    let kept = session.kept();
    assert_eq!(Session::resume(built_in(), &kept.join("\n")).unwrap().kept(), kept);
    // Its own cure ends the sitting.
    session.step("mend");
    assert!(session.step("cured").ended);
}

/// While its answer stays the same the advice is not said over; when asking ends, and when asked, it is.
#[test]
fn ride_advice_is_said_in_full_when_it_changes_and_at_the_end() {
    let mut session = Session::new(built_in(), RIDER);
    let (mut before, mut whole) = ("", 0);
    for line in
        ["the front brake squeals and the chain keeps slipping when I push hard", "3", "2", "1", "2", "another", "?"]
    {
        let reply = session.step(line).text;
        let said = reply.contains("May I ride it?");
        assert!(said || session.prompt() == before, "changed, and not said after {line}: {reply}");
        assert!(!said || session.prompt() != before || session.asking().is_none(), "said over after {line}: {reply}");
        (before, whole) = (session.prompt(), whole + usize::from(said));
    }
    assert!(session.asking().is_none());
    assert_eq!(whole, 2);
    assert!(session.step("ride").text.contains("May I ride it?"));
}

/// After the battery's alarm what may be ridden is said, though it was said before it.
#[test]
fn advice_after_an_alarm_is_said_again() {
    let (mut session, reply) = sitting(&["the chain slips", "the battery is swollen", "mend", "cured"]);
    // With the chain still to be mended, too, the alarm is not lifted without a yes.
    assert!(reply.contains("Is all of this so?"), "{reply}");
    let reply = session.step("yes").text;
    assert!(reply.contains("May I ride it?") && reply.contains("What may bring it"), "{reply}");
}

/// A noise that is gone is a cure where one was told of, and else is not there.
#[test]
fn a_noise_that_is_gone_is_no_noise() {
    for gone in ["the noise is gone", "noise has gone", "no more noise"] {
        let (session, reply) = sitting(&[gone]);
        assert!(reply.contains("it makes a noise: no, certain"), "{gone}: {reply}");
        assert!(session.posterior().is_none(), "{gone}");
        let (session, reply) = sitting(&["the chain squeaks", gone]);
        assert!(reply.contains("Is it cured, then"), "{gone}: {reply}");
        assert_eq!(session.kept(), ["at home", "said the chain squeaks", "asking whether-cured"]);
    }
    let (_, reply) = sitting(&["my saddle creaks", "the creak has vanished"]);
    assert!(reply.contains("Is it cured, then"), "{reply}");
    // With a circumstance it is there otherwise.
    let (session, reply) = sitting(&["the noise is gone when I coast"]);
    assert!(session.posterior().is_some() && reply.contains("it makes a noise: yes"), "{reply}");
}

/// Words said of what is not there, or is as it should be, speak for no cause.
#[test]
fn denied_words_are_not_weighed() {
    let lexicon = Lexicon::of(built_in());
    let weighed = |text: &str| {
        let mut evidence = Evidence::default();
        lexicon.hear(text, RIDER.by, RIDER.at, &mut evidence);
        evidence.telling
    };
    for (denied, said) in [
        ("The rear wheel clicks. There is no mudguard rack on it.", "The rear wheel clicks."),
        ("The rear wheel clicks. The spokes, bearings and washers are in place.", "The rear wheel clicks."),
    ] {
        assert_eq!(weighed(denied), weighed(said), "{denied}");
    }
    assert_ne!(weighed("The wheel clicks. The spoke washers rattle."), weighed("The wheel clicks."));
}

/// A sentence that shares clearly more words with one option than with the others is taken for it, and said to be.
#[test]
fn an_option_may_be_told_at_length() {
    let (mut session, _) = sitting(&["it knocks at the front when I brake"]);
    ask(&mut session, "bike.head");
    let reply = session.step("it is clamped round with a couple of bolts on the side").text;
    assert!(reply.contains("Taken as 1: stem clamped round the steerer"), "{reply}");
    assert!(session.kept().last().is_some_and(|l| l.ends_with("bike.head 1")), "{:?}", session.kept());
    session.step("undo");
    ask(&mut session, "bike.head");
    // Words of both name neither.
    let told = session.kept();
    let reply = session.step("well there are bolts on the side and big nuts below").text;
    assert!(reply.contains("Is that") && reply.contains("A number answers"), "{reply}");
    assert_eq!(session.kept().len(), told.len());
}

/// What never comes about cannot be told: it is no no.
#[test]
fn what_is_never_done_is_not_denied() {
    let about_bumps = |q| matches!(built_in().question(q).topic, Topic::Facet(..));
    for said in ["he doesn't ride over bumps", "I never ride over bumps", "we do not go over bumps or rough ground"] {
        let (mut session, _) = sitting(&["it knocks at the front when I brake"]);
        let question = session.asking().unwrap();
        assert!(about_bumps(question) && built_in().question(question).ask.contains("bumps"));
        session.step(said);
        let kept = session.kept();
        assert!(kept.last().is_some_and(|l| l.starts_with("skipped")), "{said}: {kept:?}");
    }
    let (session, _) = sitting(&["it does not knock over bumps"]);
    assert!(session.kept().iter().all(|l| !l.starts_with("skipped")));
}

/// Who takes one thing out hears what else its words gave.
#[test]
fn what_was_heard_beside_a_mistake_is_named() {
    let (mut session, _) = sitting(&["the front brake squeals"]);
    let reply = session.step("wrong squeal").text;
    assert!(reply.contains("From the same words") && reply.contains("when braking: yes"), "{reply}");
    let (mut session, _) = sitting(&["it makes a noise", "front"]);
    assert!(!session.step("wrong noise").text.contains("From the same words"));
}

/// A number that is none is told which there are.
#[test]
fn numbers_that_are_none_are_told_which_there_are() {
    let (mut session, _) = sitting(&["the chain slips"]);
    assert!(session.step("change 7").text.contains("No question was answered yet"));
    session.step("?");
    assert!(session.step("change 7").text.contains("`change 1` asks"), "{:?}", session.kept());
    session.step("?");
    assert!(session.step("change 7").text.contains("2 were given. `change 1` to `change 2`"));
    assert!(session.step("wrong 99").text.contains("Nothing that I took down stands under number 99"));
}

/// Tried before, it counts as all of it, and is said to.
#[test]
fn what_was_tried_is_said_to_count_as_the_whole() {
    let (_, reply) = sitting(&["the chain squeaks", "tried 1"]);
    assert!(reply.contains("all 8 steps of it") && reply.contains("clean and oil the chain"), "{reply}");
}

/// Reasons of a fault at either end say which end they are of.
#[test]
fn reasons_name_the_end_they_speak_of() {
    let (mut session, likely) = sitting(&["something rubs once every turn of the wheel"]);
    let named = likely.lines().skip_while(|l| !l.starts_with("What may bring it")).skip(1);
    let open = named.take(3).position(|l| l.contains("(front or rear)")).unwrap();
    let reply = session.step(&format!("reasons {}", open + 1)).text;
    assert!(reply.contains("Of the likelier end: here it is"), "{reply}");
}

/// A no that mends what was taken down of the bike is not the no that was asked for.
#[test]
fn a_no_that_mends_a_bike_fact_is_no_answer() {
    let (mut session, _) = sitting(&["the front brake is weak, it has rim brakes"]);
    let reply = session.step("no, it has disc brakes").text;
    assert!(!reply.contains("Taken as"), "{reply}");
    assert!(session.step("heard").text.contains("brakes: disc"), "{}", session.step("heard").text);
    assert!(!session.step("heard").text.contains("rim brakes"), "{}", session.step("heard").text);
}

/// Whether "both are ok" is a yes or a no hangs on what was asked: it is asked back, and nothing is lost.
#[test]
fn that_all_is_well_is_asked_back() {
    let (mut session, _) = sitting(&["the bike wobbles at the back"]);
    ask_on(&mut session, |q| matches!(q.topic, Topic::Signs(_)) && q.options.is_empty());
    let standing = session.asking();
    let reply = session.step("both are ok").text;
    assert!(reply.contains("1 (yes, certain) or 5 (no, certain)"), "{reply}");
    assert_eq!(session.asking(), standing);
}

/// "Is it cured, then?" is a question: a yes answers it, and a danger that nobody mended is not cured by the way.
#[test]
fn whether_it_is_cured_is_answered_with_a_yes() {
    let (mut session, reply) = sitting(&["the chain squeaks", "mend", "all quiet now"]);
    assert!(reply.contains("Is it cured, then"), "{reply}");
    let reply = session.step("yes thanks");
    assert!(reply.ended && reply.text.contains("Good, done"), "{}", reply.text);
    let (mut session, _) = sitting(&["the front axle is loose and the wheel knocks"]);
    let reply = session.step("cured");
    assert!(!reply.ended && reply.text.contains("Which work was it that cured it?"), "{}", reply.text);
    assert_eq!(session.prompt(), "DO NOT RIDE > ");
}

/// Who may ride by day is told of the night.
#[test]
fn a_dead_light_is_no_leave_to_ride_in_the_dark() {
    let (mut session, _) = sitting(&["the rear light is dead, it runs off a hub dynamo"]);
    let reply = session.step("can i ride it home tonight in the dark, three miles").text;
    assert!(reply.contains("Do not ride in the dark"), "{reply}");
}

/// A no with something else behind it is not the no that was asked for.
#[test]
fn a_no_about_another_thing_is_no_answer() {
    let (mut session, _) = sitting(&["the handlebars feel loose"]);
    ask(&mut session, "turn-bars-against-wheel");
    let reply = session.step("no play when I hold the brake and rock it").text;
    assert!(!reply.contains("Taken as"), "{reply}");
}

/// Who says that what clears an alarm is so is asked whether all of it is; a yes takes the alarm back, a no does not.
#[test]
fn an_alarm_is_cleared_in_words_and_with_a_yes() {
    let told = [
        "my front brake lever comes right to the bar, hydraulic disc",
        "a finger's width stays between lever and bar now",
    ];
    let (mut session, reply) = sitting(&told);
    assert!(reply.contains("Is all of this so?") && reply.contains("the brake holds the wheel"), "{reply}");
    let kept = session.kept().join("\n");
    let mut again = Session::resume(built_in(), &kept).unwrap();
    for session in [&mut session, &mut again] {
        let before = session.step("ride").text;
        assert!(before.contains("What clears it"), "{before}");
    }
    let (mut session, _) = sitting(&told);
    let reply = session.step("no").text;
    assert!(reply.contains("What clears it"), "{reply}");
    let (mut session, _) = sitting(&told);
    session.step("yes");
    let after = session.step("ride").text;
    assert!(!after.contains("What clears it"), "{after}");
}

/// What raised an alarm is not taken back by talk that has nothing to do with it.
#[test]
fn hollow_talk_clears_no_alarm() {
    let (mut session, reply) = sitting(&["the fork is cracked near the crown", "they said its the fork"]);
    assert!(!reply.contains("Is all of this so?"), "{reply}");
    assert_eq!(session.prompt(), "DO NOT RIDE > ");
    let reply = session.step("the mechanic did not find it sound").text;
    assert!(!reply.contains("Is all of this so?"), "{reply}");
}

/// Work told of as done in vain is no symptom: it is that which was shown, or it is asked which it was.
#[test]
fn work_done_in_vain_is_asked_about_and_not_weighed() {
    let (session, reply) = sitting(&["the brake lever is spongy, hydraulic disc brakes", "did it all, did not help"]);
    assert!(reply.contains("Which work was it") && reply.contains("tried 1"), "{reply}");
    assert_eq!(session.kept().len(), 2, "{:?}", session.kept());
    let (session, reply) = sitting(&["gears shift badly at the rear", "mend", "did that, still does it"]);
    assert!(reply.contains("it changed nothing"), "{reply}");
    assert!(session.kept().iter().any(|line| line.starts_with("same ")), "{:?}", session.kept());
}

/// A bike that does again what it should is a cure to be asked about.
#[test]
fn what_works_again_is_asked_about_as_a_cure() {
    for cure in ["i plugged it back on and it lights now", "lights properly again"] {
        let (_, reply) = sitting(&["the rear light does not work, it runs off a dynamo", "mend", cure]);
        assert!(reply.contains("Is it cured, then"), "{cure}: {reply}");
    }
    let (_, reply) = sitting(&[
        "the rear light does not work, it runs off a dynamo",
        "mend",
        "it lights now but only when pedalling",
    ]);
    assert!(!reply.contains("Is it cured, then"), "{reply}");
}

/// Who passes on the words of somebody else answers as he would.
#[test]
fn an_answer_is_passed_on() {
    for (said, kept) in [("she's not sure", "skipped"), ("he says no idea", "skipped"), ("he thinks so", "answered")] {
        let (mut session, _) = sitting(&["the handlebars feel loose"]);
        ask(&mut session, "turn-bars-against-wheel");
        session.step(said);
        let line = format!("{kept} turn-bars-against-wheel");
        assert!(session.kept().iter().any(|l| l.starts_with(&line)), "{said}: {:?}", session.kept());
    }
}

/// A cure ends nothing while an alarm stands that nobody has cleared.
#[test]
fn a_cure_does_not_end_an_alarm() {
    let (mut session, _) = sitting(&["my front brake lever comes right to the bar, hydraulic disc", "mend"]);
    let reply = session.step("cured");
    assert!(!reply.ended && reply.text.contains("Is all of this so?"), "{}", reply.text);
    assert!(
        session.kept().iter().any(|line| line.starts_with("asking whether-clear-of-cure ")),
        "{:?}",
        session.kept()
    );
    assert!(session.step("yes").ended);
}

/// Before anything is known, whether it may be ridden hangs on what it is.
#[test]
fn nobody_is_told_to_ride_what_nobody_told_of() {
    let (_, reply) = sitting(&["so can he ride home or not?"]);
    assert!(reply.contains("hangs on what is wrong"), "{reply}");
}

/// A complaint that a later line seems to bring in passing is made sure of before it is gone on with.
#[test]
fn a_complaint_heard_in_passing_is_made_sure_of() {
    let told = ["my front brake is weak, hydraulic disc", "I bled it, air came out"];
    let (mut session, reply) = sitting(&told);
    assert!(reply.contains("Does it do this as well: a tyre loses air?"), "{reply}");
    assert!(session.kept().contains(&"asking whether-beside".to_owned()), "{:?}", session.kept());
    let mut taken_up = Session::resume(built_in(), &session.kept().join("\n")).expect("the kept sitting reads");
    taken_up.step("no");
    session.step("2");
    assert_eq!(taken_up.kept(), session.kept());
    let reply = session.step("heard").text;
    assert!(!reply.contains("loses air") && reply.contains("brakes badly"), "{reply}");
    let (mut session, _) = sitting(&told);
    assert!(session.step("yes").text.contains("What may bring it"));
    assert!(session.step("heard").text.contains("loses air"));
    // Who says that it is one more thing is not asked, and a danger is believed at once.
    let (_, reply) = sitting(&["my saddle creaks", "and the rear tyre goes flat as well"]);
    assert!(!reply.contains("Does it do this as well"), "{reply}");
    let (_, reply) = sitting(&["my saddle creaks", "the brakes dont work at all"]);
    assert!(reply.contains("Do not ride it") && !reply.contains("Does it do this as well"), "{reply}");
}

/// "Sorry, the rear" moves with it what was told of the parts at that end.
#[test]
fn parts_move_with_the_end_that_is_mended() {
    let (mut session, _) = sitting(&["front disc brake squeals, the pads are shiny"]);
    let heard = session.step("heard").text;
    assert!(heard.contains("hard and shiny (front)") && !heard.contains("rim brake"), "{heard}");
    session.step("sorry, I meant the rear");
    let heard = session.step("heard").text;
    assert!(heard.contains("hard and shiny (rear)") && !heard.contains("(front)"), "{heard}");
}

/// How tight, how far: the steps that say so, of the work that was shown.
#[test]
fn settings_are_said_by_themselves() {
    let (_, reply) = sitting(&["the fork knocks when I brake", "mend head set", "how tight should it be?"]);
    assert!(reply.contains("What is set in this") && reply.contains("an eighth of a turn"), "{reply}");
    assert!(!reply.contains("Cured when"), "{reply}");
}

/// A caution speaks to bikes that have the part.
#[test]
fn cautions_are_for_the_bike_at_hand() {
    let work = |bike| sitting(&[bike, "mend sprockets worn"]).1;
    let (plain, electric) = (work("the chain skips, it has no motor"), work("the chain skips, it has a mid motor"));
    let off = "Caution: On an e-bike switch the system off";
    assert!(electric.contains(off) && plain.contains("Caution:") && !plain.contains(off), "{electric}\n{plain}");
}

/// Work that wants a ride says that nobody rides while that is forbidden.
#[test]
fn work_under_a_ban_leaves_the_riding_out() {
    let (session, reply) =
        sitting(&["front disc brake squeals when wet and the lever comes to the bar", "mend rotor wet"]);
    assert_eq!(session.prompt(), "DO NOT RIDE > ");
    assert!(reply.contains("`Do not ride` still holds"), "{reply}");
}

/// What is asked in other words: riding home, why not another cause, how common it is.
#[test]
fn questions_are_understood_in_more_words() {
    let first = "rear disc brake squeals";
    assert!(sitting(&[first, "so she can ride it home?"]).1.starts_with("May I ride it?"));
    let (_, reply) = sitting(&[first, "why is it that and not the rotor wet?"]);
    assert!(reply.starts_with("Rotor wet") && reply.contains("of 100 bikes that are looked at have it"), "{reply}");
    assert!(sitting(&[first, "what is a chain gauge?"]).1.contains("hung into the chain"));
}

/// Where asking has ended what comes first is said once, and not again after every line.
#[test]
fn what_comes_first_is_not_said_over() {
    let (mut session, mut reply) = sitting(&["rear tyre goes flat overnight, nothing stuck in it"]);
    for _ in 0..40 {
        if session.asking().is_none() {
            break;
        }
        reply = session.step("?").text;
    }
    assert!(reply.contains("look at this"), "{reply}");
    let reply = session.step("I bought it in spring").text;
    assert!(!reply.contains("look at this"), "{reply}");
    assert!(session.step("").text.contains("look at this"));
}

/// A question to the program tells nothing of the bike.
#[test]
fn what_is_asked_is_not_taken_down() {
    for asked in
        ["how tight should chainring bolts be", "what tells me the hanger is cracked", "could you not weld it?"]
    {
        let (mut session, _) = sitting(&["the chain jumps under force"]);
        let (told, before) = (session.kept(), session.step("likely").text);
        let reply = session.step(asked).text;
        assert!(reply.contains("I take nothing down from it"), "{asked}: {reply}");
        assert_eq!((session.kept(), session.step("likely").text), (told, before), "{asked}");
    }
    // Who begins with a question tells what is wrong.
    let (_, reply) = sitting(&["what is it that squeals at my front brake?"]);
    assert!(reply.contains("a squeal or howl"), "{reply}");
}

/// A number of the list stands for the same to the end, whatever was taken out since.
#[test]
fn a_number_once_shown_stays_with_what_it_was() {
    let (mut session, listed) = sitting(&["the front brake squeals when wet and the chain slips", "heard"]);
    let line = |listed: &str, n: usize| -> Option<String> {
        listed.lines().find_map(|line| line.trim().strip_prefix(&format!("{n}. ")).map(str::to_owned))
    };
    let third = line(&listed, 3).unwrap();
    session.step("wrong 2");
    let after = session.step("heard").text;
    assert_eq!((line(&after, 2), line(&after, 3)), (None, Some(third)), "{after}");
    assert!(session.step("wrong 2").text.contains("Nothing that I took down stands under number 2"));
}

/// The next caller has another bike: nothing of the first is left, and nothing is to be taken back.
#[test]
fn another_bike_begins_anew() {
    for word in ["new", "next caller", "another bike"] {
        let (mut session, reply) = sitting(&["the front brake squeals", "1", word]);
        assert!(reply.contains("put away") && session.kept().is_empty(), "{word}: {reply}");
        assert_eq!(session.step("the chain slips").text, sitting(&["the chain slips"]).1, "{word}");
    }
    assert!(!sitting(&["new"]).1.contains("put away"), "nothing was told");
    // What is told of the next bike in the same line is its first words.
    let (mut session, _) = sitting(&["the rear tyre goes flat overnight", "ok, next caller. Her chain slips"]);
    assert_eq!((session.kept().len(), session.step("heard").text), {
        let (mut alone, _) = sitting(&["Her chain slips"]);
        (alone.kept().len(), alone.step("heard").text)
    });
    let (session, _) = sitting(&["the rear tyre goes flat overnight", "no, that's a different bike"]);
    assert!(session.kept().is_empty(), "a no is no answer there: {:?}", session.kept());
}

/// Who goes to look is waited for; who has no idea and says why cannot tell.
#[test]
fn who_goes_to_look_is_waited_for() {
    let told = "my rear brake squeals";
    // "Gone" is she, and not one of two complaints.
    for told in [told, "her rear tyre goes flat overnight and it creaks when she pedals"] {
        let (session, reply) = sitting(&[told, "she's gone to look, hang on"]);
        assert!(reply.starts_with("I wait"), "{reply}");
        assert_eq!(session.kept(), sitting(&[told]).0.kept());
    }
    let (session, _) = sitting(&[told, "no idea, it's my brother's bike"]);
    assert_eq!(session.kept(), sitting(&[told, "?"]).0.kept());
}

/// A sentence that names an option and tells more is taken down whole.
#[test]
fn an_option_named_among_other_things_loses_none_of_them() {
    let (mut session, _) = sitting(&["the chain slips when I push hard"]);
    ask_on(&mut session, |question| question.ask.starts_with("How old is the bike"));
    session.step("it is an e-bike and it is rather new and it stood all winter");
    let heard = session.step("heard").text;
    for told in ["e-bike", "stood all winter"] {
        assert!(heard.contains(told), "{told}: {heard}");
    }
}

/// A question with a "not" in it denies nothing.
#[test]
fn a_question_with_a_not_denies_nothing() {
    let (mut session, _) = sitting(&["my front light flickers", "isn't the loose back wheel worse?"]);
    let heard = session.step("heard").text;
    assert!(!heard.contains("rocked sideways at the rim (rear): no"), "{heard}");
}

/// What is said not to be there is taken so at both ends, where it was told of one.
#[test]
fn a_no_without_an_end_takes_back_what_was_told_of_one() {
    let (mut session, _) =
        sitting(&["I can rock the rim of the rear wheel from side to side", "no, I didn't rock the wheel"]);
    let heard = session.step("heard").text;
    let rocks: Vec<&str> = heard.lines().filter(|line| line.contains("can be rocked sideways")).collect();
    assert!(matches!(rocks.as_slice(), [only] if only.contains(": no, certain")), "{heard}");
}

/// Two causes are held against each other by number or by name.
#[test]
fn causes_are_compared_in_a_sitting() {
    let first = "the chain jumps under force, derailleur gears";
    for asked in ["compare 1 and 2", "what tells 1 from 2?", "how is 1 different from 2", "compare 1 2"] {
        let (_, reply) = sitting(&[first, asked]);
        assert!(
            reply.contains(": the first ")
                && reply.contains(", the other ")
                && reply.matches("To make sure of").count() == 2,
            "{asked}: {reply}"
        );
    }
    let (_, reply) = sitting(&[first, "compare sprockets worn with derailleur hanger bent"]);
    assert!(reply.starts_with("Sprockets worn (the first) or derailleur hanger bent (the other)"), "{reply}");
    assert!(sitting(&[first, "compare 1 and 9999"]).1.contains("I know no cause called"));
}

/// What came of a repair is heard in the words of who did it.
#[test]
fn what_came_of_a_repair_is_heard_in_many_words() {
    let first = "the saddle wobbles";
    for cure in ["did both bolts up tight, the saddle is solid now", "put new bolts in and it sits firm now"] {
        let (_, reply) = sitting(&[first, "mend", cure]);
        assert!(reply.contains("Is it cured, then"), "{cure}: {reply}");
    }
    for better in
        ["it is a lot better but still moves a bit", "changed the bolts, bit better but there is a faint knock"]
    {
        let (session, reply) = sitting(&[first, "mend", better]);
        assert!(reply.contains("Better is not good yet"), "{better}: {reply}");
        assert!(session.kept().iter().any(|line| line.starts_with("better ")), "{better}");
    }
    let (_, reply) = sitting(&[first, "mend", "not much better"]);
    assert!(!reply.contains("Better is not good yet"), "{reply}");
}

/// Who says that a danger is cured is asked by which work, and can name it; the check of an alarm ends the work too.
#[test]
fn the_work_that_cured_a_danger_can_be_named() {
    let first = "the front wheel is loose, the axle lever turns by hand";
    let (mut session, reply) = sitting(&[first, "cured"]);
    assert!(reply.contains("cured 1"), "{reply}");
    let reply = session.step("cured 1").text;
    assert!(reply.contains("Good, done"), "{reply}");
    let (mut session, _) = sitting(&["my front brake lever comes right to the bar, hydraulic disc", "mend", "cured"]);
    let mut taken_up = Session::resume(built_in(), &session.kept().join("\n")).expect("the kept sitting reads");
    assert!(taken_up.step("").text.contains("Is all of this so?"), "what was asked is asked again");
    assert!(session.step("yes").text.contains("Good, done"));
    assert!(taken_up.step("yes").text.contains("Good, done"));
}

/// A word that fits several things takes out none of them before it is said which.
#[test]
fn a_word_that_fits_several_things_is_asked_about() {
    let (mut session, _) = sitting(&["front disc brake squeals and the front brake lever is spongy"]);
    let before = session.kept();
    let reply = session.step("wrong front").text;
    assert!(reply.contains("Which of these is wrong?") && reply.matches("  wrong ").count() == 2, "{reply}");
    assert_eq!(session.kept(), before);
}

/// A reading is one reading: its numbers are heard as nothing else, and nothing of it is said not to be understood.
#[test]
fn numbers_of_a_reading_are_no_words() {
    let (mut session, reply) = sitting(&["the fork dives, sag 35 mm of 160"]);
    assert!(!reply.contains("made nothing of"), "{reply}");
    let heard = session.step("heard").text;
    assert!(heard.contains("(\"35 mm of 160\")") && !heard.contains("(\"sag"), "{heard}");
}

/// What only was denied is no cause for a list; what begins as an option does is that option.
#[test]
fn denials_alone_name_no_cause() {
    let (_, reply) = sitting(&["the axle nut is not loose"]);
    assert!(reply.contains("told me only what is not there"), "{reply}");
    let (mut session, _) = sitting(&["the rear wheel rubs the frame"]);
    ask(&mut session, "feel-axle-tight@rear");
    session.step("tight, she checked the nuts");
    assert!(
        session.kept().iter().any(|line| line.starts_with("answered feel-axle-tight@rear 1")),
        "{:?}",
        session.kept()
    );
}

/// The bench is the workshop: nobody is sent there from it.
#[test]
fn the_bench_is_not_sent_to_a_workshop() {
    let mut session = Session::new(built_in(), Situation { by: Reporter::Mechanic, at: Venue::Bench });
    let mut said = session.step("rear shock has lost its damping, oil on the shaft").text;
    for _ in 0..40 {
        if session.asking().is_none() {
            break;
        }
        said = session.step("?").text;
    }
    assert!(said.contains("Look first at this"), "{said}");
    assert!(!said.contains("For a mechanic, to read out") && !said.contains("work for a workshop"), "{said}");
}

/// A light that fails beside another complaint is minded in the ride advice.
#[test]
fn each_complaint_has_its_own_caution() {
    let (_, reply) = sitting(&[
        "the chain jumps under force, and the rear light does not work too",
        "can he ride home in the dark?",
    ]);
    assert!(reply.to_lowercase().contains("dark"), "{reply}");
}

/// A yes with a but behind it takes no alarm back.
#[test]
fn a_yes_with_a_but_clears_no_alarm() {
    let (mut session, reply) =
        sitting(&["my front brake lever comes right to the bar, hydraulic disc", "mend", "cured"]);
    assert!(reply.contains("Is all of this so?"), "{reply}");
    session.step("yes it does at the back but not the front");
    assert_eq!(session.prompt(), "DO NOT RIDE > ");
    assert!(!session.kept().iter().any(|line| line.starts_with("wrong ")), "{:?}", session.kept());
}

/// Whether it may be ridden is answered inside a longer line, in other words and for somebody else.
#[test]
fn leave_to_ride_is_asked_in_many_ways() {
    let first = "the chain jumps under force";
    for asked in [
        "he says the chain is old, can he ride it home?",
        "is it safe to go to the shop on it in top gear?",
        "can I take the kids to nursery if I go slowly with the back brake?",
        "he asks if he may ride home with just the back brake",
    ] {
        let (mut session, reply) = sitting(&[first, asked]);
        assert!(reply.contains("May I ride it?"), "{asked}: {reply}");
        assert!(!session.step("heard").text.contains("rear"), "{asked}");
    }
}

/// The work that a line names is the work that is meant, done in vain or with success.
#[test]
fn the_work_named_is_the_work_meant() {
    let said = "put a new cassette and chain on together, no better";
    let (_, reply) = sitting(&["the chain jumps under force", said]);
    assert!(reply.contains("replace chain and sprockets together: tried, without a change"), "{reply}");
}

/// A danger is heard whatever stands around it.
#[test]
fn dangers_are_heard_among_other_words() {
    for said in [
        "man on the line, his fork has a crack near the top and it clunks when he brakes",
        "there is a crack near the top of the fork and it clunks",
        "MTB in the stand, hydraulic disc. front lever is firm at first but sinks slowly to the bar when i hold it. bled it twice, no better",
    ] {
        let (session, reply) = sitting(&[said]);
        assert_eq!(session.prompt(), "DO NOT RIDE > ", "{said}: {reply}");
    }
    // A longer wording that takes some of its words takes no alarm away.
    let (_, reply) = sitting(&["swollen battery whenever I go downhill"]);
    assert!(reply.contains("Get away from the battery"), "{reply}");
    // What is asked or denied is none.
    let (mut session, _) = sitting(&["the chain jumps under force, derailleur"]);
    session.step("couldn't it just be the derailleur hanger bent?");
    session.step("no, nothing wrong with the suspension");
    let heard = session.step("heard").text;
    assert!(!heard.contains("crack") && !heard.contains("hardly moves"), "{heard}");
}

/// A circumstance behind a plain complaint does not make another of it.
#[test]
fn a_circumstance_leaves_the_complaint_as_it_is() {
    let (_, reply) = sitting(&["the chain keeps coming off when she goes over bumps"]);
    assert!(reply.contains("the chain comes off: yes") && !reply.contains("changes gear badly"), "{reply}");
}

/// The option whose beginning a line says is meant, denied or not; a yes or no with more behind it is one.
#[test]
fn answers_begin_as_options_do() {
    let tight = |q: &Question| q.ask.contains("Is it tight?");
    for (said, option) in [
        ("she says it's a quick release and it's tight, she can't move it", "1: tight"),
        ("it's not tight at all", "2: not tight"),
    ] {
        let (mut session, _) = sitting(&["the front wheel wobbles and rumbles"]);
        ask_on(&mut session, tight);
        let reply = session.step(said).text;
        assert!(reply.contains(&format!("Taken as {option}")), "{said}: {reply}");
    }
    let wet = |q: &Question| q.ask.contains("mostly when it is wet");
    for (said, option) in [("no, bone dry roads", "2: no"), ("yes he says, always", "1: yes")] {
        let (mut session, _) = sitting(&["squeals when braking, disc brakes"]);
        ask_on(&mut session, wet);
        let reply = session.step(said).text;
        assert!(reply.contains(&format!("Taken as {option}")), "{said}: {reply}");
    }
}

/// An answer with something told behind it counts as both.
#[test]
fn an_answer_and_what_follows_both_count() {
    let (mut session, reply) = sitting(&["brake lever comes to the bar"]);
    ask_on(&mut session, |q| q.ask.contains("lever") && matches!(q.topic, Topic::Signs(_)) && q.options.is_empty());
    let said = "he says no, the lever looks fine. it's disc brakes, the kind with fluid";
    let reply = session.step(said).text + &reply;
    assert!(reply.contains("Taken as 5: no, certain") && !reply.contains("Is all of this so?"), "{reply}");
    assert!(session.step("heard").text.contains("disc brakes worked by fluid"), "{reply}");
}

/// Who goes on to other things twice is asked something else.
#[test]
fn a_question_passed_by_makes_room() {
    let (mut session, _) = sitting(&["changes gear badly, derailleur at the back"]);
    let first = session.asking();
    session.step("the chain is three years old and quite dirty");
    let reply = session.step("the frame is made of steel").text;
    assert!(first.is_some() && session.asking() != first, "{reply}");
}

/// Readings are of the end that is named, and of pads.
#[test]
fn readings_are_of_what_is_named() {
    let (_, reply) = sitting(&["measured my sag, 42% on the shock, should be 30"]);
    assert!(reply.contains("more than the target (rear)") && !reply.contains("(front)"), "{reply}");
    let (_, reply) = sitting(&["rear disc brake squeals", "pads measured: one is 2.5 mm the other 0.9"]);
    assert!(reply.contains("thinner than the other") && reply.contains("(rear): yes"), "{reply}");
}

/// Half a denial is none, and that all is well is no yes.
#[test]
fn half_a_denial_is_no_answer() {
    for said in ["no play when cold, plenty once warm", "no movement until I pull hard, then it knocks", "it is well"] {
        let (mut session, _) = sitting(&["the handlebars feel loose"]);
        ask(&mut session, "turn-bars-against-wheel");
        let reply = session.step(said).text;
        assert!(!reply.contains("Taken as"), "{said}: {reply}");
    }
}

/// Of an answer in two sentences the second is heard as well.
#[test]
fn what_stands_behind_an_answer_is_heard() {
    let (mut session, _) = sitting(&["the front wheel wobbles and rumbles"]);
    ask_on(&mut session, |q| q.ask.contains("Is it tight?"));
    let said = "the axle is tight. it is the whole wheel that rocks, I feel a knock in the hub when I push it sideways";
    let reply = session.step(said).text;
    assert!(reply.contains("Taken as 1") && reply.contains("I heard"), "{reply}");
}
