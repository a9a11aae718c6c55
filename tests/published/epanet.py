"""Give a pipe network of ours to EPANET (through wntr) and read back heads and flows.

EPANET knows no positive-displacement pump: ours becomes its straight line of head against flow, so
it can be compared as long as the inlet vacuum takes nothing from it. A measured loss becomes a
throttled valve with the same quadratic loss, a vented crown a valve that sustains atmospheric
pressure. EPANET has no velocity head at joints, and neither have our total pressures.
"""

from __future__ import annotations

import tempfile
import warnings
from dataclasses import dataclass
from pathlib import Path

from installgen.calc.constants import STANDARD_GRAVITY_M_PER_S2
from installgen.calc.friction import bore_area_m2
from installgen.calc.pipe_network import (
    Closed,
    Fitting,
    MeasuredLoss,
    Network,
    OperatingPoint,
    Pipe,
    PumpPiece,
    VentedLoop,
)
from installgen.calc.pump import swept_flow_m3_per_s, vacuum_flow_ratio

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import wntr

EPANET_VISCOSITY_M2_PER_S = 1.1e-5 * 0.3048**2
"""What EPANET 2.2 multiplies its relative viscosity with (1.1e-5 ft2/s, user manual appendix D)."""

NOMINAL_BORE_M = 0.05


@dataclass(frozen=True)
class EpanetResult:
    """heads_m: total head of each node [m]; flows_m3_per_s: of each piece that is not closed"""

    heads_m: dict[str, float]
    flows_m3_per_s: dict[str, float]


def to_wntr(network: Network) -> wntr.network.WaterNetworkModel:
    """The network as EPANET sees it, its nodes and pieces numbered `n0`, `p0` and so on in order.

    Pieces must carry the network's own liquid.
    """
    rho = network.liquid.density_kg_per_m3
    weight = rho * STANDARD_GRAVITY_M_PER_S2
    model = wntr.network.WaterNetworkModel()
    hydraulic = model.options.hydraulic
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", UserWarning)  # roughness is in metres all along
        hydraulic.headloss = "D-W"
    viscosity = network.liquid.viscosity_pa_s / rho
    hydraulic.viscosity = viscosity / EPANET_VISCOSITY_M2_PER_S
    hydraulic.accuracy = 1e-6
    hydraulic.trials = 200
    hydraulic.inpfile_units = "LPS"
    model.options.time.duration = 0
    number = {}
    for i, node in enumerate(network.nodes):
        number[node.name] = f"n{i}"
        if node.pressure_pa is None:
            model.add_junction(f"n{i}", base_demand=0.0, elevation=node.elevation_m)
        else:
            head = node.elevation_m + node.pressure_pa / weight
            model.add_reservoir(f"n{i}", base_head=head)
    for i, piece in enumerate(network.pieces):
        ends = (f"p{i}", number[piece.start], number[piece.end])
        match piece:
            case Closed():
                continue
            case Pipe(count=1, liquid=None):
                model.add_pipe(
                    *ends, length=piece.length_m, diameter=piece.bore_m,
                    roughness=piece.roughness_m, minor_loss=piece.loss_coefficient,
                )  # fmt: skip
            case Fitting(liquid=None):
                _throttle(model, ends, piece.bore_m, piece.loss_coefficient)
            case MeasuredLoss(liquid=None):
                velocity = piece.flow_m3_per_s / bore_area_m2(NOMINAL_BORE_M)
                loss_coefficient = piece.drop_pa / (rho * velocity**2 / 2.0)
                _throttle(model, ends, NOMINAL_BORE_M, loss_coefficient)
            case PumpPiece(start_bore_m=None, liquid=None):
                _pump(model, ends, piece, weight)
            case VentedLoop(liquid=None):
                model.add_valve(
                    *ends, diameter=NOMINAL_BORE_M, valve_type="PSV",
                    minor_loss=0.0, initial_setting=0.0, initial_status="ACTIVE",
                )  # fmt: skip
            case _:
                raise AssertionError(f"{piece} cannot be given to EPANET")
    return model


def _throttle(
    model: wntr.network.WaterNetworkModel,
    ends: tuple[str, str, str],
    bore_m: float,
    loss_coefficient: float,
) -> None:
    model.add_valve(
        *ends, diameter=bore_m, valve_type="TCV", minor_loss=0.0,
        initial_setting=loss_coefficient, initial_status="ACTIVE",
    )  # fmt: skip


def _pump(
    model: wntr.network.WaterNetworkModel,
    ends: tuple[str, str, str],
    piece: PumpPiece,
    weight: float,
) -> None:
    most = swept_flow_m3_per_s(piece.pump, piece.speed_rpm) * (1.0 - piece.pump.slip_ratio)
    lift_at_rest_m = most / piece.pump.leakage_m3_per_s_pa / weight
    line = [(most * share, lift_at_rest_m * (1.0 - share)) for share in (0.0, 0.25, 0.5, 0.75, 1.0)]
    model.add_curve(f"{ends[0]}-line", "HEAD", line)
    model.add_pump(*ends, pump_type="HEAD", pump_parameter=f"{ends[0]}-line")


def run_epanet(network: Network) -> EpanetResult:
    """Heads and flows that EPANET 2.2 finds with Darcy-Weisbach and Swamee-Jain."""
    model = to_wntr(network)
    with tempfile.TemporaryDirectory() as folder, warnings.catch_warnings():
        warnings.simplefilter("ignore")
        prefix = str(Path(folder) / "network")
        results = wntr.sim.EpanetSimulator(model).run_sim(file_prefix=prefix)
    heads = results.node["head"].iloc[0]
    flows = results.link["flowrate"].iloc[0]
    return EpanetResult(
        {node.name: float(heads[f"n{i}"]) for i, node in enumerate(network.nodes)},
        {
            piece.name: float(flows[f"p{i}"])
            for i, piece in enumerate(network.pieces)
            if not isinstance(piece, Closed)
        },
    )


def total_heads_m(network: Network, point: OperatingPoint) -> dict[str, float]:
    """Our total heads, as EPANET counts them; without joints that do not run full."""
    weight = network.liquid.density_kg_per_m3 * STANDARD_GRAVITY_M_PER_S2
    return {
        node.name: node.elevation_m + state.pressure_pa / weight
        for node in network.nodes
        if (state := point.nodes[node.name]).pressure_pa is not None and state.runs_full
    }


def comparable(network: Network, point: OperatingPoint) -> bool:
    """Whether no pump of the network has lost flow to its inlet vacuum."""
    for piece in network.pieces:
        if isinstance(piece, PumpPiece):
            inlet = point.nodes[piece.start].pressure_pa
            if inlet is None or vacuum_flow_ratio(piece.pump, inlet) < 1.0:
                return False
    return True
