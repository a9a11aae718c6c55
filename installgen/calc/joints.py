"""Whether two ends of a pipe run fit each other, and with which adapters."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from installgen.calc.ends import PIPE_THREADS, End, EndKind, Gender, HoseLimits
from installgen.errors import OutOfRange


class FitVerdict(StrEnum):
    """How two ends go together."""

    DIRECT = "fits directly"
    ADAPTER = "fits with an adapter"
    NONE = "does not fit"


class Sealing(StrEnum):
    """What makes a direct joint tight."""

    CLAMPS = "hose clamps"
    SEALANT = "sealant on the taper thread"
    WASHER = "washer or O-ring on a face"
    FLARE = "metal flare seat"
    GASKET = "gasket"
    ONE_LENGTH = "one length of hose, or a plain hose joint"


class Misfit(StrEnum):
    """Why two ends do not go together as they are."""

    HOSE_TOO_LARGE = "the hose is too large for the spigot"
    HOSE_TOO_SMALL = "the hose is too small for the spigot"
    HOSES_DIFFER = "the hoses differ in bore"
    TWO_SPIGOTS = "two spigots need a hose between them"
    NO_SPIGOT = "a hose needs a spigot to go on"
    SIZES_DIFFER = "the sizes differ"
    SAME_GENDER = "both ends are of the same gender"
    THREADS_DIFFER = "the thread forms differ"
    LOOK_ALIKE = "the threads start into each other but differ in form and leak"
    PARALLEL_IN_TAPER = "a parallel male thread does not seal in a taper female thread"
    SEATS_DIFFER = "same thread, but one seals on a flare and the other does not"
    FACES_DIFFER = "the flanges differ"
    MADE_FACE = "a flat face takes only its own counterpart"


class Caution(StrEnum):
    """What to look at in a joint that fits."""

    TAPER_IN_PARALLEL = "tight only where the female thread is a jointing thread (ISO 7 Rp)"
    SEAL_NOT_STATED = "how this thread seals, washer or O-ring, is not stated"
    BORE_NARROWS = "the clear bore is smaller than the hose's"


class AdapterKind(StrEnum):
    """Trade names of what joins two unlike ends."""

    REDUCING_HOSE_JOINT = "reducing hose joint"
    HOSE_LENGTH = "short length of hose"
    REDUCING_HOSE = "reducing hose"
    HOSE_BARB = "hose barb"
    FLANGED_SPIGOT = "flanged spigot"
    NIPPLE = "nipple"
    SOCKET = "socket"
    REDUCING_ADAPTER = "reducing thread adapter"
    THREAD_ADAPTER = "thread adapter"
    THREADED_FLANGE = "threaded flange"
    FLANGE_ADAPTER = "flange adapter"


_SEALING = {
    EndKind.NPT: Sealing.SEALANT,
    EndKind.BSPT: Sealing.SEALANT,
    EndKind.BSPP: Sealing.WASHER,
    EndKind.UNF: Sealing.WASHER,
    EndKind.METRIC: Sealing.WASHER,
    EndKind.JIC: Sealing.FLARE,
}


@dataclass(frozen=True)
class Adapter:
    """One part to buy or make, with the ends it has.

    kind: what it is
    first, second: its own two ends, by name
    """

    kind: AdapterKind
    first: str
    second: str = ""

    @property
    def name(self) -> str:
        """As it is asked for over a counter."""
        if self.kind in (AdapterKind.REDUCING_HOSE_JOINT, AdapterKind.REDUCING_HOSE):
            return f"{self.kind} {self.first} to {self.second}"
        if not self.second:
            return f"{self.kind} {self.first}"
        return f"{self.kind} {self.first} × {self.second}"


@dataclass(frozen=True)
class Fit:
    """How two ends go together.

    sealing: of a direct joint
    misfit: why it is not direct
    adapters: what joins them, in order from the first end to the second
    cautions: what to look at
    clear_bore_mm: smallest bore of the two ends, none where one is not known [mm]
    """

    verdict: FitVerdict
    sealing: Sealing | None = None
    misfit: Misfit | None = None
    adapters: tuple[Adapter, ...] = ()
    cautions: tuple[Caution, ...] = ()
    clear_bore_mm: float | None = None


@dataclass(frozen=True)
class Piece:
    """One piece of a route with its two ends, in the direction of flow."""

    name: str
    inlet: End
    outlet: End


@dataclass(frozen=True)
class Joint:
    """Where one piece ends and the next begins."""

    upstream: str
    downstream: str
    fit: Fit


def fit(first: End, second: End, hose_limits: HoseLimits) -> Fit:
    """How two ends go together.

    first: end of the piece upstream
    second: end of the piece downstream
    hose_limits: how loose and how tight a hose may sit on a spigot
    Returns the verdict with sealing or misfit, the adapters by name, cautions, and clear bore.
    Source: common practice; ISO 7-1 and ISO 228-1 for which pipe threads joint together.
    """
    ends = (first, second)
    kinds = {first.kind, second.kind}
    if EndKind.FLAT_FACE in kinds:
        found = _flat_faces(first, second)
    elif kinds <= {EndKind.HOSE, EndKind.HOSE_SPIGOT}:
        found = _hoses(first, second, hose_limits)
    elif kinds & {EndKind.HOSE, EndKind.HOSE_SPIGOT}:
        found = _hose_to_fitting(first, second)
    elif EndKind.FLANGE in kinds:
        found = _flanges(first, second)
    else:
        found = _threads(first, second)
    return _with_bore(found, ends)


def route_joints(route: Sequence[Piece], hose_limits: HoseLimits) -> tuple[Joint, ...]:
    """Every joint of a route, piece after piece.

    route: pieces in the order in which the water or fuel takes them
    hose_limits: how loose and how tight a hose may sit on a spigot
    Returns one joint fewer than there are pieces.
    """
    return tuple(
        Joint(a.name, b.name, fit(a.outlet, b.inlet, hose_limits)) for a, b in pairwise(route)
    )


def left_out(route: Sequence[Piece], name: str) -> tuple[Piece, ...]:
    """A route without one of its pieces, its neighbours joined again.

    route: pieces in order
    name: of the piece left out
    Returns the shorter route. Raises OutOfRange when there is no such piece.
    """
    if name not in [piece.name for piece in route]:
        names = ", ".join(piece.name for piece in route)
        raise OutOfRange("the piece left out", name, names or "no pieces")
    return tuple(piece for piece in route if piece.name != name)


def adapters_needed(joints: Sequence[Joint]) -> tuple[Adapter, ...]:
    """Every adapter of a route, in order, as often as it is needed.

    joints: of the route, in order
    Returns the adapters.
    """
    return tuple(adapter for joint in joints for adapter in joint.fit.adapters)


def _with_bore(found: Fit, ends: tuple[End, End]) -> Fit:
    bores = [end.clear_bore_mm for end in ends]
    known = [bore for bore in bores if bore is not None]
    clear = min(known) if len(known) == len(bores) else None
    hoses = [end.diameter_mm for end in ends if end.kind is EndKind.HOSE and end.diameter_mm]
    cautions = found.cautions
    if clear is not None and hoses and clear < min(hoses):
        cautions = (*cautions, Caution.BORE_NARROWS)
    return Fit(found.verdict, found.sealing, found.misfit, found.adapters, cautions, clear)


def _direct(sealing: Sealing, *cautions: Caution) -> Fit:
    return Fit(FitVerdict.DIRECT, sealing=sealing, cautions=cautions)


def _adapted(misfit: Misfit, *adapters: Adapter) -> Fit:
    return Fit(FitVerdict.ADAPTER, misfit=misfit, adapters=adapters)


def _refused(misfit: Misfit) -> Fit:
    return Fit(FitVerdict.NONE, misfit=misfit)


def _diameter(end: End) -> float:
    assert end.diameter_mm is not None  # a hose or spigot has one, End sees to it
    return end.diameter_mm


def _looseness(hose_mm: float, spigot_mm: float, limits: HoseLimits) -> Misfit | None:
    if hose_mm - spigot_mm > limits.clearance_max_mm(spigot_mm):
        return Misfit.HOSE_TOO_LARGE
    if spigot_mm - hose_mm > limits.stretch_max_ratio * hose_mm:
        return Misfit.HOSE_TOO_SMALL
    return None


def _larger_first(first: End, second: End) -> tuple[str, str]:
    larger, smaller = sorted((first, second), key=_diameter, reverse=True)
    return larger.size, smaller.size


def _hoses(first: End, second: End, limits: HoseLimits) -> Fit:
    if first.kind is not second.kind:
        hose, spigot = (first, second) if first.kind is EndKind.HOSE else (second, first)
        misfit = _looseness(_diameter(hose), _diameter(spigot), limits)
        if misfit is None:
            return _direct(Sealing.CLAMPS)
        names = _larger_first(first, second)
        return _adapted(misfit, Adapter(AdapterKind.REDUCING_HOSE_JOINT, *names))
    smaller, larger = sorted((_diameter(first), _diameter(second)))
    same = _looseness(larger, smaller, limits) is None
    if first.kind is EndKind.HOSE:
        if same:
            return _direct(Sealing.ONE_LENGTH)
        names = _larger_first(first, second)
        return _adapted(Misfit.HOSES_DIFFER, Adapter(AdapterKind.REDUCING_HOSE_JOINT, *names))
    if same:
        return _adapted(Misfit.TWO_SPIGOTS, Adapter(AdapterKind.HOSE_LENGTH, first.size))
    names = _larger_first(first, second)
    return _adapted(Misfit.TWO_SPIGOTS, Adapter(AdapterKind.REDUCING_HOSE, *names))


def _hose_to_fitting(first: End, second: End) -> Fit:
    first_is_hose = first.kind in (EndKind.HOSE, EndKind.HOSE_SPIGOT)
    soft, hard = (first, second) if first_is_hose else (second, first)
    if hard.kind is EndKind.FLANGE:
        tail = Adapter(AdapterKind.FLANGED_SPIGOT, hard.name, f"{soft.size} spigot")
    else:
        tail = Adapter(AdapterKind.HOSE_BARB, _counterpart(hard), f"{soft.size} spigot")
    if soft.kind is EndKind.HOSE:
        return _adapted(Misfit.NO_SPIGOT, tail)
    length = Adapter(AdapterKind.HOSE_LENGTH, soft.size)
    in_order = (length, tail) if first_is_hose else (tail, length)
    return _adapted(Misfit.TWO_SPIGOTS, *in_order)


def _flat_faces(first: End, second: End) -> Fit:
    if first.kind is second.kind and first.size == second.size:
        return _direct(Sealing.GASKET)
    return _refused(Misfit.MADE_FACE)


def _flanges(first: End, second: End) -> Fit:
    if first.kind is second.kind:
        if first.size == second.size:
            return _direct(Sealing.GASKET)
        return _adapted(
            Misfit.FACES_DIFFER, Adapter(AdapterKind.FLANGE_ADAPTER, first.size, second.size)
        )
    flange, thread = (first, second) if first.kind is EndKind.FLANGE else (second, first)
    return _adapted(
        Misfit.FACES_DIFFER,
        Adapter(AdapterKind.THREADED_FLANGE, flange.size, _counterpart(thread)),
    )


def _threads(first: End, second: End) -> Fit:
    if first.kind is second.kind:
        return _like_threads(first, second)
    same_thread = _thread(first) == _thread(second)
    if {first.kind, second.kind} == {EndKind.BSPP, EndKind.BSPT} and same_thread:
        return _parallel_and_taper(first, second)
    if {first.kind, second.kind} == {EndKind.JIC, EndKind.UNF} and same_thread:
        return _adapted(Misfit.SEATS_DIFFER, _thread_adapter(first, second))
    both_pipe = {first.kind, second.kind} <= PIPE_THREADS
    misfit = Misfit.LOOK_ALIKE if both_pipe and same_thread else Misfit.THREADS_DIFFER
    return _adapted(misfit, _thread_adapter(first, second))


def _like_threads(first: End, second: End) -> Fit:
    if _thread(first) != _thread(second):
        return _adapted(
            Misfit.SIZES_DIFFER,
            Adapter(AdapterKind.REDUCING_ADAPTER, _counterpart(first), _counterpart(second)),
        )
    if first.gender is second.gender:
        female = first.gender is Gender.FEMALE
        kind = AdapterKind.NIPPLE if female else AdapterKind.SOCKET
        return _adapted(Misfit.SAME_GENDER, Adapter(kind, f"{first.size} {first.kind}"))
    sealing = _SEALING[first.kind]
    if first.kind in (EndKind.UNF, EndKind.METRIC):
        return _direct(sealing, Caution.SEAL_NOT_STATED)
    return _direct(sealing)


def _parallel_and_taper(first: End, second: End) -> Fit:
    if first.gender is second.gender:
        return _adapted(Misfit.SAME_GENDER, _thread_adapter(first, second))
    male = first if first.gender is Gender.MALE else second
    if male.kind is EndKind.BSPT:
        return _direct(Sealing.SEALANT, Caution.TAPER_IN_PARALLEL)
    return _adapted(Misfit.PARALLEL_IN_TAPER, _thread_adapter(first, second))


def _thread(end: End) -> str:
    return (end.thread or end.size).replace(" ", "").removesuffix("in").casefold()


def _counterpart(end: End) -> str:
    if end.gender is None:
        return end.name
    return f"{end.size} {end.kind} {end.gender.opposite}"


def _thread_adapter(first: End, second: End) -> Adapter:
    return Adapter(AdapterKind.THREAD_ADAPTER, _counterpart(first), _counterpart(second))
