"""The plan room: who must be called, what is stopped, and which actions stand.

In: the record, its explanation and the visit's own words from a veterinarian. Out: `Referral` and `Plan`.
Not here: text layout, dates from the clock, rules.
"""
