"""Grades settle the family; finishes have one word each."""

from __future__ import annotations

import pytest

from stock.errors import BadMaterial
from stock.grade import Family, parse_finish, parse_grade
from stock.standard import table


@pytest.mark.parametrize(
    ("text", "name", "family"),
    [
        ("304", "304", Family.STAINLESS),
        ("Type 304", "304", Family.STAINLESS),
        ("SS304", "304", Family.STAINLESS),
        ("304 stainless", "304", Family.STAINLESS),
        ("1.4301", "304", Family.STAINLESS),
        ("309", "309", Family.STAINLESS),
        ("6061", "6061", Family.ALUMINIUM),
        ("EN AW-6082-T6", "6082-T6", Family.ALUMINIUM),
        ("ASTM A36", "A36", Family.CARBON),
        ("A500 Gr B", "A500 GR B", Family.CARBON),
        ("S355J2", "S355J2", Family.CARBON),
        ("4340", "4340", Family.CARBON),
        ("2205", "2205", Family.STAINLESS),
        ("stainless", "", Family.STAINLESS),
        ("aluminum", "", Family.ALUMINIUM),
        ("", "", None),
        ("unheard-of", "UNHEARD-OF", None),
    ],
)
def test_a_grade_has_one_name_and_a_family(text, name, family):
    """Prefixes of standards do not count; an unknown grade has no family."""
    grade = parse_grade(text)
    assert (grade.name, grade.family) == (name, family)


@pytest.mark.parametrize(
    ("text", "finish"),
    [
        ("Galvanized", "galvanised"),
        ("HDG", "galvanised"),
        ("p&o", "pickled"),
        ("CRS", "cold-rolled"),
        ("HR", "hot-rolled"),
        ("", ""),
    ],
)
def test_finishes_have_one_word_each(text, finish):
    """Common variants meet."""
    assert parse_finish(text) == finish


def test_an_unknown_finish_is_refused_with_the_known_ones():
    """The sentence lists what is allowed."""
    with pytest.raises(BadMaterial, match="hot-rolled, pickled, galvanised, cold-rolled"):
        parse_finish("chrome")


@pytest.mark.parametrize("name", ["angles", "channels", "gauges", "grades", "pipes"])
def test_every_row_of_the_tables_names_its_source(name):
    """And says how far it can be trusted."""
    assert table(name)
    for row in table(name):
        assert any(word in row["source"] for word in ("published", "derived", "from memory")), row
