"""The bulk room: many visits at once, from folders of visit files or from tables with one row a finding.

In: a table (Arrow, or anything that hands one over), or files. Out: a table of what was judged, and one of what was set aside.
Not here: the pass itself, the command line.

The table in, one row a finding; the rows of a visit stand together. Columns by name, in any order, others are left alone:

| column | what it holds |
|---|---|
| visit | what the visit is called: a text or a number |
| date | the day of the visit, as a date or as YYYY-MM-DD; the same on every row of a visit (or empty after the first) |
| finding | a place or an entry of a visit file, by any spelling ("loin", "left loin", "gums", "saddle: front") |
| side | left, right or both by any spelling; empty where there is none, or where it stands in `finding` |
| value | as in a visit file: 4, would not allow touch, 38.2 °C, or a whole {soreness: 4, response: flinches} |
| when | first (or empty), once settled, after work: when the hand was there |
| response, felt | a word, or several with commas between them |
| depth, touch | surface or deep; light or firm |
| leg | for what was seen of one leg only: "left hind" beside the finding "seen at" |

A `value` of "quiet" marks a place, or a whole region of the round, as examined and found quiet.

The table out, at least one row a visit:

| column | what it holds |
|---|---|
| visit, date | as they came in |
| kind | referral (one a visit), concern, conclusion, action, or set aside |
| name, side, place | the page's key (or the code of what is wrong), its side, the place of a concern asked of each |
| certainty | of a conclusion, from -1 to 1; a conclusion that nothing speaks of has no row |
| lower, upper | of a conclusion, where ranges were asked for: the least and the most it could become |
| band | a conclusion: its band, or against; a concern and the referral: how pressing; an action: step, or not today |
"""

from reasoner.bulk.judging import Judge, Judged, judged_table

__all__ = ["Judge", "Judged", "judged_table"]
