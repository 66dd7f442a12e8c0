"""The tables of what is asked: parts, holes, assemblies."""

from __future__ import annotations

from nesting.read.schema.kinds import Column, Table
from nesting.read.schema.shared import (
    FINISH,
    GRADE,
    LENGTH_WORDS,
    MARK_WORDS,
    MATERIAL,
    MATERIAL_WORDS,
    NOT_YET,
    QTY_WORDS,
)

_RECTANGLES = (
    "Not yet: this version plans rectangles; clear the cell, "
    "and give LENGTH and width of the rectangle around it."
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
            others=MARK_WORDS,
            explanation="Short name on the drawing, once in the job; kept exactly as written (007 stays 007).",
        ),
        Column(
            name="QTY",
            kind="count",
            required=True,
            others=QTY_WORDS,
            explanation="How many; per assembly if the part belongs to one.",
        ),
        Column(name="MATERIAL", kind="material", required=True, others=MATERIAL_WORDS, explanation=MATERIAL),
        Column(
            name="LENGTH",
            kind="length",
            required=True,
            may_be_blank=True,
            others=LENGTH_WORDS,
            explanation="Length of the part: 63 1/2, 5' 3-1/2\", 1613 mm; bare numbers take the job's unit.",
        ),
        Column(
            name="width",
            kind="length",
            others=("wide",),
            explanation="Makes it a plate part, a rectangle of LENGTH by width; blank for bar parts.",
        ),
        Column(
            name="turn",
            kind="choice",
            choices=(
                ("none", ("no", "0", "fixed", "as drawn")),
                ("half", ("180", "grain", "along grain", "with grain", "end for end")),
                ("quarter", ("any", "90", "yes", "free")),
            ),
            explanation=(
                "How a plate part may lie: none: its length along that of the sheet; half: also end for end, as with "
                "a grain; quarter, or blank: across as well."
            ),
        ),
        Column(
            name="process",
            kind="choice",
            choices=(
                ("torch", ("plasma", "flame", "oxyfuel", "flame cut", "plasma cut", "gas")),
                ("saw", ("sawn", "sawing", "bandsaw")),
                ("shear", ("sheared", "shearing", "guillotine")),
            ),
            explanation="What a plate part must be cut by: torch, saw or shear; blank: whatever the shop has.",
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
            name="grade", others=("steel grade", "quality"), explanation=f"{GRADE} Blank: any of its metal."
        ),
        Column(name="finish", others=("surface", "finishing"), explanation=f"{FINISH} Blank: any."),
        Column(
            name="fill",
            others=("spare", "filler"),
            explanation=(
                "A spare that need not be made: up to QTY are cut from what would be scrap. yes: worth its material; "
                "an amount: what one is worth; blank or no: must be made."
            ),
        ),
        Column(
            name="may_shorten",
            kind="length",
            others=("may be shorter by",),
            explanation=(
                "How much shorter the part could be made; the plan keeps to LENGTH, and a hint tells what that saves."
            ),
        ),
        Column(
            name="note",
            others=("notes", "remark", "remarks", "comment", "comments"),
            explanation="Shown in the reports.",
        ),
        Column(name="shape", kind="refused", explanation=_RECTANGLES),
        Column(name="drawing", kind="refused", others=("dxf", "file"), explanation=_RECTANGLES),
        Column(
            name="flip",
            kind="choice",
            others=("turn over", "may be turned over", "turn-over", "flippable"),
            choices=(
                ("yes", ("y", "true", "any", "both sides", "either side")),
                ("no", ("n", "false", "this side up", "one side", "face up")),
            ),
            explanation=(
                "Whether a bar part may be turned over; no: the same face stays up, and it is only turned end for end. "
                "Blank: yes."
            ),
        ),
        Column(name="weld", kind="unused", explanation=NOT_YET),
        Column(
            name="together",
            others=("one stick", "from one stick"),
            explanation=(
                "Bar parts with the same word here come from one stick: those of one assembly, or all copies if they "
                "belong to none; blank: from any."
            ),
        ),
        Column(
            name="source",
            others=("cut from", "from heat"),
            explanation="ID or heat of the rack that the part must come from; blank: whatever serves.",
        ),
    ),
)

HOLES = Table(
    name="holes",
    explanation="Holes in the parts, for the hole list, the torch and the drill.",
    others=("hole", "drilling"),
    columns=(
        Column(name="MARK", required=True, others=MARK_WORDS, explanation="The part."),
        Column(name="X", kind="length", required=True, explanation="Along the part, from its datum corner."),
        Column(name="Y", kind="length", required=True, explanation="Across the part, from its datum corner."),
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
        Column(name="QTY", kind="count", required=True, others=QTY_WORDS, explanation="How many are built."),
    ),
)
