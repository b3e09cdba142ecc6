"""Practice at the page: sessions kept on this machine, keyed to the person, and what of them may be shown.

In: who asks, choices of forms. Out: sessions, views, marks.
Not here: what a choice does, marking (teaching), routes.
"""
