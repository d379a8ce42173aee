### What is wrong with a typed text: what was found, what is wanted, the mend. One sentence or two, no blame.

complaint-typed_empty = Nothing is entered here yet, and it is needed: enter it.
complaint-typed_too_long = This has { $found } characters or digits, and at most { $most } are kept: shorten it.
complaint-typed_not_a_number = “{ $found }” cannot be read as a number: enter digits, with a point or a comma before decimals.
complaint-typed_unfinished = “{ $found }” ends on a point or a comma: enter the digits after it, or take it off.
complaint-typed_exponent = “{ $found }” is written with a power of ten: write the number out in full.
complaint-typed_not_a_value = “{ $found }” stands for no number: enter a number, or leave the field empty.
complaint-typed_separators = The points, commas or spaces in “{ $found }” fit no way of writing a number: keep only the one before the decimals.
complaint-typed_ambiguous = This can be read in more than one way: choose the one that is meant.
complaint-typed_wrong_unit = “{ $found }” is another unit: { $wanted ->
    [none] enter the bare number.
   *[other] enter the number in { $wanted }.
}
complaint-typed_out_of_range = { $found } lies outside { $least } to { $most }{ $unit ->
    [none] {""}
   *[other] {" "}{ $unit }
}: read it again, and look at the unit.
complaint-typed_not_whole = { $found } is not a whole number: enter a count without decimals.
complaint-typed_not_a_time = “{ $found }” cannot be read as a time: enter it like 14:05, or like 2026-06-12 14:05.
complaint-typed_no_such_time = No day has the time “{ $found }”: read the clock again.
complaint-typed_half_day = “{ $found }” can be before noon or after noon: choose one.
complaint-typed_time_ahead = “{ $found }” has not come yet today: choose yesterday, or read the clock again.
complaint-typed_control_characters = Signs that cannot be seen came along ({ $found }): take the text without them.
complaint-typed_not_a_choice = “{ $found }” is none of the choices: choose one of { $wanted }.
complaint-typed_not_a_hash = “{ $found }” does not name an entry: choose the entry from the list.
complaint-typed_not_a_ratio = “{ $found }” is too long to be kept exactly: enter the ratio as stamped, like 200:5.

complaint-ratio_empty = No ratio is entered yet: enter it as stamped, like 200:5.
complaint-ratio_too_long = “{ $found }” is longer than any plate: enter the ratio alone, like 200:5.
complaint-ratio_no_separator = “{ $found }” has one side only: enter primary and secondary with a colon between, like 7200:120.
complaint-ratio_many_separators = “{ $found }” holds more than one ratio: enter the one in use.
complaint-ratio_no_number = The { $side ->
    [primary] primary
   *[other] secondary
} side of “{ $found }” has no number: enter both sides, like 200:5.
complaint-ratio_unexpected = The { $side ->
    [primary] primary
   *[other] secondary
} side of “{ $found }” holds a sign that no plate has: enter digits, with √3 where it is stamped.
complaint-ratio_ambiguous = The { $side ->
    [primary] primary
   *[other] secondary
} side of “{ $found }” can be read in two ways: enter it without signs between the thousands.
complaint-ratio_divisor = The { $side ->
    [primary] primary
   *[other] secondary
} side of “{ $found }” is divided by something else than √3 or 3: enter the one winding in use.
complaint-ratio_two_primaries = “{ $found }” carries two primaries: look how they are linked, and enter the ratio as linked, like 200:5.
complaint-ratio_units = “{ $found }” has volts on one side and amps on the other: enter the same unit on both.
complaint-ratio_size = The { $side ->
    [primary] primary
   *[other] secondary
} side of “{ $found }” is a size that no plate carries: read the plate again.
complaint-ratio_exact = “{ $found }” is too long to be reckoned with exactly: enter the ratio as stamped.
complaint-ratio_turns = No primary goes through a window so often: enter the turns counted, from 1.

# A number spelled otherwise than it is kept; it comes from a file, never from a hand.
complaint-decimal_empty = No figures are there: read it again.
complaint-decimal_character = A sign in the number is no figure: enter it again.
complaint-decimal_not_canonical = The number is not spelled in the one way it is kept: enter it again.
complaint-decimal_too_long = The number has more figures than are kept exactly: enter fewer.
