### What the screens say around the facts.

dotside = Dotside
skip = To the content
jobs = Jobs
calculator = Calculator
phone = This phone
back = Back
main_places = Places
offline = Offline
saving = Saving…
saved_here = Saved on this phone and read back
now = Now
correct = Correct
written_by = written by { $who }, { $at }
correct_place = Correct { $place }
reason_of_correction = Why is it corrected?
leave_as_written = Leave as written
more_fields = More
not_needed_field = (may stay blank)
not_chosen = Not chosen
choose_one = Choose one.
change_sign = Change sign
taken_as = taken as { $value }
others_alike = The others are alike, looked at
as_usual = All as usual
written_meanwhile = Another value was written down meanwhile. Yours still stands here: say why it is right, or leave it as written.
two_values = Two different values are written down. Write the right one, and say why.
enter = Enter { $what }
enter_at = Enter { $place } { $what }
enter_reason = Say why
save = Save
working = Working
source = Source: { $source }
starting_trouble = Dotside could not open its store on this phone.
update_ready = A newer version is on this phone.
update_use = Use it now

## New job
new_job = New job
new_job_why = What is known before the door opens. The record is compared with what you find, and never trusted over it.
begin_job = Begin the job

## Calculator
ct = Current transformer
vt = Potential transformer
meter = Meter
ratio_and_multiplier = Ratio and multiplier
multiplier_waiting = Enter the CT ratio as stamped; the multiplier follows.
multiplier_undecided = More than one multiplier is possible
multiplier_look = Look at the meter: which ratios are programmed inside, and what does its display count in?
multiplier_contradiction = Program and display contradict each other
multiplier_by_program = By the ratios programmed inside:
multiplier_by_display = By what the display counts in:
multiplier_once = The meter has applied ratios already. Never multiply by them again on the bill.
multiply_by = Multiply by
billing_multiplier = Billing multiplier
primary_kh = Primary watt-hours per turn or pulse
computed = computed
signal_notice = NOTICE
calc-turns = These turns and this ratio do not go together.
calc-too_long = These ratios are too long to multiply exactly. Check what is stamped.
calc-constant = The register constant must be greater than zero.

## Troubles of saving
no_job_open = No job is open.
nobody_named = not named

## Jobs
start_a_job = Start a job
open_a_file = Open a file
no_jobs_yet = No job on this phone yet.
go_on = Continue
whole_job = the whole job
steps_done = { $count ->
    [one] { $count } step done
   *[other] { $count } steps done
}
job_without_summary = Job, open it to see
site_unnamed = Site without a name
stands_new = new
stands_under_way = under way
stands_done = done
show_older_jobs = Show { $count } more
only_on_this_phone = only on this phone
copied_lately = copied off this phone today
copied_days_ago = { $days ->
    [one] last copied { $days } day ago
   *[other] last copied { $days } days ago
}
owed_by = test under load by { $day }
jobs_emptied = { $count ->
    [one] { $count } job was on this phone and is gone
   *[other] { $count } jobs were on this phone and are gone
}
jobs_fewer = { $count ->
    [one] { $count } job is gone from this phone
   *[other] { $count } jobs are gone from this phone
}
jobs_emptied_mend = The browser’s storage was emptied. Open the copies that left this phone: each job file brings its job back whole.
understood = Understood
inbox = Files kept as they came
inbox_holds = { $count ->
    [one] { $count } file could not be opened and is kept
   *[other] { $count } files could not be opened and are kept
}
inbox_why = These files could not be opened, or only in part. Their bytes are kept as they came.
inbox_empty = Nothing is kept here.
size_bytes = { $count } bytes
take_out = Take out
drop_it = Drop
drop_for_good = Drop these bytes for good?
keep_it = Keep
file_opened = Opened and kept on this phone.
file_opened_with_problems = Opened, but something is wrong with the file
file_kept = { $name } could not be opened. It is kept as it came.

