"""Where oleos stand: as published ratios and rules of thumb have it."""

from __future__ import annotations

import pytest

from core.sizes.oleos import statics, used_when_static
from core.units import parse_length


@pytest.mark.parametrize(("extension", "compression", "share"), [(4.0, 3.0, 0.818182), (2.1, 1.9, 0.698997)])
def test_the_share_of_the_stroke_that_compression_ratios_leave(extension: float, compression: float, share: float):
    """Ratios of Currey's from memory; the shares worked out with pressure times room the same throughout."""
    assert used_when_static(extension, compression) == pytest.approx(share, abs=1e-6)


def test_where_oleos_stand_is_offered_between_its_ends():
    """Raymer, ch. 11 (from memory): 0.6 of light aircraft, 0.66 of most, 0.84 of large transports."""
    found = {one.words: parse_length(one.text) for one in statics(10.0, -5.0)}
    assert found["most stand at 66%"] == pytest.approx(10.0 - 0.66 * 15.0)
    assert found["light aircraft stand at 60%"] == pytest.approx(1.0)
    assert found["large transports stand at 84%"] == pytest.approx(-2.6)
    assert found["gas of 4 and 3 to 1: 82%"] == pytest.approx(10.0 - 15.0 * 0.818182, abs=1e-3)
    assert list(found.values()) == sorted(found.values(), reverse=True), "from full extension on"
    assert all("unconfirmed" in one.line for one in statics(10.0, -5.0))


def test_in_the_aircraft_s_unit():
    assert statics(0.0, 25.4, "in")[0].text == "0.6 in"
