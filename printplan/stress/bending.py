"""Normal stress of a section under a force along the beam and moments about any axes."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from printplan.errors import OutOfRangeError
from printplan.stress.section_moments import SectionMoments

__all__ = ["normal_stress_mpa"]


def normal_stress_mpa(
    points_mm: ArrayLike,
    section: SectionMoments,
    *,
    axial_n: float,
    moment_u_nmm: float,
    moment_v_nmm: float,
) -> NDArray[np.float64]:
    """Pull or push at points of a section that needn't be symmetric.

    ``sigma = N/A + a u + b v`` (u, v from the centroid) with
    ``a = -(M_u I_uv + M_v I_uu)/D``, ``b = (M_u I_vv + M_v I_uv)/D``, ``D = I_uu I_vv - I_uv^2``,
    from ``M_u = integral v sigma``, ``M_v = -integral u sigma`` (right-handed u, v, normal).

    Parameters
    ----------
    points_mm : (n, 2) float64
        Places u, v in the frame of `section`. [mm]
    section : SectionMoments
        Its area and second moments.
    axial_n, moment_u_nmm, moment_v_nmm : float
        Force along the normal (pull positive) and moments about the u and v axes through the
        centroid, that the part beyond puts on the section. [N], [N mm]

    Returns
    -------
    (n,) float64
        Stress, pull positive. [MPa]

    Raises
    ------
    OutOfRangeError
        If the section is so thin that it has no bending stiffness in one direction.

    Sources
    -------
    [memory: Peery, Aircraft Structures; any text on unsymmetric bending]  derived here anew
    """
    i_uu, i_vv, i_uv = section.i_uu_mm4, section.i_vv_mm4, section.i_uv_mm4
    determinant = i_uu * i_vv - i_uv * i_uv
    if not determinant > 1e-12 * (i_uu + i_vv) ** 2:
        raise OutOfRangeError("I_uu I_vv - I_uv^2", determinant, "above 0: the section is a line")
    slope_u = -(moment_u_nmm * i_uv + moment_v_nmm * i_uu) / determinant
    slope_v = (moment_u_nmm * i_vv + moment_v_nmm * i_uv) / determinant
    away = np.asarray(points_mm, dtype=np.float64) - section.centre_mm
    stress: NDArray[np.float64] = axial_n / section.area_mm2 + away @ np.array([slope_u, slope_v])
    return stress
