"""The shortest row of mitred pieces, by trying every sequence and every turn."""

from __future__ import annotations

from itertools import permutations, product

from nesting.bars.form import Counts
from nesting.job import Part
from nesting.market.mitred import ways_of
from nesting.rules.turns import End, gap


def shortest(parts: list[Part], counts: Counts, cut: int) -> int:
    """Ticks of the best row and the cut behind it, by trying all sequences and all ways of every piece."""
    pieces = [parts[i] for i, n in counts for _ in range(n)]
    ways = {id(p): [pair for pair, _ in ways_of(p)] for p in pieces}
    best: int | None = None
    for row in permutations(pieces):
        # the best way of each piece after the other, for every way in which the last one may lie
        ahead: dict[End, int] = {last: 0 for _, last in ways[id(row[0])]}
        for piece in row[1:]:
            reached: dict[End, int] = {}
            for (first, last), (before, so_far) in product(ways[id(piece)], ahead.items()):
                gaps = so_far + gap(before, first, cut)
                reached[last] = min(gaps, reached.get(last, gaps))
            ahead = reached
        least = min(ahead.values())
        best = least if best is None else min(best, least)
    assert best is not None
    return sum(p.extent for p in pieces) + best + cut
