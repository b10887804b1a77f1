"""Mating nucs told one after another, in fragments: a place and a word for each. Own sentences."""

from __future__ import annotations

import pytest
from one_reader import entries, read, spoken


def found(text: str) -> dict[str, str]:
    """Result of each nuc."""
    return {e["place"]: e["result"] for e in entries(text) if e["kind"] == "mating"}


@pytest.mark.parametrize("form", ["typed", "spoken"])
@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("Nuc 3. Laying. Nuc 4, nothing.", {3: "laying", 4: "not laying"}),
        ("Nuc 11 laying, nuc 12 nothing yet, nuc 13 laying.", {11: "laying", 12: "not laying", 13: "laying"}),
        ("Nuc 21, she's laying. Nuc 22, nope.", {21: "laying", 22: "not laying"}),
        ("Nuc 1 laying. Nuc 2 nothing doing.", {1: "laying", 2: "not laying"}),
        ("Nuc 5, in lay. Nuc 6, nobody home.", {5: "laying", 6: "missing"}),
        ("Nuc 14 laying, nuc 15 nobody home, queen gone.", {14: "laying", 15: "missing"}),
        ("Nuc 18 is laying, nuc 19 there's nobody there.", {18: "laying", 19: "missing"}),
        ("Nuc 7 a virgin still, I saw her running on the comb.", {7: "virgin seen"}),
        ("Nuc 8, still a virgin, saw her scuttling about.", {8: "virgin seen"}),
        ("Nuc 2 laying, nuc 3 drone layer, nuc 4 missing.", {2: "laying", 3: "drone layer", 4: "missing"}),
        ("Nuc 16 mated and laying. Nuc 17 a virgin.", {16: "laying", 17: "virgin seen"}),
        ("Nuc 9 laying. Nuc 10 the same.", {9: "laying", 10: "laying"}),
    ],
)
def test_each_nuc_with_its_word(text: str, wanted: dict[int, str], form: str) -> None:
    assert found(text if form == "typed" else spoken(text)) == {f"nuc {n}": r for n, r in wanted.items()}


@pytest.mark.parametrize(
    ("text", "are", "not_yet"),
    [
        ("Of nucs 1 to 4, 1 and 3 are laying and the other two are not.", [1, 3], [2, 4]),
        ("Nucs 5 to 9 checked. 6 and 8 aren't laying, the rest are.", [5, 7, 9], [6, 8]),
        ("Nucs 10, 11 and 12: 10 not laying, the others laying.", [11, 12], [10]),
        ("Nucs 1 to 3, nuc 2 is not laying yet, the other two are.", [1, 3], [2]),
        ("Went through nucs 13 to 16. Nuc 14 not laying, all the others laying.", [13, 15, 16], [14]),
        ("Nucs 20 to 23, laying in 21, nothing in the rest yet.", [21], [20, 22, 23]),
        ("Nucs 1 to 5, nuc 4 isn't laying yet. Everything else is laying.", [1, 2, 3, 5], [4]),
        ("Checked nucs 6 to 8. 7 is laying, the other ones are not.", [7], [6, 8]),
        ("Nucs 2, 3 and 4, she's not laying in 3, the rest of them laying.", [2, 4], [3]),
        ("Nucs 15 to 18: nuc 15 laying, the other three not laying.", [15], [16, 17, 18]),
    ],
)
def test_the_rest_of_a_list(text: str, are: list[int], not_yet: list[int]) -> None:
    wanted = {f"nuc {n}": "laying" for n in are} | {f"nuc {n}": "not laying" for n in not_yet}
    assert found(text) == wanted


@pytest.mark.parametrize("text", ["Nuc 3, nothing.", "nothing in hive 12", "Nobody home at nuc 8."])
def test_without_talk_of_laying_nothing_is_no_finding(text: str) -> None:
    assert found(text) == {}
    assert [e.kind for e in read(text).entries] in (["note"], ["loss"])
