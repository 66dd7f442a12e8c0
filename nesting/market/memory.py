"""Patterns of a group that were found for one of its problems and hold in the next: at other yards, at other breaks.

What a stick may hold does not depend on prices or on what else is to be had. So a linear relaxation that starts with
the patterns of the one before it is soon solved.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from nesting.bars.problem import Form, Item, Pattern, Problem, Stock
from nesting.joint.problem import JointProblem
from nesting.market.build import Built
from stock.offer import Offer

_MOST = 5_000
"""Patterns that are kept of one problem."""

_Counts = tuple[tuple[int, int], ...]


class Memory:
    """What the problems of one group have in common; groups with sheets are not remembered."""

    def __init__(self) -> None:
        self._held: dict[object, dict[_Counts, None]] = {}
        self._forms: dict[Form, Form] = {}

    def with_known_forms(self, built: Built) -> Built:
        """The problem with the very forms of the ones before it, which know what they found."""
        problem = built.problem
        if isinstance(problem, JointProblem):
            return built
        stocks = tuple(
            s if s.form is None else replace(s, form=self._forms.setdefault(s.form, s.form))
            for s in problem.stocks
        )
        return replace(built, problem=Problem(problem.items, problem.sources, stocks))

    def keep(self, built: Built, patterns: Iterable[Pattern]) -> None:
        """Remember the latest patterns of a problem."""
        if isinstance(built.problem, JointProblem):
            return
        likes = self._likes(built)
        for pattern in list(patterns)[-_MOST:]:
            self._held.setdefault(likes[pattern.stock], {})[pattern.counts] = None

    def recall(self, built: Built) -> list[Pattern]:
        """Every pattern remembered that a stock of the problem can be cut to."""
        if isinstance(built.problem, JointProblem):
            return []
        likes = self._likes(built)
        return [Pattern(t, counts) for t, like in enumerate(likes) for counts in self._held.get(like, ())]

    def _likes(self, built: Built) -> list[object]:
        """Of each stock what it takes to hold the same patterns."""
        problem = built.problem
        names = [
            origin.id if isinstance(origin, Offer) else tuple(piece.id for piece in origin.pieces)
            for origin in built.origins
        ]
        return [
            _like(names[stock.source], saw, problem.items, stock)
            for saw, stock in zip(built.saws, problem.stocks, strict=True)
        ]


def _like(name: object, saw: str, items: tuple[Item, ...], stock: Stock) -> object:
    form = None if stock.form is None else id(stock.form)
    return name, saw, items, stock.length, stock.kerf, stock.capacity, stock.items, stock.weights, form
