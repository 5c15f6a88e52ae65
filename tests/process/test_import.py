import subprocess
import sys


def test_importing_the_room_loads_nothing_slow():
    code = (
        "import sys, printplan.process;"
        "print([m for m in ('shapely', 'scipy', 'pandas', 'numba', 'pint', 'trimesh') "
        "if m in sys.modules])"
    )
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert out.stdout.strip() == "[]"
