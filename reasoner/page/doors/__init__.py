"""Who may come in from nearby: people, sessions, codes, certificates.

In: names, passwords, codes, cookies. Out: a `Who`, or a refusal.
Not here: what follows from who somebody is (page.who), horses.
"""
