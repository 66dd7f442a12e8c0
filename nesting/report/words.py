"""How the plan speaks: proof, money, weights, lengths and numbers, worded once for terminal, page and
workbook."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import ROUND_CEILING, Decimal

from nesting.job import Job, Part, Shop
from nesting.plan import GroupPlan, Plan
from stock.length import PER_INCH, PER_MM, show_length
from stock.offer import KG_PER_LB

_TENTH = Decimal("0.1")


def proof_words(group: GroupPlan, from_yards: bool = False) -> str:
    """How good the plan of a group is, as one phrase.

    Parameters
    ----------
    group
        Its cost and bound are money, or kilograms if it is unpriced.
    from_yards
        Whether it is said that the yards are taken as chosen (`is_of_yards`).

    Returns
    -------
    str
        A gap is rounded up to a tenth of a percent, so that it is never shown smaller than it is.
    """
    words = _gap_words(group.cost, group.bound.value, "cheaper" if group.priced else "lighter")
    return f"{words}, from the yards chosen" if from_yards and group.priced else words


def is_of_yards(job: Job) -> bool:
    """Whether fees of yards weigh in the choice of what to buy: something is charged, and there is a choice."""
    priced = [offer for offer in job.offers if offer.price is not None]
    selling = {offer.yard for offer in priced}
    charging = [y for y in job.yards if y.name in selling and (y.delivery or y.minimum_order)]
    return any(len(selling) > 1 or (y.delivery and y.haul_limit is not None) for y in charging)


def best_possible_words(plan: Plan) -> str:
    """The answer to "is it the best possible?" in a word or few: "yes" only where nothing is left out of the proof."""
    priced = [group for group in plan.groups if group.priced]
    by_weight = [group for group in plan.groups if not group.priced]
    cost, bound = _judged(plan, priced)
    if cost > bound or not all(group.proved for group in by_weight):
        return "not proved"
    if priced and by_weight:
        return "of what has a price, yes"
    return "but for fees, yes" if _without_fees(plan) else "yes"


def plan_proof_words(plan: Plan) -> str:
    """How good the whole plan is, fees included: proved, or the gap of all that has a price to the bound of the job.

    A plan without any price is judged by weight.
    """
    priced = [group for group in plan.groups if group.priced]
    words = _gap_words(*_judged(plan, priced or plan.groups), "cheaper" if priced else "lighter")
    if priced and len(priced) < len(plan.groups):
        words += ", of the material that has a price"
    if plan.bound is not None and is_of_yards(plan.job):
        words += ", over all choices of yards, fees included"
    if _without_fees(plan):
        words += "; delivery and minimum orders aside"
    return words


def other_words(plan: Plan) -> tuple[tuple[str, str], ...]:
    """Other choices of yards, each with what it costs more: ("all from North", "+ $14.20")."""
    return tuple((other.words, f"+ {money_words(other.more, plan.job.shop)}") for other in plan.others)


def others_heading(plan: Plan) -> str:
    """What stands over the other choices; where rests earn, that it is counted in what those cost more."""
    earns = (
        any(group.credit for group in plan.groups) or plan.job.shop.offcut_share or plan.job.shop.scrap_price
    )
    return "Bought otherwise, counting what is left at its worth" if earns else "Bought otherwise"


def left_words(plan: Plan) -> str:
    """What rests are worth to the plan, beside what is paid; "" if they earn nothing."""
    shop, credit = plan.job.shop, sum((group.credit for group in plan.groups), Decimal(0))
    if not credit:
        return ""
    kept = any(x.keep and x.source_kind == "rack" and x.credit for g in plan.groups for x in g.layouts)
    share = f"{(100 * shop.offcut_share).normalize():f}".replace(".", shop.decimal)
    how = [f"offcuts at {share} % of their price"] if shop.offcut_share else []
    how += ["rack pieces at their value"] if kept else []
    how += ["scrap by weight"] if shop.scrap_price else []
    return f"what is left is worth {money_words(credit, shop)} ({', '.join(how)}), not taken off what is paid"


def blank_cost_of(group: GroupPlan, shop: Shop) -> Decimal:
    """What the handling of a group's blanks counts in its cost; nothing where nothing has a price."""
    number = sum(sheet.times * sheet.handled for sheet in group.sheets)
    return number * shop.blank_cost if group.priced else Decimal(0)


