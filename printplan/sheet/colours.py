"""Colours of thin walls, the same in pictures and on their scale."""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

__all__ = ["thin_colours"]

Singles = NDArray[np.float32]

#: Thickness over limit, and the place in the colour map; they leap where two beads no longer fit.
COLOUR_STOPS = ((0.0, 1.0), (0.4999, 0.74), (0.5, 0.30), (1.0, 0.08))


@cache
def _colour_table() -> Singles:
    from matplotlib import colormaps

    # The map's grey middle is left out: it would look like a thick wall. Thinner than half of the
    # limit is yellow, above that blue; the darkest end would hide the shading.
    shares, places = zip(*COLOUR_STOPS, strict=True)
    stops = np.interp(np.linspace(0.0, 1.0, 256), shares, places)
    return np.asarray(colormaps["cividis"](stops)[:, :3], np.float32)


def thin_colours(share: NDArray[np.floating]) -> Singles:
    """Colour of a wall by thickness over limit, 0 (thinnest, yellow) to 1 (limit, dark blue).

    Parameters
    ----------
    share : (n,) float
        Thickness over limit.

    Returns
    -------
    (n, 3) float32
        Red, green and blue, 0 to 1, of a map that colour-blind people read alike.
    """
    row = np.clip(share * 255.0, 0.0, 255.0).astype(np.intp)
    return np.asarray(_colour_table()[row], np.float32)
