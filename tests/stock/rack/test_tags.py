"""Ids for the paint pen: short, each once, and a slip in one is never another piece."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.errors import RackRefused
from stock.rack.tag import SIGNS, near_tags, read_tag, tag


def test_the_first_six_thousand_ids_are_all_different_and_of_four_signs() -> None:
    names = [tag(number) for number in range(len(SIGNS) ** 3)]
    assert len(set(names)) == 6859
    assert {len(name) for name in names} == {4}
    assert len(tag(6859)) == 5


@given(st.integers(0, 10**6), st.data())
def test_one_wrong_sign_or_two_swapped_ones_are_no_id_of_any_piece(number: int, data: st.DataObject) -> None:
    name = tag(number)
    at = data.draw(st.integers(0, len(name) - 1))
    other = data.draw(st.sampled_from(SIGNS.replace(name[at], "")))
    swapped = name[: at - 1] + name[at] + name[at - 1] + name[at + 1 :] if at else name
    for slip in {name[:at] + other + name[at + 1 :], swapped} - {name}:
        assert not is_id(slip)


def is_id(name: str) -> bool:
    """Whether some number has this id: it counts in the signs before the last one."""
    number = 0
    for sign in name[:-1]:
        number = number * len(SIGNS) + SIGNS.index(sign)
    return tag(number) == name


@given(st.integers(0, 10**6))
def test_an_id_is_read_as_it_is_written_in_any_case(number: int) -> None:
    assert read_tag(f" {tag(number).lower()} ") == tag(number)


@pytest.mark.parametrize("text", ["", "a/b", "..", "a..b", "a. b", "-a", "x" * 17, "a\\b", "a\0", "C:x"])
def test_what_might_be_a_path_or_cannot_be_painted_is_refused(text: str) -> None:
    with pytest.raises(RackRefused, match="cannot be the id of a piece"):
        read_tag(text)


def test_near_ids_are_told() -> None:
    assert near_tags("334", ["334W", "AAAA"]) == ("334W",)
    assert near_tags("334W", []) == ()
