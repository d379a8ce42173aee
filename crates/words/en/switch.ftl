### The test switch. A blade up is to the meter, a blade down is pulled. $pole is a letter, or letters in their order; in refusals and dangers
### it is a pole by name, such as “A amps”. $kind is the kind of switch.

# An act: the heading, what more there is to say, what the large button says once it is done, the caution that stands before it.
press-close_short = AMPS { $pole }: { $kind ->
    [screws_or_links] put the short on
   *[other] push the shorting blade up
}
    .say = The short goes on first, the meter path stays as it is. Then read both sides.
    .done = The short of { $pole } is on
    .caution = Never break a CT circuit. A spark or a hum: leave the short on, step back.
press-open_short = AMPS { $pole }: { $kind ->
    [screws_or_links] take the short off
   *[other] pull the shorting blade down
}
    .say = The meter path is made and shown to carry. Then read both sides.
    .done = The short of { $pole } is off
    .caution = A spark or a hum: put the short back on at once, step back.
press-open_meter_path = AMPS { $pole }: { $kind ->
    [screws_or_links] take the link off the meter
   *[other] pull the meter blade down
}
    .say = The short carries the current now. Then read both sides.
    .done = { $kind ->
    [screws_or_links] The link of { $pole } is off the meter
   *[other] The meter blade of { $pole } is down
}
    .caution = Never break a CT circuit. A spark: { $kind ->
    [screws_or_links] put the link back
   *[other] push the blade back up
}, step back.
press-close_meter_path = AMPS { $pole }: { $kind ->
    [screws_or_links] put the link to the meter
   *[other] push the meter blade up
}
    .say = The short stays on until the meter path is shown to carry. Then read both sides.
    .done = { $kind ->
    [screws_or_links] The link of { $pole } is to the meter
   *[other] The meter blade of { $pole } is up
}
    .caution = Leave the short on. The meter path comes first.
press-pull_shorting_blade = AMPS { $pole }: pull down blade 1
    .say = On this switch blade 1 makes the short before it lets go. Then read both sides.
    .done = Blade 1 of { $pole } is down
    .caution = Never break a CT circuit. A spark as the blade moves: push it back up, step back.
press-push_shorting_blade = AMPS { $pole }: push up blade 1
    .say = On this switch blade 1 makes the meter path before it lets the short go. Then read both sides.
    .done = Blade 1 of { $pole } is up
    .caution = A spark or a hum: pull the blade back down at once, step back.
press-fit_plug_jumper = AMPS { $pole }: fit the jumper on the plug
    .say = With the plug in the hand. Ring the jumper through before the plug goes in.
    .done = The jumper of { $pole } is on the plug
press-remove_plug_jumper = AMPS { $pole }: take the jumper off the plug
    .say = With the plug in the hand, never while it is in the block.
    .done = The jumper of { $pole } is off the plug
    .caution = The jumper is the short while the plug is in the block. Take the plug out first.
press-insert_plug = AMPS: put the plug in
    .say = In one motion every meter path parts onto its jumper. Then read both sides of A, B and C.
    .done = The plug is in
    .caution = Never break a CT circuit. A spark or a hum: withdraw the plug, step back.
press-withdraw_plug = AMPS: withdraw the plug
    .say = In one motion every meter path is made again. Then read both sides of A, B and C.
    .done = The plug is out
    .caution = A spark or a hum: put the plug back in, step back.
press-short_at_ct = AMPS { $pole }: put the short on at the CT terminals
    .say = There is no switch: the short goes on at the CT itself. Then read both sides.
    .done = The CT of { $pole } is shorted
    .caution = Never break a CT circuit. The terminals are live.
press-unshort_at_ct = AMPS { $pole }: take the short off at the CT terminals
    .say = The meter path is made and shown to carry. Then read both sides.
    .done = The short at the CT of { $pole } is off
    .caution = A spark or a hum: put the short back on at once, step back.
press-open_potential = VOLTS { $pole }: { $kind ->
    [screws_or_links] take the link off the meter
    [plug_in_block] take it off the meter
    [none] take the fuse out, or its lead off
   *[other] pull the blade down
}
    .say = The phases first, the neutral last.
    .done = { $kind ->
    [screws_or_links] The link of { $pole } is off the meter
    [plug_in_block] Volts { $pole } are off the meter
    [none] Volts { $pole } are off the meter
   *[other] The blade of { $pole } is down
}
    .caution = Never short a potential: bridge nothing as it parts.
press-close_potential = VOLTS { $pole }: { $kind ->
    [screws_or_links] put the link to the meter
    [plug_in_block] put it back to the meter
    [none] put the fuse in, or its lead on
   *[other] push the blade up
}
    .say = The neutral first, then the phases.
    .done = { $kind ->
    [screws_or_links] The link of { $pole } is to the meter
    [plug_in_block] Volts { $pole } are to the meter
    [none] Volts { $pole } are to the meter
   *[other] The blade of { $pole } is up
}
    .caution = Never short a potential: bridge nothing as it closes. Retaining ring or terminal cover on first.
press-short_potential = Never short a potential
    .say = This is here only to be written down when it happened.
    .done = Potential { $pole } was shorted
    .caution = A shorted VT burns. Hands off, get the supply off.
press-meter_out = Take the meter out
    .say = Out of its socket, or its leads off its terminals. Note heat and corrosion.
    .done = The meter is out
    .caution = Amps shorted and proven, volts off, terminals tested dead. Jaws and terminals can be hot.
press-meter_in = Put the meter in
    .say = Into its socket, or its leads on its terminals. Then retaining ring or terminal cover on.
    .done = The meter is in
    .caution = Amps shorted and proven, volts off, terminals tested dead.
