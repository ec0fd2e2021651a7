"""The standing wave of one hole pattern, against closed forms, the ladder and conservation of energy."""

import numpy as np
import pytest

from gripway.acoustics.air import Breath
from gripway.acoustics.atlas import open_holes
from gripway.acoustics.end_corrections import PlayerTerm
from gripway.acoustics.ladder import Tube, impedance_at_holes, surface_impedance
from gripway.acoustics.standing_wave import StandingWave, standing_wave, wave_lines
from gripway.catalog.flute.bores import bores
from gripway.catalog.flute.instruments import load_instrument
from gripway.model.bore import Bore, BorePiece, Embouchure
from gripway.model.grip import Grip

FLUTE = load_instrument("concert-flute")
TUBE = Tube(bores(FLUTE)[0], PlayerTerm(121.3, 41.3))
EVEN_BREATH = Breath(at_embouchure_c=26.85, fall_c_per_m=0.0, speed_factor=1.0)
RADIUS_M, LENGTH_M = 0.0095, 0.6


def plain_pipe() -> Tube:
    """A cylinder without holes in air of 26.85 C."""
    pipe = Bore(
        id="plain",
        pieces=(BorePiece(0.0, LENGTH_M, RADIUS_M, RADIUS_M),),
        holes=(),
        embouchure=Embouchure(0.006, 0.006, 0.004),
        cork=BorePiece(-0.0175, 0.0, RADIUS_M, RADIUS_M),
        end_m=LENGTH_M,
    )
    return Tube(pipe, PlayerTerm(0.0, 0.0), EVEN_BREATH)


def is_open(grip: str) -> list[bool]:
    """The open holes of a grip as the bore orders them."""
    pattern = FLUTE.mechanism.hole_pattern(Grip.parse(grip))
    opened: list[bool] = open_holes(FLUTE, TUBE, np.array([pattern]))[0].tolist()
    return opened


def wave_of(grip: str, freq_hz: float) -> StandingWave:
    """The standing wave of a grip on the measured flute."""
    return standing_wave(TUBE, is_open(grip), freq_hz)


def half_wave_m(freq_hz: float) -> float:
    """Half a wavelength in the plain pipe.

    The walls slow sound to c (1 - 1.65e-3 / (a sqrt f)): Fletcher and Rossing, The Physics of
    Musical Instruments, section 8.2 (from memory); c at 26.85 C is Keefe's 347.23 m/s.
    """
    return float(347.23 * (1.0 - 1.65e-3 / (RADIUS_M * np.sqrt(freq_hz))) / freq_hz / 2.0)


@pytest.mark.parametrize("freq_hz", [600.0, 1000.0, 1700.0])
def test_nodes_of_a_plain_pipe_are_half_waves_from_its_end(freq_hz: float) -> None:
    """Pressure nodes stand whole half waves from the end, lengthened by 0.6133 of the radius."""
    # End correction: Levine and Schwinger, Phys. Rev. 73 (1948) 383.
    end_m = LENGTH_M + 0.6133 * RADIUS_M
    nodes = end_m - half_wave_m(freq_hz) * np.arange(1, 10)
    wave = standing_wave(plain_pipe(), [], freq_hz)
    inside = sorted(nodes[nodes > 0.012])  # nearer the embouchure a node has no two sides to be seen from
    assert wave.nodes_m == pytest.approx(inside, abs=0.0005)
    assert wave.effective_end_m == pytest.approx(end_m, abs=0.0003)


def test_flow_is_least_midway_between_pressure_nodes() -> None:
    """Where the pressure of a plain pipe has a node the flow has a loop, and the other way round."""
    # Standing wave of a tube: pressure goes as sin kx, flow as cos kx (any acoustics textbook).
    wave = standing_wave(plain_pipe(), [], 1000.0)
    first, second = wave.nodes_m[:2]
    between = (wave.x_m > first) & (wave.x_m < second)
    place = wave.x_m[between][np.abs(wave.flow[between]).argmin()]
    assert place == pytest.approx((first + second) / 2.0, abs=0.002)


def test_pressure_of_a_plain_pipe_follows_a_sine() -> None:
    """Away from the nodes, the magnitude is a sine of the distance from the effective end."""
    wave = standing_wave(plain_pipe(), [], 1000.0)
    sine = np.abs(np.sin(np.pi * (wave.effective_end_m - wave.x_m) / half_wave_m(1000.0)))
    assert np.abs(np.abs(wave.pressure) / np.abs(wave.pressure).max() - sine).max() < 0.06  # wall losses


