"""One catalogue of mechanisms with known answers; every routine is crossed with it."""

from __future__ import annotations

from functools import cache

from tests.mechanisms.example import Example
from tests.mechanisms.four_bars import Dyad, FourBar, four_bar, four_bar_of_rods, six_bar
from tests.mechanisms.lattices import (
    change_point,
    coupled_cranks,
    five_bar,
    parallelogram,
    peaucellier,
    relative_drive,
)
from tests.mechanisms.sliders import (
    JackedLeg,
    SliderCrank,
    barrelled_leg,
    jacked_leg,
    scotch_yoke,
    shaper,
    slider_crank,
    slider_driven,
    slotted_lever,
)
from tests.mechanisms.undercarriage import (
    crane_trolley,
    folding_brace,
    geared_pair,
    latched_leg,
    torque_tube,
    wheel_on_axle,
)

CRANK_ROCKER = FourBar(ground=100.0, crank=40.0, coupler=120.0, rocker=80.0)
DRAG_LINK = FourBar(ground=30.0, crank=100.0, coupler=60.0, rocker=80.0, drawn=60.0)
LEG = JackedLeg(foot=300 + 150j, radius=120.0, drawn=-90.0)


@cache
def catalogue() -> tuple[Example, ...]:
    """Every example, each with a sequence called `run`."""
    return (*_four_bars(), *_six_bars(), *_sliders(), *_lattices(), *_undercarriage())


def _four_bars() -> tuple[Example, ...]:
    crossed = FourBar(ground=100.0, crank=40.0, coupler=120.0, rocker=80.0, side=-1.0)
    crossed_drag = FourBar(ground=30.0, crank=100.0, coupler=60.0, rocker=80.0, drawn=60.0, side=-1.0)
    double_rocker = FourBar(ground=70.0, crank=40.0, coupler=25.0, rocker=45.0, drawn=50.0)
    return (
        four_bar(CRANK_ROCKER, name="crank-rocker, open"),
        four_bar(crossed, name="crank-rocker, crossed", turn=-360.0),
        four_bar(CRANK_ROCKER, name="crank-rocker, started elsewhere", start=140.0),
        four_bar(DRAG_LINK, name="drag link, open"),
        four_bar(crossed_drag, name="drag link, crossed"),
        four_bar(double_rocker, name="double rocker, within its limits", turn=-30.0),
        four_bar_of_rods(CRANK_ROCKER, name="crank-rocker with a rod for coupler"),
    )


def _six_bars() -> tuple[Example, ...]:
    watt_1 = Dyad(first=("coupler", 60 + 110j), second=("rocker", 140 + 70j), lengths=(60.0, 55.0), side=1.0)
    watt_2 = Dyad(first=("rocker", 130 + 60j), second=("frame", 210 + 10j), lengths=(90.0, 85.0), side=-1.0)
    stephenson_3 = Dyad(first=("coupler", 50 + 100j), second=("frame", 180 + 30j), lengths=(130.0, 105.0), side=1.0)
    return (
        six_bar(CRANK_ROCKER, watt_1, name="Watt's first six-bar", turn=100.0),
        six_bar(CRANK_ROCKER, watt_2, name="Watt's second six-bar"),
        six_bar(CRANK_ROCKER, stephenson_3, name="Stephenson's third six-bar"),
    )


def _sliders() -> tuple[Example, ...]:
    offset = SliderCrank(crank=40.0, rod=120.0, offset=-20.0)
    far_side = SliderCrank(crank=40.0, rod=120.0, offset=25.0, side=-1.0, line=-35.0)
    return (
        slider_crank(SliderCrank(crank=40.0, rod=120.0), name="slider-crank"),
        slider_crank(offset, name="offset slider-crank"),
        slider_crank(far_side, name="offset slider-crank on its other side", turn=-360.0),
        slider_crank(offset, name="offset slider-crank with a rod", as_rod=True),
        slider_driven(offset, name="slider-crank pushed by its slider", travel=-30.0),
        jacked_leg(LEG, name="leg on a jack", to=250.0, closed=240.0),
        barrelled_leg(LEG, name="leg on a barrel and piston", to=250.0),
        scotch_yoke(name="Scotch yoke", crank=25.0, drawn=20.0),
        slotted_lever(name="crank and slotted lever", centres=240.0, crank=120.0, drawn=30.0),
        slotted_lever(name="Whitworth's quick return", centres=50.0, crank=75.0, drawn=30.0),
        shaper(name="shaper", centres=80.0, crank=35.0, lever=160.0, link=70.0),
    )


def _lattices() -> tuple[Example, ...]:
    return (
        parallelogram(name="parallelogram", ground=70.0, crank=25.0, drawn=50.0),
        change_point(name="change-point four-bar"),
        coupled_cranks(name="three cranks, one coupler", pins=(0j, 60 + 0j, 25 + 40j), crank=20.0, drawn=30.0),
        coupled_cranks(name="double parallelogram", pins=(0j, 60 + 0j, 110 + 0j), crank=20.0, drawn=30.0),
        coupled_cranks(
            name="three cranks, a rod too many", pins=(0j, 60 + 0j, 25 + 40j), crank=20.0, drawn=30.0, rods=True
        ),
        peaucellier(name="Peaucellier's cell", long=100.0, short=45.0, crank=36.0, swing=60.0),
        five_bar(name="five-bar with two drives"),
        relative_drive(name="four-bar driven at its coupler", travel=25.0),
    )


def _undercarriage() -> tuple[Example, ...]:
    return (
        folding_brace(name="folding brace past its centre", past=-4.0),
        wheel_on_axle(name="wheel on its axle"),
        torque_tube(name="torque tube through three views"),
        geared_pair(name="geared five-bar", ratio=-1.0),
        geared_pair(name="geared five-bar, two to one", ratio=2.0),
        latched_leg(name="collar latched to a leg"),
        crane_trolley(name="slide on a slide on an arm"),
    )
