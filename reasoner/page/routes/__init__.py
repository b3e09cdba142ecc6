"""The routes of the page, one file a topic.

In: the register below. Out: which modules hold a `router`.
Not here: any one route.
"""

ROUTES = (
    "answers",
    "at_the_horse",
    "entering",
    "examination",
    "first",
    "handing",
    "lines",
    "photographs",
    "telephones",
    "horses",
    "visits",
    "telling",
    "why",
    "lesson",
    "changing",
    "class_case",
    "class_desk",
    "reports",
    "desk",
    "handbook",
    "learning",
    "agreeing",
    "pressing",
    "practise",
    "practise_handed_out",
)  # fmt: skip
