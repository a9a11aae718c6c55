"""Which result a person means who does not know its id by heart."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from installgen.analysis.results import Book, Result
from installgen.findings.finding import Finding

MOST_LISTED = 40


@dataclass(frozen=True)
class Meant:
    """The results that may be meant, in the order in which they were computed.

    findings: what was named, where it was a check or a finding and not a result
    """

    results: tuple[Result, ...]
    findings: tuple[Finding, ...] = ()


def results_meant(book: Book, findings: Iterable[Finding], asked: Sequence[str]) -> Meant:
    """The results behind an id, a check, a finding, or the words of a result's id or name.

    asked: one or several words; all of them have to be there
    """
    text = " ".join(asked).strip()
    if text in book:
        return Meant((book[text],))
    named = tuple(f for f in findings if text in (f.id, f.check, f.id.partition("/")[0]))
    if named:
        behind = {result: None for finding in named for result in finding.results}
        return Meant(tuple(book[result] for result in behind if result in book), named)
    words = [word for word in re.split(r"[\s/]+", text.casefold()) if word]
    found = [r for r in book.values() if words and all(word in _said(r) for word in words)]
    whole = [r for r in found if all(word in _parts(r) for word in words)]
    return Meant(tuple(whole or found))


def _said(result: Result) -> str:
    return f"{result.id} {result.name} {result.case} {result.subject}".casefold()


def _parts(result: Result) -> set[str]:
    """The words of an id and a name, and the id's parts between full stops."""
    return {*re.split(r"[^\w-]+", _said(result)), *result.id.casefold().split(".")}
