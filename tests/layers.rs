//! Which crate may use which: the table of the architecture against what the manifests really say.
//!
//! The table is exact in both directions: a dependency that no row allows fails, and so does an allowance nobody uses.
//! A new arrow or library is a decision, with a page in `docs/decisions`.

mod workspace;

use serde_json::Value;

/// One crate: the crates below it that it uses, and the libraries of others (normal and build dependencies).
struct Row {
    name: &'static str,
    arrows: &'static [&'static str],
    libraries: &'static [&'static str],
}

/// From the bottom up: a crate uses only crates of rows before its own.
const TABLE: &[Row] = &[
    Row { name: "metering", arrows: &[], libraries: &["libm", "thiserror"] },
    Row { name: "jobfile", arrows: &["metering"], libraries: &["chrono", "serde", "serde_json", "sha2", "thiserror"] },
    Row { name: "interchange", arrows: &["metering"], libraries: &["csv"] },
    Row { name: "procedure", arrows: &["metering", "jobfile"], libraries: &["thiserror"] },
    Row { name: "words", arrows: &["metering", "jobfile", "procedure"], libraries: &["fluent-syntax"] },
    Row { name: "pictures", arrows: &[], libraries: &["libm"] },
    Row {
        name: "browser",
        arrows: &[],
        libraries: &[
            "gloo-storage",
            "idb",
            "js-sys",
            "serde",
            "serde_json",
            "wasm-bindgen",
            "wasm-bindgen-futures",
            "web-sys",
        ],
    },
    Row {
        name: "app",
        arrows: &["metering", "jobfile", "procedure", "words", "pictures", "browser"],
        libraries: &[
            "chrono",
            "leptos",
            "send_wrapper",
            "serde_json",
            "wasm-bindgen",
            "wasm-bindgen-futures",
            "web-sys",
        ],
    },
    Row {
        name: "cli",
        arrows: &["metering", "jobfile", "procedure", "words", "pictures"],
        libraries: &["clap", "serde", "serde_json"],
    },
];

/// Crates that take what they need, for nothing of them ships; and nothing that ships may use them.
const WORKSHOP: &[&str] = &["tests", "xtask"];

/// Everything in which the table and the manifests differ, one sentence each.
fn differences(table: &[Row], packages: &[Value]) -> Vec<String> {
    let mut found = Vec::new();
    let name_of = |package: &Value| package["name"].as_str().unwrap_or_default().to_string();
    let ours: Vec<String> = packages.iter().map(name_of).collect();
    for name in ours.iter().filter(|name| !WORKSHOP.contains(&name.as_str())) {
        if !table.iter().any(|row| row.name == name) {
            found.push(format!("{name} has no row: give it its place in the table"));
        }
    }
    for (at, row) in table.iter().enumerate() {
        let Some(package) = packages.iter().find(|package| package["name"] == row.name) else {
            found.push(format!("{} has a row, but there is no such crate: remove the row", row.name));
            continue;
        };
        for below in row.arrows {
            if !table.iter().take(at).any(|earlier| earlier.name == *below) {
                found.push(format!("{} → {below} does not point down", row.name));
            }
        }
        let used = used_by(package);
        let (inside, outside): (Vec<String>, Vec<String>) = used.into_iter().partition(|name| ours.contains(name));
        found.extend(unlike(row.name, "→", &inside, row.arrows));
        found.extend(unlike(row.name, "with the library", &outside, row.libraries));
    }
    found
}

/// Names of normal and build dependencies; what only tests use is nobody's concern here.
fn used_by(package: &Value) -> Vec<String> {
    let dependencies = package["dependencies"].as_array().cloned().unwrap_or_default();
    let shipped = dependencies.iter().filter(|dependency| dependency["kind"] != "dev");
    let mut names: Vec<String> =
        shipped.filter_map(|dependency| dependency["name"].as_str().map(str::to_string)).collect();
    names.sort();
    names.dedup();
    names
}

fn unlike(name: &str, relation: &str, used: &[String], allowed: &[&str]) -> Vec<String> {
    let forbidden = used.iter().filter(|one| !allowed.contains(&one.as_str()));
    let stale = allowed.iter().filter(|one| !used.iter().any(|used| used == *one));
    let mut found: Vec<String> =
        forbidden.map(|one| format!("{name} {relation} {one} is not in the table: decide it, or do without")).collect();
    found.extend(stale.map(|one| format!("{name} {relation} {one} is in the table, but not used: remove it there")));
    found
}

#[test]
fn crates_use_what_the_table_allows_and_nothing_else() {
    let found = differences(TABLE, &workspace::packages());
    assert!(found.is_empty(), "\n{}", found.join("\n"));
}

#[test]
fn every_crate_lies_where_it_is_looked_for() {
    let root = workspace::root();
    for package in workspace::packages() {
        let name = package["name"].as_str().expect("a name");
        let wanted = if name == "tests" { root.join("tests") } else { root.join("crates").join(name) };
        let manifest = package["manifest_path"].as_str().expect("a manifest");
        assert_eq!(std::path::Path::new(manifest).parent(), Some(wanted.as_path()), "{name}");
    }
}

#[test]
fn each_kind_of_difference_is_found() {
    let package = |name: &str, uses: &[(&str, Option<&str>)]| {
        let dependencies: Vec<Value> =
            uses.iter().map(|(name, kind)| serde_json::json!({ "name": name, "kind": kind })).collect();
        serde_json::json!({ "name": name, "dependencies": dependencies })
    };
    let table = [
        Row { name: "low", arrows: &[], libraries: &["libm"] },
        Row { name: "high", arrows: &["low"], libraries: &[] },
    ];
    let right =
        [package("low", &[("libm", None), ("proptest", Some("dev"))]), package("high", &[("low", Some("build"))])];
    assert_eq!(differences(&table, &right), Vec::<String>::new());
    for (packages, wanted) in [
        (
            vec![package("low", &[("libm", None), ("high", None)]), package("high", &[("low", None)])],
            "low → high is not",
        ),
        (vec![package("low", &[("libm", None)]), package("high", &[])], "high → low is in the table, but not used"),
        (vec![package("low", &[]), package("high", &[("low", None)])], "low with the library libm is in the table"),
        (vec![package("low", &[("libm", None)]), package("high", &[("low", None), ("rand", None)])], "rand is not"),
        (vec![package("low", &[("libm", None), ("xtask", None)]), package("high", &[("low", None)])], "xtask is not"),
        (vec![package("low", &[("libm", None)])], "there is no such crate"),
        ([&right[..], &[package("other", &[])]].concat(), "other has no row"),
    ] {
        let found = differences(&table, &packages);
        assert!(found.iter().any(|sentence| sentence.contains(wanted)), "{wanted}: {found:?}");
    }
    let upward =
        [Row { name: "low", arrows: &["high"], libraries: &[] }, Row { name: "high", arrows: &[], libraries: &[] }];
    let found = differences(&upward, &[package("low", &[("high", None)]), package("high", &[])]);
    assert_eq!(found, ["low → high does not point down"]);
}
