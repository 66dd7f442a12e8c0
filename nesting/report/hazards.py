"""What to mind at each kind of work, with the source it is taken from. Local rules go first, always."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """One warning.

    Parameters
    ----------
    topic
        One or two words.
    text
        What to do.
    source
        Where it comes from; "common practice" where no source stands behind it.
    """

    topic: str
    text: str
    source: str


STRENGTH = Caution(
    topic="strength",
    text="Nothing here says that what you build is strong enough: no strength, weld or stability is "
    "computed. This is not engineering advice; check with a licensed engineer and the local "
    "authority.",
    source="what this program does not do",
)

SHEETS = Caution(
    topic="sheets",
    text="Edges and corners cut: gloves, long sleeves, safety shoes. Carry a sheet upright by two people "
    "or with lifting gear made for it, never in wind. Store it flat or in a rack that holds it; never "
    "leave it leaning loose, where it can slide or tip on somebody.",
    source="29 CFR 1910.176(b); common practice",
)

TORCH = (
    Caution(
        topic="hot work",
        text="Keep what can burn 35 ft (11 m) away from the torch or shielded, and an extinguisher at "
        "hand. Watch for fire while cutting and for at least 30 minutes after; newer rules ask for an "
        "hour and up to three more of looking in. Where a permit for hot work is needed, get it "
        "first. Never cut a closed container or over one.",
        source="29 CFR 1910.252(a)(2)(iii); NFPA 51B (2019); common practice",
    ),
    Caution(
        topic="light and sparks",
        text="Where the arc is seen: shade 8 or darker under 300 A. Cover all skin, screen bystanders, and "
        "wear hearing protection. Pieces and skeleton stay hot long after they look it.",
        source="29 CFR 1910.133(a)(5), 1910.95; ANSI Z49.1",
    ),
    Caution(
        topic="cutting fume",
        text="Draw the fume off at the table or use a respirator made for it. Never cut what carries "
        "paint, zinc, oil or a chlorinated cleaner: strip or wash it first and let it dry fully; near "
        "an arc such cleaners turn into poisonous gas.",
        source="29 CFR 1910.252(c)(11); AWS Fact Sheet 25",
    ),
    Caution(
        topic="compressed gas",
        text="Cylinders upright, chained and capped when not in use; oxygen 20 ft (6 m) from fuel gas or "
        "behind a wall of 5 ft that stands fire for half an hour; acetylene never above 15 psi (1 "
        "bar). Compressed air for a plasma torch must be dry.",
        source="29 CFR 1910.253; common practice",
    ),
    Caution(
        topic="water table",
        text="Aluminium gives hydrogen with water and can collect it under the sheet: keep the water "
        "moving, let it air before you strike the arc, or do not cut aluminium over water. Mind "
        "current and wet floors.",
        source="common practice",
    ),
    Caution(
        topic="torch cuts",
        text="Kerf, clearance and edge are taken as the job gives them. Cut one square, measure it, and "
        "put the kerf in. A plate warps as it heats and pieces tip up: see that the torch clears "
        "them.",
        source="common practice",
    ),
)

SHEAR = Caution(
    topic="at the shear",
    text="Guards on; hands clear of blade and hold-downs; nobody behind the shear while it cuts; support "
    "the sheet so that it neither drops nor whips. Never shear what is thicker or harder than the "
    "shear is rated for.",
    source="common practice",
)

SAWS = (
    Caution(
        topic="saw cuts",
        text="Kerf and trim are taken as the job gives them. Measure your own saw: cut one piece, measure "
        "what is missing, and put that in. The slack of a stick says how much thicker its cuts may "
        "be.",
        source="common practice",
    ),
    Caution(
        topic="abrasive wheels",
        text="If the saw runs an abrasive wheel: guard on, a wheel rated for the machine's speed, no side "
        "load on it. Its sparks are hot work: keep what can burn 35 ft (11 m) away or shielded, and "
        "watch for fire for at least 30 minutes after.",
        source="29 CFR 1910.215, 1910.252(a)(2)(iii)",
    ),
    Caution(
        topic="at the saw",
        text="Wear eye and hearing protection; clamp what you cut and support both its ends and the "
        "falling piece; deburr before you carry.",
        source="29 CFR 1910.95, 1910.133; common practice",
    ),
)

DRILL = Caution(
    topic="drilling",
    text="Clamp the part, small ones above all; eye protection, no gloves, loose sleeves or long hair at "
    "the spindle; stop it before you clear chips.",
    source="29 CFR 1910.133; common practice",
)

OF_MATERIALS = {
    "galvanised": "29 CFR 1910.1000 table Z-1; AWS Fact Sheet 25",
    "stainless": "29 CFR 1910.1026",
}
"""Where the cautions come from that metals and finishes carry; the others are common practice."""
