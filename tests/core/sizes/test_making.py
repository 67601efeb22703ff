"""What ways of making leave, and what printed parts, gearings and drives are off by: as their sources have it."""

from __future__ import annotations

import math

import pytest

from core.sizes.driving import LENGTHS, PIVOTS, backlash_of_gears, backlashes, hystereses, resolutions
from core.sizes.making import USUAL
from core.sizes.offers import plays, usual
from core.units import parse_angle, parse_length


@pytest.mark.parametrize(
    ("way", "within", "standing"),
    [
        ("turned", 0.02, "unconfirmed"), ("milled", 0.05, "unconfirmed"), ("drilled", 0.2, "unconfirmed"),
        ("filed", 0.2, "unconfirmed"), ("printed", 0.3, "makers"), ("resin", 0.1, "makers"), ("etched", 0.05, "makers"),
    ],
)  # fmt: skip
def test_what_a_way_of_making_leaves(way: str, within: float, standing: str):
    """Lathe 0.02, mill 0.05, drilled after marking out 0.2 and filed 0.2 mm: custom of home workshops (from memory).
    Thread 0.3 mm below 100 mm and resin 0.1 mm: a printing service's guide (seen). Etched sheet a tenth of its
    thickness: two etching services' guides (seen), here of half a millimetre's."""
    one = USUAL[way]
    assert one.within == within
    assert standing in one.source
    (offer,) = usual(way)
    assert parse_length(offer.text) == within
    assert one.source in offer.line


def test_printed_parts_that_turn_are_offered_their_gaps():
    """0.4 mm of thread and 0.25 mm of resin: a printing service's help page (seen)."""
    found = {one.words: parse_length(one.text) for one in plays(3.0) if one.source == "what makers of such parts state"}
    assert found == {"runs, printed of thread": 0.4, "runs, printed of resin": 0.25}


def test_a_gear_s_backlash_is_a_part_of_its_module():
    """3 to 6 % of the module when new: a gear maker's glossary (seen). At the rim of 40 teeth of module 0.5, which is
    10 mm from the middle, 5 % are 0.025 mm."""
    assert math.radians(backlash_of_gears(40)) * 10.0 == pytest.approx(0.025)
    assert [parse_angle(one.text) for one in backlashes()] == pytest.approx([0.48, 0.29, 0.14, 0.0])
    assert all(one.source for one in backlashes())


def test_a_servo_s_dead_band_is_its_resolution():
    """5 µs of dead band, as data sheets have it (seen on a forum that quotes them), of 1000 µs for 90°; and 426 steps
    in 190°, as somebody has measured one (seen on another)."""
    assert PIVOTS.resolution == pytest.approx(5.0 / 1000.0 * 90.0)
    assert PIVOTS.resolution == pytest.approx(190.0 / 426.0, abs=0.005)


@pytest.mark.parametrize("offered", [resolutions, hystereses])
def test_the_usual_and_a_stop_are_offered_of_a_drive(offered):
    for usual_one, degrees, parse in ((PIVOTS, True, parse_angle), (LENGTHS, False, parse_length)):
        first, stop = offered(usual_one, degrees=degrees)
        assert parse(first.text) in (usual_one.resolution, usual_one.hysteresis)
        assert parse(stop.text) == 0.0
        assert first.source
        assert stop.source == "common practice, no source"
