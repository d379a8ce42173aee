//! The rest of the page in a real browser: locks, messages, the clock, files, the theme, the address.
#![cfg(target_arch = "wasm32")]
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may stop")]

mod support;

use browser::channel::{Channel, Message};
use browser::files::{self, Shared};
use browser::settings::Theme;
use browser::{Trouble, clock, focus, hash, locks, network, persist, theme, timer, wake};
use std::cell::RefCell;
use std::rc::Rc;
use support::page;
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};

wasm_bindgen_test_configure!(run_in_browser);

#[wasm_bindgen_test]
async fn a_lock_is_held_by_one_and_free_again_after() {
    page::restore();
    assert!(locks::present());
    let held = locks::lock("job-1").await.unwrap();
    assert!(locks::try_lock("job-1").await.unwrap().is_none());
    assert!(locks::try_lock("job-2").await.unwrap().is_some());
    drop(held);
    assert_eq!(locks::with_lock("job-1", async { 7 }).await, Ok(7));
    timer::sleep_ms(0).await;
    assert!(locks::try_lock("job-1").await.unwrap().is_some());
}

#[wasm_bindgen_test]
async fn who_waits_for_a_lock_gets_it_when_it_is_free() {
    let order = Rc::new(RefCell::new(Vec::new()));
    let held = locks::lock("queue").await.unwrap();
    let later = order.clone();
    wasm_bindgen_futures::spawn_local(async move {
        let _held = locks::lock("queue").await.unwrap();
        later.borrow_mut().push("second");
    });
    timer::sleep_ms(30).await;
    order.borrow_mut().push("first");
    drop(held);
    timer::sleep_ms(30).await;
    assert_eq!(*order.borrow(), ["first", "second"]);
}

#[wasm_bindgen_test]
async fn a_browser_without_locks_or_channels_says_so() {
    page::restore();
    page::without("locks");
    page::without("BroadcastChannel");
    let (locked, channel) = (locks::lock("x").await, Channel::open(|_| {}));
    page::restore();
    assert_eq!(locked.unwrap_err(), Trouble::LocksAbsent);
    assert_eq!(channel.unwrap_err(), Trouble::ChannelAbsent);
}

#[wasm_bindgen_test]
async fn tabs_hear_each_other_and_not_themselves() {
    let heard: Rc<RefCell<Vec<(&str, Message)>>> = Rc::default();
    let (to_one, to_two) = (heard.clone(), heard.clone());
    let one = Channel::open(move |message| to_one.borrow_mut().push(("one", message))).unwrap();
    let _two = Channel::open(move |message| to_two.borrow_mut().push(("two", message))).unwrap();
    let message = Message::JobChanged { job: "j".into(), revision: 3 };
    one.send(&message).unwrap();
    timer::sleep_ms(100).await;
    assert_eq!(*heard.borrow(), [("two", message)]);
}

#[wasm_bindgen_test]
async fn the_clock_agrees_with_itself_and_one_page_is_one_session() {
    let moment = clock::moment();
    let date = js_sys::Date::new(&moment.at.as_str().into());
    assert_eq!(date.get_time() as i64, moment.unix_ms / 1000 * 1000, "{}", moment.at);
    let start_ms = clock::since_start_ms();
    timer::sleep_ms(30).await;
    assert!(clock::since_start_ms() >= start_ms + 25);
    assert_eq!(clock::session_id().unwrap(), clock::session_id().unwrap());
}

#[wasm_bindgen_test]
async fn a_ticker_ticks_until_it_is_dropped() {
    let count = Rc::new(RefCell::new(0));
    let counted = count.clone();
    let ticker = timer::every(10, move || *counted.borrow_mut() += 1).unwrap();
    timer::sleep_ms(100).await;
    drop(ticker);
    let then = *count.borrow();
    assert!(then >= 3, "{then}");
    timer::sleep_ms(50).await;
    assert_eq!(*count.borrow(), then);
}

