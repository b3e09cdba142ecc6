"""The track record and the yard's view.

In: small invented practices whose truth is known. Out: what is counted of them. Not here: judging.
"""
