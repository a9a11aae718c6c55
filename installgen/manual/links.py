"""Addresses: where a page and a place on it are found, in whatever the manual is published as.

The anchor of a thing is its id in the analysis, on every page: a step or joint of a raw-water route
(`engine.raw-water.after-strainer`), a part or line of a circuit (`engine.lift-pump`,
`fuel-tank`), a connection point (`engine.fuel-supply`), a device (`engine.starter`), a
conductor (`S1`, `engine.W1`), a result on its calculations page.
"""

from __future__ import annotations

import posixpath
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Protocol
from urllib.parse import quote

from installgen.analysis.results import Result, SystemName
from installgen.manual.blocks import Target

HOME = "index"
EMERGENCIES = "emergencies"
STARTING = "starting"
BLEEDING = "bleeding"
LAY_UP = "lay-up"
MAINTENANCE = "maintenance"
OWNER = "owner"
PAPERS = "papers"
INSTALLER = "installer"
CUT_LIST = "install-cut-list"
RATING = "rating"
CONNECTIONS = "connections"
RAW_WATER = "raw-water"
COOLANT = "coolant"
LUBRICATION = "lubrication"
FUEL = "fuel"
AIR = "air"
DC_POWER = "dc-power"
START_RUN_STOP = "start-run-stop"
SEQUENCE = "sequence"
READINGS = "readings"
FAULTS = "faults"
CONDUCTORS = "conductors"
FLUIDS = "fluids"
DRIVELINE = "driveline"
PARTS = "parts"
CALCULATIONS = "calculations"
NOT_ASSESSED = "not-assessed"
FINDINGS = "findings"
HISTORY = "history"

CHECKS = "checks"
RULES_BY_VESSEL = "rules-by-vessel"

OPENINGS = "openings"
"""Anchor of the register of hull openings, on the page of the raw water."""

CIRCUIT_PAGES = {
    "coolant": COOLANT,
    "oil": LUBRICATION,
    "crankcase-vent": LUBRICATION,
    "fuel": FUEL,
}
"""The page of each fluid's circuit."""


def calculations_page(system: SystemName) -> str:
    """Id of the page that carries a system's workings."""
    return f"{CALCULATIONS}-{system}"


def standard_page_id(standard_id: str) -> str:
    """Id of the yard's page of a standard."""
    return f"standard-{standard_id}"


def working_of(result: Result) -> Target:
    """Where a result's working stands."""
    return Target(calculations_page(result.system), result.id)


class Links(Protocol):
    """How addresses are written in one kind of publication."""

    def href(self, target: Target) -> str:
        """The address of a place, from where it is written."""

    def anchor(self, name: str) -> str:
        """The id that a place of the page being written gets."""


@dataclass(frozen=True)
class PageLinks:
    """Addresses between the pages of a site.

    here: id of the page being written
    addresses: for each page id, its file below the site's root, such as `vessels/tern/fuel.html`
    """

    here: str
    addresses: Mapping[str, str]

    def href(self, target: Target) -> str:
        """Relative, so that the site works from any folder. KeyError without such a page."""
        fragment = f"#{quoted(target.anchor)}" if target.anchor else ""
        if target.page == self.here and fragment:
            return fragment
        return _way(self.addresses[self.here], self.addresses[target.page]) + fragment

    def anchor(self, name: str) -> str:
        """As it is: ids are unique on a page."""
        return name


SAFE = "/:+-_.~"


@lru_cache(maxsize=100_000)
def quoted(text: str) -> str:
    """A text as part of an address."""
    return quote(text, safe=SAFE)


@lru_cache(maxsize=20_000)
def _way(here: str, there: str) -> str:
    """The address of one file of a site from another one."""
    return quoted(posixpath.relpath(there, posixpath.dirname(here) or "."))


@dataclass(frozen=True)
class DocumentLinks:
    """Addresses within one document that holds every page.

    here: id of the page being written
    pages: ids of all of them
    """

    here: str
    pages: frozenset[str]

    def href(self, target: Target) -> str:
        """A fragment. KeyError without such a page."""
        if target.page not in self.pages:
            raise KeyError(target.page)
        return f"#{quoted(place_in_document(target.page, target.anchor))}"

    def anchor(self, name: str) -> str:
        """With its page before it: ids are unique on a page only."""
        return place_in_document(self.here, name)


def place_in_document(page: str, anchor: str = "") -> str:
    """The id that a page, or a place on it, gets in a document that holds every page."""
    return f"{page}--{anchor}" if anchor else page
