"""Sealed visits: the seal tells nothing, fits one file alone, and is of no use copied.

In: visits as bytes. Out: failures.
Not here: the command's words (test_agree_command.py).
"""

from __future__ import annotations

import base64
import hashlib
import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from reasoner.problems import BadInput
from reasoner.teaching.sealing import (
    Opening,
    is_opening,
    is_seal,
    must_fit,
    opening_from,
    opening_text,
    seal_from,
    seal_text,
    sealed,
)

DATA = b"visit: 2026-05-06\npalpation: {loin: {left: 7, right: 1}}\n"
BESIDE = {"back.csv": b"1,2\n"}


def made(data: bytes = DATA) -> tuple[bytes, bytes]:
    seal, opening = sealed("tam.yaml", data, BESIDE, horse="Clove", day="2026-05-06", by="Tam Orrin")
    return seal_text(seal).encode(), opening_text(opening).encode()


def test_what_was_sealed_opens_whole() -> None:
    seal, opening = (made_ := made())
    assert is_seal(seal)
    assert is_opening(opening)
    assert not is_seal(opening)
    found = opening_from(opening, "o")
    assert (found.file, found.data, found.beside) == ("tam.yaml", DATA, BESIDE)
    assert must_fit(found, "o", {"s": seal_from(seal, "s")}) == "s"
    assert made_ != made()  # fresh random bytes each time: the same visit sealed twice has two seals


def test_the_hash_is_that_of_the_standard() -> None:
    """FIPS 180-4: the commitment worked out here from its parts with the standard library's SHA-256."""
    opening = Opening(file="x", data=b"abc", beside={"b": b"2", "a": b"1"}, random=b"r" * 32)
    whole = b"reasoner commitment 1\0"
    for part in (b"r" * 32, b"abc", b"a", b"1", b"b", b"2"):
        whole += len(part).to_bytes(8, "big") + part
    assert opening.commitment == hashlib.sha256(whole).hexdigest()


def test_the_seal_tells_nothing_of_what_was_graded() -> None:
    """Nothing of the file stands in it, the hash of the file alone is not the seal: nobody can try gradings until one fits."""
    seal, _ = made()
    said = json.loads(seal)
    assert set(said) == {"what", "horse", "visit", "examined_by", "commitment"}
    assert "7" not in said["horse"] + said["examined_by"]
    assert b"loin" not in seal
    assert base64.b64encode(DATA)[:16] not in seal
    assert said["commitment"] != hashlib.sha256(DATA).hexdigest()


@given(some.integers(0, len(DATA) - 1), some.integers(1, 255))
@settings(max_examples=60, deadline=None)
def test_a_changed_byte_fits_no_more(at: int, by: int) -> None:
    seal, opening = made()
    found = opening_from(opening, "o")
    data = bytearray(found.data)
    data[at] ^= by
    changed = Opening(file=found.file, data=bytes(data), beside=found.beside, random=found.random)
    with pytest.raises(BadInput) as bad:
        must_fit(changed, "o", {"s": seal_from(seal, "s")})
    assert bad.value.problems[0].code == "TE06"


def test_bytes_cannot_be_moved_from_one_part_to_the_next() -> None:
    one = Opening(file="x", data=b"ab", beside={"c": b"d"}, random=b"r")
    two = Opening(file="x", data=b"a", beside={"bc": b"d"}, random=b"r")
    assert one.commitment != two.commitment


@pytest.mark.parametrize(
    "data", [b"", b"{", b"[]", b'{"what": "reasoner seal 1"}', b'{"what": "else"}', b"\xff" * 9, b"[" * 5000]
)
def test_what_is_no_seal_is_refused(data: bytes) -> None:
    for reader in (seal_from, opening_from):
        with pytest.raises(BadInput) as bad:
            reader(data, "s.json")
        assert bad.value.problems[0].code == "TE05"


def test_a_damaged_opening_is_told_as_damaged() -> None:
    _, opening = made()
    said = json.loads(opening) | {"visit_file": "not base64!"}
    with pytest.raises(BadInput) as bad:
        opening_from(json.dumps(said).encode(), "o.json")
    assert "damaged" in bad.value.problems[0].sentence
