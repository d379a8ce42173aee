### The formula of each rule, and where it comes from.

rule-ratio_ct = CTR = primary amps ÷ secondary amps, after tap and turns
    .source = common practice; a window CT’s marked ratio holds for one primary turn
rule-ratio_vt = VTR = primary volts ÷ secondary volts
    .source = common practice
rule-multiplier_transformer_factor = TF = CTR × VTR
    .source = NAVFAC MO-221, Utilities Metering: transformer factor (20:5 × 7200:120 = 240)
rule-multiplier_billing = multiplier = TF × Kr ÷ TF in, where TF in is what the register contains already
    .source = NAVFAC MO-221, Utilities Metering: a register that reads primary energy is not multiplied again
rule-multiplier_primary_kh = primary Kh = Kh × TF
    .source = common practice; PKh in metering study cards
rule-correction_ratio = CF = actual ratio ÷ ratio on record
    .source = exact arithmetic
rule-correction_energy = true energy = billed energy × CF
    .source = exact arithmetic
rule-registration_mixed_ratios = R = M ÷ Kr × mean of 1 ÷ (CTR × VTR) over the elements, balanced load
    .source = phasor algebra: each element takes an equal share of the power
rule-multiplier_from_power = multiplier = primary watts ÷ secondary watts
    .source = exact arithmetic
rule-ratio_rounded = error = CTR × rounded VTR ÷ (CTR × VTR) − 1
    .source = exact arithmetic
rule-pulse_energy = energy per pulse = Ke × factor
    .source = common practice
rule-pulse_total = energy = pulses × energy per pulse
    .source = common practice
rule-register_difference = difference = present − previous, over the top where the register has gone round
    .source = common practice: (present − previous + 10^digits) modulo 10^digits
rule-register_energy = energy = register difference × multiplier
    .source = common practice
rule-power_timed = kW = 3.6 × Kh × n × factor ÷ seconds
    .source = common practice; 3.6 = 3600 s/h ÷ 1000 Wh/kWh
rule-power_element = P = V × I × cos θ, θ the angle from amps to volts
    .source = IEEE 1459-2010, 3.1.2 (from memory)
rule-power_total = P = sum over the elements
    .source = A. Blondel, 1893: N wires, N − 1 elements (from memory)
rule-energy_bypassed = E = P × Δt × (1 − registration in that state), per element
    .source = arithmetic; 129.6 kW × 14 min = 30.24 kWh
rule-power_mean = P = (P before + P after) ÷ 2
    .source = common practice, no source
rule-multiplier_on_record = off by = multiplier on record ÷ multiplier from the plates
    .source = exact arithmetic
rule-power_total_absolute = P = sum over the elements of |P|
    .source = how the meter adds: a fact of its nameplate or programming
rule-power_total_positive = P = sum over the elements with P > 0
    .source = how the meter adds: a fact of its nameplate or programming
rule-registration_power = R = P registered ÷ P true
    .source = definition, signed; the correction factor is 1 ÷ R, and there is none where R = 0
rule-unbalance_negative_sequence = u = V2 ÷ V1 × 100 %
    .source = IEC 61000-4-30; C. L. Fortescue, 1918
rule-unbalance_zero_sequence = u = V0 ÷ V1 × 100 %
    .source = IEC 61000-4-30; C. L. Fortescue, 1918
rule-unbalance_largest_deviation = u = largest deviation from the mean ÷ mean × 100 %
    .source = NEMA MG 1 (from memory); it does not see angles
rule-energy_true_from_registered = true energy = registered ÷ R
    .source = arithmetic
rule-energy_partly_registered = true energy = registered × all ÷ (all − wrong + R × wrong), constant load
    .source = arithmetic
rule-energy_from_history = true energy = mean a day × days
    .source = common practice, no source
rule-energy_from_load_factor = E = peak × LF × hours
    .source = definition of the load factor
rule-power_taps = error of the taps = time that two taps may be off ÷ time counted
    .source = arithmetic; that two taps are off by 0.2 s is common practice, no source: 0.5 % needs 40 s
rule-register_rates = sum = registers of all rates together, to be compared with the total
    .source = arithmetic; each register cuts its last digit off
rule-demand_meter = demand = reading of the maximum register × multiplier
    .source = common practice
rule-demand_period_peak = demand of the period = greatest of the meters that share it, each × its own multiplier
    .source = common practice, no source
rule-correction_period = adjustment = registered × (1 ÷ R − 1), with R = registered ÷ true at that power factor
    .source = arithmetic; who owes what to whom differs by place
rule-capacity_loading = loading = load ÷ limit
    .source = arithmetic; amperes of a three-phase load = P ÷ (√3 × V × pf)
