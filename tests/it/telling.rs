//! What the words of a telling are worth.

use knockwise::graph::FaultGraph;
use knockwise::graph::build::build;
use knockwise::inference::evidence::{Event, Evidence};
use knockwise::inference::infer;
use knockwise::intake::Lexicon;
use knockwise::knowledge::Knowledge;
use knockwise::knowledge::terms::{Reporter, Venue};
use knockwise::snag::Source;

/// Two causes of one assembly bring the same noise equally often.
const TWO: &str = r#"[
    Source(id: "judgement", standing: Judgement, cite: "invented for this test"),
    Complaint(id: "noise", name: "it makes a noise", ask: "Is there a noise?", background: 0.0, facets: [], source: "judgement"),
    Cause(id: "dry", name: "dry", plain: "Dry.", base: 0.1, source: "judgement", brings: [(complaint: "noise", strength: 0.5)], ride: Ride, check: "Look."),
    Cause(id: "loose", name: "loose", plain: "Loose.", base: 0.1, source: "judgement", brings: [(complaint: "noise", strength: 0.5)], ride: Ride, check: "Look."),
    Telling(id: "dry", said: ["birds sing of lavender", "birds chirp", "birds hosed"]),
    Telling(id: "loose", said: ["sing hosed", "chirp hosed"]),
]"#;

fn graph() -> FaultGraph {
    let (knowledge, _) = Knowledge::load(vec![vec![Source { name: "two.ron".to_owned(), text: TWO.to_owned() }]]);
    assert_eq!(knowledge.causes.len(), 2);
    build(&knowledge)
}

fn told(g: &FaultGraph, stems: &[&str]) -> Evidence {
    let noise = g.find_complaint("noise").unwrap();
    let mut e = Evidence { events: vec![Event::certain(noise)], ..Evidence::default() };
    e.telling.add(g, stems.iter().filter_map(|s| g.tellings.word(s)));
    e
}

/// Odds that one cause brings the noise and not the other, worked by hand after MacKay and Peto, A hierarchical
/// Dirichlet language model, 1995: own words and 200 of the assembly, whose words here are all there are.
/// Ten words in all, six and four; "bird" is three of the six and none of the four.
#[test]
fn words_count_by_how_often_they_are_told() {
    let g = graph();
    let usual = 3.0 / 10.0;
    let worth = |own: f64, words: f64| ((own + 200.0 * usual) / (words + 200.0) / usual).powf(0.2);
    let (of_dry, of_loose) = (worth(3.0, 6.0), worth(0.0, 4.0));
    // The likelier one is told so for certain; they bring the noise equally often.
    let (dry, loose) = (0.1 * 0.5, 0.1 * 0.5 * of_loose / of_dry);
    let p = infer(&g, &told(&g, &["bird"])).unwrap();
    // Either, or both: somebody fires as told.
    let any = dry + loose - dry * loose;
    assert!((p.brings[0][0] - dry / any).abs() < 1e-12, "{:?}", p.brings);
    assert!((p.brings[0][1] - loose / any).abs() < 1e-12, "{:?}", p.brings);
}

#[test]
fn a_word_that_both_tell_alike_or_nobody_tells_moves_nothing_between_them() {
    let g = graph();
    let ratio = |stems: &[&str]| {
        let p = infer(&g, &told(&g, stems)).unwrap();
        p.brings[0][0] / p.brings[0][1]
    };
    assert_eq!(ratio(&["lavend"]), ratio(&[]));
    // Met in one telling only it may be a slip, and is no word.
    assert!(g.tellings.word("lavend").is_none() && g.tellings.word("hose").is_some());
    assert!(ratio(&["bird"]) > 1.005 && ratio(&["hose"]) < 0.995);
    // Said twice in one breath it counts once; said again later it counts again.
    assert_eq!(told(&g, &["bird", "bird"]), told(&g, &["bird"]));
    let mut again = told(&g, &["bird"]);
    again.telling.add(&g, g.tellings.word("bird"));
    let p = infer(&g, &again).unwrap();
    assert!(p.brings[0][0] / p.brings[0][1] > ratio(&["bird"]), "{:?}", p.brings);
}

/// Two complaints told in one breath share the words: one cause that brings both is not told of twice.
#[test]
fn complaints_told_together_share_the_words() {
    let g = graph();
    let one = told(&g, &["bird"]);
    let (fits, usual) = one.telling.by_cause(1);
    let (halved, half) = one.telling.by_cause(2);
    for (whole, half) in fits.iter().chain([&usual]).zip(halved.iter().chain([&half])) {
        assert!((whole - half * half).abs() < 1e-12);
    }
}

/// One assembly of birds that chirp, one of wheels that shimmy; "song" is a name for the shimmy.
fn birds_and_wheels() -> FaultGraph {
    let entry = |assembly: &str, complaint: &str, cause: &str, said: &str, more: &str| {
        let text = format!(
            r#"[
            Complaint(id: "{complaint}", name: "{complaint}", ask: "Is it?", background: 0.0, facets: [], source: "judgement"),
            Cause(id: "{cause}", name: "{cause}", plain: "It is so.", base: 0.1, source: "judgement", brings: [(complaint: "{complaint}", strength: 0.5)], ride: Ride, check: "Look."),
            Telling(id: "{cause}", said: [{}]),
            {more}]"#,
            format!("\"{said}\", ").repeat(300)
        );
        Source { name: format!("{assembly}.ron"), text }
    };
    let judged = r#"Source(id: "judgement", standing: Judgement, cite: "invented for this test"),
        Phrase(id: "say-song", say: ["song"], means: ["shimmy"]),"#;
    let sources = vec![
        entry("birds", "chirp", "dry", "birds chirp hosed lavender", ""),
        entry("wheels", "shimmy", "bent", "handlebar quivers downhill fast", judged),
    ];
    build(&Knowledge::load(vec![sources]).0)
}

/// A chance meeting of words in a telling of something else is not taken as told, and not passed over either.
#[test]
fn what_all_other_words_speak_against_is_doubted() {
    let g = birds_and_wheels();
    let lexicon = Lexicon::of(&g);
    let hear = |text: &str| {
        let mut e = Evidence::default();
        let intake = lexicon.hear(text, Reporter::Rider, Venue::Home, &mut e);
        (e.events.len(), intake.missed)
    };
    assert_eq!(hear("song").0, 1);
    assert_eq!(hear("handlebar song downhill").0, 1);
    let (heard, missed) = hear("birds chirp lavender hosed song");
    assert_eq!((heard, missed), (0, vec!["song".to_owned()]));
    // A sentence of its own is heard, whatever the others speak of.
    assert_eq!(hear("Birds chirp lavender hosed. Handlebar song downhill fast.").0, 1);
}
