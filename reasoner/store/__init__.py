"""The practice's records: every visit, kept as it was written, with what was made of it that day.

In: visits and answers as plain data. Out: the same again, whole, and the courses over time.
Not here: reading visit files, judging, wording. A saved visit is never edited in place; a correction is a new version.
"""
