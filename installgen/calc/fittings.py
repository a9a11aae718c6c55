"""Loss coefficients of bends, valves and changes of bore, and the roughness of hoses and pipes.

One handbook throughout (Crane TP-410), so that coefficients may be added. A coefficient K counts
velocity heads of the bore that is named: loss = K rho v^2 / 2.
"""

from __future__ import annotations

from installgen.calc.ranges import more_than_zero, within
from installgen.errors import OutOfRange
from installgen.tables import fluids

SUDDEN_DEG = 180.0
"""Whole angle of a change of bore that is no cone but a step [deg]."""


def roughness_m(kind: str) -> float:
    """Absolute roughness of a kind of pipe or hose, clean and new.

    kind: as in table `pipe_roughness`, such as `rubber hose`
    Returns the roughness [m]. Raises OutOfTable for a kind that is not there; a corrugated bore is
    not, as its loss comes from its maker.
    Source: table `pipe_roughness`, source beside each row.
    """
    return fluids.roughness().row(kind=kind).roughness_mm / 1000.0


def rough_friction_factor(bore_m: float) -> float:
    """Friction factor of clean steel pipe in fully rough flow, which scales fittings.

    bore_m: more than 0 [m]
    Returns the friction factor f_T [-]. Raises OutOfRange for no bore.
    Source: Crane TP-410, appendix A, as computed by `fluids`.
    """
    from fluids.friction import ft_Crane

    more_than_zero("the bore", bore_m, "m")
    return float(ft_Crane(bore_m))


def fitting_loss_coefficient(kind: str, bore_m: float) -> float:
    """Loss coefficient of a valve, tee, entrance or exit, on its own bore.

    K as printed, or K = n f_T

    kind: as in table `fitting_loss`, such as `ball valve`
    bore_m: more than 0 [m]
    Returns K [-]. Raises OutOfTable for a kind that is not there, OutOfRange for no bore.
    Source: Crane TP-410, appendix A; table `fitting_loss`, certainty beside each row.
    """
    row = fluids.fitting_loss().row(kind=kind)
    more_than_zero("the bore", bore_m, "m")
    if row.loss_coefficient is not None:
        return row.loss_coefficient
    if row.friction_multiple is None:
        raise ValueError(f"table fitting_loss gives no figure for {kind}")
    return row.friction_multiple * rough_friction_factor(bore_m)


def bend_loss_coefficient(bore_m: float, angle_deg: float, radius_ratio: float) -> float:
    """Loss coefficient of a smooth bend, on its own bore.

    90 degrees: K = 20, 14, 12, 12, 14, 17, 24, 30, 50 f_T at r/d = 1, 1.5, 2, 3, 4, 6, 8, 10, 20
    other:      K = K_90 + (n - 1)(0.25 pi f_T r/d + 0.5 K_90),  n = angle / 90

    bore_m: more than 0 [m]
    angle_deg: above 0 to 360 [deg]
    radius_ratio: radius of the centre line over the bore, 1 to 20 [-]; see `mitre_loss_coefficient`
    Returns K [-], the friction along the bend included. Raises OutOfRange outside.
    Source: Crane TP-410, appendix A, as computed by `fluids`.
    """
    from fluids.fittings import bend_rounded_Crane

    more_than_zero("the bore", bore_m, "m")
    within("the radius of the bend over its bore", radius_ratio, 1.0, 20.0, "")
    more_than_zero("the angle of the bend", angle_deg, "deg")
    within("the angle of the bend", angle_deg, 0.0, 360.0, "deg")
    return float(bend_rounded_Crane(Di=bore_m, angle=angle_deg, bend_diameters=radius_ratio))


def mitre_loss_coefficient(bore_m: float, angle_deg: float) -> float:
    """Loss coefficient of a mitred or kinked bend, on its own bore.

    bore_m: more than 0 [m]
    angle_deg: above 0 to 90 [deg]
    Returns K [-]. Raises OutOfRange outside.
    Source: Crane TP-410, appendix A, as computed by `fluids`.
    """
    from fluids.fittings import bend_miter

    more_than_zero("the bore", bore_m, "m")
    more_than_zero("the angle of the mitre", angle_deg, "deg")
    within("the angle of the mitre", angle_deg, 0.0, 90.0, "deg")
    return float(bend_miter(angle_deg, Di=bore_m, method="Crane"))


def contraction_loss_coefficient(
    large_bore_m: float, small_bore_m: float, angle_deg: float = SUDDEN_DEG
) -> float:
    """Loss coefficient of a bore that narrows, on the small bore.

    angle <= 45: K = 0.8 sin(angle/2) (1 - b^2)
    angle > 45:  K = 0.5 sqrt(sin(angle/2)) (1 - b^2),  b = d_small / d_large

    large_bore_m, small_bore_m: [m]
    angle_deg: whole angle of the cone, above 0 to 180, 180 for a step [deg]
    Returns K [-]. Raises OutOfRange outside.
    Source: Crane TP-410, appendix A, as computed by `fluids`.
    """
    from fluids.fittings import contraction_conical_Crane

    _check_change(large_bore_m, small_bore_m, angle_deg)
    return float(contraction_conical_Crane(Di1=large_bore_m, Di2=small_bore_m, angle=angle_deg))


