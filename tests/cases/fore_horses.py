"""The horses of the cases about the front end, as a practitioner would write them down.

In: nothing. Out: one visit to a name.
Not here: what is expected of them (test_fore). All horses, people and the yard are invented.
"""

from __future__ import annotations

GIRTH_TOO_FAR_FORWARD = """
horse: {name: Juno, sex: mare, born: 2015, type: cob or heavy}
yard: Larkhope
examined by: Wren Aldous
before the visit: {teeth seen: 2026-01-10, shod: 2026-03-21, appetite: eating, temper: usual,
  soreness onset: slow, work lately: steady}
settled under the hand: seen
palpation:
  girth line: {left: {soreness: 4, felt: [nothing]}, right: {soreness: 4, felt: [nothing]}}
  behind the elbow: {left: {soreness: 4, felt: [nothing]}, right: {soreness: 4, felt: [nothing]}}
  triceps: {both: 2}
  before the shoulder blade: {both: 1}
  lower neck: {both: 1}
  breast: {both: 1}
in hand: {trot in hand: even, both reins: seen}
uneven steps: {left fore: even, right fore: even, left hind: even, right hind: even}
tacked up:
  girth holes: even
  girthed: {girth sits: against the elbow, girth tightness: very tight, girthing: mild dislike}
"""

GIRTH_NEWLY_DISLIKED = """
horse: {name: Sorrel, sex: gelding, born: 2018, type: fine skinned}
yard: Larkhope
before the visit: {appetite: eating, temper: usual, work lately: steady, shod: 2026-03-21}
settled under the hand: seen
palpation:
  girth line: {left: 5, right: 5}
  behind the elbow: {left: 4, right: 4}
  before the shoulder blade: {both: 1}
  lower neck: {both: 1}
  breast: {both: 1}
standing square: {lifts its back: resents}
in hand: {trot in hand: even, both reins: seen}
uneven steps: {left fore: even, right fore: even}
tacked up:
  girth holes: even
  girthed: {girth sits: in its groove, girth tightness: flat hand passes, girthing: new dislike}
"""

RUBBED_ON_ONE_SIDE = """
horse: {name: Rook, sex: gelding, born: 2012}
yard: Larkhope
before the visit: {appetite: eating, soreness onset: slow, saddle checked: 2025-04-01}
settled under the hand: seen
palpation:
  girth line: {left: {soreness: 4, felt: [rubbed]}, right: {soreness: 1, felt: [nothing]}}
  behind the elbow: {left: {soreness: 2, felt: [nothing]}, right: {soreness: 1, felt: [nothing]}}
in hand: {trot in hand: even, both reins: seen}
uneven steps: {left fore: even, right fore: even}
tacked up:
  girth holes: left
  girthed: {girth sits: in its groove, girth tightness: very tight, girthing: quiet}
"""

JUMPER_SORE_IN_THE_SLING = """
horse: {name: Otter, sex: mare, born: 2016}
yard: Larkhope
before the visit: {work lately: more than it is used to, warm-up: short, shod: 2026-03-28,
  soreness onset: slow, appetite: eating, painkillers: none}
settled under the hand: seen
palpation:
  lower neck: {left: {soreness: 5, felt: [nothing]}, right: {soreness: 2, felt: [nothing]}}
  before the shoulder blade: {left: {soreness: 5, felt: [nothing]}, right: {soreness: 2, felt: [nothing]}}
  breast: {left: 5, right: 2}
  behind the elbow: {left: 4, right: 1}
  girth line: {left: 2, right: 1}
  behind the shoulder blade: {both: 1}
in hand: {trot in hand: even, both reins: seen}
uneven steps: {left fore: even, right fore: even, left hind: even, right hind: even}
tacked up: {girthed: {girth sits: in its groove, girth tightness: flat hand passes, girthing: quiet}}
ridden: {lead preferred: right}
"""

