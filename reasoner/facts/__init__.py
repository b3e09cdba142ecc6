"""The facts room: what was written down, as numbers in slots, each with where it came from.

In: a `Visit`. Out: `Facts` and columns of readings for the pass.
Not here: conditions, limits, input and output.
"""
