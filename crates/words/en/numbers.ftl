### Why a number cannot be given, and what was not read.

cannot-ratio_size = A side of the ratio is a size that no plate carries: read the plate again.
cannot-ratio_exact = The ratio is too long to be reckoned with exactly: enter it as stamped.
cannot-ratio_turns = Turns through a window are counted from 1: count them again.
cannot-multiplier_exact = These ratios are too long to multiply exactly: enter them as stamped.
cannot-multiplier_not_positive = A constant must be greater than zero: read it again.
cannot-multiplier_elements = The ratios do not match the elements: enter one CT ratio for each element, and one VT ratio or as many.
cannot-register_build = No register has so many digits, or all of them behind the point: count the digits again.
cannot-register_negative = A register shows no minus: read it again.
cannot-register_too_many = The reading has more digits than the register: read it again, or count the digits again.
cannot-register_too_fine = The reading has more decimals than the register: read it again, or count the decimals again.
cannot-register_went_back = The later reading is the smaller one: enter the number of digits, then going round can be told from running backwards.
cannot-register_exact = The readings are too long to be reckoned with exactly: read them again.
cannot-timed_too_short = Too short to time by hand: count pulses for 40 s or more.
cannot-timed_no_pulse = No pulse was counted: wait for more load, then count again.
cannot-timed_size = These numbers are too long to be reckoned with exactly: enter them as read.
cannot-bypass_never_restored = The clock still runs: it ends when the element is back on the meter and its current is read.
cannot-bypass_no_power = No power is known from before or after: enter volts and amps as found or as left.
cannot-bypass_out_of_order = The times do not follow one another: look at the job log, and correct the one that is off.
cannot-bypass_size = A time or an energy is beyond any size: look at the job log, and correct the one that is off.

missing-volts = { $place } volts are not read.
missing-element_volts = { $place } volts across the element are not read; those read are line to line.
missing-amps = { $place } amps are not read.
missing-volt_angle = The angle of { $place } volts is not read.
missing-amp_angle = The angle of { $place } amps is not read.
