"""What jacks push and pull with: published examples, and the catalogues' forces."""

from __future__ import annotations

import math

import pytest

from core.sizes.cylinders import BAR, PRESSURES, PSI, forces, pull, push
from core.sizes.offers import bores, piston_rods
from core.units import parse_length
from core.units.loads import POUND, parse_force

INCH = 25.4


def test_a_pound_on_a_square_inch():
    """NIST Special Publication 811, appendix B.8: 6894.757 Pa (seen in a public transcription)."""
    assert pytest.approx(6894.757, abs=6e-4) == PSI * 1e6


def test_a_load_of_a_thousand_pounds_on_a_bore_of_two_inches():
    """A. Esposito, Fluid Power with Applications, example 6-1 (seen in a public transcription of it): 318 psi on the
    full bore, and 424.4 on the side of a rod of one inch."""
    load = 1000.0 * POUND
    assert load / push(2.0 * INCH, 1.0) / PSI == pytest.approx(318.0, abs=0.6)
    assert load / pull(2.0 * INCH, INCH, 1.0) / PSI == pytest.approx(424.41318, abs=1e-4)


def test_thrust_and_bore_of_two_rams():
    """J. A. Sullivan, Fluid Power: Theory and Applications, examples 8.3 and 8.1 (seen in a public transcription): 3 in
    at 2000 psi push with 14137 lbf; 80000 lbf at 1600 psi need 7.979 in."""
    assert push(3.0 * INCH, 2000.0 * PSI) / POUND == pytest.approx(14137.0, abs=0.6)
    assert math.sqrt(80000.0 * POUND / push(1.0, 1600.0 * PSI)) / INCH == pytest.approx(7.979, abs=6e-4)


@pytest.mark.parametrize(
    ("bore", "rod", "pushes", "pulls"),
    [
        (32, 12, 483, 415), (40, 16, 754, 633), (50, 20, 1178, 990), (63, 20, 1870, 1682), (80, 25, 3016, 2721),
        (100, 25, 4712, 4418), (125, 32, 7363, 6881),
    ],
)  # fmt: skip
def test_the_forces_of_standard_jacks_at_6_bar(bore: float, rod: float, pushes: float, pulls: float):
    """ISO 15552: bores seen on two public pages, rods and forces from memory of catalogues. Those up to 80 mm are
    offered."""
    assert push(bore, 6.0 * BAR) == pytest.approx(pushes, abs=0.6)
    assert pull(bore, rod, 6.0 * BAR) == pytest.approx(pulls, abs=0.6)
    if bore <= 80:
        assert f"{bore} mm" in [one.text for one in bores() if one.source == "ISO 15552"]
        assert f"{rod} mm" in [one.text for one in piston_rods() if f"bore of {bore} mm" in one.words]


@pytest.mark.parametrize(
    ("bore", "rod", "pushes", "pulls"),
    [(10, 4, 54.15, 45.49), (12, 4, 77.98, 69.31), (16, 5, 138.63, 125.09)],
)
def test_small_jacks_at_100_psi(bore: float, rod: float, pushes: float, pulls: float):
    """Worked out without friction."""
    assert push(bore, 100.0 * PSI) == pytest.approx(pushes, abs=6e-3)
    assert pull(bore, rod, 100.0 * PSI) == pytest.approx(pulls, abs=6e-3)
    offer = next(one for one in forces(bore, rod) if "100 psi" in one.words)
    assert parse_force(offer.text) == pytest.approx(pushes, abs=6e-3)
    assert f"it pulls with {pulls:g} N" in offer.words


def test_pressures_of_models_are_offered_with_what_they_rest_on():
    """120 psi, 8.27 bar: a maker's note on retracts (seen); 80 to 120 psi custom (from memory)."""
    assert PRESSURES["120 psi"] / BAR == pytest.approx(8.27, abs=6e-3)
    assert [one.words.split("at ")[1] for one in forces(10.0, None)] == list(PRESSURES)
    assert all("without friction" in one.line for one in forces(10.0, None))


def test_without_a_bore_there_is_no_force_and_without_a_rod_no_pull():
    assert forces(None, 4.0) == ()
    assert not any("pulls" in one.words for rod in (None, 10.0, 12.0) for one in forces(10.0, rod))


def test_every_standard_bore_has_its_rod():
    assert [parse_length(one.text) for one in bores()] == sorted(parse_length(one.text) for one in bores())
    assert len(bores()) == len(piston_rods())
