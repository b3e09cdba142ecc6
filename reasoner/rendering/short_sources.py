"""A published source in few words.

In: its authors, year and title as its page tells them. Out: surnames and year.
Not here: the whole reference (book_links), which sources an answer rests on (wording).
"""

from __future__ import annotations


def short_source(authors: str, year: str, title: str = "") -> str:
    """A published source in few words: surnames and year.

    >>> short_source("Greve L, Dyson SJ", "2013"), short_source("Dyson S, Carson S, Fisher M", "2015")
    ('Greve and Dyson 2013', 'Dyson and others 2015')
    >>> short_source("Keegan KG and others", "2010"), short_source("Hourdebaigt J-P", "not seen")
    ('Keegan and others 2010', 'Hourdebaigt')
    >>> short_source("de Oliveira K, Clayton HM", "2015"), short_source("an open wiki (several people)", "not dated")
    ('de Oliveira and Clayton 2015', 'an open wiki')
    >>> short_source("authors not noted", "2023", "Pads and pressure")
    '"Pads and pressure" 2023'
    """
    people = authors.partition("(")[0].strip()
    if people.startswith(("authors not", "not named")) and title:
        people = f'"{title.partition("(")[0].strip().rstrip(".")}"'
    people, others, _ = people.partition(" and others")
    names = [_surname(name) for name in people.split(", ")]
    dated = f" {year}" if year.isdigit() else ""
    if not all(names):
        return people + (" and others" if others else "") + dated
    if others or len(names) > 2:
        return f"{names[0]} and others{dated}"
    return " and ".join(names) + dated


def _surname(name: str) -> str:
    """The surname before its initials; empty where the text is no such name."""
    surname, _, initials = name.rpartition(" ")
    return surname if surname and initials.replace("-", "").isupper() and len(initials) <= 5 else ""
