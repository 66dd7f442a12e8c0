"""The shop table and its settings."""

from __future__ import annotations

from nesting.read.schema.kinds import Column, Setting, Table
from nesting.read.schema.shared import NOT_YET

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
    Setting(name="torch_kerf", explanation=NOT_YET, used=False),
    Setting(name="clearance", explanation=NOT_YET, used=False),
    Setting(name="edge", explanation=NOT_YET, used=False),
    Setting(name="bed", explanation=NOT_YET, used=False),
    *RATE_SETTINGS,
)