SHOULDER_AND_AN_UNEVEN_FORE = """
horse: {name: Magpie, sex: gelding, born: 2010}
yard: Larkhope
before the visit: {shod: 2026-03-28, appetite: eating, work lately: steady}
settled under the hand: seen
palpation:
  shoulder blade front: {left: 1, right: 5}
  shoulder blade rear: {left: 1, right: 5}
  triceps: {left: 1, right: 4}
  lower neck: {both: 2}
  breast: {left: 1, right: 3}
in hand: {trot in hand: uneven}
uneven steps: {left fore: slight, right fore: even}
ridden: {head at the trot: nods every stride}
"""

OVERDUE_FEET = """
horse: {name: Clover, sex: mare, born: 2013, type: middling}
yard: Larkhope
visit: 2026-04-18
before the visit: {shod: 2026-02-02, work lately: steady, appetite: eating, soreness onset: slow}
settled under the hand: seen
palpation:
  lower neck: {left: {soreness: 4, felt: [knot]}, right: {soreness: 4, felt: [knot]}}
  arm biceps: {both: 4}
  forearm: {both: 5}
  front of the upper arm: {both: 3}
  behind the poll: {both: 1}
  shoulder blade front: {both: 2}
  shoulder blade rear: {both: 2}
standing square: {feet: long, steeper fore foot: even, bigger shoulder: even}
at first sight: {feet and pulses: cool and quiet}
in hand: {trot in hand: even, both reins: seen}
uneven steps: {left fore: even, right fore: even, left hind: even, right hind: even}
"""

SHOE_GONE_AND_FOOT_HOT = """
horse: {name: Fennel, sex: gelding, born: 2009}
yard: Larkhope
visit: 2026-04-18
before the visit: {shod: 2026-03-14, appetite: eating}
at first sight: {feet and pulses: hot with strong pulses, standing: square, ten steps of walk: even}
settled under the hand: seen
palpation:
  arm biceps: {left: 5, right: 1}
  forearm: {left: 5, right: 1}
  triceps: {left: 4, right: 1}
standing square: {feet: loose or lost shoe}
in hand: {trot in hand: even, both reins: seen}
uneven steps: {left fore: even, right fore: even}
"""

BIGGER_SHOULDER_PUSHES = """
horse: {name: Bramble, sex: mare, born: 2017}
yard: Larkhope
before the visit: {shod: 2026-03-21, work lately: steady, appetite: eating, saddle checked: 2026-01-15}
settled under the hand: seen
palpation:
  behind the shoulder blade: {left: 1, right: {soreness: 3, depth: deep}}
  withers: {left: {soreness: 3, depth: surface, felt: [nothing]}, right: {soreness: 1, felt: [nothing]}}
  croup: {both: 1}
  loin: {both: 1}
standing square: {bigger shoulder: left, steeper fore foot: even, lower hip: level}
in hand: {trot in hand: even, both reins: seen, hind push off: even, toe drag: none}
uneven steps: {left fore: even, right fore: even, left hind: even, right hind: even}
tacked up: {saddle: {type: with bars, panels: even, tree width: looks right}, rests: right,
  girth holes: even}
ridden: {saddle comes to: right, seen on: both reins, rider shape: level, stirrup difference: none,
  lead preferred: none}
"""

TOWARDS_THE_BIGGER_SHOULDER = """
horse: {name: Tansy, sex: mare, born: 2014}
yard: Larkhope
before the visit: {shod: 2026-03-21, appetite: eating}
settled under the hand: seen
palpation:
  behind the shoulder blade: {left: {soreness: 4, depth: deep}, right: 1}
  croup: {left: 4, right: 1}
  withers: {left: 1, right: {soreness: 2, depth: surface}}
standing square: {bigger shoulder: left}
in hand: {trot in hand: even, both reins: seen, hind push off: left}
uneven steps: {left fore: even, right fore: even}
tacked up: {saddle: {type: with bars, panels: even, tree width: looks right}, rests: left}
ridden: {saddle comes to: left, seen on: both reins}
"""

