//! A meter change played through the log, with every kind of switch, in both orders, interrupted, corrected, and at random.

mod change;
mod guided;
mod interrupted;
mod random;
mod sheet;
mod site;
mod stops;
