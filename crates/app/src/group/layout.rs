//! How a record is laid out and helped: which fields stand first, which answers are usual, what is filled in beforehand.

/// Fields that stand in front; the others wait behind “more”. An empty list shows all.
pub fn in_front(kind: &str) -> &'static [&'static str] {
    match kind {
        "ct_plate" => &["ratio", "rating_factor", "class", "serial"],
        "vt_plate" => &["ratio", "serial"],
        "meter_plate" => &["number", "form", "class_amps", "ratios_inside", "display"],
        "switch" => &["type", "neutral_pole", "others_use"],
        "on_record" => &["multiplier", "outgoing_number", "incoming_number"],
        "site" => &["order", "account"],
        "arrive" => &["control_told", "briefing", "customer_told", "generation", "dispute"],
        "first_look" => &["enclosure_dead", "hum"],
        "reading_set" => &["convention"],
        "reading" => &["volts", "volt_angle", "amps", "amp_angle"],
        "act" => &["act", "pole", "done_at", "why"],
        "register" => &["value"],
        "read_set" => &["done_at", "intervals"],
        "short_proof" => &["before", "ct_side", "meter_side"],
        "current_back" => &["ct_side", "meter_side"],
        "after" => &["communication", "peak_reset", "multiplier_marked"],
        "signed" => &["by", "effective"],
        "crew" => &["technician", "badge"],
        _ => &[],
    }
}

/// The answer that is usual for a field, where one tap may give a whole record of them. Each stays in sight and can be changed.
pub fn usual(kind: &str, field: &str) -> Option<&'static str> {
    Some(match (kind, field) {
        ("arrive", "control_told" | "briefing" | "customer_told") => "yes",
        ("arrive", "generation") => "no",
        ("arrive", "dispute") => "none",
        ("first_look", "enclosure_dead") => "yes",
        ("first_look", "hum") => "no",
        ("switch", "neutral_pole") => "yes",
        ("switch", "others_use") => "no",
        ("meter_out", "condition") => "good",
        ("boot", "program_seen" | "service_seen") => "as_planned",
        ("boot", "ratios_inside") => "none",
        ("boot", "display") => "secondary",
        ("boot", "clock") => "right",
        ("after", "communication") => "seen_by_head_end",
        ("after", "peak_reset") => "done_last",
        ("after", "multiplier_marked") => "yes",
        ("dead_test", "auxiliary_dead") => "yes",
        _ => return None,
    })
}

/// Whether a kind has usual answers.
pub fn has_usual(kind: &str) -> bool {
    matches!(kind, "arrive" | "first_look" | "meter_out" | "boot" | "after")
}

/// What stands in a field before anybody types: a unit that the register's code implies, the reference that is zero.
pub fn preset(kind: &str, place: &str, field: &str) -> Option<&'static str> {
    let last = place.rsplit('/').next().unwrap_or("");
    Some(match (kind, field) {
        ("register", "unit") => match last.split('_').next() {
            Some("kwh") => "kWh",
            Some("kvarh") => "kvarh",
            Some("kw") => "kW",
            _ => "count",
        },
        ("reading_set", "convention") => "lagging_positive",
        ("reading_set", "reference") => "volts_a",
        ("reading_set", "volts_of") => "line_to_neutral",
        ("reading", "volt_angle") if last == "A" => "0",
        ("seal", "state") if place.starts_with("left/") => "set",
        ("read_set", "estimated") => "actual",
        _ => return None,
    })
}

/// What belongs to one item alone and is never filled in like its neighbour’s.
pub fn is_its_own(field: &str) -> bool {
    matches!(field, "serial" | "number" | "read_back")
}

/// Kinds that are laid out as one table, a line a place: the same readings on several elements.
pub fn is_table(kind: &str) -> bool {
    matches!(kind, "reading" | "short_proof" | "current_back")
}

/// Kinds of which several are often alike, so that one tap may fill in the rest.
pub fn is_one_of_several(kind: &str) -> bool {
    matches!(kind, "ct_plate" | "vt_plate")
}

/// Kinds that stand folded while nobody needs them.
pub fn may_stand_aside(kind: &str) -> bool {
    matches!(kind, "instrument" | "in_service" | "register" | "seal")
}
