//! Lists the knowledge folder so that its files are compiled in, an added file included.

use std::{env, fs, io, path::Path};

fn main() -> io::Result<()> {
    let root = env::var("CARGO_MANIFEST_DIR").map_err(io::Error::other)?;
    let out = env::var("OUT_DIR").map_err(io::Error::other)?;
    let folder = Path::new(&root).join("knowledge");
    println!("cargo::rerun-if-changed={}", folder.display());
    let mut names = fs::read_dir(&folder)?
        .map(|entry| entry.map(|e| e.file_name().to_string_lossy().into_owned()))
        .collect::<io::Result<Vec<_>>>()?;
    names.retain(|name| name.ends_with(".ron"));
    names.sort();
    let rows: String =
        names.iter().map(|name| format!("    (\"{name}\", include_str!({:?})),\n", folder.join(name))).collect();
    fs::write(Path::new(&out).join("built_in.rs"), format!("&[\n{rows}]\n"))
}