#[wasm_bindgen_test]
async fn a_download_carries_name_kind_and_every_letter() {
    page::restore();
    page::catch_download();
    files::download("job ∠.json", "application/json", "{\"a\":\"kΩ\"}".as_bytes()).unwrap();
    let seen = page::downloaded().await.as_string().unwrap();
    page::restore();
    assert_eq!(seen, r#"["job ∠.json",true,"application/json","{\"a\":\"kΩ\"}"]"#);
}

#[wasm_bindgen_test]
async fn sharing_hands_over_the_file_or_says_why_not() {
    page::restore();
    page::without("share");
    assert!(!files::can_share("j.json", "application/json"));
    assert_eq!(files::share("j.json", "application/json", b"{}", "t").await, Err(Trouble::ShareAbsent));
    for (outcome, said) in [
        (None, Ok(Shared::Handed)),
        (Some("AbortError"), Ok(Shared::Cancelled)),
        (Some("NotAllowedError"), Err(Trouble::ShareFailed { name: "NotAllowedError".into() })),
    ] {
        page::restore();
        page::stub_share(outcome);
        assert!(!files::can_share("j.exe", "application/octet-stream"));
        assert_eq!(files::share("j.json", "application/json", b"{}", "A job").await, said);
        let shared = page::what_was_shared().await.as_string().unwrap();
        assert_eq!(shared, r#"["A job","j.json","application/json","{}"]"#);
    }
    page::restore();
}

#[wasm_bindgen_test]
async fn a_file_over_64_mib_is_refused_before_anything_of_it_is_read() {
    page::restore();
    page::count_reads();
    let most = u32::try_from(files::MOST_BYTES).unwrap();
    let said = files::read(&page::file_of("big.json", most + 1)).await;
    let wanted = Trouble::FileTooLarge {
        name: "big.json".into(),
        size_bytes: files::MOST_BYTES + 1,
        most_bytes: files::MOST_BYTES,
    };
    assert_eq!(said, Err(wanted));
    assert_eq!(page::reads_counted(), 0);
    assert_eq!(files::read(&page::file_of("fits.json", most)).await.unwrap().bytes.len(), most as usize);
    assert_eq!(page::reads_counted(), 1);
    page::restore();
    let gone = files::read(&page::unreadable_file("gone.json")).await;
    assert_eq!(gone, Err(Trouble::FileNotRead { name: "gone.json".into(), message: "gone".into() }));
}

#[wasm_bindgen_test]
async fn a_dropped_file_is_taken_and_the_page_stays() {
    let names: Rc<RefCell<Vec<String>>> = Rc::default();
    let seen = names.clone();
    let listeners =
        files::on_drop(move |files| seen.borrow_mut().extend(files.iter().map(|file| file.name()))).unwrap();
    assert!(page::drop_file("job.json"));
    drop(listeners);
    assert!(!page::drop_file("late.json"));
    assert_eq!(*names.borrow(), ["job.json"]);
}

#[wasm_bindgen_test]
async fn a_copy_is_made_or_its_refusal_is_told() {
    page::restore();
    page::stub_clipboard(false);
    assert_eq!(files::copy_text("ten lines").await, Ok(()));
    assert_eq!(page::what_was_copied(), "ten lines");
    page::restore();
    page::stub_clipboard(true);
    assert_eq!(files::copy_text("x").await, Err(Trouble::NotCopied));
    page::restore();
    page::without("clipboard");
    assert_eq!(files::copy_text("x").await, Err(Trouble::NotCopied));
    page::restore();
}

#[wasm_bindgen_test]
async fn the_screen_is_kept_on_asked_again_when_seen_again_and_let_go() {
    page::restore();
    page::stub_wake(false);
    let awake = wake::keep_awake().await.unwrap();
    page::see_again();
    timer::sleep_ms(20).await;
    assert_eq!(page::wake_counts(), "[2,0]");
    drop(awake);
    timer::sleep_ms(20).await;
    assert_eq!(page::wake_counts(), "[2,1]");
    page::restore();
    page::stub_wake(true);
    assert_eq!(wake::keep_awake().await.unwrap_err(), Trouble::WakeRefused);
    page::restore();
    page::without("wakeLock");
    assert_eq!(wake::keep_awake().await.unwrap_err(), Trouble::WakeAbsent);
    page::restore();
}

#[wasm_bindgen_test]
fn going_offline_and_back_is_told() {
    page::restore();
    let seen: Rc<RefCell<Vec<bool>>> = Rc::default();
    let told = seen.clone();
    let listeners = network::on_change(move |online| told.borrow_mut().push(online)).unwrap();
    page::go("offline");
    assert!(!network::online());
    page::go("online");
    assert!(network::online());
    drop(listeners);
    page::go("offline");
    page::restore();
    assert_eq!(*seen.borrow(), [false, true]);
}

#[wasm_bindgen_test]
async fn the_browser_answers_about_its_storage() {
    let room = persist::estimate().await.unwrap();
    assert!(room.quota_bytes > 0.0 && room.usage_bytes >= 0.0);
    // A headless browser refuses; the test is that it answers, the same in both ways of asking.
    assert_eq!(persist::ask().await.unwrap(), persist::persisted().await.unwrap());
}

#[wasm_bindgen_test]
fn the_theme_is_one_attribute_that_the_style_sheets_know() {
    for (theme, shown) in [(Theme::Dark, Some("dark")), (Theme::Light, Some("light")), (Theme::Auto, Some("auto"))] {
        theme::apply(theme).unwrap();
        assert_eq!(page::root_theme().as_deref(), shown);
    }
}

#[wasm_bindgen_test]
async fn the_address_says_which_screen() {
    let seen: Rc<RefCell<Vec<String>>> = Rc::default();
    let told = seen.clone();
    let listener = hash::listen(move |place| told.borrow_mut().push(place)).unwrap();
    hash::set("/job/abc/steps").unwrap();
    timer::sleep_ms(50).await;
    hash::replace("/job/abc/plates").unwrap();
    timer::sleep_ms(50).await;
    assert_eq!(hash::get(), "/job/abc/plates");
    assert_eq!(*seen.borrow(), ["/job/abc/steps"]);
    drop(listener);
    hash::replace("").unwrap();
    assert_eq!(hash::get(), "");
}

#[wasm_bindgen_test]
fn the_focus_goes_where_it_is_sent() {
    let document = web_sys::window().unwrap().document().unwrap();
    let button = document.create_element("button").unwrap();
    button.set_id("there");
    document.body().unwrap().append_child(&button).unwrap();
    assert!(focus::focus("there"));
    assert_eq!(document.active_element().unwrap().id(), "there");
    assert!(focus::scroll_to("there"));
    assert!(!focus::focus("nowhere") && !focus::scroll_to("nowhere"));
    button.remove();
}