def enlargement_loss_coefficient(
    small_bore_m: float, large_bore_m: float, angle_deg: float = SUDDEN_DEG
) -> float:
    """Loss coefficient of a bore that widens, on the small bore.

    angle <= 45: K = 2.6 sin(angle/2) (1 - b^2)^2
    angle > 45:  K = (1 - b^2)^2,  b = d_small / d_large

    small_bore_m, large_bore_m: [m]
    angle_deg: whole angle of the cone, above 0 to 180, 180 for a step [deg]
    Returns K [-]. Raises OutOfRange outside.
    Source: Crane TP-410, appendix A, as computed by `fluids`.
    """
    from fluids.fittings import diffuser_conical_Crane

    _check_change(large_bore_m, small_bore_m, angle_deg)
    loss = diffuser_conical_Crane(  # type: ignore[no-untyped-call]
        Di1=small_bore_m, Di2=large_bore_m, angle=angle_deg
    )
    return float(loss)


def change_of_bore_loss_coefficient(
    start_bore_m: float, end_bore_m: float, angle_deg: float = SUDDEN_DEG
) -> float:
    """Loss coefficient of a joint between two bores, on the smaller of them.

    start_bore_m, end_bore_m: in the order of the flow [m]
    angle_deg: whole angle of the cone, above 0 to 180, 180 for a step [deg]
    Returns K [-], 0 for equal bores. Raises OutOfRange outside.
    Source: Crane TP-410, see the two functions above.
    """
    if start_bore_m == end_bore_m:
        more_than_zero("the bore", start_bore_m, "m")
        return 0.0
    if start_bore_m > end_bore_m:
        return contraction_loss_coefficient(start_bore_m, end_bore_m, angle_deg)
    return enlargement_loss_coefficient(start_bore_m, end_bore_m, angle_deg)


def on_other_bore(loss_coefficient: float, bore_m: float, other_bore_m: float) -> float:
    """The same loss counted in velocity heads of another bore.

    K2 = K1 (d2 / d1)^4

    loss_coefficient: K on `bore_m` [-]
    bore_m, other_bore_m: [m]
    Returns K on `other_bore_m` [-]. Raises OutOfRange for no bore.
    Source: continuity.
    """
    more_than_zero("the bore", bore_m, "m")
    more_than_zero("the other bore", other_bore_m, "m")
    return loss_coefficient * (other_bore_m / bore_m) ** 4


def flow_coefficient_loss(kv_m3_per_h: float, bore_m: float) -> float:
    """Loss coefficient of a valve known by its flow coefficient Kv.

    K = 1.6e9 d^4 / Kv^2, d in metres

    kv_m3_per_h: water that passes at 1 bar, more than 0 [m3/h]
    bore_m: bore that K shall refer to [m]
    Returns K [-]. Raises OutOfRange for no bore or no flow.
    Source: Crane TP-410M, as computed by `fluids`.
    """
    from fluids.fittings import Kv_to_K

    more_than_zero("the bore", bore_m, "m")
    more_than_zero("the flow coefficient Kv", kv_m3_per_h, "m3/h")
    return float(Kv_to_K(kv_m3_per_h, bore_m))


def spigot_bore_m(outside_m: float, wall_m: float) -> float:
    """Bore of a hose spigot, which is smaller than the bore of the hose pushed over it.

    d = D - 2 t

    outside_m: outside of the spigot, as a rule the nominal bore of its hose [m]
    wall_m: wall of the spigot [m]
    Returns the bore [m]. Raises OutOfRange when no bore is left.
    Source: geometry.
    """
    bore = outside_m - 2.0 * wall_m
    if not bore > 0.0 or wall_m < 0.0:
        raise OutOfRange("wall of the spigot", f"{wall_m:g} m", f"0 to below {outside_m / 2:g} m")
    return bore


def spigot_loss_coefficient(hose_bore_m: float, spigot_bore_m: float) -> float:
    """Loss coefficient of one spigot in a hose line: a step in and a step out, on the hose bore.

    K = (0.5 (1 - b^2) + (1 - b^2)^2) / b^4,  b = d_spigot / d_hose

    hose_bore_m: [m]
    spigot_bore_m: not more than the hose bore [m]
    Returns K [-], 0 for equal bores. Raises OutOfRange outside.
    Source: Crane TP-410, see the two functions above.
    """
    within("the bore of the spigot", spigot_bore_m, 0.0, hose_bore_m, "m")
    narrowing = change_of_bore_loss_coefficient(hose_bore_m, spigot_bore_m)
    widening = change_of_bore_loss_coefficient(spigot_bore_m, hose_bore_m)
    return on_other_bore(narrowing + widening, spigot_bore_m, hose_bore_m)


def _check_change(large_bore_m: float, small_bore_m: float, angle_deg: float) -> None:
    more_than_zero("the small bore", small_bore_m, "m")
    within("the small bore", small_bore_m, 0.0, large_bore_m, "m")
    more_than_zero("the angle of the cone", angle_deg, "deg")
    within("the angle of the cone", angle_deg, 0.0, SUDDEN_DEG, "deg")
