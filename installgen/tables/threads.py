"""Published threads: pipe threads, flared and straight threads for fuel and oil lines."""

from __future__ import annotations

from dataclasses import dataclass

from installgen.tables.loader import Table, TableRow, load_table

MM_PER_IN = 25.4


@dataclass(frozen=True, kw_only=True)
class NptThread(TableRow):
    """One size of American taper pipe thread; neither its diameter nor a bore is the nominal."""

    nominal: str
    outside_diameter_in: float
    threads_per_inch: float
    hand_tight_pitch_diameter_in: float | None
    hand_tight_length_in: float
    schedule_40_bore_in: float | None
    schedule_80_bore_in: float | None

    @property
    def outside_diameter_mm(self) -> float:
        """Outside diameter of the thread, which is that of its pipe [mm]."""
        return self.outside_diameter_in * MM_PER_IN

    @property
    def typical_bore_mm(self) -> float | None:
        """Bore of the thick-walled pipe that takes this thread [mm]; a fitting's own may differ."""
        bore_in = self.schedule_80_bore_in
        return None if bore_in is None else bore_in * MM_PER_IN


@dataclass(frozen=True, kw_only=True)
class BspThread(TableRow):
    """One size of Whitworth-form pipe thread, parallel or taper."""

    nominal: str
    major_diameter_mm: float
    threads_per_inch: float
    pitch_mm: float
    gauge_length_mm: float | None
    pipe_outside_diameter_mm: float | None
    pipe_wall_mm: float | None

    @property
    def typical_bore_mm(self) -> float | None:
        """Bore of the pipe that takes this thread [mm]; a fitting's own may differ."""
        if self.pipe_outside_diameter_mm is None or self.pipe_wall_mm is None:
            return None
        return self.pipe_outside_diameter_mm - 2 * self.pipe_wall_mm


@dataclass(frozen=True, kw_only=True)
class FlareThread(TableRow):
    """Thread of a 37 degree flared connection by the dash number of its tube."""

    dash: int
    tube_outside_diameter_in: float
    thread: str
    major_diameter_in: float
    threads_per_inch: float


@dataclass(frozen=True, kw_only=True)
class UnifiedThread(TableRow):
    """One unified fine thread."""

    thread: str
    major_diameter_in: float
    threads_per_inch: float


@dataclass(frozen=True, kw_only=True)
class MetricPort(TableRow):
    """One metric port thread."""

    thread: str
    major_diameter_mm: float
    pitch_mm: float


def npt_threads() -> Table[NptThread]:
    """American taper pipe threads by nominal size (ASME B1.20.1)."""
    return load_table("pipe_threads_npt", NptThread)


def bsp_threads() -> Table[BspThread]:
    """Whitworth-form pipe threads by nominal size (ISO 228-1 parallel, ISO 7-1 taper)."""
    return load_table("pipe_threads_bsp", BspThread)


def flare_threads() -> Table[FlareThread]:
    """Threads of 37 degree flared connections by dash number (SAE J514, ISO 8434-2)."""
    return load_table("threads_37_degree", FlareThread)


def unified_threads() -> Table[UnifiedThread]:
    """Unified fine threads (ASME B1.1)."""
    return load_table("threads_unified_fine", UnifiedThread)


def metric_ports() -> Table[MetricPort]:
    """Metric port threads (ISO 6149-1)."""
    return load_table("threads_metric_ports", MetricPort)
