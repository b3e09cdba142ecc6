"""The page: the same answers in a browser, at the horse on a telephone and at the desk.

In: the records and a rulebook. Out: a web application for this machine and, when asked, for telephones nearby.
Not here: reasoning, wording of answers, the records themselves.
"""