UNEVEN_PAIR_AND_NOTHING_ELSE = """
horse: {name: Pewter, sex: gelding, born: 2011}
yard: Larkhope
visit: 2026-04-18
before the visit: {shod: 2026-03-28, work lately: steady, appetite: eating}
settled under the hand: seen
quiet: {poll: both, neck: both, shoulder: both, chest: both, withers: both, back: both, loin: both,
  croup: both}
standing square: {steeper fore foot: left, feet: tidy, bigger shoulder: even}
at first sight: {feet and pulses: cool and quiet}
in hand: {trot in hand: even, both reins: seen, hind push off: even}
uneven steps: {left fore: even, right fore: even, left hind: even, right hind: even}
tacked up: {girthed: {girth sits: in its groove, girth tightness: flat hand passes, girthing: quiet}}
ridden: {lead preferred: none, saddle comes to: straight}
"""

ONE_EASIER_SIDE = """
horse: {name: Hazel, sex: mare, born: 2019}
yard: Larkhope
before the visit: {teeth seen: 2026-02-10, shod: 2026-03-28, work lately: steady, soreness onset: none}
settled under the hand: seen
quiet: {head: both, poll: both, neck: both, shoulder: both, chest: both, withers: both, back: both,
  loin: both, croup: both}
standing square: {bigger shoulder: right, steeper fore foot: even, feet: tidy}
in hand: {trot in hand: even, both reins: seen, hind push off: even}
uneven steps: {left fore: even, right fore: even, left hind: even, right hind: even}
tacked up: {girthed: {girth sits: in its groove, girth tightness: flat hand passes, girthing: quiet},
  rests: straight}
ridden: {harder to bend to: right, stronger rein: right, lead preferred: left, saddle comes to: straight,
  seen on: both reins}
"""

NOTHING_FOUND_IN_FRONT = """
horse: {name: Barley, sex: gelding, born: 2016, temperament: ordinary}
yard: Larkhope
visit: 2026-04-18
before the visit: {shod: 2026-03-14, work lately: steady, ridden hard: none in 3 days, appetite: eating,
  painkillers: none}
settled under the hand: seen
palpation: {between the forelegs: {both: 1}, lower neck: {both: {soreness: 2, felt: [nothing]}},
  girth line: {both: 3}}
quiet: {poll: both, neck: both, shoulder: both, chest: both, withers: both, back: both}
standing square: {bigger shoulder: even, steeper fore foot: even, feet: tidy, lifts its back: lifts}
in hand: {trot in hand: even, both reins: seen}
uneven steps: {left fore: even, right fore: even}
tacked up: {girth holes: even, girthed: {girth sits: in its groove, girth tightness: flat hand passes,
  girthing: quiet}}
ridden: {lead preferred: left, harder to bend to: neither, stronger rein: even}
"""

OLD_KNOTS_ON_THE_SHOULDER = """
horse: {name: Thistle, sex: gelding, born: 2008}
yard: Larkhope
before the visit: {soreness onset: slow, shod: 2026-03-21, ridden hard: none in 3 days,
  speed work: none in 3 days, fall or blow: 2026-01-10, painkillers: none}
settled under the hand: seen
palpation:
  shoulder blade front: {left: {soreness: 4.5, felt: [knot]}, right: {soreness: 1, felt: [nothing]}}
  shoulder blade rear: {left: {soreness: 4.5, felt: [hard]}, right: {soreness: 1, felt: [nothing]}}
  triceps: {left: 3, right: 1}
  lower neck: {both: {soreness: 1, felt: [nothing]}}
in hand: {trot in hand: even, both reins: seen}
uneven steps: {left fore: even, right fore: even, left hind: even, right hind: even}
tacked up: {saddle: {lies: on the blade}, girthed: {girth sits: in its groove,
  girth tightness: flat hand passes, girthing: quiet}}
"""
