"""The tables of what it is made from and on: offers, yards, rack, saws, allowed stock."""

from __future__ import annotations

from nesting.read.schema.kinds import Column, Table
from nesting.read.schema.shared import ENDS, FINISH, GRADE, LENGTH_WORDS, MATERIAL, MATERIAL_WORDS, QTY_WORDS

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
        Column(name="MATERIAL", kind="material", required=True, others=MATERIAL_WORDS, explanation=MATERIAL),
        Column(
            name="LENGTH",
            kind="range",
            required=True,
            others=(*LENGTH_WORDS, "stock length", "bar length"),
            explanation="Length of a stick or sheet: 20 ft, 6 m; a range such as 16-22 ft for random lengths of bar.",
        ),
        Column(
            name="width",
            kind="length",
            others=("wide",),
            explanation="Width of a sheet; blank for bars. A grain runs along LENGTH.",
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
            explanation="What the price is for: each, ft, m, lb, cwt or kg; of a sheet each, sq ft, m2, lb, cwt or kg.",
        ),
        Column(
            name="quoted",
            others=("date", "quote date", "price date"),
            explanation="Day on which the price was quoted: 2026-10-09; blank: not known.",
        ),
        Column(name="grade", others=("steel grade", "quality"), explanation=GRADE),
        Column(name="finish", others=("surface",), explanation=FINISH),
        Column(
            name="clean_ends",
            kind="choice",
            choices=ENDS,
            others=("clean",),
            explanation="Ends good enough to need no trim: both, one or none; of a sheet, both means all round.",
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
        Column(name="MATERIAL", kind="material", required=True, others=MATERIAL_WORDS, explanation=MATERIAL),
        Column(name="LENGTH", kind="length", required=True, others=LENGTH_WORDS, explanation="As measured."),
        Column(
            name="width", kind="length", others=("wide",), explanation="Width of a sheet; blank for bars."
        ),
        Column(name="grade", others=("steel grade", "quality"), explanation=GRADE),
        Column(name="finish", others=("surface",), explanation=FINISH),
        Column(
            name="clean_ends",
            kind="choice",
            choices=ENDS,
            others=("clean",),
            explanation="Ends good enough to need no trim: both, one or none; of a sheet, both means all round.",
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
            name="certificate",
            others=("cert", "mill certificate", "mill cert"),
            explanation="Where the mill's certificate is filed.",
        ),
        Column(
            name="qty",
            kind="refused",
            others=QTY_WORDS[:4],
            idle=("1", "no"),
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
            explanation="Largest side of a section, or shorter side of a sheet, that it takes; blank: any.",
        ),
        Column(
            name="max_angle",
            kind="number",
            others=("max mitre", "max miter"),
            explanation="Largest mitre, degrees from a square cut; blank: any.",
        ),
        Column(
            name="plates",
            kind="choice",
            choices=(("yes", ("y", "true")), ("no", ("n", "false"))),
            explanation="Whether it cuts sheets, and flat bars lengthwise; blank in every row: each saw does.",
        ),
        Column(
            name="bundle",
            kind="count",
            others=("at once", "sticks at once"),
            explanation="How many sticks cut alike it cuts at once, for the estimate; blank: 1.",
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
