"""The examples of RFC 3339 (2002), section 5.8, as far as one spelling a moment allows them (from memory)."""

from __future__ import annotations

import pytest

from runner.batch.moment import from_rfc3339, rfc3339

# Each example of section 5.8 (the second paragraph gives the UTC equivalent), put into milliseconds and Z.
SAME_MOMENT = [
    ("1985-04-12T23:20:50.52Z", "1985-04-12T23:20:50.520Z", 482_196_050_520),
    ("1996-12-19T16:39:57-08:00", "1996-12-20T00:39:57.000Z", 851_042_397_000),
    ("1937-01-01T12:00:27.87+00:20", "1937-01-01T11:40:27.870Z", -1_041_337_172_130),
]
LEAP = ["1990-12-31T23:59:60Z", "1990-12-31T15:59:60-08:00"]


@pytest.mark.parametrize(("example", "ours", "at_ms"), SAME_MOMENT)
def test_each_example_has_one_spelling_here(example: str, ours: str, at_ms: int) -> None:
    """The moment of each example is read in UTC with milliseconds; the example itself is refused."""
    assert rfc3339(at_ms) == ours
    assert from_rfc3339(ours) == at_ms
    with pytest.raises(ValueError, match="Z"):
        from_rfc3339(example)


@pytest.mark.parametrize("example", [*LEAP, "1990-12-31T23:59:60.000Z"])
def test_leap_seconds_are_refused(example: str) -> None:
    """A count of milliseconds since 1970 has no place for second 60."""
    with pytest.raises(ValueError, match=r"second|Z"):
        from_rfc3339(example)


@pytest.mark.parametrize(
    "text",
    [
        "1985-04-12T23:20:50.520z",  # section 5.6 allows lower case; one spelling does not
        "1985-04-12t23:20:50.520Z",
        "1985-04-12 23:20:50.520Z",
        "1985-04-12T23:20:50.520+00:00",
        "1985-04-12T23:20:50.520-00:00",
        "1985-04-12T23:20:50.520",
        "1985-04-12T23:20:50Z",
        "1985-04-12T23:20:50.5200Z",
        "1985-04-12T23:20:50,520Z",
        "1985-04-12T24:00:00.000Z",
        "1985-02-29T00:00:00.000Z",
        "1985-W15-5T23:20:50.520Z",
        "19850412T232050.520Z",
        "1985-04-12T23:20:50.520Z\n",
        "１985-04-12T23:20:50.520Z",
        "+985-04-12T23:20:50.520Z",
        "",
    ],
)
def test_every_other_spelling_is_refused(text: str) -> None:
    """What does not stand in exactly the written form is no time of a journal line."""
    with pytest.raises(ValueError, match=r".+"):
        from_rfc3339(text)
