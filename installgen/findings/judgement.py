"""One subject against one limit: the verdict, the margin, the text that determines it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from installgen.analysis.results import Book, Missing, Result, Value
from installgen.findings.finding import Place, Sense, Verdict
from installgen.spec.entry import Choose, Entry, Unknown
from installgen.units import (
    Pressure,
    PressureDifference,
    Quantity,
    Temperature,
    TemperatureDifference,
)

DUST = 1e-9
"""Share of a limit by which binary arithmetic may miss it."""


@dataclass(frozen=True)
class About:
    """What a judgement is about.

    subject: the entry, as registers name it
    name: what a person calls it
    at: entries and fields whose text determines it, the most telling first
    """

    subject: str
    name: str
    at: tuple[tuple[Entry | None, str], ...] = ()
    engine: str = ""
    case: str = ""

    @property
    def places(self) -> tuple[Place, ...]:
        """Where those texts stand."""
        found = [
            Place(entry.path_to(field), entry.where(field))
            for entry, field in self.at
            if entry is not None
        ]
        return tuple(dict.fromkeys(found))


@dataclass(frozen=True)
class Judgement:
    """What a check says of one subject; the rule's side is added later."""

    verdict: Verdict
    about: About
    figure: Value | None = None
    limit: Value | None = None
    sense: Sense = "is"
    margin: Quantity | None = None
    margin_share: float | None = None
    reason: str = ""
    missing: tuple[Missing, ...] = ()
    results: tuple[str, ...] = ()
    assumed: bool = False

    def because(self, reason: str) -> Judgement:
        """The same with a sentence for the reader."""
        return replace(self, reason=reason)


def at_most(figure: Value, limit: Value, about: About, reason: str = "") -> Judgement:
    """A figure that may not be above its limit."""
    return _against(figure, limit, "at most", about, reason)


def at_least(figure: Value, limit: Value, about: About, reason: str = "") -> Judgement:
    """A figure that may not be below its limit."""
    return _against(figure, limit, "at least", about, reason)


def _against(figure: Value, limit: Value, sense: Sense, about: About, reason: str) -> Judgement:
    found, allowed = _number(figure), _number(limit)
    room = allowed - found if sense == "at most" else found - allowed
    verdict: Verdict = "pass" if room >= -DUST * abs(allowed) else "fail"
    share = room / abs(allowed) if allowed else None
    return Judgement(verdict, about, figure, limit, sense, _difference(limit, room), share, reason)


def _number(value: Value) -> float:
    if isinstance(value, Quantity):
        return value.value
    if isinstance(value, int | float):
        return float(value)
    raise TypeError(f"{value!r} is not a number")


def _difference(like: Value, amount: float) -> Quantity | None:
    """An amount in the kind of quantity that a difference of these is."""
    if isinstance(like, Temperature):
        return TemperatureDifference(amount)
    if isinstance(like, Pressure):
        return PressureDifference(amount)
    return type(like)(amount) if isinstance(like, Quantity) else None


def holds(ok: bool, found: str, expected: str, about: About, reason: str = "") -> Judgement:
    """Something that is as it has to be, or is not; both in words."""
    return Judgement("pass" if ok else "fail", about, found, expected, "is", reason=reason)


def with_care(found: str, expected: str, about: About, reason: str = "") -> Judgement:
    """Something that holds, but somebody should look at it."""
    return Judgement("caution", about, found, expected, "is", reason=reason)


def not_assessed(about: About, reason: str, missing: Iterable[Missing] = ()) -> Judgement:
    """Something that cannot be judged."""
    return Judgement("not assessed", about, reason=reason, missing=tuple(missing))


def lacking(about: About, entry: Entry | None, field: str, what: str = "") -> Judgement:
    """A field without which nothing can be judged: left out, `unknown`, or a list that lacks it."""
    named = what
    what = what or field.rstrip("_").replace("_", " ")
    if entry is None:
        return not_assessed(about, f"{what} is not given", [Missing(what, None, what)])
    path = entry.path_to(field)
    value = getattr(entry, field, None)
    word = f"is `{value}`" if isinstance(value, Unknown | Choose) else "is not given"
    if isinstance(value, tuple) and named:
        word = f"lacks {named}"
    return not_assessed(about, f"`{path}` {word}", [Missing(path, entry.where(field), what)])


def figure_of(book: Book, result_id: str, about: About) -> Value | Judgement:
    """The value of a result or, where there is none, the judgement that nothing can be said."""
    result = book.get(result_id)
    if result is None:
        places = about.places
        missing = [Missing(p.path, p.position, about.name) for p in places[:1]]
        return not_assessed(about, "it is not computed", missing)
    if result.value is None:
        return _not_assessed_result(result, about)
    return result.value


def _not_assessed_result(result: Result, about: About) -> Judgement:
    found = not_assessed(about, result.not_assessed, result.missing)
    return replace(found, results=(result.id,))


def result_at_most(book: Book, result_id: str, limit: Value, about: About) -> Judgement:
    """A result that may not be above its limit."""
    return _result_against(book, result_id, limit, "at most", about)


def result_at_least(book: Book, result_id: str, limit: Value, about: About) -> Judgement:
    """A result that may not be below its limit."""
    return _result_against(book, result_id, limit, "at least", about)


def result_against_result(
    book: Book, result_id: str, sense: Sense, limit_id: str, about: About
) -> Judgement:
    """A result whose limit is itself computed; it rests on both."""
    limit = figure_of(book, limit_id, about)
    if isinstance(limit, Judgement):
        return limit
    found = _result_against(book, result_id, limit, sense, about)
    if found.figure is None:
        return found
    assumed = found.assumed or book[limit_id].assumed
    return replace(found, results=(*found.results, limit_id), assumed=assumed)


def _result_against(
    book: Book, result_id: str, limit: Value, sense: Sense, about: About
) -> Judgement:
    value = figure_of(book, result_id, about)
    if isinstance(value, Judgement):
        return value
    result = book[result_id]
    about = replace(about, case=about.case or result.case, engine=about.engine or result.engine)
    found = _against(value, limit, sense, about, "")
    return replace(found, results=(result_id,), assumed=result.assumed)


def result_is(book: Book, result_id: str, allowed: Sequence[str], about: About) -> Judgement:
    """A result in words that has to be one of these."""
    value = figure_of(book, result_id, about)
    if isinstance(value, Judgement):
        return value
    result = book[result_id]
    found = holds(str(value) in allowed, str(value), " or ".join(allowed), about)
    return replace(found, results=(result_id,), assumed=result.assumed)


def worst(judgements: Iterable[Judgement]) -> Judgement | None:
    """The one that counts of several on one subject: one that fails, then one not assessed.

    Of figures the one with the least margin. Nothing where there is none.
    """
    found = list(judgements)
    if not found:
        return None
    return min(found, key=_weight)


_WEIGHT: dict[Verdict, int] = {"fail": 0, "not assessed": 1, "caution": 2, "pass": 3}


def _weight(judgement: Judgement) -> tuple[int, float, float]:
    """A limit of zero has no share: there the margins themselves are compared."""
    share, margin = judgement.margin_share, judgement.margin
    return (
        _WEIGHT[judgement.verdict],
        float("inf") if share is None else share,
        float("inf") if margin is None else margin.value,
    )
