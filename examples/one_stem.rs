use knockwise::graph::build::build;
use knockwise::knowledge::{Knowledge, read};
use knockwise::intake::text::Reader;
fn main() {
    let folder = std::env::args().nth(1).unwrap();
    let (k, _) = Knowledge::load(vec![read::folder(folder.as_ref()).unwrap().0]);
    let g = build(&k);
    let r = Reader::new(&g.reading);
    for p in &k.phrases { for s in &p.say {
        let w = r.stems.wording(s);
        if w.len() <= 1 && s.contains(' ') { println!("{} | {s} | {:?}", p.id.value, w); }
    } }
}