def blanks_words(plan: Plan) -> str:
    """How many blanks the sheets are parted into, and what handling them counts; "" if there are none."""
    shop = plan.job.shop
    number = sum(sheet.times * sheet.handled for group in plan.groups for sheet in group.sheets)
    if not number:
        return ""
    said = f"{counted(number, 'blank')} for the torch bed"
    cost = sum((blank_cost_of(group, shop) for group in plan.groups), Decimal(0))
    return f"{said}: {money_words(cost, shop)} of handling, weighed against steel, not paid" if cost else said


def _judged(plan: Plan, groups: Sequence[GroupPlan]) -> tuple[Decimal, Decimal]:
    """Cost of groups, with the fees if they have prices and the job has a bound, and what nothing can beat."""
    cost = sum((group.cost for group in groups), Decimal(0))
    if plan.bound is not None and groups and groups[0].priced:
        return cost + sum((fee for *_, fee in plan.fees), Decimal(0)), plan.bound
    return cost, sum((min(group.bound.value, group.cost) for group in groups), Decimal(0))


def _without_fees(plan: Plan) -> bool:
    """Whether a plan of before the job had a bound says nothing of its fees, though there was a choice of yards."""
    return plan.bound is None and bool(plan.fees) and len({offer.yard for offer in plan.job.offers}) > 1


def _gap_words(cost: Decimal, bound: Decimal, better: str) -> str:
    if cost <= bound:
        return f"proved: no plan of these rules is {better}"
    if bound <= 0:
        return "not known how near to the best possible"
    percent = ((cost - bound) * 100 / bound).quantize(_TENTH, ROUND_CEILING)
    return f"within {max(percent, _TENTH)} % of the best possible"


def evidence_words(group: GroupPlan) -> str:
    """What stands behind the bound of a group, as one sentence."""
    match group.bound.proof:
        case "duals":
            return "The bound is certified: prices kept with the plan verify it, and the check tried them."
        case "search":
            return "The bound comes from a search: it can be repeated, but the check does not verify it."
        case "none":
            return "No bound was found beyond what the prices kept with the plan verify."


def stopped_words(group: GroupPlan) -> str:
    """Why the search for a group ended, as one sentence."""
    return {
        "proved": "The search ended with a proof.",
        "finished": "The search ended: from the yards bought from, only the rounding of lines to the cent may be left.",
        "settled": "It could be cheaper alone; bought so, it helps to reach a minimum order, and the whole is cheaper.",
        "time limit": "The search ended at its time limit; more time may find a better plan.",
        "work limit": "The search ended at its work limit; more work may find a better plan.",
        "interrupted": "The search was interrupted; this is the best plan found until then.",
    }[group.stopped]


def money_words(amount: Decimal, shop: Shop) -> str:
    """An amount with the shop's currency and decimal mark; two places, up to four if they say something.

    >>> money_words(Decimal("1234.5"), Shop(currency="$"))
    '$1,234.50'
    >>> money_words(Decimal("0.8355"), Shop(currency="EUR", decimal=","))
    'EUR 0,8355'
    """
    places = max(2, len(f"{amount:.4f}".rstrip("0").partition(".")[2]))
    text = f"{amount:,.{places}f}"
    if shop.decimal == ",":
        text = text.translate(str.maketrans(",.", ".,"))
    gap = " " if shop.currency[-1:].isalnum() else ""
    return f"{shop.currency}{gap}{text}"


def shown_weight(kg: float, shop: Shop) -> float:
    """A weight in the unit that the shop reads: pounds in an inch shop, else kilograms."""
    return kg / float(KG_PER_LB) if shop.unit == "in" else kg


def weight_unit(shop: Shop) -> str:
    """The unit of `shown_weight`."""
    return "lb" if shop.unit == "in" else "kg"


def weight_words(kg: float, shop: Shop) -> str:
    """A weight to a tenth, from a hundred up to the whole, in the unit that the shop reads."""
    value = shown_weight(kg, shop)
    text = f"{value:,.0f}" if value >= 100 else f"{value:.1f}"
    if shop.decimal == ",":
        text = text.translate(str.maketrans(",.", ".,"))
    return f"{text} {weight_unit(shop)}"


def bound_words(part: Part) -> str:
    """To what stick a part is bound: "from R1", "together: pair"; "" if to none."""
    said = [f"from {part.source}"] if part.source else []
    return ", ".join([*said, f"together: {part.together}"] if part.together else said)


def length_words(ticks: int, shop: Shop) -> str:
    """The length of a piece or a rest, in the shop's unit: 63 1/2" or 1613 mm."""
    return show_length(ticks, shop.unit, shop.denominator)


