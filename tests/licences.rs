//! Licences of everything that is built in: each may be met on terms that the program accepts, and the list that is kept
//! beside the program says the same. `UPDATE_LICENCES=1 cargo test --test licences` writes the list.

use serde_json::Value;
use std::collections::BTreeMap;
use std::path::Path;
use std::process::Command;

/// Terms that the program can meet by passing on their texts; none asks for the source of what is linked.
const ACCEPTED: &[&str] =
    &["MIT", "Apache-2.0", "BSD-2-Clause", "BSD-3-Clause", "ISC", "Zlib", "Unicode-3.0", "MPL-2.0"];

const KEPT: &str = "assets/licences.csv";

/// Name and licence of every crate, with what tests use, for the platform of this machine. `None`, with a word, where the
/// crates of an optional feature are neither at hand nor to be had: then this is left to a machine with a network.
fn crates() -> Option<BTreeMap<String, String>> {
    let rustc = Command::new("rustc").arg("-vV").output().expect("rustc tells its host");
    let host = String::from_utf8(rustc.stdout).unwrap();
    let host = host.lines().find_map(|l| l.strip_prefix("host: ")).expect("a host").to_owned();
    let ask = |network: &[&str]| {
        Command::new(env!("CARGO"))
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .args(["metadata", "--format-version", "1", "--locked", "--filter-platform", &host])
            .args(network)
            .output()
            .expect("cargo tells what it builds")
    };
    // What was built is at hand; a crate that only an optional feature needs may have to be fetched.
    let mut output = ask(&["--offline"]);
    if !output.status.success() {
        output = ask(&[]);
    }
    if !output.status.success() {
        let why = String::from_utf8_lossy(&output.stderr);
        assert!(why.contains("download") || why.contains("HTTP") || why.contains("network"), "{why}");
        eprintln!("NOT CHECKED, for want of a network: {why}");
        return None;
    }
    let told: Value = serde_json::from_slice(&output.stdout).unwrap();
    let mut found = BTreeMap::new();
    for package in told["packages"].as_array().expect("packages") {
        let name = package["name"].as_str().unwrap();
        let licence = package["license"].as_str().unwrap_or("none stated");
        // Two versions of a crate may differ in their terms.
        let kept: &mut String = found.entry(name.to_owned()).or_default();
        if kept.is_empty() {
            licence.clone_into(kept);
        } else if *kept != licence {
            *kept = format!("{kept}; {licence}");
        }
    }
    Some(found)
}

fn is_accepted(licence: &str) -> bool {
    let Ok(expression) = spdx::Expression::parse_mode(licence, spdx::ParseMode::LAX) else { return false };
    expression
        .evaluate(|asked| asked.addition.is_none() && asked.license.id().is_some_and(|id| ACCEPTED.contains(&id.name)))
}

#[test]
fn terms_are_told_apart() {
    for good in ["MIT", "MIT/Apache-2.0", "(Apache-2.0 OR MIT) AND BSD-3-Clause", "Apache-2.0 OR GPL-2.0-only"] {
        assert!(is_accepted(good), "{good}");
    }
    for bad in ["GPL-3.0-only", "MIT AND GPL-2.0-only", "none stated", ""] {
        assert!(!is_accepted(bad), "{bad}");
    }
}

#[test]
fn every_crate_may_be_built_in() {
    let Some(crates) = crates() else { return };
    let refused: Vec<String> = crates
        .into_iter()
        .filter(|(_, licences)| !licences.split("; ").all(is_accepted))
        .map(|(name, licence)| format!("{name}: {licence}"))
        .collect();
    assert!(refused.is_empty(), "not among {ACCEPTED:?}:\n{}", refused.join("\n"));
}

#[test]
#[cfg_attr(not(all(target_os = "linux", target_arch = "x86_64")), ignore = "the kept list is that of 64-bit Linux")]
fn the_kept_list_is_true() {
    let Some(crates) = crates() else { return };
    let mut text = String::from("crate,licence\n");
    for (name, licence) in crates {
        text.push_str(&format!("{name},{licence}\n"));
    }
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(KEPT);
    if std::env::var_os("UPDATE_LICENCES").is_some() {
        std::fs::write(&path, &text).unwrap();
    }
    let kept = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(kept == text, "{KEPT} is out of date: UPDATE_LICENCES=1 cargo test --test licences");
}
