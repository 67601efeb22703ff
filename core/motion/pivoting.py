"""Which columns of a matrix carry its rank, by QR with column pivoting.

G. H. Golub, C. F. Van Loan, Matrix Computations. scipy is imported where it is first needed: it takes a third of a
second, which the start of the window need not wait for.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.geometry.planar import Floats


def pivoted(matrix: Floats) -> tuple[Floats, NDArray[np.intp]]:
    """Of an (m, n) matrix its upper triangle and the order of its columns, the most telling first."""
    from scipy.linalg import qr

    upper, order = qr(matrix, mode="r", pivoting=True)
    return upper, order
