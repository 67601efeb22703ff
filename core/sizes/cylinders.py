"""What a jack pushes and pulls with by its bore, its piston rod and the pressure behind it, without friction."""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

from core.sizes.offer import Offer
from core.units import format_number
from core.units.loads import INCH, POUND, format_force

BAR = 0.1
"""N/mm²."""
PSI = POUND / INCH**2
"""N/mm²: a pound-force on a square inch."""
PRESSURES: Mapping[str, float] = MappingProxyType(
    {"80 psi": 80.0 * PSI, "100 psi": 100.0 * PSI, "120 psi": 120.0 * PSI, "6 bar": 6.0 * BAR}
)
"""Air in models: 80 to 120 psi, of which a maker of retracts states the upper end and the rest is custom; and 6 bar, at
which catalogues of jacks give their forces, from memory."""
SOURCE = "bore and pressure, without friction"


def push(bore: float, pressure: float) -> float:
    """Newtons, of mm and N/mm²."""
    return 0.25 * math.pi * bore**2 * pressure


def pull(bore: float, rod: float, pressure: float) -> float:
    """Newtons on the side on which the piston rod, of so many mm, takes its room away."""
    return push(bore, pressure) - push(rod, pressure)


def forces(bore: float | None, rod: float | None) -> tuple[Offer, ...]:
    """What a jack of a bore in mm may push with; nothing where that is not known."""
    if bore is None:
        return ()
    return tuple(
        Offer(format_force(push(bore, pressure)), SOURCE, _words(bore, rod, name, pressure))
        for name, pressure in PRESSURES.items()
    )


def _words(bore: float, rod: float | None, name: str, pressure: float) -> str:
    pushes = f"bore of {format_number(bore)} mm at {name}"
    if rod is None or rod >= bore:
        return pushes
    return f"{pushes}; it pulls with {format_force(pull(bore, rod, pressure))}"
