"""The explanation room: one record and its views as data.

In: the `Record` of a run, its bounds, the facts and the rulebook. Out: `Explanation`: for, against, not checked, account.
Not here: sentences, HTML. A view never re-derives.
"""