## This phone
signal_warning = WARNING
life_warning = These circuits can kill. An opened CT circuit makes thousands of volts; a VT fed backwards makes primary volts.
defer_local_code = Local codes and the utility’s own procedure come before anything this program says.
defer_licensed = Work on metering circuits only as a qualified person, licensed and authorised where you are.
defer_numbers = Its numbers are as good as what was read and typed. Open their working before you act on them.
defer_phone = Keep the phone outside the cabinet. Step back to type.
who_works = Who works with this phone
theme = Light or dark
theme_auto = Auto
theme_light = Light
theme_dark = Dark
numbers = Decimals are written
numbers_ask = Ask when unclear
numbers_point = 1.5
numbers_comma = 1,5
storage = Storage
storage_promised = This browser has promised to keep the jobs.
storage_not_promised = This browser may empty its storage when it needs room.
storage_unknown = This browser does not say whether it keeps the jobs.
storage_copies = Take a copy of each job off this phone the same day. After five days without one, do it before anything else.
storage_ask = Ask the browser to keep them
about = About
about_words = Dotside leads a meter change behind current and potential transformers, and computes what is billed from it. Nothing leaves this phone unless you send it.
version = Version { $version }

## One job
job = Job
practice = Practice, no real site
job_loading = Opening the job…
job_missing = This phone knows nothing of this job.
steps = Steps
step_done = done
step_left = left with a reason
step_now = now
step_passed = passed by
parts_of_the_job = Parts of the job
nameplates = Nameplates
readings_as_found = Readings as found
readings_as_left = Readings as left
meter_reads = Meter reads
seals = Seals
close_out_sheet = Close-out sheet
job_log = Job log
copy_off_phone = A copy off this phone
download_copy = Download
share_copy = Share
copy_left = A copy left this phone.

## When everything fails
failed_heading = Dotside stopped
failed_body = Something went wrong in the program. Everything that was shown as saved is kept. Load the page again.
reload = Load again

## Steps
no_such_step = This visit has no such step.
step_of = Step { $number } of { $count }
bypassed_for = { $element } { $time }
bypassed_line = bypassed { $times }
seconds_short = { $seconds } s
minutes_short = { $minutes } min { $seconds } s
switch_from_the_front = Test switch, from the front
volts_row = VOLTS
amps_row = AMPS
ct_end = CT end
meter_end = METER end
shorting_blade = shorting blade
all_to_meter = all to meter
blade_up = up
blade_down = down
state_to_meter = to meter
state_shorted = SHORTED
state_both = both
state_broken = BROKEN
state_unknown = unknown
as_a_table = As a table
why = Why
not_just_now = Not just now?
done_at = Done at
something_happened = Something else happened
something_happened_why = Write down what was done outside the plan. Nothing here says it was wrong; the switch is then looked at again.
cannot_do_this = Cannot do this
reason = Reason
who_decides = Who decides
leave_with_reason = Leave with this reason
override_it = Override
pass_nevertheless = Go on nevertheless, by name
takes_no_override = This check guards life. Nobody can override it.
say_why_first = Say why first.
describe_the_switch_first = Say first which test switch this is.
describe_title = Which test switch is this?
write_it_down = Write it down
stands_otherwise = It stands otherwise
stands_as_drawn = All stand as drawn
look_title = Look at the switch
look_at = Look at: { $poles }.
look_sound = Look also that blades, clips and leads are sound and tight. In doubt, say that it stands otherwise.
prove_title = AMPS { $element }: read both sides
see_back_title = AMPS { $element }: see the current back
see_back = Read { $element } on the CT side and on the meter side. Both must show the same amps. At a spark or a hum, put the short back.
prove-short_closed = The short is on and the meter path still made: the meter side drops clearly, the CT side stays as it was.
prove-meter_side_open = The meter path is broken: the meter side shows about 0 A, the CT side still carries its amps.
prove-one_pull = The meter side shows about 0 A, the CT side still carries its amps.
de_energise_title = Stop. Hands off.
supply_is_off = Supply is off and tested dead
in_this_order = In this order: { $poles }.
all_done_in_order = All done, in this order
read_it_out = Read it out in large type
stop_reading_out = Back to the screen
to_the_inputs = To the inputs
proven = proven
not_proven_yet = not yet
see_what_stops = See what stops this step
next_step = Next: { $step }
whole_job_link = To the whole job
signal_danger = DANGER
signal_caution = CAUTION
way_stop = Keep hands off { $pole }. Get the load off, or take the supply off and test it dead.
way_look = Next: look at { $pole }.
way_look_at_path = Next: look at the { $element } blade, leads and jaws on the meter side.
way_read = Next: read both sides of { $element }.
way_test_terminals = Next: test the meter’s terminals live, dead, live.
way_ring = Next: ring the { $element } CT circuit through, with the supply off.
way_do = Next: { $act }

