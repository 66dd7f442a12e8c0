"""The two-dimensional side of a group: its plate parts as rectangles, and every way to cut its sheets and flat bars."""

from __future__ import annotations

from dataclasses import replace

from nesting.bars.problem import Item, Problem, Stock
from nesting.job import Job
from nesting.joint.problem import JointProblem
from nesting.market.build_blanks import has_all_blanks, parted_kinds, region_of
from nesting.market.supply import Kind, Supplied, may_give, saw_can
from nesting.plates.problem import Cutting, RectItem, RectProblem, SheetKind, Turn
from nesting.rules.hauling import is_too_long
from nesting.rules.sheet_ways import SheetWay, Source, lies_ways, sheet_ways, width_of
from nesting.rules.stick_ways import cut_width
from stock.length import PER_INCH
from stock.money import Cost, to_cost


def joint_problem(
    job: Job,
    kinds: tuple[Kind, ...],
    supplied: list[Supplied],
    sticks: Problem,
    form_items: tuple[int, ...],
    priced: bool,
) -> tuple[JointProblem, tuple[SheetWay, ...]]:
    """Sticks and sheets of a group as one problem, and how each kind of sheet is cut."""
    demands = [kind.demand(job) for kind in kinds]
    fee = to_cost(job.shop.blank_cost) if priced else 0
    rects = _Rectangles(job, kinds, demands, fee)
    as_sold = [(at, s) for at, s in enumerate(supplied) if not s.rate[0] and not is_too_long(job, s.one)]
    found = [(at, s, way) for at, s in as_sold for way in sheet_ways(job, s.one)]
    made = [(rects.kind(at, s, way), way) for at, s, way in found]
    items = tuple(rects.items)
    for at, s in as_sold:
        parted = [pair for pair in made if pair[0].source == at and pair[0].blanks]
        if parted:
            made += parted_kinds(job, s.one, parted, items, fee)
    made = [pair for pair in made if not any(has_all_blanks(other, pair[0]) for other, _ in made)]
    used = [(kind, way) for kind, way in made if _is_of_use(kind, way, items, supplied[kind.source].one)]
    sheets = RectProblem(items, tuple(kind for kind, _ in used), tuple(s.source.limit for s in supplied))
    outlines = tuple(rects.outline(k, supplied) for k in range(len(kinds)))
    across = tuple(width_of(supplied[stock.source].one) for stock in sticks.stocks)
    areas = [_size(o.width, o.height) for o in outlines]
    stocks = [
        replace(
            stock,
            length=_size(stock.length, wide),
            items=tuple(sorted({form_items[f] for f in stock.items})),
            weights=(),
            form=None,
        )
        for stock, wide in zip(sticks.stocks, across, strict=True)
    ]
    stocks += [_stock(kind, rects.of) for kind in sheets.kinds]
    in_rows = _in_rows(kinds, sticks, form_items)
    problem = JointProblem(
        items=tuple(Item(length=a, demand=d) for a, d in zip(areas, demands, strict=True)),
        sources=sticks.sources,
        stocks=tuple(stocks),
        sticks=sticks,
        form_items=form_items,
        sheets=sheets,
        rect_items=tuple(rects.of),
        outlines=outlines,
        least=tuple(
            replace(o, width=min(o.width, taken)) if (taken := in_rows.get(k)) else o
            for k, o in enumerate(outlines)
        ),
        across=across,
        fee=fee if any(kind.is_outline for kind in sheets.kinds) else 0,
    )
    return problem, tuple(way for _, way in used)


def _in_rows(kinds: tuple[Kind, ...], sticks: Problem, form_items: tuple[int, ...]) -> dict[int, int]:
    """Of each kind of bar part the ticks that it takes in a row at the least, the cut behind it not counted."""
    least: dict[int, int] = {}
    for stock, weights in zip(sticks.stocks, sticks.weights, strict=True):
        for form, weight in weights.items():
            k = form_items[form]
            if not kinds[k].part.is_plate:
                taken = max(1, weight - stock.kerf)
                least[k] = min(taken, least.get(k, taken))
    return least


