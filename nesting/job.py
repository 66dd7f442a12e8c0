"""What is asked: the parts, what they may be cut from, the saws and the shop's rules. Immutable, checked when made."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from typing import Literal

from nesting.findings import Finding
from stock.errors import BadValue
from stock.length import PER_INCH, PER_MM
from stock.material import Material
from stock.offer import Offer, Yard
from stock.rack import RackPiece, RackVersion

Unit = Literal["in", "mm"]
Measured = Literal["long", "short", "centre"]
Lean = Literal["opposite", "same"]
Plane = Literal["wide", "narrow"]
Turn = Literal["none", "half", "quarter"]
Process = Literal["torch", "saw", "shear"]
Wish = Literal["sticks", "layouts", "stops", "offcut"]
WISHES: tuple[Wish, ...] = ("sticks", "layouts", "stops", "offcut")
"""Among equally cheap plans: fewest sticks, fewest different layouts, fewest stop moves, longest single offcut."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """Something to make.

    Parameters
    ----------
    mark
        Short name on the drawing, unique in the job.
    qty
        Copies, per assembly if it belongs to one (see `Job.copies`).
    length
        Ticks, as written in the table.
    width
        Ticks; None: a bar part. A part with a width is a plate part, a rectangle of length by width.
    turn
        How a plate part may lie, its length along that of the sheet: so, or turned end for end, or by a quarter too.
    process
        What a plate part must be cut by; None: whatever the shop has.
    end_a, end_b
        Degrees from a square cut, 0 <= angle < 90.
    lean
        Whether the two end angles lean the same way or oppose.
    plane
        Which outside face the angle is seen on: the wide or the narrow one.
    measured
        Where `length` is measured: to the long points, the short points or on the centre line.
    extra_a, extra_b
        Ticks left on each end for facing, beyond `length`.
    extent
        Ticks of bar the piece takes when laid square: longest point to longest point, extras included.
    flip
        Whether a bar part may be turned over; if not it may still be turned end for end with the same face up.
    together
        Parts of one assembly with the same name here come from one stick; "": no such rule.
    source
        Id of a rack piece, or a heat number on the rack, that the part must come from; "": anything that serves.
    fill
        None: must be made. Else made only where it costs nothing, up to its quantity; money that one piece is worth,
        0: as much as its material.
    may_shorten
        Ticks by which the part could be made shorter if that saves money; hints alone use it.
    carried
        Extra columns of the user's table, as (header, text), shown in reports.
    row
        Row of the parts table, 0 if made by a program.
    """

    mark: str
    qty: int
    material: Material
    length: int
    width: int | None = None
    turn: Turn = "quarter"
    process: Process | None = None
    end_a: Decimal = Decimal(0)
    end_b: Decimal = Decimal(0)
    lean: Lean = "opposite"
    plane: Plane = "wide"
    measured: Measured = "long"
    extra_a: int = 0
    extra_b: int = 0
    extent: int = 0
    flip: bool = True
    together: str = ""
    source: str = ""
    fill: Decimal | None = None
    may_shorten: int = 0
    assembly: str = ""
    note: str = ""
    carried: tuple[tuple[str, str], ...] = ()
    row: int = 0

    def __post_init__(self) -> None:
        if self.qty < 1:
            raise BadValue(f"part {self.mark}: qty {self.qty} must be 1 or more")
        if self.length <= 0:
            raise BadValue(f"part {self.mark}: length must be above zero")
        if self.width is not None and (self.width <= 0 or self.is_mitred or self.extra_a or self.extra_b):
            raise BadValue(
                f"part {self.mark}: a plate part has a width above zero, square ends and no extras"
            )
        if min(self.extra_a, self.extra_b) < 0:
            raise BadValue(f"part {self.mark}: extra_a and extra_b must not be negative")
        if not 0 <= self.may_shorten < self.length:
            raise BadValue(f"part {self.mark}: may_shorten must be 0 or more, and less than the length")
        if self.fill is not None and self.fill < 0:
            raise BadValue(f"part {self.mark}: the worth of a fill part must not be negative")
        if not self.extent:
            if self.end_a or self.end_b:
                raise BadValue(f"part {self.mark}: a mitred part needs its extent")
            object.__setattr__(self, "extent", self.length + self.extra_a + self.extra_b)

    @property
    def is_plate(self) -> bool:
        """Whether it is a plate part: a rectangle with a width."""
        return self.width is not None

    @property
    def is_mitred(self) -> bool:
        """Whether an end is cut at an angle."""
        return bool(self.end_a or self.end_b)

    @property
    def is_fill(self) -> bool:
        """Whether it need not be made: only where it costs nothing."""
        return self.fill is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class Assembly:
    """Something built from parts, made `qty` times."""

    name: str
    qty: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """A hole in a part: centre from the datum corner and diameter, in ticks.

    `x` counts along the length of the part, `y` across it; `depth` None: through.
    """

    mark: str
    x: int
    y: int
    diameter: int
    face: str = ""
    depth: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Saw:
    """A saw and its rules.

    Parameters
    ----------
    kerf
        Ticks that one square cut turns to dust.
    trim
        Ticks taken off an end that is not clean, the kerf of that cut included; 0: such ends are used as they are.
    grip
        Tail that the machine must hold and cannot cut, ticks.
    max_size
        Largest side of a section that goes through the saw, ticks; None: any.
    max_angle
        Largest mitre, degrees from square; None: any.
    rate
        Metal area that it cuts in a minute, mm2; None: not said.
    plates
        Whether it cuts sheets, and flat bars lengthwise, if the shop saws plates at all.
    bundle
        How many sticks cut alike go through it together; counts in time alone.
    """

    name: str
    kerf: int
    trim: int = 0
    grip: int = 0
    max_size: int | None = None
    max_angle: Decimal | None = None
    rate: Decimal | None = None
    plates: bool = True
    bundle: int = 1

    def __post_init__(self) -> None:
        if self.bundle < 1:
            raise BadValue(f"saw {self.name}: bundle must be 1 or more")
        if self.kerf < 0 or self.grip < 0:
            raise BadValue(f"saw {self.name}: kerf and grip must not be negative")
        if self.trim and self.trim < self.kerf:
            raise BadValue(
                f"saw {self.name}: trim includes the kerf of its cut, so it cannot be less than the kerf"
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Allow:
    """Near-equal stock that the user accepts: parts of one material may be cut from another."""

    part: Material
    offer: Material


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """Settings of the shop.

    Parameters
    ----------
    unit
        Unit of bare numbers and of what is printed.
    decimal
        Decimal mark of the tables.
    currency
        Put before amounts.
    keep_length
        Shortest remainder worth keeping, ticks.
    offcut_share
        Share of its price per length that the kept offcut of a bought stick earns.
    scrap_price
        Money for a kilogram of what is left and not kept; None: nothing.
    tie
        Money within which two plans count as equally cheap.
    prefer
        What equally cheap plans are told apart by, the most wanted first.
    kerf_safety
        Ticks added to the kerf of every saw cut when planning.
    kerf_doubt
        Ticks by which the kerf may turn out thicker than said; sticks that would then fail are named.
    keep_width
        Least short side of a plate offcut worth keeping, ticks; the full width of a narrower flat bar counts as well.
    processes
        What the shop cuts plates with. Flat bars are sawn to length whatever stands here.
    torch_kerf
        Width that the torch burns away, ticks.
    clearance
        Least distance between nominal outlines that a torch cuts, ticks; `gap_between` adds the kerf rule.
    edge
        Least distance of a nominal outline from the edge of what lies under the torch, ticks.
    bed
        Ticks (one way, the other way): the largest piece the torch table takes, either way round; None: any.
    bed_margin
        Ticks along every side of what lies on the bed that its clamps need: parts keep as far from the edges.
    bed_open
        Whether what lies on the bed may be longer than its first measure: it overhangs and is moved along as it is cut.
    blank_kerf
        Width of a cut that parts a sheet into blanks, ticks; None: that of the torch.
    blank_allowance
        Ticks that such a cut may stray by; added to its width.
    blank_cost
        Money for handling one blank: parting it, lifting it onto the bed, clamping it.
    largest_sheet
        Ticks (one way, the other way): the largest sheet that the shop takes in, either way round; None: any.
    heaviest_sheet
        Kilograms of the heaviest sheet that it takes in; None: any.
    shear_trim
        Ticks that a shear takes off an unclean edge of a sheet.
    least_strip
        Ticks of the narrowest plate part that saw or shear can hold: none with a shorter side is cut so.
    torch_hole
        Least diameter of a hole that the torch can cut, in thicknesses of the plate.
    denominator
        Finest fraction of an inch that is printed.
    lift_kg
        What one person may lift alone, for the caution.
    rates
        (name, value) of the rates of the estimate that are set, in the units of the shop: the fields of
        `nesting.estimate.Rates`.
    other
        Known settings that this version does not use, as written.
    """

    unit: Unit = "in"
    decimal: Literal[".", ","] = "."
    currency: str = ""
    keep_length: int = 12 * PER_INCH
    offcut_share: Decimal = Decimal(0)
    scrap_price: Decimal | None = None
    tie: Decimal = Decimal(0)
    prefer: tuple[Wish, ...] = WISHES
    kerf_safety: int = 0
    kerf_doubt: int = PER_INCH // 64
    keep_width: int = 4 * PER_INCH
    processes: tuple[Process, ...] = ("torch",)
    torch_kerf: int = PER_INCH // 16
    clearance: int = PER_INCH // 4
    edge: int = PER_INCH // 4
    bed: tuple[int, int] | None = None
    bed_margin: int = 0
    bed_open: bool = False
    blank_kerf: int | None = None
    blank_allowance: int = 0
    blank_cost: Decimal = Decimal(0)
    largest_sheet: tuple[int, int] | None = None
    heaviest_sheet: Decimal | None = None
    shear_trim: int = 0
    least_strip: int = 0
    torch_hole: Decimal = Decimal("1.5")
    denominator: int = 32
    lift_kg: Decimal = Decimal(23)
    rates: tuple[tuple[str, Decimal], ...] = ()
    other: tuple[tuple[str, str], ...] = ()

    def __post_init__(self) -> None:
        if min(self.torch_kerf, self.clearance, self.edge, self.shear_trim, self.keep_width) < 0:
            raise BadValue("torch_kerf, clearance, edge, shear_trim and keep_width must not be negative")
        if min(self.kerf_safety, self.kerf_doubt) < 0:
            raise BadValue("kerf_safety and kerf_doubt must not be negative")
        if sorted(self.prefer) != sorted(set(self.prefer)):
            raise BadValue("prefer names a wish twice")
        if self.bed is not None and min(self.bed) <= 0:
            raise BadValue("the bed must be above zero both ways")
        if self.largest_sheet is not None and min(self.largest_sheet) <= 0:
            raise BadValue("the largest sheet must be above zero both ways")
        if self.heaviest_sheet is not None and self.heaviest_sheet <= 0:
            raise BadValue("the heaviest sheet must weigh more than nothing")
        if self.least_strip < 0:
            raise BadValue("least_strip must not be negative")
        if min(self.bed_margin, self.blank_kerf or 0, self.blank_allowance) < 0 or self.blank_cost < 0:
            raise BadValue("bed_margin, blank_kerf, blank_allowance and blank_cost must not be negative")
        if self.blank_cost % Decimal("0.01"):
            raise BadValue("blank_cost must be whole cents")

    @property
    def gap_between(self) -> int:
        """Ticks between nominal outlines cut by the torch: the clearance, and never less than the kerf."""
        return max(self.clearance, self.torch_kerf)

    @property
    def edge_on_bed(self) -> int:
        """Ticks from a nominal outline to the edges of what lies under the torch: the edge, or what the clamps need."""
        return max(self.edge, self.bed_margin)

    @property
    def parting_kerf(self) -> int:
        """Ticks that a cut which parts a sheet into blanks takes away, with what it may stray by."""
        return (self.torch_kerf if self.blank_kerf is None else self.blank_kerf) + self.blank_allowance


def default_saw(unit: Unit) -> Saw:
    """The saw assumed when a job names none: a chop saw, starting values (common practice, no source)."""
    kerf = PER_INCH // 8 if unit == "in" else 3 * PER_MM
    return Saw(name="saw", kerf=kerf, trim=2 * kerf)


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """Everything a plan answers.

    Parameters
    ----------
    name
        Of the folder or workbook, without its ending.
    rack_at
        The moment of the rack ledger at which `rack` was read; None: `rack` is a table of the job itself.
    notices
        What the reader thinks the user should know; never errors.
    """

    name: str
    parts: tuple[Part, ...]
    offers: tuple[Offer, ...] = ()
    rack: tuple[RackPiece, ...] = ()
    saws: tuple[Saw, ...] = ()
    yards: tuple[Yard, ...] = ()
    assemblies: tuple[Assembly, ...] = ()
    holes: tuple[Hole, ...] = ()
    allow: tuple[Allow, ...] = ()
    shop: Shop = field(default_factory=Shop)
    rack_at: RackVersion | None = None
    notices: tuple[Finding, ...] = ()

    def __post_init__(self) -> None:
        for what, names in (
            ("mark", [p.mark for p in self.parts]),
            ("offer", [o.id for o in self.offers]),
            ("rack id", [r.id for r in self.rack]),
            ("saw", [s.name for s in self.saws]),
            ("assembly", [a.name for a in self.assemblies]),
            ("yard", [y.name for y in self.yards]),
        ):
            twice = sorted({n for n in names if names.count(n) > 1}) if len(set(names)) < len(names) else []
            if twice:
                raise BadValue(f"{what} {twice[0]} stands twice in the job")
        unknown = {p.assembly for p in self.parts if p.assembly} - {a.name for a in self.assemblies}
        if unknown:
            raise BadValue(f"assembly {sorted(unknown)[0]} is not in the assemblies")

    @property
    def needed(self) -> tuple[Part, ...]:
        """The parts that must be made."""
        return tuple(part for part in self.parts if not part.is_fill)

    @property
    def fills(self) -> tuple[Part, ...]:
        """The parts that are made only where they cost nothing."""
        return tuple(part for part in self.parts if part.is_fill)

    def copies(self, part: Part) -> int:
        """How many of a part the whole job needs, or of a fill part could use."""
        per = {a.name: a.qty for a in self.assemblies}
        return part.qty * per.get(part.assembly, 1)
