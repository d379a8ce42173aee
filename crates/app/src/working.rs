//! The shown working of a number: formula, the numbers put in, the source; built by the code that computed it.

use crate::drawing::{Node, classed, p, tag};
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
pub fn working_view(working: &Working) -> Node {
    let ask = classed("SUMMARY", "working__ask").put(words::working());
    classed("DETAILS", "working").put(ask).put(part(working)).into()
}

fn part(working: &Working) -> Node {
    let line = |term: String, value: Node| tag("DIV").put(tag("DT").put(term)).put(tag("DD").put(value));
    let mut inputs = classed("DL", "working__inputs");
    for input in &working.inputs {
        inputs = inputs.put(line(symbol(input.symbol), shown(&input.value).into()));
    }
    let equals = if working.result.is_rounded() { "≈" } else { "=" };
    inputs = inputs.put(line(equals.to_string(), tag("B").put(shown(&working.result)).into()));
    let mut parts = vec![p("working__formula").put(words::rule(working.rule.id())).into(), inputs.into()];
    if let Some(source) = words::rule_source(working.rule.id()) {
        parts.push(p("working__source").put(words::source(&source)).into());
    }
    parts.extend(working.parts.iter().map(part));
    parts.into()
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
