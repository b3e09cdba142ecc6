"""The questions room: what a practitioner asks next, each answered by more rows of the same pass.

In: an `Answer` and what is asked about it. Out: records that rendering lays out.
Not here: sentences, files, the pass itself.
"""
