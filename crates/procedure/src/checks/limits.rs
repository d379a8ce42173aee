//! The numbers that stop checks compare with. Common practice without a published source, except where one is named.

/// At or below this a clamp shows no current, in amperes: two steps of a clamp that shows hundredths.
pub const NO_CURRENT_A: f64 = 0.02;
/// From this on an element carries load, in amperes: five times what passes for none.
pub const LOADED_A: f64 = 0.1;
/// Most difference between CT side and meter side of an element that counts as equal, as a share of the CT side.
pub const SAME_CURRENT_SHARE: f64 = 0.05;
/// Most difference of a voltage from the mean of the three that passes as sound, as a share of the mean.
pub const VOLTS_SPREAD_SHARE: f64 = 0.10;
/// Most change of a voltage between as found and as left, as a share of as found.
pub const VOLTS_CHANGE_SHARE: f64 = 0.05;
/// Most change of an element's share of the three currents between as found and as left, as a factor either way.
pub const CURRENT_SHARE_FACTOR: f64 = 2.0;
/// A tester proves itself live when it shows this share of the volts that were read as found, or more.
pub const LIVE_SHARE: f64 = 0.5;
/// Where no volts were read as found, a tester proves itself live from this on, in volts.
pub const LIVE_V: f64 = 50.0;
/// Below this a conductor counts as dead, in volts. From memory: the threshold that permanently mounted absence-of-voltage
/// testers use (UL 1436); to be checked against the standard.
pub const DEAD_BELOW_V: f64 = 3.0;
