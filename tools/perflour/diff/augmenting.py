"""Who goes with whom at the least cost in all, of any number, by shortest augmenting paths.

D. F. Crouse, On implementing 2D rectangular assignment algorithms, IEEE Transactions on Aerospace and Electronic
Systems 52 (2016) 1679-1696, ties as scipy's ``linear_sum_assignment`` settles them. A library would bring numpy,
which weighs more than all else that a diff needs: docs/install.md.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

from perflour.tuples import NamedTuple

#: No row or column.
NONE = -1


class _Path(NamedTuple):
    """The cheapest way from a row to a column that nobody has.

    ``by`` is the row before each column on the way, ``costs`` what it costs to get there, ``rows`` and
    ``columns`` which ones were gone through.
    """

    end: int
    cost: float
    by: list[int]
    costs: list[float]
    rows: list[int]
    columns: list[int]


class _State(NamedTuple):
    """What each row and column pays, and whom it has."""

    row_pays: list[float]
    column_pays: list[float]
    column_of: list[int]
    row_of: list[int]


def cheapest_columns(costs: Sequence[Sequence[float]]) -> list[int]:
    """For each row its column, all of them different; there are at least as many columns as rows."""
    many, wide = len(costs), len(costs[0]) if costs else 0
    state = _State([0.0] * many, [0.0] * wide, [NONE] * many, [NONE] * wide)
    for row in range(many):
        path = _cheapest_path(costs, state, row)
        _pay(state, path, row)
        _take(state, path, row)
    return state.column_of


def _cheapest_path(costs: Sequence[Sequence[float]], state: _State, row: int) -> _Path:
    wide = len(state.row_of)
    by, reached = [NONE] * wide, [inf] * wide
    # from the last to the first, so that where all costs are alike each stays where it is
    open_columns = list(range(wide - 1, -1, -1))
    rows, columns, least = [row], list[int](), 0.0
    while True:
        own, paid, lowest, chosen = costs[row], state.row_pays[row], inf, NONE
        for at, column in enumerate(open_columns):
            cost = least + own[column] - paid - state.column_pays[column]
            if cost < reached[column]:
                by[column], reached[column] = row, cost
            cost = reached[column]
            if cost < lowest or (cost == lowest and state.row_of[column] == NONE):
                lowest, chosen = cost, at
        least, column = lowest, open_columns[chosen]
        columns.append(column)
        if state.row_of[column] == NONE:
            return _Path(column, least, by, reached, rows, columns)
        row = state.row_of[column]
        rows.append(row)
        open_columns[chosen] = open_columns[-1]
        open_columns.pop()


def _pay(state: _State, path: _Path, first: int) -> None:
    """What was gone through pays the difference, so that no pair that is held costs anything more."""
    state.row_pays[first] += path.cost
    for row in path.rows[1:]:
        state.row_pays[row] += path.cost - path.costs[state.column_of[row]]
    for column in path.columns:
        state.column_pays[column] -= path.cost - path.costs[column]


def _take(state: _State, path: _Path, first: int) -> None:
    """Back along the way each row takes the column behind it."""
    column, row = path.end, NONE
    while row != first:
        row = path.by[column]
        state.row_of[column] = row
        state.column_of[row], column = column, state.column_of[row]
