"""The answer: how each stick is cut, what is bought, what is left, and how good it is. Immutable.

Sources are named by the id of the offer or of the rack piece. All lengths are ticks, all money Decimal.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from nesting.job import Job, Process

SourceKind = Literal["offer", "rack"]
Proof = Literal["duals", "search", "none"]
Stopped = Literal["proved", "finished", "settled", "time limit", "work limit", "interrupted"]
"""Why a search ended. "finished": from the yards bought from, and within the shop's `tie`, nothing is cheaper before
lines are rounded to the cent; only cents may be left. "settled": the group alone could be cheaper, but pays so that a
yard's minimum order is reached."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One copy of a part in a layout.

    Parameters
    ----------
    mark
        The part.
    start
        Ticks from the end that is cut first to the nearest point of the piece. The points of mitred neighbours may
        lie beyond each other.
    extent
        Ticks of bar from its first to its last point, facing extras included (`Part.extent`; the width of a plate part
        that lies with its length across the bar).
    first
        Which end of the part lies towards the end that is cut first. End b first: turned end for end about the
        normal of the face on which the mitre is seen, so that this face stays up.
    roll
        Quarter turns about the length of the bar, made after that.
    """

    mark: str
    start: int
    extent: int
    first: Literal["a", "b"] = "a"
    roll: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """How a stick is cut, in cutting order.

    Parameters
    ----------
    source_kind, source
        The offer's id or the rack piece's id.
    length
        Ticks of the stick; of a cut-to-length offer what the yard is asked to cut.
    saw
        Name of the saw that cuts all of it.
    times
        How many sticks are cut alike (1 for a rack piece).
    head
        Ticks trimmed off the first end, kerf included; 0 if that end is clean.
    pieces
        In cutting order from the first end.
    rest
        Ticks that remain after the last kerf, grip included; 0 if nothing remains.
    keep
        Whether the rest is an offcut worth keeping.
    credit
        What the rest of one stick earns, to 0.0001.
    segment
        (parting, segment): of a stick that the yard parts, which of `GroupPlan.partings` and which of its segments
        this is, both from 0. `length` is then what the segment counts as. None: a whole stick.
    """

    source_kind: SourceKind
    source: str
    length: int
    saw: str
    times: int
    head: int
    pieces: tuple[Piece, ...]
    rest: int
    keep: bool
    credit: Decimal = Decimal(0)
    segment: tuple[int, int] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Parting:
    """How the yard parts a bought stick, because it is longer than can be carried home.

    Parameters
    ----------
    offer
        Id of the offer.
    length
        Ticks of the whole stick.
    segments
        Nominal ticks of each segment, in order from one end; one `cut_kerf` lies between neighbours.
    taken
        Of each segment, whether it is carried home; a segment without parts may stay at the yard.
    charge
        Money for the cuts of one stick.
    times
        How many sticks are parted alike.
    """

    offer: str
    length: int
    segments: tuple[int, ...]
    taken: tuple[bool, ...]
    charge: Decimal
    times: int

    @property
    def cuts(self) -> int:
        """Cuts that the yard makes in one stick."""
        return len(self.segments) - 1

    def clean_ends(self, segment: int, of_stick: int) -> int:
        """How many ends of a segment need no trim: ends of the stick itself, a single one at the first segment."""
        is_first, is_last = segment == 0, segment == self.cuts
        return (is_first and of_stick >= 1) + (is_last and of_stick == 2)


Axis = Literal["across", "along"]
"""A cut across stands at right angles to the length of the sheet and divides it; one along divides the width."""


@dataclass(frozen=True, slots=True, order=True)
class Rect:
    """A rectangle on a sheet, ticks.

    Parameters
    ----------
    x, y
        Its corner nearest to the datum: x along the length of the sheet from its first end, y across from its
        first edge.
    length, width
        Its extent along x and along y, nominal.
    """

    x: int
    y: int
    length: int
    width: int

    def holds(self, inner: Rect) -> bool:
        """Whether another rectangle lies within it."""
        return (
            self.x <= inner.x
            and self.y <= inner.y
            and inner.x + inner.length <= self.x + self.length
            and inner.y + inner.width <= self.y + self.width
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """One copy of a plate part on a sheet.

    Parameters
    ----------
    place
        Nominal outline as it lies.
    turned
        Whether the length of the part lies across the sheet.
    """

    mark: str
    place: Rect
    turned: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class StraightCut:
    """A cut from edge to edge of a region.

    Parameters
    ----------
    region
        What is cut in two: all of the sheet less its trim, or what an earlier cut left.
    axis
        Which way it is divided.
    stop
        Ticks from the near edge of the region to the cut: what the stop is set to. What is further begins one kerf
        behind that, if anything is left.
    """

    region: Rect
    axis: Axis
    stop: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetLayout:
    """How a sheet, or a flat bar used as one, is cut in two dimensions.

    Torch: pieces lie anywhere, `gap_between` apart along x or along y, and `edge` away from what lies on the bed:
    from the sheet's edges, or from those of its blank. Saw and shear: the cuts free every piece; each piece is one
    of the regions that are left when all cuts are made.

    Parameters
    ----------
    source_kind, source
        The offer's id or the rack piece's id.
    length, width
        Ticks of the whole sheet.
    process, saw
        What cuts the pieces; the name of the saw if it is one, else "".
    times
        How many sheets are cut alike (1 for a rack piece).
    trims
        Ticks taken off first at (the first end, the first edge, the far end, the far edge), kerf included.
    cuts
        In order. For the torch only those that part the sheet into blanks, made with the kerf of such cuts and what
        they may stray by (`Shop.parting_kerf`).
    blanks
        Torch only, if the sheet is larger than the bed: what lies on the bed one after the other. They are regions
        that the cuts leave. Empty: the sheet is cut whole.
    pieces
        Parts, by blank if there are some. Bar parts may lie on a flat bar that is sawn.
    offcuts
        Rectangles worth keeping: clear of every piece and of each other by `gap_between` (torch) or regions that no
        cut touches any more. A sheet bought but not cut is one offcut, the sheet.
    """

    source_kind: SourceKind
    source: str
    length: int
    width: int
    process: Process
    saw: str
    times: int
    trims: tuple[int, int, int, int] = (0, 0, 0, 0)
    cuts: tuple[StraightCut, ...] = ()
    blanks: tuple[Rect, ...] = ()
    pieces: tuple[Placed, ...]
    offcuts: tuple[Rect, ...] = ()

    @property
    def handled(self) -> int:
        """How many of its blanks lie on the bed: those that hold a piece."""
        return sum(any(blank.holds(piece.place) for piece in self.pieces) for blank in self.blanks)


@dataclass(frozen=True, slots=True, kw_only=True)
class Purchase:
    """A line of the buy list.

    Parameters
    ----------
    offer
        Id of the offer.
    length
        Ticks of each stick; shorter than the offer's only if it is cut to length.
    count
        How many are bought.
    unit_price
        Money for one, to 0.0001; None in an unpriced group.
    total
        `count` x `unit_price` to the cent; None in an unpriced group.
    weight_kg
        Of all of them.
    width
        Ticks of a sheet; None for bars.
    """

    offer: str
    length: int
    count: int
    unit_price: Decimal | None
    total: Decimal | None
    weight_kg: float
    width: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Bound:
    """What no plan of these rules can beat, and how it is known.

    The certificate is in whole units of 1/`scale` ten-thousandths of money (of a kilogram in an unpriced group).
    It says: a stick or sheet of source s, cut in any way the rules allow, holds parts whose dual prices add up to at
    most the cost of s plus the price of s. Hence every plan costs at least
    sum(copies x part price) - sum(limit x source price), over `scale`, before lines are rounded to the cent.

    Parameters
    ----------
    value
        In the group's objective: money to the cent, or kilograms to 0.0001. At the yards' prices as they stand.
    proof
        "duals": the prices below verify the value. "search": found by enumeration or branching, repeatable, and
        not verified by the checker; `dual_value` is then the weaker value that the prices verify.
    dual_value
        What the prices below verify.
    scale
        Certificate units per ten-thousandth.
    part_prices
        (mark, price) of every part of the group. Parts that come together are priced as one: the first of them has the
        price of a whole lot, the others 0.
    source_prices
        (source id, price) of limited sources whose price is above zero.
    """

    value: Decimal
    proof: Proof
    dual_value: Decimal
    scale: int
    part_prices: tuple[tuple[str, int], ...]
    source_prices: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Hint:
    """A change of parts that saves money, found by solving again; never applied.

    Parameters
    ----------
    changes
        (mark, ticks shorter) of each part that is changed.
    saves
        Money (or kilograms in an unpriced group) against this plan.
    words
        What is saved: a stick, a size of purchase.
    """

    changes: tuple[tuple[str, int], ...]
    saves: Decimal
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """What is ordered from one yard.

    Parameters
    ----------
    delivered
        Whether the yard delivers; else it is picked up.
    trips
        Trips that picking it up takes by the payload; 0 if delivered.
    """

    yard: str
    delivered: bool
    trips: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherChoice:
    """Another choice of yards, and how much dearer the best plan found for it is.

    Parameters
    ----------
    words
        The choice: "all from North yard", "without South yard".
    more
        Money beyond this plan.
    """

    words: str
    more: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupPlan:
    """The plan of one group: parts and sources that hang together.

    Parameters
    ----------
    name
        Designation of its main material, as shown.
    marks
        Parts of the group, in job order.
    priced
        False: no source has a price, and the objective is the weight bought.
    cost
        Objective: purchases (to the cent), charges for yard cuts, value of rack pieces used and handling of blanks,
        less `credit`; or
        kilograms bought to 0.0001.
    credit
        What the rests of all sticks earn: one line for each layout, to the cent.
    layouts
        Sticks that are sawn to length; plate parts as wide as a flat bar may lie on one.
    sheets
        Sheets, and flat bars that are cut in two dimensions.
    partings
        Sticks that the yard parts; each segment that is carried home is one of `layouts`.
    hints
        What a change of a drawing would save, the best first.
    stopped
        Why the search ended.
    improved
        What was improved among equally cheap plans, one sentence each.
    """

    name: str
    marks: tuple[str, ...]
    priced: bool
    layouts: tuple[Layout, ...]
    purchases: tuple[Purchase, ...]
    cost: Decimal
    bound: Bound
    stopped: Stopped
    improved: tuple[str, ...] = ()
    sheets: tuple[SheetLayout, ...] = ()
    partings: tuple[Parting, ...] = ()
    hints: tuple[Hint, ...] = ()
    credit: Decimal = Decimal(0)

    @property
    def charges(self) -> Decimal:
        """Money for the cuts that yards make; nothing where no source has a price."""
        if not self.priced:
            return Decimal(0)
        return sum((parting.times * parting.charge for parting in self.partings), Decimal(0))

    @property
    def proved(self) -> bool:
        """Whether no plan of these rules is cheaper."""
        return self.cost <= self.bound.value

    @property
    def gap(self) -> float:
        """How far the cost is above the bound, as a share of the bound."""
        if self.proved:
            return 0.0
        return (
            float((self.cost - self.bound.value) / self.bound.value) if self.bound.value > 0 else float("inf")
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """How a plan was asked for.

    Parameters
    ----------
    time_s
        Budget for the whole job, seconds; None with a work limit.
    work
        Deterministic budget for each group, in units of the solver's own steps; None: by the clock.
    seed
        Of everything random.
    """

    time_s: float | None = 10.0
    work: int | None = None
    seed: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """The whole answer, with the job it answers.

    Parameters
    ----------
    fees
        (yard, what, money): delivery and shortfall to the minimum order of each yard that is bought from.
    total
        Money of all purchases, yard cuts and fees; the priced groups only.
    orders
        How each yard's material comes home, in the order of the yards table.
    bound
        What no plan over all choices of yards can beat, fees and credits included; None if nothing has a price.
    others
        Other choices of yards, the best first.
    unfilled
        (mark, copies) of fill parts that found no place.
    weight_kg
        Of all that is bought.
    version
        Of the program that made it.
    """

    job: Job
    settings: Settings
    groups: tuple[GroupPlan, ...]
    fees: tuple[tuple[str, str, Decimal], ...]
    total: Decimal
    weight_kg: float
    version: str
    orders: tuple[Order, ...] = ()
    bound: Decimal | None = None
    others: tuple[OtherChoice, ...] = ()
    unfilled: tuple[tuple[str, int], ...] = ()