@pytest.mark.parametrize("grip", ["T L1 L2 L3 | R1 R2 R3 C", "T L2 L3 | Eb", "|", "T L1 L3 | R1 Eb"])
@pytest.mark.parametrize("freq_hz", [300.0, 1175.0, 2100.0])
def test_quotient_of_pressure_and_flow_is_the_ladders_impedance(grip: str, freq_hz: float) -> None:
    """Carried values and the ladder agree above the first hole."""
    wave = wave_of(grip, freq_hz)
    above = np.searchsorted(wave.x_m, TUBE.bore.holes[0].x_m)
    expected = impedance_at_holes(np.array([freq_hz]), TUBE, np.array([is_open(grip)]))[0, 0]
    assert wave.pressure[above] / wave.flow[above] == pytest.approx(expected, rel=1e-8)


@pytest.mark.parametrize("grip", ["T L1 L2 L3 | Eb", "T L2 L3 | Eb", "L2 L3 L4 | Eb"])
def test_power_never_grows_toward_the_foot(grip: str) -> None:
    """Walls and open holes only take energy, and what is left leaves at the foot."""
    wave = wave_of(grip, 1180.0)
    power = 0.5 * np.real(wave.pressure * np.conj(wave.flow))
    assert (np.diff(power) <= 1e-9 * power[0]).all()
    assert power[-1] > 0.0


def test_pressure_runs_on_across_holes_and_open_ones_take_the_flow() -> None:
    """At a hole the pressure hardly steps; the flow steps far more at an open hole than at a shut one."""
    wave = wave_of("T L1 L2 L3 | Eb", 784.0)
    own = surface_impedance(TUBE)
    steps = np.flatnonzero(np.diff(wave.x_m) == 0.0)
    assert len(steps) == len(wave.holes)
    assert np.abs(wave.pressure[steps + 1] - wave.pressure[steps]).max() < 0.05
    flow_steps = own * np.abs(wave.flow[steps + 1] - wave.flow[steps])
    first_open = wave.is_open.index(True)
    assert flow_steps[first_open] > 3.0 * flow_steps[:first_open].max()


def test_places_run_from_embouchure_to_foot_about_every_two_millimetres() -> None:
    """The axis starts at the embouchure, ends at the foot, and no step is longer than 2 mm."""
    wave = wave_of("T L1 L2 L3 | Eb", 784.0)
    assert wave.x_m[0] == 0.0
    assert wave.x_m[-1] == TUBE.bore.end_m
    assert np.diff(wave.x_m).min() >= 0.0
    assert np.diff(wave.x_m).max() <= 0.002 + 1e-12
    assert np.abs(wave.pressure).max() == pytest.approx(1.0)


def test_a_vent_does_not_end_the_tube_but_the_first_open_hole_does() -> None:
    """Lifting L1 under D6 leaves the end at the G4 hole, a little beyond it."""
    # Common practice, no source: D6 is the G4 grip vented at the small C#5 hole.
    low, vented = wave_of("T L1 L2 L3 | Eb", 1163.0), wave_of("T L2 L3 | Eb", 1168.0)
    hole_m = next(here.x_m for here in TUBE.bore.holes if here.id == "g")
    assert hole_m < low.effective_end_m < hole_m + 0.030
    assert vented.effective_end_m == pytest.approx(low.effective_end_m, abs=0.001)


def test_the_plot_marks_open_holes_and_nodes_where_they_are() -> None:
    """Under the plot, O stands at each open hole and ^ at each node, to the scale of the tube."""
    wave = wave_of("T L2 L3 | Eb", 1168.0)
    lines = wave_lines(wave, {"g": "G4"})
    tube = next(line for line in lines if line.lstrip().startswith("E="))
    nodes = lines[lines.index(tube) + 1]
    start, last = tube.index("E"), len(tube) - 1
    scale_m = TUBE.bore.end_m / (last - start)
    at = [(place - start) * scale_m for place, mark in enumerate(tube) if mark == "O"]
    assert at == pytest.approx([here.x_m for here in wave.open_holes], abs=scale_m)
    at = [(place - start) * scale_m for place, mark in enumerate(nodes) if mark == "^"]
    assert at == pytest.approx(wave.nodes_m, abs=scale_m)
    assert any("G4 377" in line for line in lines)


@pytest.mark.parametrize("width", [40, 80, 100, 200])
def test_the_plot_keeps_to_its_width_in_plain_characters(width: int) -> None:
    """No line is wider than asked nor than 100 columns, and every character is ASCII."""
    lines = wave_lines(wave_of("|", 1100.0), width=width)
    assert max(map(len, lines)) <= min(width, 100)
    assert all(line.isascii() for line in lines)
