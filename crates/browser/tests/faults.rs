//! The faults a browser's store must survive, by their numbers in the list of docs; each is put in by `faults.js`.
#![cfg(target_arch = "wasm32")]
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may stop")]

mod support;

use browser::store::{InboxNew, Notice, Store};
use browser::{Trouble, timer};
use support::{batch, entry, faults, fresh, open, open_listening, options, unused};
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};

wasm_bindgen_test_configure!(run_in_browser);

/// Built with the feature `without-read-back` this test must fail: that shows that the read-back is what catches it.
#[wasm_bindgen_test]
async fn fault_13_a_write_that_leaves_nothing_is_not_called_saved() {
    let (_, store) = fresh("fault13").await;
    for place in ["entries", "jobs"] {
        faults::lose_writes(place);
        let said = store.save(&batch(place, 0, vec![entry("a", 1)])).await;
        faults::restore();
        match said {
            Err(Trouble::NotReadBack { place: found, .. }) => assert_eq!(found, place),
            other => panic!("the screen would have gone by: {other:?}"),
        }
    }
}

#[wasm_bindgen_test]
async fn fault_13_one_changed_letter_is_not_called_saved() {
    let (_, store) = fresh("fault13b").await;
    for (place, field) in [("entries", "line"), ("entries", "hash"), ("jobs", "summary"), ("jobs", "root")] {
        let job = format!("{place}-{field}");
        faults::garble_writes(place, field);
        let said = store.save(&batch(&job, 0, vec![entry("a", 1)])).await;
        faults::restore();
        assert!(matches!(&said, Err(Trouble::NotReadBack { .. })), "{job}: {said:?}");
    }
}

#[wasm_bindgen_test]
async fn fault_13_also_for_the_inbox_the_notes_and_the_device() {
    let (_, store) = fresh("fault13c").await;
    faults::lose_writes("meta");
    let (note, device) = (store.put_meta("k", "v").await, store.device_id().await);
    faults::restore();
    assert_eq!(note, Err(Trouble::NotReadBack { place: "meta", key: "k".into() }));
    assert_eq!(device, Err(Trouble::NotReadBack { place: "meta", key: "device".into() }));
    faults::lose_writes("inbox");
    let kept = store.put_inbox(InboxNew { name: "n", why: "w", at: "t", bytes: b"x" }).await;
    faults::restore();
    assert!(matches!(kept, Err(Trouble::NotReadBack { place: "inbox", .. })), "{kept:?}");
}

#[wasm_bindgen_test]
async fn fault_7_a_closing_connection_is_opened_once_more() {
    let (_, store) = fresh("fault7").await;
    faults::closing(1);
    let saved = store.save(&batch("job", 0, vec![entry("a", 1)])).await;
    faults::restore();
    assert_eq!(saved.unwrap().revision, 1);
    faults::closing(2);
    let listed = store.list_jobs().await;
    faults::restore();
    assert_eq!(listed, Err(Trouble::StoreClosed));
    assert_eq!(store.list_jobs().await.unwrap().len(), 1);
}

#[wasm_bindgen_test]
async fn fault_7_two_actions_at_once_that_find_the_connection_lost_both_get_through() {
    let (_, store) = fresh("fault7c").await;
    let other = store.clone();
    let done = std::rc::Rc::new(std::cell::RefCell::new(None));
    let result = done.clone();
    faults::dead_connection();
    wasm_bindgen_futures::spawn_local(async move {
        result.replace(Some(other.save(&batch("two", 0, vec![entry("a", 1)])).await));
    });
    let one = store.save(&batch("one", 0, vec![entry("a", 1)])).await;
    for _ in 0..100 {
        if done.borrow().is_none() {
            timer::sleep_ms(20).await;
        }
    }
    faults::restore();
    assert_eq!(one.unwrap().revision, 1);
    assert_eq!(done.take().unwrap().unwrap().revision, 1);
}

#[wasm_bindgen_test]
async fn fault_7_a_write_cut_off_under_way_is_done_again_and_only_once() {
    let (_, store) = fresh("fault7b").await;
    faults::lost_under_way();
    let saved = store.save(&batch("job", 0, vec![entry("a", 1), entry("a", 2)])).await;
    faults::restore();
    assert_eq!(saved.unwrap().revision, 1);
    assert_eq!(store.load_job("job").await.unwrap().unwrap().entries.len(), 2);
}

#[wasm_bindgen_test]
async fn fault_8_a_transaction_that_never_ends_is_not_called_saved() {
    let (name, _) = fresh("fault8").await;
    let (store, _) = open_listening(&name).await;
    let batch = batch("job", 0, vec![entry("a", 1)]);
    faults::silent_transactions();
    let said = store.save(&batch).await;
    faults::restore();
    assert_eq!(said, Err(Trouble::StoreSilent { doing: "save", waited_ms: 400 }));
    assert!(!said.unwrap_err().wrote_nothing(), "nobody can know");
    // The same batch again settles it, whatever had become of the first try.
    assert_eq!(store.save(&batch).await.unwrap().revision, 1);
    assert_eq!(store.load_job("job").await.unwrap().unwrap().entries, [entry("a", 1)]);
}

