//! Links the program so that it starts quickly: at a fixed place, since many of its tables hold addresses, and with the C
//! library inside where that can be had, so that no start looks for libraries. Elsewhere it is linked as usual.

use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::{env, fs};

/// The libraries that the standard library asks for by these names.
const LIBRARIES: [&str; 7] = ["c", "dl", "gcc_s", "m", "pthread", "rt", "util"];

/// The archives that hold the same.
const ARCHIVES: [&str; 8] =
    ["libc.a", "libdl.a", "libgcc.a", "libgcc_eh.a", "libm.a", "libpthread.a", "librt.a", "libutil.a"];

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

/// A directory in which each library stands for all archives, since they ask each other for something; a linker looks
/// there before its own. None where an archive is not installed, or the program is built for another machine than this.
fn names_for_archives() -> Option<PathBuf> {
    if env::var_os("HOST") != env::var_os("TARGET") {
        return None;
    }
    let place = PathBuf::from(env::var_os("OUT_DIR")?).join("archives");
    fs::create_dir_all(&place).ok()?;
    println!("cargo::rerun-if-env-changed=RUSTC_LINKER");
    let compiler = env::var_os("RUSTC_LINKER").unwrap_or_else(|| "cc".into());
    let archives = ARCHIVES.iter().map(|archive| Some(installed(archive, &compiler)?.display().to_string()));
    // A text in the place of an archive is read by every linker of this system as orders to itself.
    let order = format!("GROUP({})\n", archives.collect::<Option<Vec<_>>>()?.join(" "));
    for library in LIBRARIES {
        fs::write(place.join(format!("lib{library}.a")), &order).ok()?;
    }
    Some(place)
}

/// Where the C compiler that links has an archive.
fn installed(archive: &str, compiler: &OsStr) -> Option<PathBuf> {
    let told = Command::new(compiler).arg(format!("-print-file-name={archive}")).output().ok()?;
    let path = String::from_utf8(told.stdout).ok()?;
    // A name without a directory says that there is none.
    let path = Path::new(path.trim());
    (path.is_absolute() && path.exists()).then(|| path.to_owned())
}
