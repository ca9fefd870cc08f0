"""Words in and words out, as pure functions of values.

Text from a phone becomes meaning, advice becomes a sentence of a counted number of segments.
Nothing in this room reads a clock, a file, a database or a setting.
"""
