//! Facts of a set of readings as the pictures want them: each element’s pair, and the whole circle.

use super::facts::{Element, Facts};
use crate::working::grouped;
use metering::angle::AngleConvention;
use pictures::{CirclePicture, PairPicture, PairsPicture, Ray, RayKind};

/// Further ahead than this, an angle is told as the larger one behind: nobody says “156° ahead” of a current turned round.
const MOST_AHEAD_DEGREES: f64 = 90.0;

/// “22° behind”, “8° ahead”.
pub fn behind(lag_degrees: f64) -> String {
    let whole = lag_degrees.round();
    if whole < -MOST_AHEAD_DEGREES {
        words::degrees_behind(&format!("{:.0}", whole + 360.0))
    } else if whole < 0.0 {
        words::degrees_ahead(&format!("{:.0}", -whole))
    } else {
        words::degrees_behind(&format!("{:.0}", whole.abs()))
    }
}

/// The same where there is little room: behind is what a current usually is.
fn short(lag_degrees: f64) -> String {
    let whole = lag_degrees.round();
    if (-MOST_AHEAD_DEGREES..0.0).contains(&whole) {
        behind(lag_degrees)
    } else {
        format!("{:.0}°", whole.rem_euclid(360.0))
    }
}

/// How an element’s current stands, in words.
pub fn stands(element: &Element) -> String {
    match (element.lag_degrees, element.read.amps) {
        (Some(lag), _) => behind(lag),
        (None, Some(amps)) if amps.get() < metering::reading::LEAST_AMPS_FOR_ANGLE => words::no_current().to_string(),
        (None, _) => words::no_angle_read().to_string(),
    }
}

/// The pairs; beside readings as left, those as found stand as expected.
pub fn pairs(facts: &Facts, before: Option<&Facts>) -> PairsPicture {
    let one = |(at, element): (usize, &Element)| {
        let lag_before = before.and_then(|before| before.elements.get(at)).and_then(|element| element.lag_degrees);
        PairPicture {
            name: element.name.to_string(),
            read_behind_deg: element.lag_degrees,
            expected_behind_deg: lag_before,
            odd: facts.unlike.contains(&element.name) || facts.dead.contains(&element.name),
            read_words: stands(element),
            expected_words: lag_before.map(|lag| words::as_found_was(&short(lag))).unwrap_or_default(),
        }
    };
    PairsPicture {
        title: words::pairs_title().to_string(),
        volts: "V".to_string(),
        amps: "I".to_string(),
        pairs: facts.elements.iter().enumerate().map(one).collect(),
    }
}

/// All volts and amps on one circle; absent while no angle is known.
pub fn circle(facts: &Facts) -> Option<CirclePicture> {
    let most = |take: fn(&Element) -> Option<f64>| facts.elements.iter().filter_map(take).fold(0.0, f64::max);
    type Take = fn(&Element) -> Option<f64>;
    let (volts, amps): (Take, Take) =
        (|element| element.read.volts.map(|volts| volts.get()), |element| element.read.amps.map(|amps| amps.get()));
    let (most_volts, most_amps) = (most(volts), most(amps));
    let mut rays = Vec::new();
    for (phase, element) in facts.elements.iter().enumerate() {
        if let (Some(size), Some(angle)) = (volts(element), element.read.volt_angle) {
            let label = format!("V{}", element.name);
            rays.push(ray(
                label,
                RayKind::Volts,
                phase,
                (size, most_volts),
                angle.degrees(AngleConvention::LaggingPositive),
                ("V", facts),
            ));
        }
        if let (Some(size), Some(angle), Some(_)) = (amps(element), element.read.amp_angle, element.lag_degrees) {
            let label = format!("I{}", element.name);
            rays.push(ray(
                label,
                RayKind::Amps,
                phase,
                (size, most_amps),
                angle.degrees(AngleConvention::LaggingPositive),
                ("A", facts),
            ));
        }
    }
    (rays.len() > 1).then(|| CirclePicture { title: words::circle_title(facts.reference), rays })
}

fn ray(
    label: String,
    kind: RayKind,
    phase: usize,
    (size, most): (f64, f64),
    behind_deg: f64,
    (unit, facts): (&str, &Facts),
) -> Ray {
    let degrees = format!("{:.0}", behind_deg.rem_euclid(360.0).round().rem_euclid(360.0));
    let figures = if unit == "V" { format!("{size:.1}") } else { format!("{size:.2}") };
    let words = words::ray_words(&format!("{} {unit}", grouped(&figures)), &degrees, facts.reference);
    Ray { label, kind, phase, behind_deg, length: if most > 0.0 { size / most } else { 0.0 }, words }
}

#[cfg(test)]
mod tests {
    use super::behind;

    #[test]
    fn angles_are_told_as_one_says_them() {
        for (lag, wanted) in [
            (22.4, "22° behind"),
            (-8.0, "8° ahead"),
            (-156.0, "204° behind"),
            (180.0, "180° behind"),
            (-0.3, "0° behind"),
            (-90.0, "90° ahead"),
        ] {
            assert_eq!(behind(lag), wanted);
        }
    }
}
