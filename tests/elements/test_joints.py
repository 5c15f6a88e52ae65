"""Sockets, pins, bolts, threads and press fits on constructed examples and by physics."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from printplan.elements import bolts, pin, press_fit, sockets, threads, torsion
from printplan.errors import OutOfRangeError, UnknownNameError


@pytest.mark.parametrize(
    ("shape", "across", "length", "pressure"),
    [("hexagon", 17.0, 20.0, 20.76), ("square", 12.0, 18.0, 23.15)],
)
def test_constructed_sockets(shape, across, length, pressure):
    """Constructed: 20 N m without play."""
    got = sockets.socket_pressure(
        20e3, shape=shape, across_flats_mm=across, length_mm=length, play_factor=1.0
    )
    assert got.corner_pressure_mpa == pytest.approx(pressure, abs=0.005)
    assert got.warnings == ()


@pytest.mark.parametrize(("shape", "flats"), [("hexagon", 6), ("square", 4)])
def test_socket_pressure_carries_the_torque(shape, flats):
    """Summed over the loaded half of every flat the pressure gives the torque back."""
    across, length, torque = 17.0, 20.0, 20e3
    half = across / 2 * math.tan(math.pi / flats)
    peak = sockets.socket_pressure(
        torque, shape=shape, across_flats_mm=across, length_mm=length, play_factor=1.0
    ).corner_pressure_mpa
    steps = 2000
    places = [(i + 0.5) / steps * half for i in range(steps)]
    moment = sum(peak * x / half * x for x in places) * half / steps * length * flats
    assert moment == pytest.approx(torque, rel=1e-5)


def test_long_socket_is_counted_short_and_said_so():
    long = sockets.socket_pressure(20e3, shape="hexagon", across_flats_mm=8, length_mm=40)
    short = sockets.socket_pressure(20e3, shape="hexagon", across_flats_mm=8, length_mm=12)
    assert long.corner_pressure_mpa == short.corner_pressure_mpa
    assert long.bearing_length_mm == 12
    assert "counted with 12.0 mm" in long.warnings[0]


def test_socket_splits_a_thin_hub_first():
    pressure = sockets.socket_pressure(20e3, shape="hexagon", across_flats_mm=17, length_mm=20)
    stresses = [sockets.socket_splitting_stress_mpa(pressure, outer) for outer in (22, 26, 40)]
    assert stresses == sorted(stresses, reverse=True)
    # A very thick hub has the pressure itself as hoop stress, times the corner's factor.
    thick = sockets.socket_splitting_stress_mpa(pressure, 1e5, notch_factor=2.0)
    assert thick == pytest.approx(2 * pressure.mean_outward_mpa, rel=1e-6)
    with pytest.raises(OutOfRangeError, match="over corners"):
        sockets.socket_splitting_stress_mpa(pressure, 19.0)


def test_unknown_socket():
    with pytest.raises(UnknownNameError, match="hexagon"):
        sockets.socket_pressure(1.0, shape="hexagonal", across_flats_mm=8, length_mm=8)


def test_constructed_hexagon_bar():
    """Constructed: steel hexagon 8 at 20 N m: 208 MPa, 3.04 deg per 100 mm with G = 80 GPa."""
    assert torsion.hexagon_torsion_stress_mpa(20e3, 8.0) == pytest.approx(208, abs=0.5)
    twist = torsion.twist_deg(20e3, 100.0, 80e3, torsion.hexagon_torsion_constant_mm4(8.0))
    assert twist == pytest.approx(3.04, abs=0.005)


@pytest.mark.parametrize(
    ("ratio", "beta", "alpha"),
    [
        (1, 0.14058, 0.20817), (1.2, 0.16612, 0.21893), (1.5, 0.19576, 0.23097),
        (2, 0.22868, 0.24588), (3, 0.26332, 0.26721), (5, 0.29132, 0.29150),
        (10, 0.31233, 0.31233),
    ],
)  # fmt: skip
def test_rectangle_torsion_series(ratio, beta, alpha):
    """[memory: Timoshenko & Goodier, torsion of rectangular bars], to five decimals."""
    constant = torsion.rectangle_torsion_constant_mm4(ratio, 1.0)
    assert constant / ratio == pytest.approx(beta, abs=6e-6)
    assert 1 / torsion.rectangle_torsion_stress_mpa(ratio, 1.0, ratio) == pytest.approx(
        alpha, abs=6e-6
    )


def test_slender_rectangle_is_a_strip():
    assert torsion.rectangle_torsion_stress_mpa(1.0, 3000.0, 1.0) == pytest.approx(
        3 / 3000, rel=1e-3
    )
    assert torsion.square_torsion_stress_mpa(-5.0, 2.0) == torsion.square_torsion_stress_mpa(
        5.0, 2.0
    )


def test_constructed_pinned_hub():
    """Constructed: 20 N m, shaft 15, pin 5, wall 8."""
    joint = sockets.pinned_hub(20e3, shaft_mm=15, pin_mm=5, hub_wall_mm=8)
    assert joint.hub_pressure_mpa == pytest.approx(21.74, abs=0.005)
    assert joint.shaft_pressure_mpa == pytest.approx(106.67, abs=0.005)
    assert joint.pin_shear_mpa == pytest.approx(67.91, abs=0.005)


def test_constructed_bolt_circle():
    """Constructed: 20 N m, 4 x M5 on 20 mm, plate 6: 250 N, 8.33 MPa, 16.7 if two carry."""
    all_bear = bolts.bolt_circle_force_n(20e3, bolts.bolts_that_bear(4, fitted=True), 20.0)
    half_bear = bolts.bolt_circle_force_n(20e3, bolts.bolts_that_bear(4), 20.0)
    assert all_bear == pytest.approx(250)
    assert bolts.bearing_pressure_mpa(all_bear, 5.0, 6.0) == pytest.approx(8.33, abs=0.005)
    assert bolts.bearing_pressure_mpa(half_bear, 5.0, 6.0) == pytest.approx(16.7, abs=0.05)
    assert bolts.friction_torque_nmm(4, 0.2, 1250.0, 20.0) == pytest.approx(20e3)


def test_how_many_bolts_bear():
    assert [bolts.bolts_that_bear(n) for n in (2, 3, 4, 5, 6, 8)] == [2, 2, 2, 2, 3, 4]
    with pytest.raises(OutOfRangeError):
        bolts.bolts_that_bear(1)


@given(
    places=st.lists(
        st.tuples(st.floats(-50, 50), st.floats(-50, 50)), min_size=2, max_size=8, unique=True
    ),
    force=st.tuples(st.floats(-1e3, 1e3), st.floats(-1e3, 1e3)),
    at=st.tuples(st.floats(-200, 200), st.floats(-200, 200)),
)
def test_bolt_group_is_in_balance(places, force, at):
    spread = max(math.dist(p, places[0]) for p in places)
    if spread < 1.0:
        return
    shares = bolts.bolts_of_group_n(places, force, at)
    assert sum(f[0] for f in shares) == pytest.approx(force[0], abs=1e-6)
    assert sum(f[1] for f in shares) == pytest.approx(force[1], abs=1e-6)
    moment = sum(p[0] * f[1] - p[1] * f[0] for p, f in zip(places, shares, strict=True))
    assert moment == pytest.approx(at[0] * force[1] - at[1] * force[0], abs=1e-4)


def test_constructed_preload():
    """Constructed: M5, 3 N m, K 0.2; washer 10/5.5; 1000 h after the first minute."""
    preload = bolts.preload_from_torque_n(3000.0, 5.0)
    assert preload == pytest.approx(3000)
    assert bolts.washer_pressure_mpa(preload, 10.0, 5.5) == pytest.approx(54.8, abs=0.05)
    assert bolts.preload_left(1000.0, 0.03) == pytest.approx(0.72, abs=0.005)
    assert bolts.preload_left(1000.0, 0.05) == pytest.approx(0.58, abs=0.005)


def test_constructed_threads():
    """Constructed: M5, 10 mm, 15 MPa: 137.4 mm2 and 2062 N; insert 6.4 x 9.5, eta 0.5: 1433 N."""
    assert threads.strip_area_mm2(5.0, 10.0) == pytest.approx(137.4, abs=0.05)
    # The exact area of VDI 2230 [memory]: pi d (L/P)(P/2 + (d - D2) tan 30 deg), M5: D2 = 4.48.
    exact = math.pi * 5 * (10 / 0.8) * (0.4 + (5 - 4.48) * math.tan(math.radians(30)))
    assert threads.strip_area_mm2(5.0, 10.0) == pytest.approx(exact, rel=0.005)
    full = threads.screw_strip_force_n(5.0, 10.0, 15.0, printed_share=1.0)
    assert full == pytest.approx(2062, abs=0.8)
    assert threads.screw_strip_force_n(5.0, 10.0, 15.0) == pytest.approx(full / 2)
    insert = threads.insert_pull_out_force_n(6.4, 9.5, 15.0, efficiency=0.5)
    assert insert == pytest.approx(1433, abs=0.8)
    with pytest.raises(OutOfRangeError, match="three diameters"):
        threads.screw_strip_force_n(5.0, 16.0, 15.0)


def test_captive_nut():
    """Constructed: hexagon of 8 mm has sides of 4.619 and, with a 5.5 hole, 31.67 mm2."""
    assert threads.captive_nut_pressure_mpa(1000.0, 8.0, 5.5) == pytest.approx(
        1000 / 31.67, rel=1e-3
    )
    closed = threads.captive_nut_floor_shear_mpa(1000.0, 8.0, 4.0)
    assert closed == pytest.approx(1000 / (6 * 4.619 * 4), rel=1e-3)
    assert threads.captive_nut_floor_shear_mpa(1000.0, 8.0, 4.0, 3) == pytest.approx(2 * closed)


def test_constructed_press_fit():
    """Constructed: bearing 22, wall 32, interference 0.05, E 2200, nu 0.38, b 7, mu 0.2."""
    fit = press_fit.press_fit(
        interference_mm=0.05,
        joint_mm=22.0,
        hub_outer_mm=32.0,
        length_mm=7.0,
        hub_modulus_mpa=2200.0,
        hub_poisson=0.38,
        friction=0.2,
    )
    assert press_fit.lame_hoop_factor(22.0, 32.0) == pytest.approx(2.793, abs=5e-4)
    assert fit.pressure_mpa == pytest.approx(1.576, abs=5e-4)
    assert fit.hoop_stress_mpa == pytest.approx(4.40, abs=0.005)
    assert fit.axial_hold_n == pytest.approx(152, abs=0.6)
    assert fit.torque_hold_nmm == pytest.approx(fit.axial_hold_n * 11)
    lost = press_fit.interference_lost_mm(22.0, 30.0, 80e-6)
    assert lost == pytest.approx(0.0449, abs=5e-5)


def test_press_fit_against_the_thick_cylinder():
    """Lame's ring under its own pressure widens by just the interference (rigid shaft)."""
    fit = press_fit.press_fit(
        interference_mm=0.1,
        joint_mm=20.0,
        hub_outer_mm=40.0,
        length_mm=5.0,
        hub_modulus_mpa=2000.0,
        hub_poisson=0.35,
        friction=0.2,
    )
    # Thick cylinder of 10/20 mm under 5 MPa: u = 0.0504167 mm, hoop 8.3333 MPa (Lame, exact).
    assert fit.pressure_mpa == pytest.approx(5.0 * 0.05 / 0.0504167, rel=1e-5)
    assert fit.hoop_stress_mpa / fit.pressure_mpa == pytest.approx(8.3333 / 5, rel=1e-4)


