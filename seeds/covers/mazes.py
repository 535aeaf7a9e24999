"""A maze in which every place is reached by exactly one way."""

from seeds.covers.curves import chance

Corner = tuple[int, int]
_WAYS = ((0, -1), (1, 0), (0, 1), (-1, 0))


def maze_walls(columns: int, rows: int, seed: str) -> list[tuple[Corner, Corner]]:
    """The walls as pairs of grid corners; open at the top left and at the bottom right."""
    opened = _dug(columns, rows, seed)
    walls: list[tuple[Corner, Corner]] = []
    for row in range(rows + 1):
        for column in range(columns):
            above, below = (column, row - 1), (column, row)
            gate = (column, row) in {(0, 0), (columns - 1, rows)}
            if not gate and frozenset((above, below)) not in opened:
                walls.append(((column, row), (column + 1, row)))
    walls += [
        ((column, row), (column, row + 1))
        for row in range(rows)
        for column in range(columns + 1)
        if frozenset(((column - 1, row), (column, row))) not in opened
    ]
    return walls


def _dug(columns: int, rows: int, seed: str) -> set[frozenset[Corner]]:
    """The pairs of neighbouring places between which the wall is gone."""
    dice = chance(seed + " maze")
    opened: set[frozenset[Corner]] = set()
    met, way = {(0, 0)}, [(0, 0)]
    while way:
        x, y = way[-1]
        fresh = [
            (x + dx, y + dy)
            for dx, dy in _WAYS
            if 0 <= x + dx < columns and 0 <= y + dy < rows and (x + dx, y + dy) not in met
        ]
        if not fresh:
            way.pop()
            continue
        step = dice.choice(fresh)
        opened.add(frozenset(((x, y), step)))
        met.add(step)
        way.append(step)
    return opened
