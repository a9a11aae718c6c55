"""Dates that specs give: a day, or a whole month."""

from __future__ import annotations

import calendar
from datetime import date


def last_day(text: str) -> date:
    """The last day that `2027-03-31` or `2027-03` covers. Raises ValueError for anything else."""
    parts = [int(part) for part in text.split("-")]
    if len(parts) == 2:
        year, month = parts
        return date(year, month, calendar.monthrange(year, month)[1])
    return date.fromisoformat(text)
