"""Explanations and other names that several tables share."""

from __future__ import annotations

NOT_YET = "Not used by this version; kept with the job."
ENDS = (("both", ("2", "two")), ("one", ("1",)), ("none", ("0", "no", "neither")))
MATERIAL = (
    "Section and sizes: tube 2 x 2 x 1/8, angle 50 x 50 x 5, flat 1/4 x 2, pipe 1-1/2 sch 40, C3x4.1; or plate 3/8, "
    "sheet 14 ga, with length and width in their own columns."
)
GRADE = "Grade, such as A500 or S235JR."
FINISH = "hot-rolled, pickled, galvanised or cold-rolled."
MATERIAL_WORDS = ("section", "profile", "stock", "description")
LENGTH_WORDS = ("len", "cut length", "long")
QTY_WORDS = ("quantity", "count", "pcs", "pieces", "no off", "qnty")
MARK_WORDS = (
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
