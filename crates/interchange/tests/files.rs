//! Files as they are met: read as their layout says, every oddity named with its line, and nothing that brings the reader down.
#![allow(clippy::unwrap_used, reason = "helpers of tests fail the test")]

use interchange::guess::{Doubt, guess};
use interchange::layout::{DateOrder, Label, Layout, Measure, Times};
use interchange::oddity::Kind;
use interchange::read::{Reading, read};
use metering::demand::local::Zone;
use metering::demand::window::{Incomplete, Timer, peak};
use proptest::prelude::*;

const PLAIN: Layout = Layout {
    separator: b',',
    decimal_comma: false,
    has_header: false,
    times: Times::Column(0),
    value: 1,
    order: DateOrder::YearMonthDay,
    label: Label::Start,
    measure: Measure::Kilowatts,
    zone: Zone::fixed(0),
    step_s: 900,
};

fn of(text: &str, layout: &Layout) -> Reading {
    read(text.as_bytes(), layout).unwrap()
}

/// Source: own cases, one for each kind of oddity.
#[test]
fn every_oddity_is_named_with_its_line() {
    let text = "2024-02-29 00:00,1\n\n2024-02-29 00:15,nan\n2024-02-29 00:15,2\n2024-02-29 00:00,2\n2024-02-29 00:31,2\n\
                2024-02-29 01:00,\"1,234.5\"\nx,1\n2024-02-30 00:00,1\n2024-02-29 01:15\n2024-02-29 01:15,-3\n\
                2024-02-29 01:30,1e300\n2025-02-28 00:00,4\n";
    let found = of(text, &PLAIN);
    for (kind, count, line) in [
        (Kind::EmptyLine, 1, 2),
        (Kind::MissingValue, 1, 3),
        (Kind::SameTimeAgain, 1, 4),
        (Kind::TimeBackwards, 1, 5),
        (Kind::OffGrid, 1, 6),
        (Kind::ThousandsSeparator, 1, 7),
        (Kind::UnreadableTime, 2, 8),
        (Kind::FewColumns, 1, 10),
        (Kind::Negative, 1, 11),
        (Kind::TooLarge, 1, 12),
        (Kind::LongJump, 1, 13),
    ] {
        let oddity = found.oddities.all().iter().find(|oddity| oddity.kind == kind);
        assert_eq!(oddity.map(|oddity| (oddity.count, oddity.first[0].line)), Some((count, line)), "{kind:?}");
    }
    assert_eq!((found.rows, found.left_out, found.profile.present()), (12, 6, 3));
}

/// Source: labels at the end of an interval; 20 kWh in the last quarter of an hour are 80 kW, from 23:45.
#[test]
fn a_midnight_at_the_end_belongs_to_the_day_before() {
    let layout = Layout {
        separator: b';',
        decimal_comma: true,
        order: DateOrder::DayMonthYear,
        label: Label::End,
        measure: Measure::KilowattHours,
        ..PLAIN
    };
    for midnight in ["07.01.2025 00:00", "06.01.2025 24:00", "06.01.2025 00:00"] {
        let found = of(
            &format!("06.01.2025 23:30;12,0\n06.01.2025 23:45;14,0\n{midnight};20,0\n07.01.2025 00:15;11,0\n"),
            &layout,
        );
        let best = peak(&found.profile, &Timer::block(900, 0), Incomplete::LeftOut).unwrap().unwrap();
        assert_eq!((best.demand_w.to_bits(), best.start_s % 86_400), (80_000_f64.to_bits(), 85_500), "{midnight}");
        assert_eq!(found.oddities.count(Kind::MidnightUnderOldDate), u64::from(midnight == "06.01.2025 00:00"));
    }
}

#[test]
fn empty_lines_are_counted_wherever_they_stand() {
    for (text, wanted) in [
        ("2025-01-01 00:00,1", 0),
        ("2025-01-01 00:00,1\n", 0),
        ("2025-01-01 00:00,1\r\n2025-01-01 00:15,1\r\n", 0),
        ("\n\n2025-01-01 00:00,1\n\n\n", 4),
        ("\r\n2025-01-01 00:00,1\r\n\r\n2025-01-01 00:15,1\r\n", 2),
        ("\n\n\n", 3),
    ] {
        assert_eq!(of(text, &PLAIN).oddities.count(Kind::EmptyLine), wanted, "{text:?}");
    }
}

#[test]
fn hours_that_come_twice_or_never() {
    let layout = Layout { zone: Zone::named("America/New_York").unwrap(), step_s: 1800, ..PLAIN };
    for (label, rows) in [
        (Label::Start, ["00:30", "01:00", "01:30", "01:00", "01:30", "02:00"]),
        (Label::End, ["01:00", "01:30", "02:00", "01:30", "02:00", "02:30"]),
    ] {
        let text: String = rows.iter().map(|time| format!("2025-11-02 {time},1\n")).collect();
        let found = of(&text, &Layout { label, ..layout });
        assert_eq!((found.profile.present(), found.profile.missing(), found.left_out), (6, 0, 0), "{label:?}");
        assert_eq!(found.oddities.count(Kind::RepeatedHour), 4);
    }
    let found = of("2025-03-09 01:30,1\n2025-03-09 02:30,1\n2025-03-09 03:00,1\n", &layout);
    assert_eq!((found.profile.present(), found.oddities.count(Kind::TimeThatNeverWas)), (2, 1));
}

#[test]
fn a_guess_says_what_it_doubts() {
    let found = guess(b"Datum;Zeit Ende;kWh\n13.01.2025;00:15;1,5\n13.01.2025;00:30;2,5\n").unwrap();
    let layout = found.layout;
    assert_eq!((layout.separator, layout.decimal_comma, layout.has_header, layout.value), (b';', true, true, 2));
    assert_eq!((layout.order, layout.times, layout.step_s), (DateOrder::DayMonthYear, Times::DateAndTime(0, 1), 900));
    assert_eq!(layout.measure, Measure::KilowattHours);
    assert_eq!((layout.label, found.doubts), (Label::End, vec![Doubt::Clock]));
    assert!(guess(b"").is_none() && guess(b"<html></html>").is_none());
}

proptest! {
    #[test]
    fn no_bytes_bring_it_down(bytes in prop::collection::vec(prop_oneof![Just(b','), Just(b'\n'), Just(b'"'), Just(b':'), Just(b'-'), b'0'..=b'9', any::<u8>()], 0..400)) {
        let layout = guess(&bytes).map_or(PLAIN, |found| found.layout);
        let found = read(bytes.as_slice(), &layout).unwrap();
        prop_assert!(found.left_out <= found.rows && found.profile.present() as u64 <= found.rows);
    }
}
