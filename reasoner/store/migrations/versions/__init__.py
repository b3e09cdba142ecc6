"""One module a step.

In: the tables as the step before left them. Out: as it leaves them. Not here: how steps are run.
"""
