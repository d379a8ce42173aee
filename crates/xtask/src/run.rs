//! Running other programs, saying what is done and how long it takes, and saying plainly why something failed.

use std::ffi::OsStr;
use std::fmt;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Instant;

/// Why a command could not finish: one sentence for the person at the keyboard, with the mend where there is one.
#[derive(Debug)]
pub struct Trouble(pub String);

impl fmt::Display for Trouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// What every step answers.
pub type Outcome<T = ()> = Result<T, Trouble>;

/// Makes a [`Trouble`] from a failure and what was being done.
pub fn trouble(doing: impl fmt::Display, why: impl fmt::Display) -> Trouble {
    Trouble(format!("{doing}: {why}"))
}

/// Says what is about to be done, does it, and says how long it took.
pub fn step<T>(what: &str, work: impl FnOnce() -> Outcome<T>) -> Outcome<T> {
    println!("── {what}");
    let start = Instant::now();
    let outcome = work();
    let seconds = start.elapsed().as_secs_f64();
    match &outcome {
        Ok(_) => println!("   done in {seconds:.1} s"),
        Err(_) => println!("   failed after {seconds:.1} s"),
    }
    outcome
}

/// A program with its arguments, started in `folder`, with nothing to read from the keyboard.
pub fn program<I, S>(folder: &Path, name: impl AsRef<OsStr>, arguments: I) -> Command
where
    I: IntoIterator<Item = S>,
    S: AsRef<OsStr>,
{
    let mut command = Command::new(name);
    command.args(arguments).current_dir(folder).stdin(Stdio::null());
    command
}

/// The cargo that started this program, with `arguments`, in the workspace's root.
pub fn cargo<I, S>(arguments: I) -> Outcome<Command>
where
    I: IntoIterator<Item = S>,
    S: AsRef<OsStr>,
{
    let name = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    Ok(program(&crate::places::root()?, name, arguments))
}

/// Runs to the end, its words going straight to the screen; anything but success is trouble.
pub fn finish(command: &mut Command) -> Outcome {
    let status = command.status().map_err(|why| trouble(shown(command), why))?;
    if status.success() { Ok(()) } else { Err(trouble(shown(command), status)) }
}

/// Runs to the end and keeps what it printed; anything but success is trouble.
pub fn output_of(command: &mut Command) -> Outcome<String> {
    let output = command.stderr(Stdio::null()).output().map_err(|why| trouble(shown(command), why))?;
    if !output.status.success() {
        return Err(trouble(shown(command), output.status));
    }
    Ok(String::from_utf8_lossy(&output.stdout).into_owned())
}

/// Runs what must fail, and must say this when it does; shows what it printed where it did otherwise.
pub fn fails_saying(command: &mut Command, wanted: &str) -> Outcome {
    let output = command.output().map_err(|why| trouble(shown(command), why))?;
    let printed = [output.stdout, output.stderr].map(|bytes| String::from_utf8_lossy(&bytes).into_owned()).concat();
    if !output.status.success() && printed.contains(wanted) {
        return Ok(());
    }
    println!("{printed}");
    let how = if output.status.success() { "it passed" } else { "it failed for another reason" };
    Err(Trouble(format!("{} must fail saying “{wanted}”, and {how}.", shown(command))))
}

/// Runs to the end, showing each line as it comes and handing it to `hear`; answers whether it succeeded.
pub fn listen(command: &mut Command, mut hear: impl FnMut(&str)) -> Outcome<bool> {
    let mut child = command.stdout(Stdio::piped()).spawn().map_err(|why| trouble(shown(command), why))?;
    if let Some(stdout) = child.stdout.take() {
        let mut lines = BufReader::new(stdout);
        let mut bytes = Vec::new();
        // Read as bytes: a test may print what is not UTF-8, and its count must still be heard.
        while lines.read_until(b'\n', &mut bytes).map_err(|why| trouble(shown(command), why))? > 0 {
            let line = String::from_utf8_lossy(&bytes);
            print!("{line}");
            hear(line.trim_end());
            bytes.clear();
        }
    }
    Ok(child.wait().map_err(|why| trouble(shown(command), why))?.success())
}

fn shown(command: &Command) -> String {
    let words = std::iter::once(command.get_program()).chain(command.get_args());
    words.map(OsStr::to_string_lossy).collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn says(line: &str, code: u8) -> Outcome {
        fails_saying(Command::new("sh").args(["-c", &format!("echo '{line}' >&2; exit {code}")]), "as foretold")
    }

    #[test]
    fn only_the_failure_that_was_foretold_is_right() {
        assert!(says("it fails as foretold", 1).is_ok());
        assert!(says("as foretold", 0).is_err());
        assert!(says("does not compile", 101).is_err());
    }
}
