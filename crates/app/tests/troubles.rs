//! Every trouble of the browser has its sentence, every such sentence its trouble, and none lacks a fact.

use browser::Trouble;
use std::collections::BTreeSet;

fn id(code: &str) -> String {
    format!("trouble-{}", code.replace('-', "_"))
}

#[test]
fn troubles_and_sentences_match_both_ways() {
    let wanted: BTreeSet<String> = Trouble::CODES.iter().map(|code| id(code)).collect();
    let there: BTreeSet<String> = words::ids_of("trouble").map(str::to_owned).collect();
    assert_eq!(there, wanted);
}

/// One of each that carries facts. The others carry none, so that their code alone must do.
fn with_facts() -> Vec<Trouble> {
    let text = || "text".to_owned();
    vec![
        Trouble::StoreNotOpened { name: text(), message: text() },
        Trouble::StoreSilent { doing: "saving", waited_ms: 4000 },
        Trouble::AlreadyThere { job: text(), device: text(), n: 7 },
        Trouble::ChangedElsewhere { job: text(), expected: 1, found: 2 },
        Trouble::NotReadBack { place: "entries", key: text() },
        Trouble::StoreUnreadable { place: "entries", lacks: "line" },
        Trouble::NumberTooLarge { found: 1 << 60 },
        Trouble::StoreFailed { doing: "saving", name: text(), message: text() },
        Trouble::SettingsFull { key: text() },
        Trouble::SettingUnreadable { key: text(), kept_as: None },
        Trouble::SettingNotKept { key: text() },
        Trouble::FileTooLarge { name: text(), size_bytes: 1 << 30, most_bytes: 1 << 26 },
        Trouble::FileNotRead { name: text(), message: text() },
        Trouble::FileNotHanded { name: text() },
        Trouble::ShareFailed { name: text() },
    ]
}

#[test]
fn no_sentence_lacks_a_fact() {
    let telling = with_facts();
    for trouble in &telling {
        let facts = trouble.facts();
        let facts: Vec<(&str, &str)> = facts.iter().map(|(name, fact)| (*name, fact.as_str())).collect();
        let said = words::trouble(trouble.code(), &facts);
        assert!(!said.contains('{'), "{said}");
    }
    let silent = Trouble::CODES.iter().filter(|code| telling.iter().all(|trouble| trouble.code() != **code));
    for code in silent {
        let said = words::trouble(code, &[]);
        assert!(!said.contains('{'), "{said}");
    }
}
