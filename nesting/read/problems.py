"""Why parts cannot be cut from what is offered and on the rack, as far as simple sums tell."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cached_property

from nesting.findings import Finding
from nesting.job import Job, Part, Saw
from nesting.read.bound_parts import bound_problems
from nesting.read.no_source import no_source
from nesting.read.offers import size_of
from nesting.read.places import Found, Places, some
from nesting.read.plate_problems import area_shortage, plate_problems, unplaceable
from nesting.report.words import length_words
from nesting.rules.hauling import haul_limit, is_too_long, longest_from, parted_ways, room_from
from nesting.rules.sheet_ways import Source
from nesting.rules.sources import Group, groups_of, serves
from nesting.rules.stick_ways import cut_width, takes
from stock.length import PER_INCH, show_length
from stock.material import Material
from stock.offer import Offer
from stock.rack import RackPiece


@dataclass(frozen=True)
class _Stock:
    """One stick length, with how many there are (None: any number)."""

    source: Offer | RackPiece
    limit: int | None

    @cached_property
    def material(self) -> Material:
        return self.source.material


def find_source_problems(job: Job, files: Mapping[str, str] | None = None) -> list[Finding]:
    """Everything that keeps the parts of a job from being cut from its sources.

    Parameters
    ----------
    files
        File of each table, for the place of a finding; may be left out.

    Returns
    -------
    list[Finding]
        Errors only; empty if no simple reason forbids a plan. Limits that are short for a finer reason than total
        length are found by the planner.
    """
    where = Places(files or {})
    if not job.offers and not job.rack:
        sentence = "nothing is offered and nothing is on the rack; add a table offers or rack to cut from"
        return [where.at("parts", code="no-sources", sentence=sentence)]
    if not job.saws:
        return [where.at("saws", code="no-saws", sentence="there is no saw; add a row to the table saws")]
    stocks = _stocks(job)
    found: list[Finding] = []
    for group in groups_of(job):
        if not group.offers and not group.rack:
            found += [where.part(*_without_source(job, part)) for part in group.parts]
            continue
        found += _unequal_prices(group, where)
        ids = {source.id for source in group.offers}, {source.id for source in group.rack}
        mine = [s for s in stocks if s.source.id in ids[isinstance(s.source, RackPiece)]]
        bars = [stock for stock in mine if not stock.material.is_plate]
        sawn = replace(group, parts=tuple(part for part in group.parts if not part.is_plate))
        problems = [where.part(*each) for each in plate_problems(job, group)]
        problems += _uncuttable(job, sawn, bars, where)
        found += problems or [*_short(job, sawn, bars, where), *_short_sheets(job, group, mine, where)]
    return [*found, *bound_problems(job, where), *_clearance(job, where)]


def _short_sheets(job: Job, group: Group, stocks: list[_Stock], where: Places) -> list[Finding]:
    found = area_shortage(job, group, [(stock.source, stock.limit) for stock in stocks])
    return [] if found is None else [where.part(*found)]


def _clearance(job: Job, where: Places) -> Iterator[Finding]:
    """A clearance so large that it must be a slip: no two parts can lie on any sheet."""
    shop = job.shop
    sheets = [max(s.length, s.width) for s in _sources(job) if s.width is not None]
    is_used = "torch" in shop.processes and any(part.is_plate for part in job.parts)
    if sheets and is_used and shop.clearance >= max(sheets):
        yield where.at(
            "shop",
            code="clearance-too-large",
            sentence=(
                f"a clearance of {length_words(shop.clearance, shop)} is no less than the longest sheet, "
                f"{length_words(max(sheets), shop)}; write the web that has to stay between two parts"
            ),
            column="VALUE",
        )


def _stocks(job: Job) -> list[_Stock]:
    """Every size once, at the limit of the size, and every rack piece."""
    sizes = {size_of(offer): offer for offer in reversed(job.offers)}
    return [
        *(_Stock(offer, offer.available) for offer in reversed(sizes.values())),
        *(_Stock(piece, 1) for piece in job.rack),
    ]


def _without_source(job: Job, part: Part) -> Found:
    """Why nothing can give a part: no material serves, or flat bars of its thickness have no room for it."""
    test = serves(job)
    flats = [s for s in _sources(job) if part.is_plate and test(part.material, s.material)]
    return unplaceable(job, part, flats) if flats else (part, "no-source", no_source(job, part), "MATERIAL")


def _sources(job: Job) -> tuple[Source, ...]:
    return (*job.offers, *job.rack)


def _unequal_prices(group: Group, where: Places) -> Iterator[Finding]:
    """Offers that serve the same parts can be compared only if all of them have a price, or none has."""
    unpriced = [offer for offer in group.offers if offer.price is None]
    if unpriced and len(unpriced) < len(group.offers):
        priced = [offer for offer in group.offers if offer.price is not None]
        yield where.at(
            "offers",
            code="prices-missing",
            sentence=(
                f"the sources of {group.name} cannot be compared: {_named(unpriced)} without a price, "
                f"{_named(priced)} with one; price all of them, or none to plan by weight"
            ),
            column="price",
        )


def _named(offers: list[Offer]) -> str:
    return some(f"{offer.id} ({offer.yard})" for offer in offers)


def steep_problems(job: Job, parts: Iterable[Part], where: Places) -> Iterator[Finding]:
    """Parts with a mitre that no saw turns to; whatever they are cut from."""
    for part in parts:
        if job.saws and not any(cuts_angle(saw, part) for saw in job.saws):
            angle = max(part.end_a, part.end_b)
            column = "end_a" if part.end_a == angle else "end_b"
            yield where.part(part, "angle-too-large", _too_steep(job, angle), column)


def _uncuttable(job: Job, group: Group, stocks: list[_Stock], where: Places) -> Iterator[Finding]:
    """Parts that no saw takes, or that are longer than any stick."""
    yield from steep_problems(job, group.parts, where)
    reach = _reach(job, group, stocks)
    for part in group.parts:
        angle = max(part.end_a, part.end_b)
        turning = [saw for saw in job.saws if cuts_angle(saw, part)]
        if not turning:
            continue
        best = reach[part.material].get(tuple(saw.name for saw in turning))
        if best is None:
            side = show_length(part.material.largest_side, job.shop.unit)
            sizes = ", ".join(
                f"{saw.name} takes {show_length(saw.max_size, job.shop.unit)}"
                for saw in turning
                if saw.max_size
            )
            yield where.part(
                part,
                "saw-too-small",
                f"no saw{_turning_words(job, turning, angle)} takes its section of {side} ({sizes}); "
                "add a saw or mend max_size",
            )
        elif part.extent > best[0]:
            yield where.part(part, "too-long", _too_long(job, part, *best), "LENGTH")


def _too_long(job: Job, part: Part, longest: int, source: Offer | RackPiece, saw: Saw) -> str:
    """What the source that comes nearest to holding a part yields, and why not more."""
    needs, has = f"it needs {_shown(job, part.extent)} of bar", f"{source.id}, {_shown(job, source.length)}"
    remedy, carried = "add a longer source, or make the part in two", ""
    limit = haul_limit(job, source) if isinstance(source, Offer) else None
    if isinstance(source, Offer) and limit is not None and limit < source.length:
        carried = f"of which {_shown(job, limit)} can be carried home from {source.yard}, "
        remedy = "have it delivered, mend haul_limit, add another source, or make the part in two"
        if is_too_long(job, source) and not parted_ways(job, source, saw):
            return (
                f"{needs}, but {has}, is longer than the {_shown(job, limit)} that can be carried home from "
                f"{source.yard}, which makes no cuts (cut_charge is blank); write what a cut there costs, have it "
                "delivered, or add another source"
            )
    return (
        f"{needs}, but the longest that can be cut is {_shown(job, max(longest, 0))} (from {has}, {carried}"
        f"after trim and grip of saw {saw.name}); {remedy}"
    )


def _too_steep(job: Job, angle: Decimal) -> str:
    """How far the saws turn, and what the angle is on a scale that counts the other way, if that can be cut."""
    turn = some(
        f"{saw.name} turns to {_degrees(saw.max_angle)}" for saw in job.saws if saw.max_angle is not None
    )
    most = max(saw.max_angle for saw in job.saws if saw.max_angle is not None)
    other = 90 - angle
    slip = f"; {_degrees(angle)} on a scale that counts from the length of the bar is {_degrees(other)} from square"
    return (
        f"no saw turns to its mitre of {_degrees(angle)} degrees from square ({turn}); make it {_degrees(most)} or "
        f"less, or add a saw that turns so far{slip if other <= most else ''}"
    )


def _turning_words(job: Job, turning: list[Saw], angle: Decimal) -> str:
    """Which saws are meant, where some do not turn far enough."""
    return f" that turns to its {_degrees(angle)} degrees" if len(turning) < len(job.saws) else ""


def _degrees(angle: Decimal) -> str:
    return f"{angle.normalize():f}"


_Best = tuple[int, Offer | RackPiece, Saw]


def _reach(
    job: Job, group: Group, stocks: list[_Stock]
) -> dict[Material, dict[tuple[str, ...], _Best | None]]:
    """For each part material, and each set of saws that can turn far enough: the longest piece, from what, on which."""
    test = serves(job)
    found: dict[Material, dict[tuple[str, ...], _Best | None]] = defaultdict(dict)
    for part in group.parts:
        saws = [saw for saw in job.saws if cuts_angle(saw, part)]
        key = tuple(saw.name for saw in saws)
        if key in found[part.material]:
            continue
        ways = [
            (longest_from(job, source, saw), source, saw)
            for source in (stock.source for stock in stocks if test(part.material, stock.material))
            for saw in saws
            if takes(saw, source.material)
        ]
        found[part.material][key] = max(ways, key=lambda w: (w[0], w[1].id, w[2].name), default=None)
    return found


def cuts_angle(saw: Saw, part: Part) -> bool:
    """Whether a saw turns as far as the mitres of a part."""
    return saw.max_angle is None or max(part.end_a, part.end_b) <= saw.max_angle


def _short(job: Job, group: Group, stocks: list[_Stock], where: Places) -> list[Finding]:
    """Limited sources whose usable length cannot hold the parts that only they can give.

    Counts, for a part material and for every length x among its parts: parts of at least x, one kerf each, against
    the usable length of the sticks that yield a piece of x. More parts than that fit in no plan.
    """
    test = serves(job)
    kerf = min(cut_width(job, saw) for saw in job.saws)
    for material in dict.fromkeys(part.material for part in group.parts):
        rooms: list[tuple[int, int, int | None]] = []
        for stock in stocks:
            source = stock.source
            saws = [saw for saw in job.saws if takes(saw, source.material)]
            if saws and test(material, source.material):
                longest = max(longest_from(job, source, saw) for saw in saws)
                room = max(room_from(job, source, saw) for saw in saws)
                rooms.append((longest, room, stock.limit))
        parts = [part for part in group.parts if part.material == material]
        problem = _shortage(job, parts, rooms, kerf)
        if problem is not None:
            return [where.part(problem[0], "not-enough", problem[1], "QTY")]
    return []


def _shortage(
    job: Job, parts: list[Part], rooms: list[tuple[int, int, int | None]], kerf: int
) -> tuple[Part, str] | None:
    rooms = sorted(rooms, key=lambda room: -room[0])
    need = have = at = 0
    counted: list[Part] = []
    for part in sorted(parts, key=lambda part: -part.extent):
        counted.append(part)
        need += job.copies(part) * (part.extent + kerf)
        while at < len(rooms) and rooms[at][0] >= part.extent:
            limit = rooms[at][2]
            if limit is None:
                return None  # every shorter part can come from there too
            have += limit * rooms[at][1]
            at += 1
        if need > have:
            shown = some(each.mark for each in counted)
            return part, (
                f"what is on the rack or limited is not enough: {shown} need {_shown(job, need)} with their kerfs, "
                f"the sticks long enough for them hold {_shown(job, have)}; {_shown(job, need - have)} are missing: "
                "add an offer, or make fewer"
            )
    return None


def _shown(job: Job, ticks: int) -> str:
    """A length, in feet from 12 ft up."""
    return show_length(ticks, job.shop.unit, job.shop.denominator, feet=ticks >= 144 * PER_INCH)
