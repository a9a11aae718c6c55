"""Maintenance by hours and months: of an engine sheet, and of a yard's standard."""

from __future__ import annotations

import re
from typing import Annotated, Literal, Self, TypeAlias

from pydantic import Field, model_validator

from installgen.spec.electrical import OptionalEntry
from installgen.spec.entry import Entry
from installgen.spec.piping import refuse
from installgen.spec.texts import Checked, Name, refused

INTERVAL = re.compile(
    r"daily|[1-9]\d{0,4} h|(1 month|[1-9]\d{0,2} months)"
    r"|[1-9]\d{0,4} h or (1 month|[1-9]\d{0,2} months)"
)

Topic: TypeAlias = Literal[
    "emergencies", "starting", "running", "stopping", "bleeding", "lay-up", "maintenance"
]
"""What our steps tell of, and the engine maker's documents too."""


def _interval(value: str) -> None:
    if not INTERVAL.fullmatch(value):
        raise refused(
            f"`{value[:60]}`",
            "`daily`, hours, months, or whichever comes first",
            "`250 h or 12 months`",
        )


Interval: TypeAlias = Annotated[str, Checked(_interval, 30, f"^({INTERVAL.pattern})$")]
"""How often something is done: `daily`, `250 h`, `12 months`, `250 h or 12 months`."""


class Task(Entry):
    """What every maintenance task says of itself."""

    task: str = Field(description="What is done, as an instruction with its full stop.")
    every: Interval = Field(
        description="How often, such as `250 h or 12 months`, whichever comes first; `daily`, "
        "`250 h` or `12 months` alone."
    )
    signal: Literal["danger", "warning", "caution", "notice"] | None = Field(
        None, description="Signal word of the caution, by what the hazard can do."
    )
    caution: str = Field("", description="What can hurt someone at this task.")

    @model_validator(mode="after")
    def _caution_has_its_word(self) -> Self:
        if bool(self.caution) != (self.signal is not None):
            refuse("one of `signal` and `caution`", "both, or neither")
        return self


class MaintenanceTask(Task, OptionalEntry):
    """A maintenance task of the engine."""

    id: Name = Field(description="Short name of the task.")
    of: Name | None = Field(
        None,
        description="The part it is done on, by its id such as `front-belt`; it "
        "goes with the part.",
    )
    first: Interval | None = Field(
        None, description="Once this early on a new engine, such as `50 h`."
    )
    document: str = Field("", description="Number of the engine maker's document that tells how.")
    pages: str = Field("", description="Its pages.")


class YardTask(Task):
    """A maintenance task that the yard asks for wherever such a part is fitted."""

    of: Literal[
        "seacock",
        "strainer",
        "vented-loop",
        "shaft-seal",
        "exhaust-hose",
        "battery",
        "isolator",
        "fuel-tank",
        "water-separator",
        "gear",
        "control-cable",
        "hull-opening",
        "fire-extinguisher",
        "bilge-pump",
    ] = Field(description="Kind of part it is done on.")
