//! From sources to a folder that any web server can serve: compile, bind, gather, seal.
//!
//! Sealing writes `sw.js`, which knows the hash of every file, so that a phone never runs a mix of two versions.

use crate::run::{Outcome, Trouble, cargo, finish, step, trouble};
use crate::{need, places};
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest, Sha256};
use std::fs;
use std::path::{Path, PathBuf};

/// How the app is compiled.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Build {
    /// As a phone gets it: small, checked against the budget.
    Phone,
    /// Quick to compile, large, with names for the debugger.
    Dev,
}

impl Build {
    const fn profile(self) -> &'static str {
        match self {
            Self::Phone => "phone",
            Self::Dev => "dev",
        }
    }

    /// Folder below the target's that cargo puts the profile's files in.
    const fn folder(self) -> &'static str {
        match self {
            Self::Phone => "phone",
            Self::Dev => "debug",
        }
    }
}

/// Name of the service worker, the one file that is not among those it guards.
const WORKER: &str = "sw.js";

/// Compiles and bundles the app into `target/site`; answers that folder.
pub fn site(build: Build) -> Outcome<PathBuf> {
    need::wasm_target()?;
    let profile = build.profile();
    step(&format!("Compiling the app (profile {profile}; about five minutes the first time)"), || {
        finish(&mut cargo(["build", "--package", "app", "--target", need::WASM, "--profile", profile])?)
            .map_err(|why| Trouble(format!("The app did not compile ({why}); the compiler's words are above.")))
    })?;
    let site = places::site()?;
    let wasm = places::target()?.join(need::WASM).join(build.folder()).join("app.wasm");
    step("Bundling it into target/site", || {
        empty(&site)?;
        bind(&wasm, &site, build)?;
        gather(&places::root()?, &site)?;
        every_style_is_linked(&site)?;
        seal(&site)
    })?;
    Ok(site)
}

/// Copies a sealed bundle and marks every text file of the copy, which makes it another version of the same app.
pub fn next_version_of(site: &Path, copy: &Path, mark: &str) -> Outcome {
    empty(copy)?;
    for name in files_below(site)? {
        let to = copy.join(&name);
        make_folder_of(&to)?;
        let mut bytes = read(&site.join(&name))?;
        match Path::new(&name).extension().and_then(|ending| ending.to_str()) {
            Some("js" | "css") => bytes.extend(format!("\n/* {mark} */\n").bytes()),
            Some("html" | "svg") => bytes.extend(format!("\n<!-- {mark} -->\n").bytes()),
            _ => {}
        }
        write(&to, &bytes)?;
    }
    copy_file(&places::root()?.join("assets").join(WORKER), &copy.join(WORKER))?;
    seal(copy)
}

/// Every file below `folder`, by its name relative to it, with `/` between parts, in order.
pub fn files_below(folder: &Path) -> Outcome<Vec<String>> {
    let mut names = Vec::new();
    collect(folder, "", &mut names)?;
    names.sort();
    Ok(names)
}

fn collect(folder: &Path, before: &str, names: &mut Vec<String>) -> Outcome {
    let doing = || format!("Reading {}", folder.display());
    for entry in fs::read_dir(folder).map_err(|why| trouble(doing(), why))? {
        let entry = entry.map_err(|why| trouble(doing(), why))?;
        let name = format!("{before}{}", entry.file_name().to_string_lossy());
        if entry.path().is_dir() {
            collect(&entry.path(), &format!("{name}/"), names)?;
        } else {
            names.push(name);
        }
    }
    Ok(())
}

/// Writes the JavaScript that loads the module, and the module itself.
fn bind(wasm: &Path, site: &Path, build: Build) -> Outcome {
    let small = build == Build::Phone;
    let doing = "Writing the module's JavaScript";
    let mut bindgen = wasm_bindgen_cli_support::Bindgen::new();
    bindgen.input_path(wasm).web(true).map_err(|why| trouble(doing, why))?;
    bindgen.typescript(false).keep_debug(!small);
    bindgen.remove_name_section(small).remove_producers_section(small).omit_default_module_path(true);
    bindgen.generate(site).map_err(|why| trouble(doing, format!("{why:#}")))
}

/// Copies the page and the assets; `css`, `fonts` and `icons` keep their folders, the other assets go to the top.
fn gather(root: &Path, site: &Path) -> Outcome {
    copy_file(&root.join("index.html"), &site.join("index.html"))?;
    let assets = root.join("assets");
    for name in files_below(&assets)? {
        // Notes about an asset's origin are for contributors.
        if !name.ends_with(".md") {
            copy_file(&assets.join(&name), &site.join(&name))?;
        }
    }
    Ok(())
}

/// Refuses a style sheet that index.html forgets, or names without there being one.
fn every_style_is_linked(site: &Path) -> Outcome {
    let page = String::from_utf8_lossy(&read(&site.join("index.html"))?).into_owned();
    let linked: Vec<&str> = page.split('"').filter(|part| part.ends_with(".css")).collect();
    let styles: Vec<String> = files_below(site)?.into_iter().filter(|name| name.ends_with(".css")).collect();
    if let Some(name) = linked.iter().find(|name| !styles.iter().any(|style| style == *name)) {
        return Err(Trouble(format!(
            "index.html links {name}, which is not in assets: add the file or remove the link."
        )));
    }
    match styles.iter().find(|style| !linked.contains(&style.as_str())) {
        Some(name) => {
            Err(Trouble(format!("assets/{name} is not linked by index.html: add the link or remove the file.")))
        }
        None => Ok(()),
    }
}

/// Writes the list of files with their hashes, and the version made of it, into the service worker.
fn seal(site: &Path) -> Outcome {
    let mut list = Vec::new();
    for name in files_below(site)?.into_iter().filter(|name| name != WORKER) {
        let hash = Sha256::digest(read(&site.join(&name))?);
        list.push(serde_json::json!([name, STANDARD.encode(hash)]).to_string());
    }
    let list = list.join(",");
    let version: String = Sha256::digest(&list).iter().take(8).map(|byte| format!("{byte:02x}")).collect();
    let worker = site.join(WORKER);
    let text = String::from_utf8_lossy(&read(&worker)?).into_owned();
    for place in ["/*VERSION*/", "/*FILES*/"] {
        if text.matches(place).count() != 1 {
            return Err(Trouble(format!("assets/{WORKER} must hold {place} exactly once: put it back.")));
        }
    }
    write(&worker, text.replace("/*VERSION*/", &version).replace("/*FILES*/", &list).as_bytes())
}

fn empty(folder: &Path) -> Outcome {
    let doing = || format!("Emptying {}", folder.display());
    if folder.exists() {
        fs::remove_dir_all(folder).map_err(|why| trouble(doing(), why))?;
    }
    fs::create_dir_all(folder).map_err(|why| trouble(doing(), why))
}

fn make_folder_of(file: &Path) -> Outcome {
    let Some(folder) = file.parent() else { return Ok(()) };
    fs::create_dir_all(folder).map_err(|why| trouble(format!("Making {}", folder.display()), why))
}

fn copy_file(from: &Path, to: &Path) -> Outcome {
    make_folder_of(to)?;
    fs::copy(from, to).map(drop).map_err(|why| trouble(format!("Copying {}", from.display()), why))
}

fn read(file: &Path) -> Outcome<Vec<u8>> {
    fs::read(file).map_err(|why| trouble(format!("Reading {}", file.display()), why))
}

fn write(file: &Path, bytes: &[u8]) -> Outcome {
    fs::write(file, bytes).map_err(|why| trouble(format!("Writing {}", file.display()), why))
}
