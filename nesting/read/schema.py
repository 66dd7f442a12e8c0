"""The tables of a job as data: what the readers accept, the template shows and the manual lists."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Kind = Literal[
    "text",
    "material",
    "length",
    "range",
    "count",
    "number",
    "money",
    "weight",
    "cut rate",
    "choice",
    "unused",
    "refused",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column of a table.

    Parameters
    ----------
    name
        As the template and the messages write it.
    explanation
        One sentence, shown in the template.
    kind
        How a cell is converted. "unused": kept out of the plan with a notice. "refused": a rule that would be
        broken in silence, so a filled cell stops the job.
    required
        Whether the column must be there and every row must fill it.
    may_be_blank
        Of a required column: whether rows may leave it empty after all.
    others
        Common other names.
    choices
        Canonical word to its other spellings, for a "choice".
    """

    name: str
    explanation: str
    kind: Kind = "text"
    required: bool = False
    may_be_blank: bool = False
    others: tuple[str, ...] = ()
    choices: tuple[tuple[str, tuple[str, ...]], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """One table of a job.

    Parameters
    ----------
    name
        Of the sheet or file.
    explanation
        One sentence, shown in the template.
    others
        Common other names of the sheet or file.
    carries
        Whether columns of the user's own are shown in the reports.
    """

    name: str
    explanation: str
    columns: tuple[Column, ...]
    others: tuple[str, ...] = ()
    carries: bool = False

    def column(self, name: str) -> Column:
        """The column of that name; KeyError if there is none."""
        for column in self.columns:
            if column.name == name:
                return column
        raise KeyError(name)


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """One setting of the shop table.

    Parameters
    ----------
    used
        False: known, kept with the job, but without effect in this version.
    """

    name: str
    explanation: str
    example: str = ""
    others: tuple[str, ...] = ()
    choices: tuple[tuple[str, tuple[str, ...]], ...] = ()
    used: bool = True


_NOT_YET = "Not used by this version; kept with the job."
_ENDS = (("both", ("2", "two")), ("one", ("1",)), ("none", ("0", "no", "neither")))
_MATERIAL = "Section and sizes: tube 2 x 2 x 1/8, angle 50 x 50 x 5, flat 1/4 x 2, pipe 1-1/2 sch 40, C3x4.1."
_GRADE = "Grade, such as A500 or S235JR."
_FINISH = "hot-rolled, pickled, galvanised or cold-rolled."
_MATERIAL_WORDS = ("section", "profile", "stock", "description")
_LENGTH_WORDS = ("len", "cut length", "long")
_QTY_WORDS = ("quantity", "count", "pcs", "pieces", "no off", "qnty")
_MARK_WORDS = (
    "part",
    "part mark",
    "part number",
    "part no",
    "piece mark",
    "name",
    "pos",
    "position",
    "label",
)

PARTS = Table(
    name="parts",
    explanation="What is to be made: one row a part.",
    others=("part", "part list", "cut list", "pieces", "bill of materials", "bom"),
    carries=True,
    columns=(
        Column(
            name="MARK",
            required=True,
            others=_MARK_WORDS,
            explanation="Short name on the drawing, once in the job; kept exactly as written (007 stays 007).",
        ),
        Column(
            name="QTY",
            kind="count",
            required=True,
            others=_QTY_WORDS,
            explanation="How many; per assembly if the part belongs to one.",
        ),
        Column(
            name="MATERIAL", kind="material", required=True, others=_MATERIAL_WORDS, explanation=_MATERIAL
        ),
        Column(
            name="LENGTH",
            kind="length",
            required=True,
            others=_LENGTH_WORDS,
            explanation="Length of the part: 63 1/2, 5' 3-1/2\", 1613 mm; bare numbers take the job's unit.",
        ),
        Column(
            name="end_a",
            kind="number",
            others=("angle a", "end a angle", "left angle", "mitre a", "miter a"),
            explanation="Mitre of one end, degrees from a square cut (0 = square).",
        ),
        Column(
            name="end_b",
            kind="number",
            others=("angle b", "end b angle", "right angle", "mitre b", "miter b"),
            explanation="Mitre of the other end, degrees from a square cut (0 = square).",
        ),
        Column(
            name="lean",
            kind="choice",
            choices=(
                ("opposite", ("opposed", "opposing", "trapezoid")),
                ("same", ("parallel", "parallelogram")),
            ),
            explanation="Whether two mitres oppose each other (picture frame) or lean the same way.",
        ),
        Column(
            name="plane",
            kind="choice",
            choices=(("wide", ("flat",)), ("narrow", ("edge",))),
            explanation="On which outside face of the section the mitre is seen.",
        ),
        Column(
            name="measured",
            kind="choice",
            others=("measured to", "measured at"),
            choices=(
                ("long", ("long point", "long points", "lp", "outside")),
                ("short", ("short point", "short points", "sp", "inside")),
                ("centre", ("center", "centre line", "center line", "cl", "middle")),
            ),
            explanation="Where the length of a mitred part is measured.",
        ),
        Column(name="extra_a", kind="length", explanation="Left on one end for facing, beyond the length."),
        Column(
            name="extra_b", kind="length", explanation="Left on the other end for facing, beyond the length."
        ),
        Column(name="assembly", others=("belongs to",), explanation="Assembly the part belongs to."),
        Column(
            name="grade", others=("steel grade", "quality"), explanation=f"{_GRADE} Blank: any of its metal."
        ),
        Column(name="finish", others=("surface", "finishing"), explanation=f"{_FINISH} Blank: any."),
        Column(
            name="note",
            others=("notes", "remark", "remarks", "comment", "comments"),
            explanation="Shown in the reports.",
        ),
        Column(
            name="width",
            kind="length",
            explanation="Width of a plate part; plates are not planned by this version.",
        ),
        Column(name="shape", explanation="Shape of a plate part; plates are not planned by this version."),
        Column(
            name="drawing",
            others=("dxf", "file"),
            explanation="Drawing of a plate part; plates are not planned by this version.",
        ),
        Column(name="flip", kind="unused", explanation=_NOT_YET),
        Column(name="turn", kind="unused", explanation=_NOT_YET),
        Column(name="process", kind="unused", explanation=_NOT_YET),
        Column(name="weld", kind="unused", explanation=_NOT_YET),
        Column(name="fill", kind="unused", explanation=_NOT_YET),
        Column(name="may_shorten", kind="unused", explanation=_NOT_YET),
        Column(
            name="together",
            kind="refused",
            explanation="Parts to be cut from one stick: this version cannot keep to it; clear the cell.",
        ),
        Column(
            name="source",
            kind="refused",
            explanation="A stick that the part must come from: this version cannot keep to it; clear the cell.",
        ),
    ),
)

HOLES = Table(
    name="holes",
    explanation="Holes in the parts; read and checked, not yet drawn.",
    others=("hole", "drilling"),
    columns=(
        Column(name="MARK", required=True, others=_MARK_WORDS, explanation="The part."),
        Column(name="X", kind="length", required=True, explanation="Along the part, from the datum end."),
        Column(name="Y", kind="length", required=True, explanation="Across the part, from the datum edge."),
        Column(
            name="DIAMETER",
            kind="length",
            required=True,
            others=("dia", "diam", "d", "hole size"),
            explanation="Of the hole.",
        ),
        Column(name="face", others=("side",), explanation="Which face it is drilled into."),
        Column(name="depth", kind="length", explanation="Blank: through."),
    ),
)

ASSEMBLIES = Table(
    name="assemblies",
    explanation="What is built from the parts, and how often.",
    others=("assembly",),
    columns=(
        Column(
            name="ASSEMBLY", required=True, others=("name", "mark"), explanation="Name, as the parts give it."
        ),
        Column(name="QTY", kind="count", required=True, others=_QTY_WORDS, explanation="How many are built."),
    ),
)

OFFERS = Table(
    name="offers",
    explanation="What the yards sell, one row a size and price; leave prices blank to plan by weight and ask.",
    others=("offer", "prices", "price list", "stock", "for sale"),
    columns=(
        Column(
            name="YARD",
            required=True,
            others=("supplier", "vendor", "seller", "merchant", "shop"),
            explanation="Who sells it.",
        ),
        Column(
            name="MATERIAL", kind="material", required=True, others=_MATERIAL_WORDS, explanation=_MATERIAL
        ),
        Column(
            name="LENGTH",
            kind="range",
            required=True,
            others=(*_LENGTH_WORDS, "stock length", "bar length"),
            explanation="Length of a stick: 20 ft, 6 m; a range such as 16-22 ft for random lengths.",
        ),
        Column(
            name="width",
            kind="length",
            explanation="Width of a sheet; plates are not planned by this version.",
        ),
        Column(
            name="price",
            kind="money",
            others=("cost", "unit price"),
            explanation="As quoted; blank: not known.",
        ),
        Column(
            name="per",
            others=("basis", "price per", "unit", "price unit"),
            explanation="What the price is for: each, ft, m, lb, cwt or kg.",
        ),
        Column(name="grade", others=("steel grade", "quality"), explanation=_GRADE),
        Column(name="finish", others=("surface",), explanation=_FINISH),
        Column(
            name="clean_ends",
            kind="choice",
            choices=_ENDS,
            others=("clean",),
            explanation="How many ends are square and good enough to need no trim: both, one or none.",
        ),
        Column(
            name="available",
            kind="count",
            others=("in stock", "on hand", "max"),
            explanation="How many there are; blank: any number.",
        ),
        Column(
            name="from_qty",
            kind="count",
            others=("from", "min qty", "minimum quantity", "quantity break"),
            explanation="Least number of this size at which the price holds; blank: 1.",
        ),
        Column(
            name="cut_to_length",
            kind="money",
            others=("cut to size",),
            explanation="Charge a stick for cutting to any length (yes: no charge); blank or no: full sticks only.",
        ),
        Column(
            name="note",
            others=("notes", "remark", "remarks", "comment", "comments"),
            explanation="Shown in the reports.",
        ),
    ),
)

YARDS = Table(
    name="yards",
    explanation="Terms of the yards.",
    others=("yard", "suppliers", "vendors"),
    columns=(
        Column(
            name="YARD",
            required=True,
            others=("supplier", "vendor", "name"),
            explanation="Name, as the offers give it.",
        ),
        Column(
            name="delivery",
            kind="money",
            others=("delivery fee", "freight"),
            explanation="Fee for delivering an order; blank: pick-up only.",
        ),
        Column(
            name="minimum_order",
            kind="money",
            others=("minimum", "min order"),
            explanation="Least money of the steel of an order.",
        ),
        Column(
            name="haul_limit",
            kind="length",
            others=("longest haul",),
            explanation="Longest piece you can carry home; blank: any.",
        ),
        Column(
            name="payload",
            kind="weight",
            others=("max load",),
            explanation="What one trip carries: 1500 lb, 700 kg; blank: not limited.",
        ),
        Column(
            name="cut_charge",
            kind="money",
            others=("cut fee",),
            explanation="Fee a yard cut; blank: the yard makes none.",
        ),
        Column(name="cut_tolerance", kind="length", explanation="How far a yard cut may be off."),
        Column(name="cut_kerf", kind="length", explanation="Kerf of the yard's saw."),
        Column(
            name="lead_days",
            kind="count",
            others=("lead time", "lead", "days"),
            explanation="Days from order to material.",
        ),
    ),
)

RACK = Table(
    name="rack",
    explanation="Material on hand, one row a piece.",
    others=("on hand", "leftovers", "offcuts", "remnants", "drops"),
    columns=(
        Column(
            name="ID",
            required=True,
            others=("tag", "mark", "name", "number"),
            explanation="What is written on the piece, once in the job.",
        ),
        Column(
            name="MATERIAL", kind="material", required=True, others=_MATERIAL_WORDS, explanation=_MATERIAL
        ),
        Column(name="LENGTH", kind="length", required=True, others=_LENGTH_WORDS, explanation="As measured."),
        Column(
            name="width",
            kind="length",
            explanation="Width of a sheet; plates are not planned by this version.",
        ),
        Column(name="grade", others=("steel grade", "quality"), explanation=_GRADE),
        Column(name="finish", others=("surface",), explanation=_FINISH),
        Column(
            name="clean_ends",
            kind="choice",
            choices=_ENDS,
            others=("clean",),
            explanation="How many ends are square and good enough to need no trim: both, one or none.",
        ),
        Column(
            name="value",
            kind="money",
            others=("worth", "price", "cost"),
            explanation="What using it costs the job; blank: nothing.",
        ),
        Column(name="place", others=("location", "bay", "bin"), explanation="Where it lies."),
        Column(name="heat", others=("heat number", "heat no"), explanation="Heat number."),
        Column(
            name="qty",
            kind="refused",
            others=_QTY_WORDS[:4],
            explanation="The rack has one row a piece: give every piece its own row and ID, and clear the cell.",
        ),
    ),
)

SAWS = Table(
    name="saws",
    explanation="The saws and what they take.",
    others=("saw",),
    columns=(
        Column(name="SAW", required=True, others=("name", "machine"), explanation="Name of the saw."),
        Column(
            name="KERF",
            kind="length",
            required=True,
            others=("blade", "cut width"),
            explanation="Width that one cut turns to dust; measure it on a test cut.",
        ),
        Column(
            name="trim",
            kind="length",
            explanation="Taken off an end that is not clean, the kerf of that cut included; blank: 0.",
        ),
        Column(
            name="grip",
            kind="length",
            others=("clamp", "tail"),
            explanation="Tail that the machine must hold and cannot cut; blank: 0.",
        ),
        Column(
            name="max_size",
            kind="length",
            others=("capacity",),
            explanation="Largest side of a section it takes; blank: any.",
        ),
        Column(
            name="max_angle",
            kind="number",
            others=("max mitre", "max miter"),
            explanation="Largest mitre, degrees from a square cut; blank: any.",
        ),
        Column(
            name="rate",
            kind="cut rate",
            others=("cutting rate", "area rate"),
            explanation="Metal area it cuts in a minute, in2 or mm2 by the job's unit, for the estimate.",
        ),
    ),
)

ALLOW = Table(
    name="allow",
    explanation="Near-equal stock that you accept in place of what a part asks for.",
    others=("allowed", "substitutes", "substitutions"),
    columns=(
        Column(
            name="PART_MATERIAL",
            kind="material",
            required=True,
            others=("part", "for"),
            explanation="As the parts ask.",
        ),
        Column(
            name="OFFER_MATERIAL",
            kind="material",
            required=True,
            others=("offer", "use"),
            explanation="As the yard sells it or the rack has it.",
        ),
    ),
)

SHOP = Table(
    name="shop",
    explanation="Settings of the shop.",
    others=("settings", "setup"),
    columns=(
        Column(name="SETTING", required=True, others=("name", "key", "option"), explanation="What is set."),
        Column(
            name="VALUE",
            required=True,
            may_be_blank=True,
            explanation="What it is set to; blank: as if the row were not there.",
        ),
        Column(
            name="note", others=("notes", "remark", "explanation", "comment"), explanation="For you alone."
        ),
    ),
)

TABLES = (PARTS, HOLES, ASSEMBLIES, OFFERS, YARDS, RACK, SAWS, ALLOW, SHOP)
"""In the order of the template and of the messages."""

RATE_SETTINGS = (
    Setting(
        name="labour_rate",
        others=(
            "rate",
            "rates",
            "hourly rate",
            "labour",
            "labor",
            "labor rate",
        ),
        explanation="Money for an hour of work; blank: hours are shown without money.",
    ),
    Setting(
        name="machine_rate",
        others=("machine",),
        explanation="Money for an hour that a saw runs, beyond the work at it; blank: not counted.",
    ),
    Setting(
        name="contingency",
        others=("reserve",),
        explanation="Percent on all lines of the estimate; blank: none.",
    ),
    Setting(
        name="tax",
        others=(
            "vat",
            "sales tax",
        ),
        explanation="Percent on everything, contingency included; blank: none.",
    ),
    Setting(
        name="saw_rate",
        others=("cutting rate",),
        explanation="Metal area cut in a minute by a saw without its own rate, in2 or mm2; blank: 2 in2 or 1300 mm2.",
    ),
    Setting(name="seconds_per_piece", explanation="Handling of one piece at the saw, seconds; blank: 20."),
    Setting(name="seconds_per_stick", explanation="Handling of one stick at the saw, seconds; blank: 120."),
    Setting(
        name="seconds_per_stop",
        others=("seconds per stop move",),
        explanation="Moving the stop of the saw once, seconds; blank: 30.",
    ),
    Setting(
        name="clean_rate",
        others=("cleaning rate",),
        explanation="Surface freed from mill scale in an hour, ft2 or m2; blank: 20 ft2 or 2 m2.",
    ),
    Setting(
        name="disc_area",
        explanation="Surface that one disc frees from scale, ft2 or m2; blank: 10 ft2 or 1 m2.",
    ),
    Setting(
        name="disc_price",
        others=("price of a disc",),
        explanation="Money for one cleaning disc; blank: not known.",
    ),
    Setting(
        name="blade_area",
        explanation="Metal area that one blade or wheel of the saw cuts, in2 or mm2; blank: blades are not counted.",
    ),
    Setting(
        name="blade_price",
        others=("price of a blade",),
        explanation="Money for one blade or wheel of the saw; blank: blades are not counted.",
    ),
    Setting(name="coats", others=("coats of paint",), explanation="Coats of paint, 0 for none; blank: 1."),
    Setting(
        name="paint_rate",
        others=("painting rate",),
        explanation="Surface given one coat in an hour, ft2 or m2; blank: 100 ft2 or 10 m2.",
    ),
    Setting(
        name="paint_solids",
        others=(
            "solids",
            "volume solids",
        ),
        explanation="Percent of the paint's volume that stays on; blank: 50.",
    ),
    Setting(
        name="paint_film",
        others=(
            "film",
            "dry film",
        ),
        explanation="Thickness of one dry coat, mil or µm; blank: 2 mil or 50 µm.",
    ),
    Setting(
        name="paint_loss",
        others=("loss",),
        explanation="Percent of the paint that is lost on the way; blank: 30.",
    ),
    Setting(
        name="paint_price",
        others=("price of paint",),
        explanation="Money for a US gallon or a litre of paint; blank: not known.",
    ),
)
"""Of the estimate; what a blank one starts from stands in `nesting.estimate.Rates`."""

SETTINGS = (
    Setting(
        name="units",
        example="in",
        others=("unit",),
        explanation="Unit of bare numbers and of what is printed: in or mm.",
        choices=(
            ("in", ("inch", "inches", '"')),
            ("mm", ("millimetre", "millimetres", "millimeter", "millimeters", "metric")),
        ),
    ),
    Setting(
        name="decimal",
        example="point",
        others=("decimal mark", "decimal sign", "decimal separator"),
        explanation="Decimal mark of the tables: point or comma.",
        choices=((".", ("point", "dot", "period")), (",", ("comma",))),
    ),
    Setting(name="currency", example="$", explanation="Put before amounts."),
    Setting(
        name="keep_length",
        example="12",
        others=("keep", "shortest offcut"),
        explanation="Shortest remainder worth keeping.",
    ),
    Setting(name="tie", example="0", explanation="Money within which two plans count as equally cheap."),
    Setting(
        name="denominator",
        example="32",
        others=("fraction", "finest fraction"),
        explanation="Finest fraction of an inch that is printed: 2, 4, 8, 16, 32, 64 ... 1024.",
    ),
    Setting(
        name="lift",
        example="51 lb",
        others=("lift_kg", "lift limit"),
        explanation="What one person may lift alone, for the caution.",
    ),
    Setting(
        name="offcut_share",
        others=("offcut credit",),
        explanation="Share of its price that a kept offcut is worth in the estimate: 0.5, 50 %; blank: none.",
    ),
    Setting(name="torch_kerf", explanation=_NOT_YET, used=False),
    Setting(name="clearance", explanation=_NOT_YET, used=False),
    Setting(name="edge", explanation=_NOT_YET, used=False),
    Setting(name="bed", explanation=_NOT_YET, used=False),
    *RATE_SETTINGS,
)