press-de_energise = Take the supply off and test it dead
    .say = At the primary, by whoever may switch it.
    .done = The supply is off and tested dead
    .caution = Until it is tested dead it is live.
press-re_energise = Put the supply back
    .say = By whoever may switch it, once every circuit is whole and rung through.
    .done = The supply is back
    .caution = Hands out of the cabinet, doors and covers on.

# Why an act or a reading at the switch is not taken, and what to do.
refusal-not_on_this_switch = This switch has no such motion at { $pole }: look at the kind of switch that was written down.
refusal-no_switch_live = No test switch, and the site is live: the meter would break the CT circuit at { $pole }. Short at the CT terminals, or take an outage.
refusal-not_from_here = From where { $pole } stands there is no such motion: look how it stands, and correct what was written down.
refusal-unknown_look_first = Nobody knows how { $pole } stands: look first, then say how it stands.
refusal-broken_hands_off = Take the circuit at { $pole } for broken: hands off the switch. Repeat the reading, get the load off, or de-energise.
refusal-read_first = Not read since it was last moved or looked at: { $pole }. Read both sides first.
refusal-short_not_proven = The short at { $pole } is not proven: read both sides. No proof, no breaking.
refusal-clip_not_seen = The shorting clip at { $pole } has not been looked at: see that it is sound, the next motion relies on it.
refusal-jumper_not_checked = No checked jumper on the plug for { $pole }: fit it, ring it through, then say that it is sound.
refusal-short_faulty = The clip or jumper at { $pole } was found faulty: short at the CT terminals, or take an outage.
refusal-path_not_proven = The meter path at { $pole } is not shown to carry: read both sides while the short is on.
refusal-path_not_seen = The meter path at { $pole } has not been looked at since the meter moved: see that blade, leads and jaws are sound.
refusal-path_faulty = The meter path at { $pole } was found faulty: leave the short on, and take an outage to mend it.
refusal-meter_not_in = The meter is not in: put it in first.
refusal-current_not_shorted = Not shorted and proven yet: { $pole }. Short it and prove the short on both sides first.
refusal-potential_not_open = Still to the meter: { $pole }. Take it off the meter first.
refusal-not_tested_dead = Not tested dead yet: { $pole }. Test live, dead, live first.
refusal-terminals_still_live = Every potential is off, and still there are volts at { $pole }: something else feeds it. Hands off, find it, or take an outage.
refusal-another_unfinished = One element at a time: finish { $pole } first.
refusal-neutral_last = The neutral comes off last: take { $pole } off the meter first.
refusal-neutral_first = The neutral comes back first: put { $pole } to the meter, then the phases.
refusal-order_potentials_open_first = On this site potentials come off first: take { $pole } off the meter, then short the currents.
refusal-order_currents_shorted_first = On this site currents are shorted first: short { $pole } and prove it, then take the potentials off.
refusal-order_potentials_back_first = On this site potentials come back first: put { $pole } to the meter, then bring the currents back.
refusal-order_currents_back_first = On this site currents come back first: bring back { $pole }, then the potentials.
refusal-never_short_potential = Never short a potential: hands off { $pole }.
refusal-potential_shorted = Something bridges { $pole }: hands off. De-energise, then take the bridge out.
refusal-others_unsettled = Something else may hang on these CTs and VTs: ask its owner, and write down who agreed.
refusal-not_restored = Not everything is restored and rung through: finish that before the supply comes back.
refusal-only_de_energised = This test is made with the supply off: take the supply off, or read both sides instead.
refusal-only_energised = This reading is made with the supply on: ring the circuit through instead.
refusal-load_too_small_to_prove = Too little current at { $pole } to tell: wait for more load, short at the CT terminals, or take an outage.
refusal-load_moved = The load changed between the readings of { $pole }: read before and after once more, close together.
refusal-before_missing = The amps before the short are missing at { $pole }: enter them with the reading.
refusal-short_does_not_conduct = The meter side did not drop, so the short at { $pole } does not carry: check the clamp, then short at the CT terminals, or take an outage.
refusal-path_not_shown = The meter side shows nothing yet, so the meter path at { $pole } is not shown to carry: leave the short on, wait for more load, read again.
refusal-sides_disagree = The two sides of { $pole } do not fit together: look whether the clamp is turned round or on the wrong lead, and read again.
refusal-reading_out_of_range = No switch carries such amps: look at the clamp’s range, and read { $pole } again.

# Dangers that stand now; the signal word before them says DANGER.
danger-ct_broken = Take this CT circuit for broken: { $pole }. It makes kilovolts. Hands off, step back, get the load off or de-energise.
danger-ct_unknown = Nobody knows how this CT circuit stands: { $pole }. Hands off until you have looked and read both sides.
danger-ct_unread = Moved and not read since: { $pole }. Read both sides before any hand moves again.
danger-vt_shorted = This VT is shorted: { $pole }. It can burn. Hands off, de-energise.
danger-neutral_broken = The neutral is off and phases are to the meter: { $pole }. They drive each other to wrong volts. Take the phases off the meter.
danger-terminals_live = The meter is out and its terminals may be live. Hands off until they are tested live, dead, live.

# Safe things to do instead.
safe-look = Look how it stands.
safe-read = Read both sides.
safe-repeat_reading = Read again: is the clamp turned round, or on the wrong lead?
safe-more_load = Wait for more load, or have some switched on.
safe-short_at_ct = Short the CT at its own terminals.
safe-outage = Take an outage.
safe-ask_owner = Ask whoever answers for the other equipment.
