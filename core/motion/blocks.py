"""Which of several groups must be found together, and in what order.

The rows and unknowns of what is left are matched, and fall apart as A. L. Dulmage and N. S. Mendelsohn showed (1958;
A. Pothen and C.-J. Fan, ACM Trans. Math. Softw. 16, 1990): what has more rows than unknowns, what has as many, and what
has fewer. The middle part falls further into the strongly connected components of "needs to know".
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

Pattern = Sequence[frozenset[int]]
"""Of each row, the unknowns it speaks of: 3 g, 3 g + 1 and 3 g + 2 are the place and the turn of group g."""


@dataclass(frozen=True, slots=True)
class Parts:
    """Unknowns by the part they fall into."""

    over: frozenset[int]
    square: frozenset[int]
    under: frozenset[int]
    needs: dict[int, frozenset[int]]
    """Of each matched unknown, what the row that gives it speaks of."""


def fall_apart(rows: Pattern, unknowns: int) -> Parts:
    partner = _match(rows, unknowns)
    row_of = {column: row for row, column in enumerate(partner) if column >= 0}
    speak: list[list[int]] = [[] for _ in range(unknowns)]
    for row, columns in enumerate(rows):
        for column in columns:
            speak[column].append(row)
    under = {column for column in range(unknowns) if column not in row_of}
    waiting = list(under)
    while waiting:
        for row in speak[waiting.pop()]:
            column = partner[row]
            if column >= 0 and column not in under:
                under.add(column)
                waiting.append(column)
    over: set[int] = set()
    surplus = [row for row, column in enumerate(partner) if column < 0]
    while surplus:
        for column in rows[surplus.pop()]:
            if column not in over and column in row_of:
                over.add(column)
                surplus.append(row_of[column])
    square = set(range(unknowns)) - under - over
    return Parts(
        frozenset(over), frozenset(square), frozenset(under), {column: rows[row] for column, row in row_of.items()}
    )


def _match(rows: Pattern, unknowns: int) -> list[int]:
    """For each row the unknown it gives, or -1."""
    if not rows or not unknowns:
        return [-1] * len(rows)
    ones = [(row, column) for row, columns in enumerate(rows) for column in sorted(columns)]
    at = np.array(ones, dtype=int).reshape(-1, 2)
    # Not at the top: it takes a quarter of a second, which the start of the window need not wait for.
    from scipy.sparse import csr_matrix
    from scipy.sparse.csgraph import maximum_bipartite_matching

    graph = csr_matrix((np.ones(len(at)), (at[:, 0], at[:, 1])), shape=(len(rows), unknowns))
    return [int(column) for column in maximum_bipartite_matching(graph, perm_type="column")]


def knot_of(parts: Parts) -> frozenset[int]:
    """The smallest set of whole groups that can be found without any other; empty where nothing can be found."""
    solvable = parts.over | parts.square
    best: frozenset[int] = frozenset()
    for group in sorted({column // 3 for column in solvable}):
        groups = _whole(group, parts, solvable)
        if groups and (not best or len(groups) < len(best)):
            best = groups
    return best


def _whole(group: int, parts: Parts, solvable: frozenset[int]) -> frozenset[int]:
    """The groups that have to be known for one to be known, or none where one of them cannot be."""
    groups: set[int] = set()
    waiting = [3 * group, 3 * group + 1, 3 * group + 2]
    seen: set[int] = set()
    while waiting:
        column = waiting.pop()
        if column in seen:
            continue
        if column not in solvable:
            return frozenset()
        seen.add(column)
        waiting.extend(parts.needs[column])
        if column // 3 not in groups:
            groups.add(column // 3)
            waiting += [3 * (column // 3) + part for part in range(3)]
    return frozenset(groups)
