"""The example rows of a new job: two stands for a drill press, from tube, angle, flat bar and plate.

Yards, prices and what is on the rack are invented; the rows are there to be overwritten.
"""

from __future__ import annotations

Value = str | int | float

_INVENTED = "invented price: put in your own"

EXAMPLES: dict[str, tuple[dict[str, Value], ...]] = {
    "parts": (
        {
            "MARK": "L1",
            "QTY": 4,
            "MATERIAL": "tube 2 x 2 x 1/8",
            "LENGTH": "30 1/2",
            "assembly": "stand",
            "note": "leg",
        },
        {
            "MARK": "R1",
            "QTY": 2,
            "MATERIAL": "tube 2 x 2 x 1/8",
            "LENGTH": "24",
            "end_a": 45,
            "end_b": 45,
            "lean": "opposite",
            "plane": "wide",
            "measured": "long",
            "assembly": "stand",
            "note": "top frame, long side",
        },
        {
            "MARK": "R2",
            "QTY": 2,
            "MATERIAL": "tube 2 x 2 x 1/8",
            "LENGTH": "18",
            "end_a": 45,
            "end_b": 45,
            "lean": "opposite",
            "plane": "wide",
            "measured": "long",
            "assembly": "stand",
            "note": "top frame, short side",
        },
        {
            "MARK": "S1",
            "QTY": 2,
            "MATERIAL": "angle 1-1/2 x 1-1/2 x 1/8",
            "LENGTH": "20",
            "assembly": "stand",
            "note": "shelf bearer",
        },
        {
            "MARK": "F1",
            "QTY": 4,
            "MATERIAL": "flat 1/4 x 3",
            "LENGTH": "3",
            "assembly": "stand",
            "note": "foot",
        },
        {
            "MARK": "P1",
            "QTY": 1,
            "MATERIAL": "plate 1/4",
            "LENGTH": "22",
            "width": "16",
            "assembly": "stand",
            "note": "top, under the press",
        },
        {
            "MARK": "P2",
            "QTY": 4,
            "MATERIAL": "plate 1/4",
            "LENGTH": "6",
            "width": "3",
            "turn": "quarter",
            "process": "saw",
            "assembly": "stand",
            "note": "tie plate, as wide as the flat bar",
        },
    ),
    "holes": (
        {"MARK": "F1", "X": "1 1/2", "Y": "1 1/2", "DIAMETER": "7/16"},
        {"MARK": "P1", "X": "4", "Y": "3", "DIAMETER": "9/16"},
        {"MARK": "P1", "X": "18", "Y": "13", "DIAMETER": "9/16"},
    ),
    "assemblies": ({"ASSEMBLY": "stand", "QTY": 2},),
    "offers": (
        {
            "YARD": "North yard",
            "MATERIAL": "tube 2 x 2 x 1/8",
            "LENGTH": "20 ft",
            "price": 3.1,
            "per": "ft",
            "note": _INVENTED,
        },
        {
            "YARD": "South yard",
            "MATERIAL": "tube 2 x 2 x 0.120",
            "LENGTH": "24 ft",
            "price": 68,
            "per": "each",
            "note": _INVENTED,
        },
        {
            "YARD": "North yard",
            "MATERIAL": "angle 1-1/2 x 1-1/2 x 1/8",
            "LENGTH": "20 ft",
            "price": 1.35,
            "per": "ft",
            "note": _INVENTED,
        },
        {
            "YARD": "North yard",
            "MATERIAL": "flat 1/4 x 3",
            "LENGTH": "12 ft",
            "price": 0.95,
            "per": "lb",
            "note": _INVENTED,
        },
        {
            "YARD": "South yard",
            "MATERIAL": "plate 1/4",
            "LENGTH": "48",
            "width": "24",
            "price": 11.5,
            "per": "sq ft",
            "note": _INVENTED,
        },
    ),
    "yards": (
        {"YARD": "North yard", "delivery": 60, "minimum_order": 100, "lead_days": 3},
        {"YARD": "South yard", "lead_days": 1},
    ),
    "rack": (
        {
            "ID": "K1",
            "MATERIAL": "tube 2 x 2 x 1/8",
            "LENGTH": "7 ft",
            "clean_ends": "one",
            "place": "by the door",
        },
    ),
    "saws": ({"SAW": "chop saw", "KERF": "1/8", "trim": "1/4", "max_size": "4", "max_angle": 45},),
    "allow": ({"PART_MATERIAL": "tube 2 x 2 x 1/8", "OFFER_MATERIAL": "tube 2 x 2 x 0.120"},),
}
"""For each table but the shop's, whose examples stand with its settings: rows as column to value."""