class _Rectangles:
    """Collects the rectangles: one of each plate part, and one of a bar part for each width of bar it may lie on."""

    def __init__(self, job: Job, kinds: tuple[Kind, ...], demands: list[int], fee: Cost) -> None:
        self.job, self.kinds, self.demands, self.fee = job, kinds, demands, fee
        self.may = may_give(job)
        self.least_cut = min((cut_width(job, saw) for saw in job.saws), default=0)
        self.items: list[RectItem] = []
        self.of: list[int] = []
        self._known: dict[tuple[int, RectItem], int] = {}

    def kind(self, at: int, supplied: Supplied, way: SheetWay) -> SheetKind:
        """A source cut in one way."""
        source = supplied.one
        return SheetKind(
            width=source.length,
            height=width_of(source),
            cost=supplied.cost + self.fee * len(way.blanks),
            source=at,
            cutting=Cutting.FREE if way.process == "torch" else Cutting.GUILLOTINE,
            between=way.between,
            near=way.near,
            far=way.far,
            items=tuple(sorted(r for k in range(len(self.kinds)) for r in self._on(k, source, way))),
            blanks=tuple(region_of(b) for b in way.blanks),
        )

    def _on(self, k: int, source: Source, way: SheetWay) -> list[int]:
        """The rectangle of a kind of part on a source cut in some way; none if it may not lie there, as a lot."""
        part = self.kinds[k].part
        if self.kinds[k].lot is not None or not self.may(self.kinds[k], source):
            return []
        if part.is_plate:
            return self._plates(k, way) if part.process in (None, way.process) else []
        saw = next((s for s in self.job.saws if s.name == way.saw), None)
        if source.width is None and saw is not None and saw_can(saw, part):
            return [self._rectangle(k, self._item(k, width_of(source)))]
        return []

    def _plates(self, k: int, way: SheetWay) -> list[int]:
        """The rectangle of a plate part; only one way round where an open bed asks for it."""
        item, lies = self._item(k, self.kinds[k].part.width or 0), lies_ways(self.kinds[k].part)
        within = [lie for lie in lies if way.reaches(*lie)]
        if len(within) < len(lies):
            return [
                self._rectangle(k, replace(item, width=wide, height=high, turn=Turn.NONE))
                for wide, high in within
            ]
        return [self._rectangle(k, item)]

    def outline(self, k: int, supplied: list[Supplied]) -> RectItem:
        """The least rectangle of a kind of part: a bar part is as wide as the narrowest bar that serves it."""
        part = self.kinds[k].part
        bars = [s.one for s in supplied if not s.one.material.is_plate]
        wide = [width_of(one) for one in bars if self.may(self.kinds[k], one)]
        return self._item(k, part.width or min(wide, default=1))

    def _item(self, k: int, height: int) -> RectItem:
        kind = self.kinds[k]
        turn = Turn.QUARTER if kind.part.is_plate and kind.part.turn == "quarter" else Turn.NONE
        width = kind.extent if kind.lot is None else kind.lot.length(self.least_cut)
        return RectItem(width=width, height=height, demand=self.demands[k], turn=turn)

    def _rectangle(self, k: int, item: RectItem) -> int:
        if (k, item) not in self._known:
            self._known[k, item] = len(self.items)
            self.items.append(item)
            self.of.append(k)
        return self._known[k, item]


def _is_of_use(kind: SheetKind, way: SheetWay, items: tuple[RectItem, ...], source: Source) -> bool:
    """Whether something fits, and on a flat bar that is sawn something narrower than the bar: the rest is no sheet."""
    fitting = [items[r] for r in kind.items if kind.holds(items[r])]
    return any(
        source.width is not None
        or way.process != "saw"
        or (item.height != kind.height and (item.turn != Turn.QUARTER or item.width != kind.height))
        for item in fitting
    )


def _stock(kind: SheetKind, of: list[int]) -> Stock:
    size = _size(kind.width, kind.height)
    items = tuple(sorted({of[r] for r in kind.items}))
    return Stock(source=kind.source, length=size, kerf=0, capacity=size, cost=kind.cost, items=items)


def _size(length: int, width: int) -> int:
    """A measure of size in handy whole numbers: area, over one inch."""
    return max(1, length * width // PER_INCH)