def test_soft_shaft_loosens_a_press_fit():
    common = {
        "interference_mm": 0.05,
        "joint_mm": 22.0,
        "hub_outer_mm": 32.0,
        "length_mm": 7.0,
        "hub_modulus_mpa": 2200.0,
        "hub_poisson": 0.38,
        "friction": 0.2,
    }
    rigid = press_fit.press_fit(**common)
    soft = press_fit.press_fit(**common, shaft_modulus_mpa=2200.0, shaft_poisson=0.38)
    assert soft.pressure_mpa < rigid.pressure_mpa
    with pytest.raises(OutOfRangeError, match="isn't elastic"):
        press_fit.press_fit(**(common | {"interference_mm": 1.0}))


def test_constructed_cross_pin():
    """Constructed: 15.3 N m, two planets, r_ms 16.693, pin 6, wall 6 at 24 mm."""
    got = pin.cross_pin(
        15.3e3,
        planets=2,
        side_mean_radius_mm=16.693,
        wall_radius_mm=24.0,
        pin_mm=6.0,
        wall_mm=6.0,
        planet_bore_length_mm=8.0,
    )
    assert got.planet_force_n == pytest.approx(458.28, abs=0.01)
    assert got.wall_force_n == pytest.approx(318.75, abs=0.005)
    assert got.moment_nmm == pytest.approx(2329, abs=0.6)
    assert got.bending_stress_mpa == pytest.approx(109.8, abs=0.05)
    assert got.wall_pressure_mpa == pytest.approx(8.85, abs=0.005)
    # The pin is in balance: planet and wall forces have one moment about the axis.
    assert got.planet_force_n * 16.693 == pytest.approx(got.wall_force_n * 24.0)


