"""The agronomy of alternate wetting and drying, as pure functions of values.

Nothing in this room reads a clock, a file, a database or a setting. Levels are cm relative to the
soil surface everywhere: + is ponded above it, - is below it, thresholds included (-15).
"""
