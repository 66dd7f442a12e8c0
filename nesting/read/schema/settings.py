"""The shop table and its settings."""

from __future__ import annotations

from nesting.read.schema.kinds import Column, Setting, Table

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

PLATE_SETTINGS = (
    Setting(
        name="processes",
        example="torch",
        others=("process", "plate processes"),
        explanation="What you cut plates with: torch, saw, shear, parted by commas; flat bars are sawn in any case.",
    ),
    Setting(
        name="torch_kerf",
        others=("torch kerf width", "plasma kerf"),
        explanation="Width that the torch burns away; blank: 1/16 in or 1.5 mm. Measure it on a test cut.",
    ),
    Setting(
        name="clearance",
        others=("part clearance", "web"),
        explanation="Least distance between parts that the torch cuts, kerf included; blank: 1/4 in or 6 mm.",
    ),
    Setting(
        name="edge",
        others=("edge distance", "sheet edge"),
        explanation="Least distance of such a part from the edge of the sheet; blank: 1/4 in or 6 mm.",
    ),
    Setting(
        name="bed",
        others=("torch bed", "table size"),
        explanation="Largest piece the torch table takes, such as 24 x 24; larger sheets are parted first. Blank: any.",
    ),
    Setting(
        name="bed_margin",
        others=("clamp margin", "clamping margin"),
        explanation="What clamps need along each side of what lies on the bed; parts keep off it. Blank: the edge.",
    ),
    Setting(
        name="bed_open",
        others=("open bed",),
        explanation="yes: a piece longer than the first measure of the bed overhangs and is moved along. Blank: no.",
        choices=(("yes", ("y", "true", "1")), ("no", ("n", "false", "0"))),
    ),
    Setting(
        name="blank_kerf",
        others=("parting kerf",),
        explanation="Width of the cuts that part a sheet into blanks (0: sheared); blank: torch_kerf.",
    ),
    Setting(
        name="blank_allowance",
        others=("parting allowance",),
        explanation="How far such a cut may stray; added to its width. Blank: nothing.",
    ),
    Setting(
        name="blank_cost",
        others=("cost of a blank", "price of a blank"),
        explanation="Money for handling one blank: parting, lifting, clamping. Weighed against steel; blank: nothing.",
    ),
    Setting(
        name="largest_sheet",
        others=("largest plate",),
        explanation="Largest sheet that the shop takes in, such as 96 x 48; larger ones are not bought. Blank: any.",
    ),
    Setting(
        name="heaviest_sheet",
        others=("heaviest plate",),
        explanation="Weight of the heaviest sheet that it takes in; heavier ones are not bought. Blank: any.",
    ),
    Setting(
        name="keep_width",
        others=("keep width", "narrowest offcut"),
        explanation="Least width of a plate offcut worth keeping; blank: 4 in or 100 mm.",
    ),
    Setting(
        name="shear_trim",
        explanation="Taken off the edges of a sheet that is not clean before it is sheared; blank: nothing.",
    ),
    Setting(
        name="least_strip",
        others=("narrowest strip",),
        explanation="Narrowest part that saw or shear can hold when sheets are cut; blank: any.",
    ),
    Setting(
        name="torch_hole",
        others=("least torch hole",),
        explanation="Least hole that the torch can cut, in thicknesses of the plate; blank: 1.5.",
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
        name="torch_rate",
        explanation="Money for an hour that the torch cuts: gas, air, power; blank: not counted.",
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
    Setting(
        name="seconds_per_piece",
        explanation="Handling of one piece at saw, shear or torch, seconds; blank: 20.",
    ),
    Setting(
        name="seconds_per_stick",
        explanation="Handling of one stick at the saw, or of those cut together, seconds; blank: 120.",
    ),
    Setting(
        name="seconds_per_stop",
        others=("seconds per stop move",),
        explanation="Moving the stop of the saw once, seconds; blank: 30.",
    ),
    Setting(
        name="seconds_per_sheet",
        others=("seconds per blank",),
        explanation="Setting up one sheet, or one blank for the torch bed, seconds; blank: 300.",
    ),
    Setting(name="seconds_per_shear_cut", explanation="One cut of the shear, seconds; blank: 20."),
    Setting(
        name="torch_amps",
        others=("amps", "amperes"),
        explanation="Strength of the plasma torch, A, for its feed and pierces by thickness; blank: 45.",
    ),
    Setting(
        name="torch_feed",
        others=("cutting speed", "feed"),
        explanation="Feed of the torch in every thickness, in/min or mm/min; blank: none, but one for each thickness.",
    ),
    Setting(
        name="pierce_seconds",
        others=("seconds per pierce",),
        explanation="Piercing any thickness once, seconds; blank: none, but a time for each thickness.",
    ),
    Setting(
        name="tip_price",
        others=("price of a tip", "price of tips"),
        explanation="Money for one set of tips of the torch; blank: tips are not counted.",
    ),
    Setting(
        name="tip_pierces",
        others=("pierces per tip",),
        explanation="Pierces that one set of tips lasts; blank: tips are not counted.",
    ),
    Setting(
        name="drill_speed",
        others=("drilling speed",),
        explanation="Speed of a drill's edge in every metal, ft/min or m/min; blank: none, but one for each metal.",
    ),
    Setting(
        name="seconds_per_hole",
        explanation="Setting the drill to one hole, beyond drilling it, seconds; blank: 30.",
    ),
    Setting(
        name="seconds_per_drilled_part",
        explanation="Setting up one part to be drilled, seconds; blank: 60.",
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
    Setting(
        name="kerf_safety",
        others=("safety", "kerf allowance"),
        explanation="Added to the kerf at every saw cut when planning, so that thicker cuts still fit; blank: nothing.",
    ),
    Setting(
        name="kerf_doubt",
        others=("doubt",),
        explanation=(
            "How much thicker the saw may turn out to cut: sticks that fall short then are named. Blank: 1/64 in or "
            "0.4 mm (common practice, no source)."
        ),
    ),
    Setting(name="tie", example="0", explanation="Money within which two plans count as equally cheap."),
    Setting(
        name="prefer",
        others=("preference", "tie order"),
        explanation=(
            "What equally cheap plans are told apart by, the most wanted first: sticks, layouts, stops, offcut; blank: "
            "in this order."
        ),
    ),
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
        explanation=(
            "Share of its price that a kept offcut is worth to you, from 0 to below 1: 0.5, 50 %; blank: none."
        ),
    ),
    Setting(
        name="scrap_price",
        others=("scrap", "scrap value"),
        explanation=(
            "Money for scrap: 0.12, 0.12 per lb, 0.25 per kg, 10 per cwt or 180 per tonne; a bare number is per lb in "
            "an inch job, else per kg. Blank: nothing."
        ),
    ),
    *PLATE_SETTINGS,
    *RATE_SETTINGS,
)
