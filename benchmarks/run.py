"""Time the heavy parts against general-purpose peers and print ratios."""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

SAMPLES = Path(__file__).parent.parent / "sample_meshes" / "orchard_carrier"


def median_s(work: Callable[[], object], runs: int = 5) -> float:
    times = []
    for _ in range(runs):
        begin = time.perf_counter()
        work()
        times.append(time.perf_counter() - begin)
    return statistics.median(times)


def line(what: str, ours_s: float, peer: str, peer_s: float) -> None:
    print(
        f"{what:58s} {ours_s * 1e3:9.1f} ms   {peer:24s} {peer_s * 1e3:9.1f} ms   "
        f"ratio {peer_s / ours_s:6.2f}"
    )


def torus_stl(path: Path, around: int, along: int) -> int:
    """Write a torus of 2 * around * along triangles as binary STL; return the count."""
    u = np.arange(along) * 2 * np.pi / along
    v = np.arange(around) * 2 * np.pi / around
    uu, vv = np.meshgrid(u, v, indexing="ij")
    ring = 40 + 12 * np.cos(vv)
    points = np.stack([ring * np.cos(uu), ring * np.sin(uu), 12 * np.sin(vv)], axis=-1)
    a, b = points, np.roll(points, -1, axis=0)
    c, d = np.roll(b, -1, axis=1), np.roll(points, -1, axis=1)
    triangles = np.concatenate([np.stack([a, b, c], axis=-2), np.stack([a, c, d], axis=-2)])
    triangles = triangles.reshape(-1, 3, 3)
    record = np.zeros(
        len(triangles), dtype=[("n", "<f4", 3), ("v", "<f4", (3, 3)), ("attribute", "<u2")]
    )
    record["v"] = triangles
    path.write_bytes(bytes(80) + np.uint32(len(record)).tobytes() + record.tobytes())
    return len(record)


def reading(folder: Path) -> None:
    import trimesh

    from printplan.part import load_solid
    from printplan.part.bulk import bulk_properties

    path = folder / "million.stl"
    count = torus_stl(path, 500, 1000)

    def ours() -> object:
        solid = load_solid(path)
        return bulk_properties(solid).volume_mm3

    def peer() -> object:
        mesh = trimesh.load_mesh(path)
        return mesh.is_watertight, mesh.volume, mesh.area

    ours()
    line(
        f"read, weld, pair, volume of {count:,} triangles",
        median_s(ours),
        "trimesh",
        median_s(peer, 3),
    )


def sections(folder: Path) -> None:
    import trimesh

    from printplan.part import load_solid
    from printplan.part.slicing import layer_sums, slice_layers

    path = SAMPLES / "side_gear.stl"
    solid = load_solid(path)
    mesh = trimesh.load_mesh(path)
    low, high = solid.box_mm[:, 2]
    heights = np.linspace(low + 0.1, high - 0.1, 300)

    def peer() -> object:
        return mesh.section_multiplane([0, 0, 0], [0, 0, 1], heights)

    layer_sums(solid, heights)
    slice_layers(solid, heights)
    peer_s = median_s(peer, 3)
    line(
        "area and perimeter of 300 layers, gear",
        median_s(lambda: layer_sums(solid, heights)),
        "trimesh sections",
        peer_s,
    )
    line(
        "linked contours of 300 layers, gear",
        median_s(lambda: slice_layers(solid, heights)),
        "trimesh sections",
        peer_s,
    )


def thickness(folder: Path) -> None:
    import trimesh
    from trimesh.proximity import thickness as peer_thickness

    from printplan.part import load_solid
    from printplan.part.thickness import wall_thickness

    path = SAMPLES / "wheel_hub_adapter.stl"
    solid = load_solid(path)
    mesh = trimesh.load_mesh(path)
    points, faces = trimesh.sample.sample_surface_even(mesh, 2000, seed=1)
    normals = mesh.face_normals[faces]
    count = len(wall_thickness(solid).sample_mm)
    ours_s = median_s(lambda: wall_thickness(solid), 3) / count
    peer_s = median_s(
        lambda: peer_thickness(mesh, points, exterior=False, normals=normals, method="max_sphere"),
        3,
    ) / len(points)
    line(
        "wall thickness by inside ball, per 1000 samples",
        1000 * ours_s,
        "trimesh max_sphere",
        1000 * peer_s,
    )


def starting(folder: Path) -> None:
    def run(*words: str) -> Callable[[], object]:
        return lambda: subprocess.run([sys.executable, *words], check=True, capture_output=True)

    help_s = median_s(run("-m", "printplan", "--help"), 15)
    bare_s = median_s(run("-c", "pass"), 15)
    line("printplan --help", help_s, "bare interpreter", bare_s)
    print(
        f"{'':58s} --help takes {help_s / bare_s:.1f} times a bare interpreter's start (asked: 8)"
    )


def measuring(folder: Path) -> None:
    path = folder / "million.stl"
    if not path.exists():
        torus_stl(path, 500, 1000)
    command = [sys.executable, "-m", "printplan", "measure", str(path), "--json"]
    begin = time.perf_counter()
    subprocess.run(command, check=True, capture_output=True)
    print(
        f"{'printplan measure of a million triangles, whole process':58s} "
        f"{time.perf_counter() - begin:9.1f} s    (asked: 15 s)"
    )


def planning(folder: Path) -> None:
    command = [sys.executable, "-m", "printplan", "plan", str(SAMPLES), "--out", str(folder / "p")]
    begin = time.perf_counter()
    subprocess.run(command, check=True, capture_output=True)
    print(
        f"{'printplan plan of the sample job, whole process':58s} "
        f"{time.perf_counter() - begin:9.1f} s    (asked: 90 s cold)"
    )


BENCHES = [starting, reading, sections, thickness, measuring, planning]


def main() -> None:
    wanted = sys.argv[1:] or [bench.__name__ for bench in BENCHES]
    with tempfile.TemporaryDirectory() as folder:
        for bench in BENCHES:
            if bench.__name__ in wanted:
                bench(Path(folder))


if __name__ == "__main__":
    main()
