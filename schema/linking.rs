//! Links the program so that it starts quickly: at a fixed place, since many of its tables hold addresses, and with the C
//! library inside where that can be had, so that no start looks for libraries. Elsewhere it is linked as usual.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::{env, fs};

/// The libraries that the standard library asks for by these names, with the archives that hold the same.
const ARCHIVES: [(&str, &str); 7] = [
    ("c", "libc.a"),
    ("dl", "libdl.a"),
    ("gcc_s", "libgcc_eh.a"),
    ("m", "libm.a"),
    ("pthread", "libpthread.a"),
    ("rt", "librt.a"),
    ("util", "libutil.a"),
];

/// Tells cargo how the program is linked. The tests and examples are linked as usual.
pub fn arrange() {
    let target = |name: &str| env::var(format!("CARGO_CFG_TARGET_{name}")).unwrap_or_default();
    if target("OS") != "linux" || target("ENV") != "gnu" {
        return;
    }
    println!("cargo::rustc-link-arg-bins=-no-pie");
    if let Some(place) = names_for_archives() {
        println!("cargo::rustc-link-arg-bins=-static");
        println!("cargo::rustc-link-arg-bins=-L{}", place.display());
    }
}

/// A directory in which each library has the name of its archive, which a linker looks through before its own; none
/// where an archive is not installed, or the program is built for another machine than this.
fn names_for_archives() -> Option<PathBuf> {
    if env::var_os("HOST") != env::var_os("TARGET") {
        return None;
    }
    let place = PathBuf::from(env::var_os("OUT_DIR")?).join("archives");
    fs::create_dir_all(&place).ok()?;
    // Each of these asks the others for something.
    let together = ["libc.a", "libgcc.a", "libgcc_eh.a"].map(installed);
    let [Some(c), Some(compiler), Some(unwinding)] = together else { return None };
    for (library, archive) in ARCHIVES {
        // A text in the place of an archive is read by every linker of this system as orders to itself.
        let all = [&installed(archive)?, &c, &compiler, &unwinding].map(|path| path.display().to_string());
        fs::write(place.join(format!("lib{library}.a")), format!("GROUP({})\n", all.join(" "))).ok()?;
    }
    Some(place)
}

/// Where the C compiler that links has an archive.
fn installed(archive: &str) -> Option<PathBuf> {
    println!("cargo::rerun-if-env-changed=RUSTC_LINKER");
    let compiler = env::var_os("RUSTC_LINKER").unwrap_or_else(|| "cc".into());
    let told = Command::new(compiler).arg(format!("-print-file-name={archive}")).output().ok()?;
    let path = String::from_utf8(told.stdout).ok()?;
    // A name without a directory says that there is none.
    let path = Path::new(path.trim());
    (path.is_absolute() && path.exists()).then(|| path.to_owned())
}
