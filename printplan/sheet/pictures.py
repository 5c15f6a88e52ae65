"""Pictures of a part as it stands on the plate, thin walls in colour, as PNG.

Orthographic views, each drawn at twice the size and averaged down. Thickness is painted pixel by
pixel from the nearest sample of the surface, so that a large triangle over a thin and a thick
place is not coloured as a whole.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from printplan.sheet.colours import thin_colours
from printplan.sheet.shapes import Projection, Shape, motion_between, projection_of, shape_of

if TYPE_CHECKING:
    from printplan.part.solid import Solid
    from printplan.part.thickness import Thickness, ThinRegion

__all__ = [
    "HEIGHT",
    "WIDTH",
    "Mark",
    "PartPictures",
    "View",
    "draw_part",
    "thin_colours",
    "warm_up",
]

Array = NDArray[np.float64]
Singles = NDArray[np.float32]

#: Size of a picture, and how much larger it is drawn. [px]
WIDTH, HEIGHT, OVER = 480, 360, 2
#: Elevation of the two views: above the plate, and from the other side a little below it. [°]
ABOVE_DEG, BELOW_DEG = 30.0, -22.0
#: Directions tried for the first view; the first one is taken where no wall is thin. [°]
AZIMUTHS_DEG = tuple(30.0 + 45.0 * i for i in range(8))
#: Grey-blue of walls thick enough, and colour of edges.
PLAIN = np.array([0.66, 0.71, 0.76], np.float32)
EDGE = np.array([0.11, 0.15, 0.20], np.float32)
#: Lights in the view's frame (right, up, towards the viewer): the main one from above.
LIGHTS: tuple[tuple[tuple[float, float, float], float], ...] = (
    ((-0.35, 0.80, 0.49), 0.46),
    ((0.60, 0.10, 0.79), 0.22),
)
AMBIENT = 0.44
#: How much of the shading is left on coloured walls.
THIN_SHADE = 0.45
#: Lines this far behind the surface still show. [px]
LINE_SLACK = 3.0
#: Thin places that get a number in the picture.
MOST_MARKS = 9

_FROM = ("front", "front right", "right", "back right", "back", "back left", "left", "front left")


@dataclass(frozen=True, kw_only=True)
class Mark:
    """Number of a thin place, and where in the picture it is, as shares of width and height."""

    number: int
    x: float
    y: float


@dataclass(frozen=True, kw_only=True)
class View:
    """One picture.

    Attributes
    ----------
    png : bytes
        The picture, transparent round the part.
    seen_from : str
        Where the viewer stands, in words.
    pixels_per_mm : float
        Scale of the picture. [px/mm]
    marks : tuple of Mark
        Thin places seen in it.
    """

    png: bytes
    seen_from: str
    pixels_per_mm: float
    marks: tuple[Mark, ...]


@dataclass(frozen=True, kw_only=True)
class PartPictures:
    """Both views of a part, and whether any surface is coloured in them."""

    views: tuple[View, View]
    coloured: bool


def draw_part(standing: Solid, measured: Solid, thickness: Thickness) -> PartPictures:
    """Draw both views of a part.

    Parameters
    ----------
    standing : Solid
        The part as it stands on the plate, build direction +z.
    measured : Solid
        The same triangles in the frame in which thickness was measured.
    thickness : Thickness
        Samples and thin regions.

    Returns
    -------
    PartPictures
        The first view is from above, from where most of the thin walls is seen; the second from
        the opposite side, a little below.
    """
    motion = motion_between(measured, standing)
    shape = shape_of(standing, thickness, motion)
    azimuth = _best_azimuth(shape)
    places = [_place_of(region, thickness, shape) for region in thickness.regions[:MOST_MARKS]]
    views = (
        _view(shape, places, azimuth, ABOVE_DEG),
        _view(shape, places, azimuth + 180.0, BELOW_DEG),
    )
    return PartPictures(views=(views[0][0], views[1][0]), coloured=views[0][1] or views[1][1])


def warm_up(solid: Solid) -> None:
    """Compile the kernels by drawing a part once, so that the first sheet comes quickly."""
    from printplan.part.thickness import wall_thickness

    draw_part(solid, solid, wall_thickness(solid))


def _raster(
    shape: Shape, projection: Projection, size: tuple[int, int], shade: Array
) -> tuple[Singles, NDArray[np.int32], Singles]:
    from printplan.sheet.render_kernels import draw_triangles

    width, height = size
    depth = np.full((height, width), np.inf, np.float32)
    face_at = np.full((height, width), -1, np.int32)
    shade_at = np.zeros((height, width), np.float32)
    draw_triangles(
        projection.pixels(shape.solid.vertices_mm),
        shape.solid.faces,
        shade,
        not shape.solid.closed,
        depth,
        face_at,
        shade_at,
    )
    return depth, face_at, shade_at


def _facing(shape: Shape, projection: Projection) -> NDArray[np.bool_]:
    """Which samples lie on surface that is turned to the viewer."""
    return np.asarray(shape.sample_normal @ projection.axes[2] > 0.02)


def _seen(
    shape: Shape,
    samples: NDArray[np.intp],
    projection: Projection,
    depth: Singles,
    slack: float,
) -> tuple[NDArray[np.bool_], Array]:
    """Which of the samples nothing hides, and where they are. [px]"""
    height, width = depth.shape
    pixels = projection.pixels(shape.samples_mm[samples])
    j = np.clip(pixels[:, 0].astype(np.intp), 0, width - 1)
    i = np.clip(pixels[:, 1].astype(np.intp), 0, height - 1)
    unhidden = pixels[:, 2] <= depth[i, j] + slack
    return unhidden & _facing(shape, projection)[samples], pixels


def _best_azimuth(shape: Shape) -> float:
    """Direction from which, with the opposite view, most of the thin walls is seen."""
    thin = np.flatnonzero(shape.sample_mm < shape.limit_mm)
    if not len(thin):
        return AZIMUTHS_DEG[0]
    worth = shape.sample_area_mm2[thin] * (1.0 - shape.sample_mm[thin] / shape.limit_mm)
    size = (WIDTH // 3, HEIGHT // 3)
    dark = np.zeros((len(shape.solid.faces), 3))
    seen = {}
    for elevation in (ABOVE_DEG, BELOW_DEG):
        for azimuth in AZIMUTHS_DEG:
            projection = projection_of(shape.solid, azimuth, elevation, size)
            depth, _, _ = _raster(shape, projection, size, dark)
            visible, _ = _seen(shape, thin, projection, depth, 2.0)
            seen[azimuth % 360.0, elevation] = float(worth[visible].sum())
    return max(
        AZIMUTHS_DEG,
        key=lambda a: seen[a % 360.0, ABOVE_DEG] + 0.5 * seen[(a + 180.0) % 360.0, BELOW_DEG],
    )


def _place_of(region: ThinRegion, thickness: Thickness, shape: Shape) -> NDArray[np.intp]:
    """Numbers of the samples of `shape` that belong to a thin region."""
    from scipy.spatial import cKDTree

    positions = thickness.positions_mm[np.isfinite(thickness.sample_mm)]
    thin = np.flatnonzero(shape.sample_mm < shape.limit_mm)
    if not len(thin):
        return thin
    low, high = np.array(region.box_mm)
    inside = ((positions[thin] >= low - 1e-6) & (positions[thin] <= high + 1e-6)).all(axis=1)
    # places alike are known by their middles only
    _, near = cKDTree(positions[thin]).query(np.array(region.places_mm or [region.place_mm]))
    return np.unique(np.concatenate([thin[inside], thin[near]]))


def _view(
    shape: Shape, places: list[NDArray[np.intp]], azimuth_deg: float, elevation_deg: float
) -> tuple[View, bool]:
    size = (WIDTH * OVER, HEIGHT * OVER)
    projection = projection_of(shape.solid, azimuth_deg, elevation_deg, size)
    shade = np.full((len(shape.solid.faces), 3), AMBIENT)
    for direction, brightness in LIGHTS:
        towards = np.asarray(direction) / np.linalg.norm(direction)
        shade += brightness * np.maximum(shape.corner_normal @ (projection.axes.T @ towards), 0.0)
    depth, face_at, shade_at = _raster(shape, projection, size, shade)
    thin, share = _thin_pixels(shape, projection, depth)
    image = _colour(shape, projection, (depth, face_at, shade_at), (thin, share))
    side = "above" if elevation_deg > 0 else "below"
    view = View(
        png=_png(image),
        seen_from=f"{_FROM[round(azimuth_deg / 45.0) % 8]}, {side}",
        pixels_per_mm=projection.pixels_per_mm / OVER,
        marks=_marks(shape, places, projection, depth),
    )
    return view, bool(thin.any())


def _thin_pixels(
    shape: Shape, projection: Projection, depth: Singles
) -> tuple[NDArray[np.bool_], Singles]:
    """Which pixels show a thin wall, and their thickness over the limit."""
    from scipy.spatial import cKDTree

    thin = np.zeros(depth.shape, bool)
    share = np.ones(depth.shape, np.float32)
    # only surface turned to the viewer: a thin side must not bleed round an edge
    facing = _facing(shape, projection)
    samples_mm, sample_mm = shape.samples_mm[facing], shape.sample_mm[facing]
    thin_samples = sample_mm < shape.limit_mm
    if not thin_samples.any():
        return thin, share
    block = np.argwhere(np.isfinite(depth[::OVER, ::OVER])) * OVER
    i, j = block[:, 0], block[:, 1]
    pixels = np.column_stack([j + 0.5, i + 0.5, depth[i, j].astype(np.float64)])
    points = projection.points(pixels)
    # only pixels near a thin sample are worth a search among all samples
    reach = 2.0 * math.sqrt(float(shape.sample_area_mm2.mean()))
    near, _ = cKDTree(samples_mm[thin_samples]).query(points, distance_upper_bound=reach)
    close = np.flatnonzero(np.isfinite(near))
    nearest = np.asarray(cKDTree(samples_mm).query(points[close])[1])
    found = sample_mm[nearest] < shape.limit_mm
    i, j, nearest = i[close[found]], j[close[found]], nearest[found]
    for di in range(OVER):
        for dj in range(OVER):
            thin[i + di, j + dj] = True
            share[i + di, j + dj] = sample_mm[nearest] / shape.limit_mm
    return thin, share


def _colour(
    shape: Shape,
    projection: Projection,
    raster: tuple[Singles, NDArray[np.int32], Singles],
    thickness: tuple[NDArray[np.bool_], Singles],
) -> Singles:
    """(h, w, 4) colours and opacity, drawn size."""
    from printplan.sheet.render_kernels import draw_lines

    depth, face_at, shade_at = raster
    thin, share = thickness
    covered = face_at >= 0
    colour = np.empty((*depth.shape, 3), np.float32)
    colour[:] = PLAIN
    colour[thin] = thin_colours(share[thin])
    # thin walls keep more of their colour in the shade, to be read against the scale
    shade_at[thin] = 1.0 + THIN_SHADE * (shade_at[thin] - 1.0)
    colour *= shade_at[..., None]
    line_at = np.zeros(depth.shape, np.float32)
    vertices = projection.pixels(shape.solid.vertices_mm)
    draw_lines(_edge_ends(shape, projection, vertices), 0.8, LINE_SLACK, depth, line_at)
    colour += line_at[..., None] * (EDGE - colour)
    colour[~covered] = EDGE
    opacity = np.where(covered, 1.0, line_at)
    return np.concatenate([np.clip(colour, 0.0, 1.0), opacity[..., None]], axis=2)


def _edge_ends(shape: Shape, projection: Projection, vertices: Array) -> Array:
    """Both ends of the sharp edges, and of those that bound what faces the viewer."""
    front = shape.face_normal @ projection.axes[2] > 0.0
    here = shape.edges // 3
    drawn = (shape.sharp & (front[here] | front[shape.neighbours])) | (
        front[here] != front[shape.neighbours]
    )
    edge = shape.edges[drawn]
    start = shape.solid.faces[edge // 3, edge % 3]
    end = shape.solid.faces[edge // 3, (edge + 1) % 3]
    return np.stack([vertices[start], vertices[end]], axis=1)


def _marks(
    shape: Shape, places: list[NDArray[np.intp]], projection: Projection, depth: Singles
) -> tuple[Mark, ...]:
    """Put a number on each thin place that is seen, apart from the numbers before."""
    taken: list[Array] = []
    marks = []
    for number, samples in enumerate(places, start=1):
        visible, pixels = _seen(shape, samples, projection, depth, LINE_SLACK)
        spots = pixels[visible, :2]
        if not len(spots):
            continue
        free = np.full(len(spots), np.inf)
        for spot in taken:
            free = np.minimum(free, np.linalg.norm(spots - spot, axis=1))
        apart = free > 22.0 * OVER
        best = _amid(spots[apart]) if apart.any() else int(free.argmax())
        spots = spots[apart] if apart.any() else spots
        taken.append(spots[best])
        x, y = spots[best] / (WIDTH * OVER, HEIGHT * OVER)
        marks.append(Mark(number=number, x=float(x), y=float(y)))
    return tuple(marks)


def _amid(spots: Array) -> int:
    """Return the spot with most others round it, nearest to the middle: not on a rim."""
    from scipy.spatial import cKDTree

    near = cKDTree(spots).query_ball_point(spots, 12.0 * OVER, return_length=True)
    away = np.linalg.norm(spots - spots.mean(axis=0), axis=1)
    return int(np.where(near >= 0.9 * near.max(), away, np.inf).argmin())


def _png(image: Singles) -> bytes:
    """Average the drawn size down to the picture's and pack it; `image` is used up."""
    from PIL import Image

    image[..., :3] *= image[..., 3:]
    small = sum(
        (image[i::OVER, j::OVER] for i in range(OVER) for j in range(OVER)),
        start=np.zeros((HEIGHT, WIDTH, 4), np.float32),
    )
    small /= OVER * OVER
    opacity = small[..., 3:]
    small[..., :3] /= np.where(opacity > 0.0, opacity, 1.0)
    packed = Image.fromarray(np.round(255.0 * small).astype(np.uint8), "RGBA")
    out = BytesIO()
    packed.save(out, "PNG", compress_level=6)
    return out.getvalue()