#[wasm_bindgen_test]
async fn fault_8_a_request_or_an_opening_that_is_never_answered_ends() {
    let (name, _) = fresh("fault8b").await;
    let (store, _) = open_listening(&name).await;
    faults::silent_requests();
    let listed = store.list_jobs().await;
    faults::restore();
    assert_eq!(listed, Err(Trouble::StoreSilent { doing: "list", waited_ms: 400 }));
    faults::open_silent();
    let opened = Store::open_with(options(&name), |_| {}).await;
    faults::restore();
    assert_eq!(opened.unwrap_err(), Trouble::StoreSilent { doing: "open", waited_ms: 400 });
}

#[wasm_bindgen_test]
async fn fault_9_a_transaction_that_went_inactive_is_not_called_saved() {
    let (_, store) = fresh("fault9").await;
    faults::late_answers(60);
    let said = store.save(&batch("job", 0, vec![entry("a", 1)])).await;
    faults::restore();
    // The browser may call it inactive or finished; either way it is tried once more at most, and told.
    match &said {
        Err(Trouble::StoreClosed) => {}
        Err(Trouble::StoreFailed { name, .. }) => assert_eq!(name, "TransactionInactiveError"),
        other => panic!("{other:?}"),
    }
    assert_eq!(store.load_job("job").await.unwrap(), None);
}

#[wasm_bindgen_test]
async fn fault_3_a_full_store_in_the_middle_leaves_nothing_of_the_action() {
    let (_, store) = fresh("fault3").await;
    for nth in 1..=4 {
        faults::full_at(nth);
        let said = store.save(&batch("job", 0, (1..=4).map(|n| entry("a", n)).collect())).await;
        faults::restore();
        assert_eq!(said, Err(Trouble::StoreFull));
        assert!(said.unwrap_err().wrote_nothing());
        assert_eq!(store.load_job("job").await.unwrap(), None, "at entry {nth}");
    }
}

#[wasm_bindgen_test]
async fn fault_6_an_opening_that_fails_says_so() {
    faults::restore();
    let name = unused("fault6");
    faults::open_fails("UnknownError");
    let failed = Store::open_with(options(&name), |_| {}).await.unwrap_err();
    faults::restore();
    assert!(matches!(&failed, Trouble::StoreNotOpened { name, .. } if name == "UnknownError"), "{failed:?}");
    faults::open_throws("SecurityError");
    let thrown = Store::open_with(options(&name), |_| {}).await.unwrap_err();
    faults::restore();
    assert!(matches!(&thrown, Trouble::StoreNotOpened { name, .. } if name == "SecurityError"), "{thrown:?}");
}

#[wasm_bindgen_test]
async fn fault_11_a_page_gives_way_to_a_newer_version() {
    let (name, _) = fresh("fault11").await;
    let (store, notices) = open_listening(&name).await;
    faults::other_tab(&name, 2, false).await;
    assert_eq!(*notices.borrow(), [Notice::GaveWay]);
    assert_eq!(store.list_jobs().await, Err(Trouble::StoreNewer));
    assert_eq!(Store::open_with(options(&name), |_| {}).await.unwrap_err(), Trouble::StoreNewer);
    faults::other_tabs_close();
}

#[wasm_bindgen_test]
async fn fault_11_an_old_tab_that_holds_on_is_named() {
    let (name, store) = fresh("fault11b").await;
    store.close();
    faults::other_tab(&name, 1, true).await;
    faults::open_newer(2);
    let notices = support::Notices::default();
    let heard = notices.clone();
    let said = Store::open_with(options(&name), move |notice| heard.borrow_mut().push(notice)).await;
    faults::restore();
    assert_eq!(said.unwrap_err(), Trouble::StoreBlocked);
    assert_eq!(*notices.borrow(), [Notice::WaitingForOtherTab]);
    faults::other_tabs_close();
}

#[wasm_bindgen_test]
async fn fault_5_a_store_deleted_under_an_open_page_is_noticed_and_not_made_anew() {
    let (name, _) = fresh("fault5").await;
    let (store, notices) = open_listening(&name).await;
    store.save(&batch("job", 0, vec![entry("a", 1)])).await.unwrap();
    faults::delete_database(&name).await;
    assert_eq!(*notices.borrow(), [Notice::Emptied]);
    assert_eq!(store.save(&batch("job", 1, vec![entry("a", 2)])).await, Err(Trouble::StoreEmptied));
    assert!(!faults::database_exists(&name).await.is_truthy());
    assert!(open(&name).await.was_created(), "loading the page again builds it, and the sentinel tells of the loss");
}

#[wasm_bindgen_test]
async fn a_damaged_row_is_given_as_it_is_and_hides_nothing_else() {
    let (name, store) = fresh("damaged").await;
    store.save(&batch("job", 0, vec![entry("a", 1)])).await.unwrap();
    faults::put_raw(&name, "entries", r#"{"job":"job","device":"a","n":2,"hash":"h"}"#).await;
    faults::put_raw(&name, "entries", r#"{"job":"job","device":"a","n":2.5,"hash":"h","line":"l"}"#).await;
    faults::put_raw(&name, "jobs", r#"{"job":"other"}"#).await;
    let job = store.load_job("job").await.unwrap().unwrap();
    assert_eq!(job.entries, [entry("a", 1)]);
    assert_eq!(job.damaged.len(), 2);
    assert!(job.damaged[0].contains(r#""n":2,"hash":"h""#), "{:?}", job.damaged);
    let listed = store.list_jobs().await.unwrap();
    assert_eq!((listed.len(), listed[1].job.as_str(), listed[1].summary.as_str()), (2, "other", ""));
    // Saving rewrites the derived row, never the entries.
    store.save(&batch("other", 0, vec![entry("a", 1)])).await.unwrap();
}