## Nameplates
current_transformers = Current transformers
voltage_transformers = Voltage transformers
both_meters = Both meters
outgoing_meter = Outgoing meter
incoming_meter = Incoming meter
ratios_on_record = Ratios on record
found_beside_record = Found beside on record
found = Found
differs = differs
undecided = undecided
plate_silent = not written down
not_on_record = not on record
agrees = agrees
ct_ratio = CT ratio
vt_ratio = VT ratio
ct_ratio_of = CT ratio { $ratio }
vt_ratio_of = VT ratio { $ratio }
between_elements = { $what } between the elements
link_or_tap = Tap or link of the CT
in_the_register_already = In the register already
chain_title = The billing multiplier, factor by factor
multiplier_needs_meter = Write down the outgoing meter’s plate; the multiplier follows.
multiplier_needs_plate = { $plate } { $element } is still to be read; the multiplier follows.
ratios_unlike = { $plate }: the elements do not carry one ratio
ratios_unlike_mend = Read the plates, taps and links once more. Three different ratios have no one multiplier.
tap_no_ratio = { $plate } { $element }: the tap is not written as a ratio
tap_no_ratio_mend = Write the tap as the ratio it gives, such as 100:5. The plate alone does not tell the ratio in use.
plates_and_record_first = Read plate, tap and link once more, then ask the office. The multiplier stays as it is until plate and measured ratio agree.
calc-looks_applied_twice = The multiplier on record looks like the ratios applied twice
calc-looks_without_ct = The multiplier on record looks like the CT ratio left out
calc-looks_without_vt = The multiplier on record looks like the VT ratio left out
calc-looks_without_both = The multiplier on record looks like both ratios left out
calc-looks_root_of_three = The multiplier on record is off by √3: line to line taken for line to neutral?
calc-looks_power_of_ten = The multiplier on record is off by ten, a hundred or a thousand
calc-looks_other = The multiplier on record is not the one that the plates give
does_it_fit = Does the incoming meter fit?
must_not_fit = The incoming meter must not be fitted
line_by_line = Line by line
fit_needs_both = Write down the plates of both meters to see whether the incoming one fits.
fit_same = same
fit_may_differ = may differ
fit_must_not = must not
not_compared = Not compared, because not read on both: { $lines }.
fit-item_form = Form
fit-item_class = Class
fit-item_volts = Voltage
fit-item_elements = Elements
fit-item_adds = How it adds
fit-item_ratios_inside = Ratios inside
fit-item_display = Display and registers
fit-item_kh = Watt-hour constant
fit-item_register_constant = Register constant
fit-item_pulse_energy = Energy per pulse
fit-item_digits = Register digits
fit-item_decimals = Register decimals
fit-item_demand = Demand
fit-item_interval = Demand interval, minutes
fit-item_multiplier = Multiplier on the bill
fit-not_read = Not read on one of the two.
fit-self_contained_form = A form for the load itself, not for transformers.
fit-other_form = Another form: look at the socket’s wiring.
fit-form_not_in_table = A form that is not in the table: compare the wiring diagrams.
fit-too_few_elements = Too few elements for this service.
fit-other_elements = Another number of elements, and enough.
fit-elements_against_form = Elements and form on its plate do not go together.
fit-self_contained_class = A class for the load itself, not for transformers.
fit-class_too_small = The CTs may deliver more than its class.
fit-other_class = Another class, and large enough.
fit-class_not_judged = Another class; the CT’s rating factor is not known.
fit-voltage_outside = The volts here lie outside its range.
fit-voltage_tight = The volts here lie near the end of its range.
fit-other_voltage = Another range, and it holds the volts here.
fit-voltage_not_judged = Another range; the volts here are not known yet.
fit-adds_otherwise = It adds its elements otherwise: what flows back is counted otherwise.
fit-inside_changes_multiplier = Other ratios inside: the multiplier on the bill changes.
fit-inside_against_plate = A ratio inside is not that of the plates.
fit-display_changes_multiplier = Its display counts otherwise: the multiplier on the bill changes.
fit-constant_changes_multiplier = Another register constant: the multiplier on the bill changes.
fit-other_kh = Timed pulses are worth another energy.
fit-other_pulse = Whoever counts its pulses must know.
fit-other_digits = It turns over elsewhere.
fit-other_decimals = A read is easily taken ten times wrong.
fit-demand_lost = It keeps no peak, the outgoing meter does.
fit-other_demand = Another kind of demand: the peaks do not compare.
fit-other_interval = Another interval: the peaks do not compare.
fit-multiplier_one = The bill would multiply by 1, though there are transformers and no ratio is inside.
fit-confidence_low = (from memory: check it against the standard)
fit-confidence_medium = (remembered, not confirmed)
fit-confidence_high = (well known)

