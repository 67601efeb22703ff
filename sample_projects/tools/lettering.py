"""Lettering in single strokes, as a pen in a guide writes it: no typeface is needed to make the sheets again."""

from __future__ import annotations

from functools import cache
from itertools import pairwise

from sample_projects.tools.plane import Point

Stroke = tuple[Point, ...]

HEIGHT = 6.0
"""Of a capital, on the grid in which the letters are given; they are up to 4 wide."""

_LETTERS = """
A 002640 1232
B 0006 ~063645443303 ~033342413000
C ~4536160501103041
D 0006 ~062645412000
E 46060040 0333
F 460600 0333
G ~4536160501103041 4143 4323
H 0006 4046 0343
I 0006
J 4642 ~424130100102
K 0006 4602 1340
L 060040
M 0006234640
N 00064046
O ~010516364541301001
P 0006 ~063645443303
Q ~010516364541301001 2240
R 0006 ~063645443303 2340
S ~453616050413334241301001
T 2026 0646
U 0602 ~020110304142 4246
V 062046
W 0610243046
X 0046 0640
Y 0623 4623 2320
Z 06460040
0 ~010516364541301001
1 0516 1610
2 ~051636454400 0040
3 ~05163645443323 ~23334241301001
4 30360141
5 460603 ~03334241301001
6 ~453616050110304142331302
7 064610
8 ~3304051636454413 ~1302011030414233
9 ~011030414536160504133344
- 0343
. 0001
, 1100
/ 0046
: 0102 0405
( ~16040210
) ~06141200
' 0604
= 0242 0444
+ 0343 2125
* 0145 0541
"""


@cache
def strokes(letter: str) -> tuple[Stroke, ...]:
    """The pen strokes of one letter; a letter that has none leaves a space."""
    for line in _LETTERS.strip().splitlines():
        if line[0] == letter:
            return tuple(_stroke(text) for text in line[2:].split())
    return ()


def advance(letter: str) -> float:
    """From one letter's left edge to the next one's."""
    return {" ": 3.4, "I": 1.8, ".": 1.8, ",": 2.8, ":": 1.8, "'": 1.8, "1": 2.8, "(": 2.8, ")": 2.8}.get(letter, 5.8)


def width(text: str) -> float:
    return sum(advance(letter) for letter in text) - 1.8 if text else 0.0


def _stroke(text: str) -> Stroke:
    digits = text.removeprefix("~")
    points = tuple((float(x), float(y)) for x, y in zip(digits[::2], digits[1::2], strict=True))
    return _smooth(points) if text.startswith("~") else points


def _smooth(points: Stroke) -> Stroke:
    """Corners cut three times over; the ends stay, or, of a closed stroke, run into each other."""
    for _ in range(3):
        closed = points[0] == points[-1]
        cut: list[Point] = [] if closed else [points[0]]
        for (x, y), (to_x, to_y) in pairwise(points):
            cut.append((0.75 * x + 0.25 * to_x, 0.75 * y + 0.25 * to_y))
            cut.append((0.25 * x + 0.75 * to_x, 0.25 * y + 0.75 * to_y))
        cut.append(cut[0] if closed else points[-1])
        points = tuple(cut)
    return points
