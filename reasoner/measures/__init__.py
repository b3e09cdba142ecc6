"""Tape, tracing and scales: what can be worked out from numbers, one idea a module.

In: amounts in base units and the tables of rules/measures/. Out: amounts in base units, with their error where it is known.
Not here: horse facts (they stand in the tables), visits, wording. scipy and uncertainties are imported where they are used.
"""