def stick_words(ticks: int, shop: Shop) -> str:
    """The length of a stick, in feet where the shop reads inches: 20'."""
    return show_length(ticks, shop.unit, shop.denominator, feet=True).removesuffix(' 0"')


def included_words(plan: Plan) -> str:
    """What the sum to pay holds beside the material, and what rests are worth that it does not take off.

    Parameters
    ----------
    plan
        With prices.
    """
    charged = [("yard cuts", any(group.charges for group in plan.groups)), ("fees", bool(plan.fees))]
    what = " and ".join(name for name, is_due in charged if is_due)
    credit = sum((group.credit for group in plan.groups), Decimal(0))
    worth = f"; rests are worth {money_words(credit, plan.job.shop)}" if credit else ""
    return (f"{what} included" if what else "material only") + worth


def part_of_stick_words(length: int, asked: int | None, shop: Shop) -> str:
    """How long a stick is; of a segment that the yard cuts, what it is asked for and what that counts as.

    >>> part_of_stick_words(240 * PER_INCH, None, Shop())
    "20'"
    >>> print(part_of_stick_words(523 * PER_INCH // 4, 131 * PER_INCH, Shop()))
    a segment of 10' 11", counted as 10' 10 3/4",
    """
    if asked is None:
        return stick_words(length, shop)
    counts = "" if asked == length else f", counted as {stick_words(length, shop)},"
    return f"a segment of {stick_words(asked, shop)}{counts}"


def area_words(ticks2: int, shop: Shop) -> str:
    """An area, from square ticks: square feet or square metres.

    >>> area_words(2 * (1000 * PER_MM) ** 2, Shop(unit="mm", decimal=","))
    '2,00 m²'
    """
    if shop.unit == "in":
        text, unit = f"{ticks2 / (12 * PER_INCH) ** 2:,.1f}", "sq ft"
    else:
        text, unit = f"{ticks2 / (1000 * PER_MM) ** 2:,.2f}", "m²"
    if shop.decimal == ",":
        text = text.translate(str.maketrans(",.", ".,"))
    return f"{text} {unit}"


def size_words(length: int, width: int, shop: Shop) -> str:
    """A length by a width: 48" × 24" or 3000 × 1500 mm."""
    return f"{length_words(length, shop).removesuffix(' mm')} × {length_words(width, shop)}"


def slack_words(slack: int | None, shop: Shop) -> str:
    """How much thicker a kerf may be, rounded down to what the shop's rule shows; "any" if no kerf counts."""
    if slack is None:
        return "any"
    finest = PER_INCH // shop.denominator if shop.unit == "in" else PER_MM // 10
    return length_words(slack // finest * finest, shop)


def number_words(runs: Iterable[tuple[int, int]]) -> str:
    """Stick numbers, each run given as first number and how many, with runs that touch joined.

    >>> number_words([(1, 3), (4, 1), (9, 1), (11, 2)])
    '1–4, 9, 11–12'
    >>> number_words([])
    ''
    """
    joined: list[list[int]] = []
    for first, count in sorted(runs):
        if joined and joined[-1][1] >= first - 1:
            joined[-1][1] = max(joined[-1][1], first + count - 1)
        else:
            joined.append([first, first + count - 1])
    return ", ".join(f"{first}–{last}" if last > first else f"{first}" for first, last in joined)


def numbered(what: str, runs: Iterable[tuple[int, int]]) -> str:
    """Numbers of sticks or sheets with their noun; "" if there are none.

    >>> numbered("stick", [(3, 1), (3, 1)]), numbered("sheet", [(1, 3)]), numbered("sheet", [])
    ('stick 3', 'sheets 1–3', '')
    """
    found = set(runs)
    several = len(found) > 1 or any(count > 1 for _, count in found)
    return f"{what}{'s' if several else ''} {number_words(found)}" if found else ""


def goods_words(sticks: int, sheets: int) -> str:
    """How many sticks and sheets: 2 sticks, 1 sheet; sticks are left out if there are only sheets, and so the other
    way round.

    >>> goods_words(2, 1), goods_words(0, 3), goods_words(0, 0)
    ('2 sticks, 1 sheet', '3 sheets', '0 sticks')
    """
    said = [counted(sticks, "stick")] if sticks or not sheets else []
    return ", ".join([*said, counted(sheets, "sheet")] if sheets else said)


def counted(count: int, one: str, many: str = "") -> str:
    """A count with its noun: 1 stick, 3 sticks."""
    return f"{count:,} {one if count == 1 else many or one + 's'}"
