//! Tells the program which commit it is built from, where that can be known. Nothing here is
//! needed: without git, or outside of a checkout, the version is said without it.

use std::path::Path;
use std::process::Command;

fn main() {
    println!("cargo:rerun-if-env-changed=STRIPWRIGHT_COMMIT");
    let commit = match std::env::var("STRIPWRIGHT_COMMIT") {
        Ok(commit) => Some(commit),
        // While the program is worked on it is built between commits, and none would be true.
        Err(_) if std::env::var("PROFILE").as_deref() != Ok("release") => None,
        Err(_) => of_checkout(),
    };
    let commit = commit.unwrap_or_default();
    let plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, ' ' | '.' | '-' | '_' | '+');
    let commit: String = commit.trim().chars().filter(|&c| plain(c)).take(60).collect();
    println!("cargo:rustc-env=STRIPWRIGHT_BUILT_FROM={commit}");
}

/// The commit of the checkout that holds this file, if it is one of its own.
fn of_checkout() -> Option<String> {
    let here = std::env::var("CARGO_MANIFEST_DIR").ok()?;
    let git = |words: &[&str]| {
        let out = Command::new("git").arg("-C").arg(&here).args(words).output().ok()?;
        let text = String::from_utf8(out.stdout).ok()?.trim().to_owned();
        out.status.success().then_some(text)
    };
    // A copy inside another project's checkout has no commit of its own.
    let top = git(&["rev-parse", "--show-toplevel"])?;
    let same = |a: &str, b: &str| {
        let place = |p: &str| Path::new(p).canonicalize().ok();
        place(a).is_some() && place(a) == place(b)
    };
    if !same(&top, &here) {
        return None;
    }
    for file in ["HEAD", "index"] {
        if let Some(path) = git(&["rev-parse", "--git-path", file]) {
            println!("cargo:rerun-if-changed={}", Path::new(&here).join(path).display());
        }
    }
    println!("cargo:rerun-if-changed=src");
    let commit = git(&["rev-parse", "--short=12", "HEAD"])?;
    let changed = git(&["status", "--porcelain", "--untracked-files=no"])?;
    Some(if changed.is_empty() { commit } else { format!("{commit} and changes") })
}
