//! The shown working of a number: formula, the numbers put in, the source; built by the code that computed it.

use leptos::prelude::*;
use metering::working::{Shown, Working};

/// Figures with their unit, and the exact form beside them where the figures had to be rounded.
pub fn shown(shown: &Shown) -> String {
    let figures = grouped(&shown.text());
    let figures = if shown.unit.is_empty() { figures } else { format!("{figures} {}", shown.unit) };
    match shown.exact_text() {
        Some(exact) => format!("{figures} ({exact})"),
        None => figures,
    }
}

/// Figures in groups of three before the point, set off by a thin space: no hand takes it for a decimal sign.
pub fn grouped(figures: &str) -> String {
    let (sign, rest) = figures.strip_prefix('-').map_or(("", figures), |rest| ("−", rest));
    let (whole, decimals) = rest.split_once('.').map_or((rest, None), |(whole, decimals)| (whole, Some(decimals)));
    if whole.len() <= 4 || !whole.bytes().all(|byte| byte.is_ascii_digit()) {
        return format!("{sign}{rest}");
    }
    let mut text = sign.to_string();
    for (at, digit) in whole.chars().enumerate() {
        if at > 0 && (whole.len() - at) % 3 == 0 {
            text.push('\u{202f}');
        }
        text.push(digit);
    }
    if let Some(decimals) = decimals {
        text.push('.');
        text.push_str(decimals);
    }
    text
}

/// A button that opens to the working of a number.
#[component]
pub fn WorkingView(working: Working) -> impl IntoView {
    view! {
        <details class="working">
            <summary class="working__ask">{words::working()}</summary>
            {part(&working)}
        </details>
    }
    .into_any()
}

fn part(working: &Working) -> AnyView {
    let inputs = working.inputs.iter().map(|input| {
        view! { <div><dt>{symbol(input.symbol)}</dt><dd>{shown(&input.value)}</dd></div> }
    });
    let result = shown(&working.result);
    let equals = if working.result.is_rounded() { "≈" } else { "=" };
    let source = words::rule_source(working.rule.id());
    view! {
        <p class="working__formula">{words::rule(working.rule.id())}</p>
        <dl class="working__inputs">{inputs.collect_view()}<div><dt>{equals}</dt><dd><b>{result}</b></dd></div></dl>
        {source.map(|source| view! { <p class="working__source">{words::source(&source)}</p> })}
        {working.parts.iter().map(part).collect_view()}
    }
    .into_any()
}

/// `CTR_1` is written with a small 1 on paper; figures after the letter do as well.
fn symbol(symbol: &str) -> String {
    symbol.replace('_', " ")
}

#[cfg(test)]
mod tests {
    use super::grouped;

    #[test]
    fn figures_are_grouped_before_the_point_only() {
        for (figures, wanted) in [
            ("2800", "2800"),
            ("138563.478261", "138\u{202f}563.478261"),
            ("-1234567", "−1\u{202f}234\u{202f}567"),
            ("0.000125", "0.000125"),
            ("20000/√3:110/√3", "20000/√3:110/√3"),
        ] {
            assert_eq!(grouped(figures), wanted);
        }
    }
}
