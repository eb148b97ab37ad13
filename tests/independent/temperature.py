"""What a sound part reads at another temperature: the limits move, the reading stays."""

import re
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

ZERO_CEL = 273.15  # in kelvin
COPPER_ALPHA = 0.00393  # per kelvin at 20 Cel; IEC 60028
PLATINUM = (3.9083e-3, -5.775e-7, -4.183e-12)  # IEC 60751


@dataclass(frozen=True)
class Law:
    """How the resistance of a part follows its temperature; `beta` is a range, in kelvin."""

    model: str  # "copper", "ntc_beta" or "pt_iec60751"
    alpha: float = COPPER_ALPHA
    beta: tuple[float, float] | None = None


def read_law(temp_model: str, temp_params: str | None) -> Law | None:
    """Read the register's columns temp_model and temp_params; None where limits stay put.

    copper takes "alpha=0.00393/K", ntc_beta "beta 3435-3977" or "beta 3977" (without one the curve
    is not known), pt_iec60751 always the standard's coefficients. Every other model (heating wire,
    start devices, insulation) is never moved.
    """
    params = temp_params or ""
    if temp_model == "copper":
        alpha = re.search(r"alpha=([0-9.]+)", params)
        return Law("copper", float(alpha[1]) if alpha else COPPER_ALPHA)
    if temp_model == "ntc_beta":
        beta = re.search(r"beta ([0-9]+)(?:-([0-9]+))?", params)
        return Law("ntc_beta", beta=(float(beta[1]), float(beta[2] or beta[1]))) if beta else None
    return Law("pt_iec60751") if temp_model == "pt_iec60751" else None


def copper(cel: ArrayLike, alpha: float = COPPER_ALPHA) -> NDArray[np.float64]:
    """Return the resistance of a copper winding over that at 20 Cel."""
    return 1 + alpha * (np.asarray(cel, float) - 20)


def ntc_beta(cel: ArrayLike, beta: float) -> NDArray[np.float64]:
    """Return the resistance of a thermistor over that at 25 Cel.

    exp(beta (1/T − 1/298.15)), T in kelvin; up to 4 % off a real thermistor's curve at 0 Cel.
    """
    return np.exp(beta * (1 / (np.asarray(cel, float) + ZERO_CEL) - 1 / (25 + ZERO_CEL)))


def pt_iec60751(cel: ArrayLike) -> NDArray[np.float64]:
    """Return the resistance of a platinum sensor over that at 0 Cel; NaN outside −200 to 850."""
    t = np.asarray(cel, float)
    a, b, c = PLATINUM
    ratio = 1 + a * t + b * t**2 + np.where(t < 0, c * (t - 100) * t**3, 0.0)
    return np.where((t >= -200) & (t <= 850), ratio, np.nan)[()]


def moved_limits(
    law: Law | None, low: ArrayLike, high: ArrayLike, ref_cel: float | None, cel: float | None
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return limits stated for ref_cel as they are at cel, in their own unit.

    A range of beta moves the low limit by the smaller and the high one by the larger ratio: the
    band can only widen, as the curve of this part is not known. Without law or either temperature
    the limits stay. A limit of NaN stays NaN.
    """
    least, most = _ratios(law, ref_cel, cel)
    return np.asarray(low, float) * least, np.asarray(high, float) * most


def _ratios(law: Law | None, ref_cel: float | None, cel: float | None) -> tuple[float, float]:
    if law is None or ref_cel is None or cel is None:
        return 1.0, 1.0
    if law.model == "ntc_beta":
        found = [float(ntc_beta(cel, beta) / ntc_beta(ref_cel, beta)) for beta in law.beta]
        return min(found), max(found)
    if law.model == "copper":
        ratio = float(copper(cel, law.alpha) / copper(ref_cel, law.alpha))
    else:
        ratio = float(pt_iec60751(cel) / pt_iec60751(ref_cel))
    return ratio, ratio
