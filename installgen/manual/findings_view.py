"""What the pages need to know of a finding, whoever made it."""

from __future__ import annotations

from typing import Literal, Protocol

from installgen.errors import Position
from installgen.manual.blocks import VerdictKind

Severity = Literal["must", "should", "advice"]
SEVERITIES: tuple[Severity, ...] = ("must", "should", "advice")


class FindingView(Protocol):
    """A judgement of one thing by one rule of the standard.

    title: what was judged, in a few words
    result: id of the result that was judged; empty where a field was
    limit, margin: as printed, in both systems of units
    path, position: where the text stands that decides it
    cure: what would clear it; empty where nothing is known to
    clause: what the rule rests on
    exempted: the reason of a valid exemption; empty where there is none
    """

    @property
    def rule(self) -> str: ...
    @property
    def severity(self) -> Severity: ...
    @property
    def verdict(self) -> VerdictKind: ...
    @property
    def title(self) -> str: ...
    @property
    def result(self) -> str: ...
    @property
    def limit(self) -> str: ...
    @property
    def margin(self) -> str: ...
    @property
    def path(self) -> str: ...
    @property
    def position(self) -> Position | None: ...
    @property
    def cure(self) -> str: ...
    @property
    def clause(self) -> str: ...
    @property
    def exempted(self) -> str: ...
