"""What drawings are fitted, bodies carried and linkages sorted by, which takes a quarter of a second to load: where it
is first needed, since the start of the window need not wait for it, or before that, aside."""

from __future__ import annotations


def load_solvers() -> None:
    """Have it there, so that the first fit, carry or pull takes no longer than any other."""
    import scipy.optimize
    import scipy.sparse.csgraph
    import scipy.spatial  # noqa: F401 - only to have them there
