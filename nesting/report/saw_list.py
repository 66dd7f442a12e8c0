"""The order in which sticks go through the saws, with stop settings, and the slack of every stick.

A *stop setting* is the length that the saw's stop is set to. It moves as seldom as the layouts allow: within
a stick equal lengths follow each other (the plan's own order), and sticks are put in the order in which as
many as possible begin with the setting that the one before ended with, longest settings first. The setting of
a mitred piece is its extent, from its foremost point to its furthest, whatever the saw is swung to. *Stop moves*
counts how often the stop has to be set in the printed order, the first time on each saw included.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby

from nesting.job import Part, Saw
from nesting.plan import Layout, Parting, Piece, Plan, SourceKind
from nesting.report.mitre_cuts import Cut, Sawn, first_cut, kerf_shares, sawn
from nesting.report.order import Source, sources_by_id
from stock.material import Material


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """Pieces cut one after the other at one stop setting.

    Parameters
    ----------
    setting
        Ticks from stop to blade.
    marks
        (mark, pieces), in cutting order.
    sawn
        Of each piece the cuts that free it.
    """

    setting: int
    marks: tuple[tuple[str, int], ...]
    sawn: tuple[Sawn, ...] = ()

    @property
    def pieces(self) -> int:
        """How many are cut."""
        return sum(count for _, count in self.marks)

    @property
    def runs(self) -> Iterator[tuple[str, int, tuple[Sawn, ...]]]:
        """(mark, pieces, their cuts), in cutting order."""
        at = 0
        for mark, count in self.marks:
            yield mark, count, self.sawn[at : at + count]
            at += count


@dataclass(frozen=True, slots=True, kw_only=True)
class Stick:
    """One layout in its place in the cutting order.

    Parameters
    ----------
    first
        Number of the first of the sticks cut alike; they are numbered on from there.
    group
        Number of the group, from 1, in the order of the plan.
    source
        The offer or rack piece it is cut from.
    begin
        The cut with which it begins; None: its first end is clean and stays square.
    steps
        Stop settings in cutting order; none if the stick stays whole.
    slack
        Ticks by which the kerf may be thicker before the last piece that must be made falls short; None if no
        kerf lies before its end.
    weight_kg
        Of one stick, before cutting.
    clean_ends
        How many of its ends need no trim.
    asked
        Nominal ticks, if it is a segment that the yard cuts; its layout counts less by the yard's tolerance.
    """

    first: int
    group: int
    layout: Layout
    source: Source
    begin: Cut | None
    steps: tuple[Step, ...]
    slack: int | None
    weight_kg: float
    clean_ends: int
    asked: int | None = None

    @property
    def run(self) -> tuple[int, int]:
        """First number and how many, as `words.number_words` takes them."""
        return self.first, self.layout.times

    @property
    def cuts(self) -> tuple[Cut, ...]:
        """Every cut it gets, in order; a square end that falls on the end of the stick needs none."""
        cuts = [cut for step in self.steps for one in step.sawn for cut in one.cuts]
        if self.begin is not None:
            cuts.insert(0, self.begin)
        last = self.layout.pieces[-1:]
        is_full = any(piece.start + piece.extent == self.layout.length for piece in last)
        return tuple(cuts[:-1] if is_full and cuts[-1].is_square else cuts)

    @property
    def material(self) -> Material:
        """What it is made of."""
        return self.source.material

    @property
    def far_end_clean(self) -> bool:
        """Whether the end that is cut last needs no trim."""
        return self.clean_ends == 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """The sticks of one section on one saw, in cutting order."""

    saw: Saw
    material: Material
    sticks: tuple[Stick, ...]

    def loads(self, stick: Stick) -> int:
        """How often the saw is loaded for the sticks that are cut alike."""
        return -(-stick.layout.times // self.saw.bundle)


@dataclass(frozen=True, slots=True, kw_only=True)
class SawList:
    """Every stick of a plan, numbered in cutting order.

    Parameters
    ----------
    blocks
        By saw, then by section.
    whole
        Sticks that are bought and not cut, numbered last.
    stop_moves
        Settings of the stop, counted over the printed order.
    """

    blocks: tuple[Block, ...]
    whole: tuple[Stick, ...]
    stop_moves: int

    @property
    def cut(self) -> tuple[Stick, ...]:
        """The sticks that are cut, in number order."""
        return tuple(stick for block in self.blocks for stick in block.sticks)

    @property
    def sticks(self) -> tuple[Stick, ...]:
        """All sticks, in number order."""
        return self.cut + self.whole


def saw_list(plan: Plan) -> SawList:
    """The cutting order of a plan.

    Parameters
    ----------
    plan
        A sound plan: every layout names a source and a saw of its job.

    Returns
    -------
    SawList
        Numbers are 1, 2, 3 ... over the whole plan; sticks cut alike take as many numbers as there are.
    """
    saws = {saw.name: saw for saw in plan.job.saws}
    shop = _Shop(
        sources_by_id(plan.job), {part.mark: part for part in plan.job.parts}, plan.job.shop.kerf_safety
    )
    bundles: dict[tuple[str, Material], list[tuple[int, Layout]]] = {}
    whole: list[tuple[int, Layout]] = []
    for number, group in enumerate(plan.groups, 1):
        for layout in group.layouts:
            if not layout.pieces:
                whole.append((number, layout))
                continue
            material = shop.sources[layout.source_kind, layout.source].material
            bundles.setdefault((layout.saw, material), []).append((number, layout))
    order = {saw.name: row for row, saw in enumerate(plan.job.saws)}
    blocks, at = [], 1
    for (name, material), bundle in sorted(bundles.items(), key=lambda item: order[item[0][0]]):
        groups = {id(layout): number for number, layout in bundle}
        sticks = []
        for layout in cutting_order([layout for _, layout in bundle]):
            number = groups[id(layout)]
            sticks.append(shop.stick(at, number, layout, saws[name], plan.groups[number - 1].partings))
            at += layout.times
        blocks.append(Block(saw=saws[name], material=material, sticks=tuple(sticks)))
    uncut = []
    for number, layout in whole:
        uncut.append(shop.stick(at, number, layout, saws[layout.saw], plan.groups[number - 1].partings))
        at += layout.times
    return SawList(blocks=tuple(blocks), whole=tuple(uncut), stop_moves=_stop_moves(blocks))


def cutting_order(layouts: list[Layout]) -> list[Layout]:
    """Layouts of one section put in the order that lets equal stop settings follow each other.

    Each layout leads from its first setting to its last. A chain begins at the longest setting that more
    layouts begin with than end with, and runs on as long as a layout begins where the one before ended.
    Where lengths fall within every stick, no order needs fewer moves.
    """
    waiting: dict[int, list[Layout]] = {}
    for layout in sorted(layouts, key=lambda each: (each.pieces[-1].extent, -len(each.pieces)), reverse=True):
        waiting.setdefault(layout.pieces[0].extent, []).append(layout)
    surplus = Counter({setting: len(here) for setting, here in waiting.items()})
    surplus.subtract(layout.pieces[-1].extent for layout in layouts)
    ordered: list[Layout] = []
    while waiting:
        starts = [setting for setting in waiting if surplus[setting] > 0] or list(waiting)
        at = max(starts)
        while at in waiting:
            layout = waiting[at].pop(0)
            if not waiting[at]:
                del waiting[at]
            surplus[at] -= 1
            at = layout.pieces[-1].extent
            surplus[at] += 1
            ordered.append(layout)
    return ordered


def slack_of(
    layout: Layout, saw: Saw, far_end_clean: bool, safety: int = 0, between: Fraction | None = None
) -> int | None:
    """How much thicker than said the kerf may be before the last piece of a stick falls short.

    Parameters
    ----------
    layout
        With its head as planned, which does not grow.
    far_end_clean
        Whether the end that is cut last needs no trim.
    safety
        Ticks that were planned for each cut beyond the kerf.
    between
        Ticks by which the last piece moves if each cut takes one more; None: one for each cut between pieces.

    Returns
    -------
    int | None
        Ticks, rounded down; None if the kerf does not matter: nothing is cut, or one piece without a grip
        behind it.
    """
    if not layout.pieces:
        return None
    last = layout.pieces[-1]
    room = layout.length - last.start - last.extent
    cuts = Fraction(len(layout.pieces) - 1) if between is None else between
    slacks = []
    if cuts:
        slacks.append(math.floor((room - (0 if far_end_clean else saw.trim)) / cuts) + safety)
    if saw.grip:
        slacks.append(math.floor((room - saw.grip - saw.kerf - safety) / (cuts + 1)) + safety)
    return min(slacks, default=None)


def _room(layout: Layout, saw: Saw, safety: int, far_end_clean: bool) -> int:
    """Ticks by which the last piece may move towards the far end."""
    behind = layout.length - sum(piece.start + piece.extent for piece in layout.pieces[-1:])
    held = saw.grip + saw.kerf + safety if saw.grip else 0
    return behind - max(held, 0 if far_end_clean else saw.trim)


@dataclass(frozen=True, slots=True)
class _Shop:
    """What sticks are made of and cut with."""

    sources: dict[tuple[SourceKind, str], Source]
    parts: dict[str, Part]
    safety: int

    def stick(self, first: int, group: int, layout: Layout, saw: Saw, partings: tuple[Parting, ...]) -> Stick:
        source, cut = self.sources[layout.source_kind, layout.source], saw.kerf + self.safety
        clean, asked = source.clean_ends, None
        if layout.segment is not None:
            parting, number = partings[layout.segment[0]], layout.segment[1]
            clean, asked = parting.clean_ends(number, source.clean_ends), parting.segments[number]
        is_clean = clean == 2
        due = replace(layout, pieces=tuple(p for p in layout.pieces if not self.parts[p.mark].is_fill))
        cuts = sawn(layout, self.parts, cut, _room(layout, saw, self.safety, is_clean))
        between = kerf_shares(due, self.parts, cut)
        return Stick(
            first=first,
            group=group,
            layout=layout,
            source=source,
            begin=first_cut(layout, cuts),
            steps=tuple(_steps(layout.pieces, cuts)),
            slack=slack_of(due, saw, is_clean, self.safety, between),
            weight_kg=source.material.weight_kg(layout.length, source.width),
            clean_ends=clean,
            asked=asked,
        )


def _steps(pieces: Iterable[Piece], cuts: Iterable[Sawn]) -> Iterable[Step]:
    for setting, run in groupby(zip(pieces, cuts, strict=True), key=lambda pair: pair[0].extent):
        pairs = list(run)
        marks = [(mark, sum(1 for _ in same)) for mark, same in groupby(piece.mark for piece, _ in pairs)]
        yield Step(setting=setting, marks=tuple(marks), sawn=tuple(one for _, one in pairs))


def _stop_moves(blocks: list[Block]) -> int:
    """Sticks cut alike go through the saw load after load, so each load may need the stop moved back."""
    moves = 0
    stands: dict[str, int] = {}
    for block in blocks:
        for stick in block.sticks:
            settings = [step.setting for step in stick.steps]
            within = len(settings) - 1
            again = settings[0] != settings[-1]
            moves += (stands.get(block.saw.name) != settings[0]) + within
            moves += (block.loads(stick) - 1) * (within + again)
            stands[block.saw.name] = settings[-1]
    return moves
