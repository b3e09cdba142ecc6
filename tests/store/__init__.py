"""The practice's records.

In: stores in temporary folders. Out: what is kept, and what is refused. Not here: judging.
"""
