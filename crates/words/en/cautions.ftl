# Cautions of the meter change, one sentence or two each; the signal word before each belongs to its code, not to its words.

caution-enclosure_live = An enclosure can be live. Prove it dead before you touch it.
caution-ct_broken = A broken CT circuit under load makes kilovolts. Short it, prove the short, then part the meter from it.
caution-humming_ct = 0 A on one element beside loaded ones, or a humming CT: take the circuit for broken. Hands off. Do not short it to see. Get the load off or de-energise.
caution-no_switch = No test switch: no live work on this meter. Short at the CT terminals, or take an outage.
caution-vt_short = Never short a potential.
caution-vt_backfeed = Never put test voltage on the VT side: a VT steps 120 V up to primary volts.
caution-auxiliary_live = Auxiliary supply and pulse wires can be live while the potentials are off. Test them too.
caution-restore_order = Make the meter’s current path first, then take the short off. At a spark or a hum, put the short back.
caution-pole_unknown = Nobody knows how this pole stands. Hands off until you have looked and measured.
caution-others_use = A relay or transducer on these CTs or VTs sees what you do. Ask its owner before you short or part anything.
caution-neutral_last = With the neutral off first, the phases drive each other: wrong volts at the meter. Phases first, neutral last.
caution-neutral_first = Put the neutral on first, then the phases.
caution-retaining_ring = Retaining ring or terminal cover on before the power comes back.
caution-generation_feeds = Generation or a standby set can feed back and can turn the readings round. Know how it stands.
caution-hot_jaw = Jaws and terminals can be hot. Photograph heat and corrosion before you touch them.
caution-phone_outside = No phone in the cabinet, none in rubber gloves. Step back, then enter.
caution-power_fail_alarm = Potentials off raises a power-fail alarm. Tell the control room before, and again after.
caution-pulses_stop = The customer keeps the feed, but the pulse outputs stop. Say so.
caution-leave_as_found = A formal dispute or signs of tampering: leave it as found, photograph, call.
caution-plate_alone = A nameplate alone changes no multiplier. It takes a second proof: the measured ratio.
caution-interval_end = Start just after an interval ends, so that only one is cut.
caution-peak_dies = The peak can go when the display goes dark. Read it while the display lives.
caution-peak_last = Reset the peak last. Never reset an energy register.
caution-two_multipliers = Two multipliers may meet in this billing period. Every read goes with the multiplier of its own meter.
