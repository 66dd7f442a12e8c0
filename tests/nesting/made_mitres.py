"""Small sound plans with mitred pieces, laid out by hand: positions from the arithmetic in the docstrings alone."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from nesting.job import Job, Part, Saw, Shop
from nesting.plan import Layout, Piece, Plan
from stock.length import PER_INCH
from stock.offer import Basis, Offer, Yard
from tests.nesting.made import bought, finished, group, tube

INCH = PER_INCH
DEPTH = 2 * INCH


def frame_plan() -> Plan:
    """Four sides of a frame, 24 in to the long points, 45 degrees at both ends, from an 8 ft tube with clean ends.

    In inches, kerf 1/16: neighbours share a cut of 1/16 x 1.41421356 = 0.08838835 along the bar, and the long points
    of one lie 2 - 0.08838835 = 1.91161165 in front of those of the next. All four: 4 x 24 - 3 x 1.91161165 =
    90.26516 to the last long point, 90.32766 with the square cut behind it. In ticks (81,280,000 to the inch) the
    shared cut is 5,080,000 x 1.41421356237 = 7,184,204.9, up to 7,184,205; 162,560,000 - 7,184,205 = 155,375,795.
    """
    nested = 155_375_795
    starts = [place * (24 * INCH - nested) for place in range(4)]
    pieces = tuple(
        Piece(mark="SIDE", start=start, extent=24 * INCH, roll=2 * (place % 2))
        for place, start in enumerate(starts)
    )
    side = _part("SIDE", 4, 24 * INCH, 24 * INCH, end_a=Decimal(45), end_b=Decimal(45))
    return _plan((side,), (_stick("offer 1", 96 * INCH, 0, pieces, INCH // 16),), 96 * INCH, 2, INCH // 16, 0)


def mixed_mitres_plan() -> Plan:
    """A square post, two braces like "/ /", a sill like "/ \\" and a stub like "\\ |", from a 10 ft tube not clean.

    In ticks, kerf 1/8 in = 10,160,000, trim 1/4 in = 20,320,000, depth 2 in = 162,560,000; tan 30 = 0.577350269190,
    1/cos 30 = 1.154700538379. Point beyond point of a brace: 162,560,000 x tan 30 = 93,854,059.8; one cut at 30
    degrees takes 11,731,757.5 along the bar, one at 45 takes 14,368,409.8.

    - POST 30 in, square, at the head.
    - BRACE 20 in along each edge, so 20 in + 93,854,060 of bar; a square cut behind the post, 10,160,000.
    - BRACE again, parallel: 11,731,757.5 - 93,854,059.8 = -82,122,302.3, up to -82,122,302.
    - SILL 24 in to the long points at 45: it leans more than the brace, so that the cut at 30 degrees keeps them
      apart where they are nearest: (1 - tan 30) x 81,280,000 + 11,731,757.5 between their centres, less their halves
      81,280,000 (1 + tan 30): -82,122,302.3 again.
    - STUB 18 in, 45 and square, turned over: parallel, 14,368,409.8 - 162,560,000 = -148,191,590.2, up to
      -148,191,590.
    """
    kerf, beyond = INCH // 8, 93_854_060
    brace = 20 * INCH + beyond
    at = [INCH // 4]
    at.append(at[0] + 30 * INCH + kerf)
    at.append(at[1] + brace - 82_122_302)
    at.append(at[2] + brace - 82_122_302)
    at.append(at[3] + 24 * INCH - 148_191_590)
    angle, right = Decimal(30), Decimal(45)
    parts = (
        _part("POST", 1, 30 * INCH, 30 * INCH),
        _part("BRACE", 2, 20 * INCH, brace, end_a=angle, end_b=angle, lean="same"),
        _part("SILL", 1, 24 * INCH, 24 * INCH, end_a=right, end_b=right),
        _part("STUB", 1, 18 * INCH, 18 * INCH, end_a=right),
    )
    extents = {p.mark: p.extent for p in parts}
    laid = zip(("POST", "BRACE", "BRACE", "SILL", "STUB"), at, (0, 0, 0, 0, 2), strict=True)
    pieces = tuple(
        Piece(mark=mark, start=start, extent=extents[mark], roll=roll) for mark, start, roll in laid
    )
    layout = _stick("offer 1", 120 * INCH, INCH // 4, pieces, kerf)
    return _plan(parts, (layout,), 120 * INCH, 0, kerf, INCH // 4)


def with_pieces(plan: Plan, pieces: tuple[Piece, ...], at: int = 0) -> Plan:
    """A plan whose layout of that number has other pieces."""
    return with_layout(plan, replace(plan.groups[0].layouts[at], pieces=pieces), at)


def with_layout(plan: Plan, layout: Layout, at: int = 0) -> Plan:
    """A plan with another layout in that place."""
    layouts = plan.groups[0].layouts
    laid = (*layouts[:at], layout, *layouts[at + 1 :])
    return replace(plan, groups=(replace(plan.groups[0], layouts=laid), *plan.groups[1:]))


def _part(mark: str, qty: int, length: int, extent: int, **given: object) -> Part:
    values: dict[str, object] = {"mark": mark, "qty": qty, "length": length, "extent": extent}
    return Part(material=tube(), **(values | given))  # type: ignore[arg-type]


def _stick(source: str, length: int, head: int, pieces: tuple[Piece, ...], kerf: int) -> Layout:
    rest = max(0, length - pieces[-1].start - pieces[-1].extent - kerf)
    return Layout(
        source_kind="offer",
        source=source,
        length=length,
        saw="chop saw",
        times=1,
        head=head,
        pieces=pieces,
        rest=rest,
        keep=rest >= 12 * INCH,
    )


def _plan(
    parts: tuple[Part, ...], layouts: tuple[Layout, ...], length: int, clean: int, kerf: int, trim: int
) -> Plan:
    offer = Offer(
        id="offer 1",
        yard="North Yard",
        material=tube(),
        length=length,
        longest=length,
        price=Decimal("31.20"),
        per=Basis.EACH,
        clean_ends=clean,
    )
    job = Job(
        name="window frame",
        parts=parts,
        offers=(offer,),
        saws=(Saw(name="chop saw", kerf=kerf, trim=trim, max_angle=Decimal(45)),),
        yards=(Yard(name="North Yard"),),
        shop=Shop(currency="$"),
    )
    cost = Decimal("31.20") * len(layouts)
    of_tube = group(tube().designation, layouts, (bought(offer, len(layouts)),), cost)
    return finished(job, (replace(of_tube, marks=tuple(p.mark for p in parts)),))