## Readings
instrument_shows = What the instrument shows
readings_waiting = Enter what your instrument shows. What follows from it stands below, once an element is whole.
save_what_is_there = Save what is there
no_current_beside_load = 0 A on { $elements } while others carry load.
treat_as_open_ct = Treat it as an OPEN CT circuit. Hands off. Do not short it to see. Get the load off or de-energise.
reads_unlike_two = { $element } reads unlike { $one } and { $other }
read_unlike_each_other = { $elements } read unlike each other
repeat_the_reading = Repeat the reading first: clamp turned round, clamp on the wrong lead, or clip misplaced?
pairs_title = Amps against volts, element by element
whole_circle = Whole circle
circle_title = All volts and amps against volts { $reference }
degrees_behind = { $degrees }° behind
degrees_ahead = { $degrees }° ahead
no_current = no current
no_angle_read = no angle read
as_found_was = as found { $value }
found_was = found { $value }
ray_words = { $size }, { $degrees }° behind volts { $reference }
powers = Power, computed
total = All
power_factor = PF
primary_side = primary
primary_how = Primary is secondary × the transformer factor:
no_primary_yet = Primary power follows once every CT and VT plate is written down.
powers_waiting = Watts follow once an element’s volts, amps and both angles are in.
no_watts_from_lines = Volts were read line to line: no element’s watts come of them.
sums_and_rotation = Sums and rotation
sum_of_amps = Amps A + B + C, as phasors
sum_of_volts = Volts A + B + C, as phasors
sum_of_amps_why = The sum of the amps is what the neutral carries. Alike loads leave little; twice a phase is a current turned round, or read so.
rotation_of_volts = Rotation of the volts
rotation_of_amps = Rotation of the amps
rotation_neither = neither: the angles are not thirds of a turn
not_known_yet = not known yet
volts_expected = Volts at the switch
volts_expected_how = Expected is the primary voltage of the site through the VT ratio. The share holds on the primary side, so a VT that does not give 120 V at full voltage is no fault.
expected_needs_nominal = With the site’s primary voltage and the VT plates, the volts to expect stand here.
read = read
expected = expected
on_primary = of primary
more_than_a_tenth_off = more than 10 % off
moved_since = moved
as_left_beside_found = As left beside as found

## Job log
write_note = Write the note
entries_count = { $count ->
    [one] { $count } entry, nothing overwritten
   *[other] { $count } entries, nothing overwritten
}
codes_of_the_log = Codes of this log
codes_why = Two copies that show the same codes hold the same, to the last sign.
root_code = root
fold_code = fold
corrected_by = corrected by { $entry }: { $why }
not_chosen_by = another value was chosen, { $entry }: { $why }
taken_back_by = taken back by { $entry }: { $why }
conflict_at = Two values stand for { $what }.
forked = One phone has numbered two different entries alike. Both are kept.
unknown_entries = { $count ->
    [one] { $count } entry comes from a newer version. It is kept, and not shown.
   *[other] { $count } entries come from a newer version. They are kept, and not shown.
}
log_has_problems = The log needs a look

## Close-out sheet
not_to_sign = Not signed. First: { $what }
sign = Sign
download_the_copy = Download the job file
settle_what_stops = Settle what stops
print = Print
left_before_you_lock = Left before you lock
left_before_you_sign = Nobody signs or locks before this is settled.
nothing_left = Nothing is left. Lock.
for_the_radio = Ten lines for the radio
copy_text = Copy
copied = Copied.
rules_differ = Numbers are arithmetic on what was read. Whether and how they are billed is for local rules and the utility.
root_on_paper = Root of the job log: { $root }
not_written_down = not written down
clock_still_runs = the clock still runs
value_with_range = { $value } ({ $least } to { $most })

## Meter reads and seals
which_read = Which read
moved_on = Moved on while the visit ran
moved_on_why = Present minus earlier, over the top where the number of digits on the plate is known. Not yet multiplied.
register = Register
moved_by = moved on
not_read = not read
which_seals = Which seals
seals_found = Found
seals_left = Left
position = Position
seal_twice = This seal number stands at two places