def test_thrust_faces():
    """Constructed: 70.72 N per mesh on the side gear, 44.20 on the planet, two planets."""
    assert pin.side_gear_thrust_n(70.72, 2) == pytest.approx(141.44)
    assert pin.planet_thrust_n(44.20) == pytest.approx(88.40)
    assert pin.thrust_face_pressure_mpa(141.44, 24.0, 12.0) == pytest.approx(
        141.44 / (math.pi * (12**2 - 6**2))
    )
    assert pin.case_bolt_tension_n(141.44, 4) == pytest.approx(35.36)
    with pytest.raises(OutOfRangeError):
        pin.thrust_face_pressure_mpa(10.0, 12.0, 12.0)


@given(torque=st.floats(1, 1e6))
def test_double_torque_doubles_every_joint_stress(torque):
    def stresses(t):
        socket = sockets.socket_pressure(t, shape="square", across_flats_mm=12, length_mm=18)
        hub = sockets.pinned_hub(t, shaft_mm=15, pin_mm=5, hub_wall_mm=8)
        cross = pin.cross_pin(
            t,
            planets=2,
            side_mean_radius_mm=16,
            wall_radius_mm=24,
            pin_mm=6,
            wall_mm=6,
            planet_bore_length_mm=8,
        )
        return [
            socket.corner_pressure_mpa,
            sockets.socket_splitting_stress_mpa(socket, 26),
            hub.hub_pressure_mpa,
            cross.bending_stress_mpa,
            cross.planet_pressure_mpa,
            sockets.key_shear_mpa(t, 15, 5, 20),
            sockets.key_pressure_mpa(t, 15, 5, 20),
            bolts.bolt_circle_force_n(t, 2, 20),
        ]

    assert stresses(2 * torque) == pytest.approx([2 * s for s in stresses(torque)])
