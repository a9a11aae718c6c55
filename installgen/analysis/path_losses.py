"""What each piece of a path takes of its voltage: conductor, fuse, switch, pin, contact, diode."""

from __future__ import annotations

from dataclasses import dataclass

from installgen.analysis.dc_model import DcModel, WireEnd
from installgen.analysis.dc_paths import Wiring
from installgen.analysis.dc_solved import SolvedCase
from installgen.spec.electrical import Conductor, DeviceBase
from installgen.spec.entry import Entry


@dataclass(frozen=True)
class PieceLoss:
    """One piece of the way from a source to a load and back.

    element: a conductor's name in the analysis, or the device's id
    wire: the conductor; nothing where the piece is a device or a link
    lost_v: along it, a conductor's own joints with it [V]
    """

    element: str
    entry: Entry
    wire: WireEnd | None
    lost_v: float

    @property
    def name(self) -> str:
        """As a sentence names it: `D2`, `House main fuse`."""
        if isinstance(self.entry, DeviceBase):
            return self.entry.title
        return self.entry.label if isinstance(self.entry, Conductor) else self.element


def path_losses(model: DcModel, found: SolvedCase, plus: str, minus: str) -> list[PieceLoss]:
    """The pieces between a load's two nodes and the poles of its battery, from the load on.

    plus, minus: the load's nodes
    Returns each piece once; one without a closed way to a pole is left out.
    """
    wiring = Wiring(found)
    wires = {end.element: end for end in model.wires()}
    lost: dict[str, float] = {}
    entries: dict[str, Entry] = {}
    elements = {element.id: element for element in found.parts.elements}
    for hop in (*wiring.upstream(plus), *wiring.downstream(minus)):
        piece = hop.element.removesuffix(":joints")
        piece = piece if piece in wires else piece.partition(":")[0]
        entry = found.parts.entries[hop.element]
        across = found.across_v(*elements[hop.element].ends)
        lost[piece] = lost.get(piece, 0.0) + abs(across or 0.0)
        entries.setdefault(piece, entry)
    return [PieceLoss(name, entries[name], wires.get(name), volts) for name, volts in lost.items()]
