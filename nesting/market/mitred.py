"""Sticks that mitred parts are cut from, as stocks of the one-dimensional room.

A piece weighs its length on the centre line and half a slanted cut at each end (`turns.half_cut`): what it takes at
the least, whatever lies beside it. Where ends of different *tolls* face each other, at least the difference of their
tolls is lost; the outer ends of a stick face square ones. So a stick stands for several stocks, by what it holds:

- only *even* pieces, whose two ends take the same toll, the greatest of them r: it loses 2 r at the least;
- besides a *bridge*, a piece whose ends take different tolls and that leads from one to the other for nothing. Past a
  single one with tolls a < b, a + b are lost at the least, and twice what r is above b; past several at least twice
  what no bridge at hand leads past on the way up to r.

Sticks with square pieces alone are the first of these, with r = 0. An end that no other can face nested, however the
pieces are turned, is as good as square: it weighs its reach and half a square cut, and takes no toll.

A lot is several pieces that lie anywhere on one stick. Where its ends take different tolls, no case is known of the
sticks that hold it: they stand for one more stock, at no loss.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache

from nesting.bars.mitres import Bridge, Mitred, Mitres, Mode
from nesting.bars.problem import Stock
from nesting.job import Part, Plane
from nesting.rules.turns import End, Turn, down, ends_of, gap, half_cut, toll, turns_of

_NO_TOLL = Fraction(0)


@lru_cache(maxsize=4096)
def ways_of(part: Part) -> tuple[tuple[tuple[End, End], Turn], ...]:
    """The different ways in which a part may lie, each with the plainest turn that gives it.

    First those in which its angles are seen on the side on which they are drawn.
    """
    found: dict[tuple[End, End], Turn] = {}
    for turn in turns_of(part):
        found.setdefault(ends_of(part, turn), turn)

    def rank(way: tuple[tuple[End, End], Turn]) -> tuple[Fraction | int, ...]:
        (first, last), turn = way
        return turn.roll % 2 == 1, *_rank(first), *_rank(last)

    return tuple(sorted(found.items(), key=rank))


def mitred_stocks(stock: Stock, parts: Mapping[int, Sequence[Part]]) -> tuple[Stock, ...]:
    """A stick as the stocks that it stands for; itself alone where none of its items is mitred.

    Parameters
    ----------
    stock
        Laid square: no form.
    parts
        Of each of its items the part of each piece, as long as what it takes when laid square.
    """
    if not _is_mitred(stock, parts):
        return (stock,)
    return tuple(_Stick(stock, {i: parts[i] for i in stock.items}).stocks())


def mitred_ends(stock: Stock, parts: Mapping[int, Sequence[Part]]) -> Stock:
    """A stick with the weights and the form of its mitred items, whatever it loses; as it is if it has none."""
    if not _is_mitred(stock, parts):
        return stock
    return _Stick(stock, {i: parts[i] for i in stock.items}).whole()


def _is_mitred(stock: Stock, parts: Mapping[int, Sequence[Part]]) -> bool:
    return any(part.is_mitred for i in stock.items for part in parts[i])


def _rank(end: End) -> tuple[bool, Fraction, int]:
    return end.plane != "wide", -end.slope, end.depth


class _Stick:
    """One stick with what its mitred items need."""

    def __init__(self, stock: Stock, parts: Mapping[int, Sequence[Part]]) -> None:
        self._stock, self._parts = stock, parts
        every = tuple(dict.fromkeys(part for pieces in parts.values() for part in pieces))
        # seen on one side all of them, pieces never nest better for a quarter turn
        drawn = {part.plane for part in every if part.is_mitred}
        lying = {
            part: tuple(pair for pair, turn in ways_of(part) if len(drawn) > 1 or turn.roll % 2 == 0)
            for part in every
        }
        self._ends = tuple(sorted({e for pairs in lying.values() for pair in pairs for e in pair}, key=_rank))
        number = {end: n for n, end in enumerate(self._ends)}
        self._ways = {part: tuple((number[a], number[b]) for a, b in pairs) for part, pairs in lying.items()}
        self._classes = tuple(sorted(set(self._ways.values())))
        self._facing = _Facing(pair for pairs in lying.values() for pair in pairs)
        self._nesting = {part: self._nests(part) for part in every}
        self._tolls = {i: self._tolls_of(pieces) for i, pieces in parts.items()}
        self._weights = {i: sum(map(self._least, pieces)) for i, pieces in parts.items()}
        self._mixed = tuple(
            i for i in stock.items if len(parts[i]) > 1 and self._tolls[i][0] != self._tolls[i][1]
        )

    def stocks(self) -> Iterator[Stock]:
        """The stocks, those that lose least first."""
        even = {i: least for i, (least, most) in self._tolls.items() if least == most}
        levels = sorted({Fraction(0), *even.values()})
        for level in levels:
            items = tuple(i for i in self._stock.items if i in even and even[i] <= level)
            if items and level:
                yield self._formed(items, down(2 * level), level)
            elif items:
                yield replace(self._stock, items=items, weights=tuple(self._weights[i] for i in items))
        if self._mixed:
            yield self._formed(self._stock.items, 0, _NO_TOLL, self._mixed, (Mode(1, False, 0),))
        bridges = tuple(i for i in self._stock.items if i not in even and i not in self._mixed)
        lowest = min((self._tolls[i][1] for i in bridges), default=Fraction(0))
        for level, following in zip(levels, [*levels[1:], None], strict=True):
            # up to where all bridges lead nothing more is lost: then the next level holds all that this one does
            if bridges and (following is None or following > lowest):
                items = tuple(i for i in self._stock.items if i in bridges or even.get(i, level + 1) <= level)
                one, several = self._lost_past_one(level, bridges), self._lost(level, bridges)
                modes = (Mode(2, False, 0), Mode(1, True, max(0, one - several)))
                yield self._formed(items, several, level, bridges, modes)

    def _lost_past_one(self, level: Fraction, bridges: tuple[int, ...]) -> int:
        """Ticks that a stick loses whose even pieces reach up to a toll and that holds a single bridge."""
        tolls = (self._tolls[i] for i in bridges)
        return down(min(low + high + 2 * max(level - high, Fraction(0)) for low, high in tolls))

    def _lost(self, level: Fraction, bridges: tuple[int, ...]) -> int:
        """The same past several bridges: twice what none leads past."""
        top = max(level, min(self._tolls[i][0] for i in bridges))
        lost = reached = Fraction(0)
        for low, high in sorted(self._tolls[i] for i in bridges):
            lost += max(Fraction(0), min(low, top) - reached)
            reached = max(reached, min(high, top))
        return down(2 * (lost + top - reached))

    def whole(self) -> Stock:
        """The stick at no loss."""
        return self._formed(self._stock.items, 0)

    def _formed(
        self,
        items: tuple[int, ...],
        taken: int,
        top: Fraction = _NO_TOLL,
        bridges: tuple[int, ...] = (),
        modes: tuple[Mode, ...] = (),
    ) -> Stock:
        stock, cut = self._stock, self._stock.kerf
        weights = tuple(self._weights[i] for i in items)
        seen = tuple(
            (i, Mitred(tuple(map(self._class_of, self._parts[i])), self._extent(i) - weight))
            for i, weight in zip(items, weights, strict=True)
        )
        form = Mitres(
            items=seen,
            classes=self._classes,
            gaps=tuple(tuple(gap(one, other, cut) for other in self._ends) for one in self._ends),
            cut=cut,
            taken=taken,
            top=top,
            bridges=tuple(Bridge(i, *self._bridged(i)) for i in bridges),
            modes=modes,
        )
        return replace(
            stock,
            capacity=stock.capacity - taken,
            ends=stock.ends + taken,
            items=items,
            weights=weights,
            form=form,
        )

    def _nests(self, part: Part) -> tuple[tuple[End, bool], ...]:
        """Ends a and b of a part, each with whether it ever lies nested beside another."""
        as_drawn = ends_of(part, Turn())
        nests = [False, False]
        for (first, last), turn in ways_of(part):
            found = self._facing.nests(first, last)
            for n in range(2):
                nests[n] |= found[n if turn.first == "a" else 1 - n]
        return tuple(zip(as_drawn, nests, strict=True))

    def _tolls_of(self, pieces: Sequence[Part]) -> tuple[Fraction, Fraction]:
        """The least and the greatest toll of the ends of some pieces."""
        cut = self._stock.kerf
        tolls = [
            toll(end, cut) if nests else _NO_TOLL for part in pieces for end, nests in self._nesting[part]
        ]
        return min(tolls), max(tolls)

    def _bridged(self, item: int) -> tuple[Fraction, Fraction]:
        """What a bridge leads from and to; nothing is known of a lot."""
        return (_NO_TOLL, _NO_TOLL) if item in self._mixed else self._tolls[item]

    def _class_of(self, part: Part) -> int:
        return self._classes.index(self._ways[part])

    def _extent(self, item: int) -> int:
        return sum(part.extent for part in self._parts[item])

    def _least(self, part: Part) -> int:
        """Ticks that a piece takes at the least, half a cut at each end included."""
        cut = self._stock.kerf
        beyond = (
            half_cut(end, cut) - end.reach if nests else Fraction(cut, 2)
            for end, nests in self._nesting[part]
        )
        return part.extent + down(sum(beyond, Fraction(0)))


class _Facing:
    """Which ends can lie nested beside another: seen on the same side and leaning alike.

    Parameters
    ----------
    ways
        (first end, last end) of every way in which some piece may lie.
    """

    def __init__(self, ways: Iterable[tuple[End, End]]) -> None:
        pairs = list(ways)
        self._firsts = {_lean(first) for first, _ in pairs}
        self._lasts = {_lean(last) for _, last in pairs}

    def nests(self, first: End, last: End) -> tuple[bool, bool]:
        """Whether the first end of a piece finds a last end before it, and its last end a first end behind it."""
        return (
            bool(first.slope) and _lean(first) in self._lasts,
            bool(last.slope) and _lean(last) in self._firsts,
        )


def _lean(end: End) -> tuple[Plane, bool]:
    return end.plane, end.slope > 0
