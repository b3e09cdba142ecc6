"""Care of the rules: their examples judged, what no example shows, what a change of the rulebook would change.

In: a rulebook and visits. Out: complaints and comparisons, as data.
Not here: answering a visit (consult), words for people (rendering, cli).
"""
