"""How many birds can be marked from the marks and the bands there are."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

from tarsus.core.choosing.assignment_problem import FREE, Codes

Whole = NDArray[np.intp]


def most_marked(kind: Codes, marks: Whole, uses: Whole, wanted: Whole, stock: Whole) -> Codes:
    """Choose options so that as many slots as can be are filled.

    Args:
        kind: ``(O,)`` the class that may take each option.
        marks: ``(O, m)`` numbers of the marks it takes, `FREE` where there is none.
        uses: ``(O, L)`` limited bands it takes.
        wanted: slots of each class.
        stock: ``(L,)`` bands of each limited kind.

    Returns:
        The chosen options; a slot each, at most `wanted` of a class, no marks twice, within the stock.

    Source:
        An integer programme, solved by HiGHS through `scipy.optimize.milp`.
    """
    count = len(kind)
    if not count:
        return np.zeros(0, dtype=np.intp)
    at = np.arange(count)
    rows, columns, values, most = [kind], [at], [np.ones(count)], [wanted.astype(float)]
    first = len(wanted)
    taken = marks != FREE
    numbers, place = np.unique(marks[taken], return_inverse=True)
    rows.append(first + place)
    columns.append(np.broadcast_to(at[:, None], marks.shape)[taken])
    values.append(np.ones(int(taken.sum())))
    most.append(np.ones(len(numbers)))
    first += len(numbers)
    option, limited = np.nonzero(uses)
    rows.append(first + limited)
    columns.append(option)
    values.append(uses[option, limited].astype(float))
    most.append(stock.astype(float))
    shape = (first + len(stock), count)
    matrix = coo_array((np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))), shape=shape)
    found = milp(
        -np.ones(count),
        integrality=np.ones(count, dtype=np.intp),
        bounds=Bounds(0, 1),
        constraints=LinearConstraint(matrix.tocsc(), ub=np.concatenate(most)),
    )
    assert found.x is not None, "marking nobody is always possible"
    return np.flatnonzero(found.x > 0.5)
