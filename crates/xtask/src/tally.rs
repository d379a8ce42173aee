//! Counting what passed and failed over all stages, so that the last line tells the truth.

use crate::run::{Outcome, listen};
use crate::vectors::Compared;
use std::process::Command;
use std::time::Instant;

/// Passed and failed so far, and which stages failed.
#[derive(Debug, Default)]
pub struct Tally {
    passed: usize,
    failed: usize,
    unhappy: Vec<String>,
}

/// What the `test result:` lines of one run add up to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Counts {
    passed: usize,
    failed: usize,
    ignored: usize,
}

impl Tally {
    /// A stage that counts as one check: it works or it does not.
    pub fn check(&mut self, what: &str, work: impl FnOnce() -> Outcome) {
        let outcome = crate::run::step(what, work);
        match outcome {
            Ok(()) => self.passed += 1,
            Err(why) => {
                println!("   {why}");
                self.miss(what, 1);
            }
        }
    }

    /// A stage made of tests that print `test result:` lines. A run without any counts as failed, and so does a skipped test.
    pub fn tests(&mut self, what: &str, command: Outcome<Command>) {
        println!("── {what}");
        let start = Instant::now();
        let mut counts = Counts::default();
        let outcome = command.and_then(|mut command| listen(&mut command, |line| counts.hear(line)));
        self.passed += counts.passed;
        let mut failed = counts.failed + counts.ignored;
        match outcome {
            Ok(true) if counts.passed + failed == 0 => {
                println!("   no test ran");
                failed = 1;
            }
            Ok(true) => {}
            Ok(false) => failed = failed.max(1),
            Err(why) => {
                println!("   {why}");
                failed = failed.max(1);
            }
        }
        if counts.ignored > 0 {
            println!("   {} tests are marked to be ignored; none may be: mend or remove them", counts.ignored);
        }
        println!("   {} passed, {failed} failed here, {:.1} s", counts.passed, start.elapsed().as_secs_f64());
        self.miss(what, failed);
    }

    /// A stage that compares values: each counts as one check, and a stage that cannot compare counts as one failure.
    pub fn compare(&mut self, what: &str, work: impl FnOnce() -> Outcome<Compared>) {
        match crate::run::step(what, work) {
            Ok(Compared { equal, different }) => {
                self.passed += equal;
                self.miss(what, different);
            }
            Err(why) => {
                println!("   {why}");
                self.miss(what, 1);
            }
        }
    }

    /// Counts one stage that could not begin.
    pub fn not_begun(&mut self, what: &str, why: &impl std::fmt::Display) {
        println!("── {what}\n   could not begin: {why}");
        self.miss(what, 1);
    }

    /// Names the stages that failed, then gives the closing line; answers whether everything passed.
    pub fn close(&self) -> bool {
        if !self.unhappy.is_empty() {
            println!("\nFailed: {}", self.unhappy.join("; "));
        }
        println!("\n{} passed, {} failed", self.passed, self.failed);
        self.failed == 0
    }

    fn miss(&mut self, what: &str, failed: usize) {
        self.failed += failed;
        if failed > 0 {
            self.unhappy.push(what.to_string());
        }
    }
}

impl Counts {
    /// Adds a line such as `test result: ok. 12 passed; 0 failed; 1 ignored; 0 measured; …`; other lines are passed over.
    fn hear(&mut self, line: &str) {
        let Some((_, rest)) = line.split_once("test result: ") else { return };
        let mut words = rest.split([' ', ';']).filter(|word| !word.is_empty()).peekable();
        while let Some(word) = words.next() {
            let Ok(number) = word.parse::<usize>() else { continue };
            match words.peek() {
                Some(&"passed") => self.passed += number,
                Some(&"failed") => self.failed += number,
                Some(&"ignored") => self.ignored += number,
                _ => {}
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn result_lines_are_added_up() {
        let mut counts = Counts::default();
        counts.hear("running 3 tests");
        counts.hear("test result: ok. 12 passed; 0 failed; 1 ignored; 0 measured; 0 filtered out; finished in 0.01s");
        counts.hear("test result: FAILED. 3 passed; 2 failed; 0 ignored; 0 filtered out; finished in 0.90s");
        assert_eq!(counts, Counts { passed: 15, failed: 2, ignored: 1 });
    }

    #[test]
    fn a_run_without_tests_counts_as_failed() {
        let mut tally = Tally::default();
        tally.tests("silent", Ok(Command::new("true")));
        assert_eq!((tally.passed, tally.failed), (0, 1));
    }

    #[test]
    fn a_run_that_ends_badly_counts_as_failed_even_when_it_printed_no_failure() {
        let mut tally = Tally::default();
        let mut command = Command::new("sh");
        command.args(["-c", "echo 'test result: ok. 2 passed; 0 failed; 0 ignored'; exit 3"]);
        tally.tests("crashing", Ok(command));
        assert_eq!((tally.passed, tally.failed), (2, 1));
        assert!(!tally.close());
    }
}
