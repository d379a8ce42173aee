### What the screens say around the facts.

dotside = Dotside
skip = To the content
jobs = Jobs
calculator = Calculator
phone = This phone
back = Back
other = Other
main_places = Places
offline = Offline
online = Online
saving = Saving…
saved_here = Saved on this phone and read back
not_saved = Not saved
now = Now
correct = Correct
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
