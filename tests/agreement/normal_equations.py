"""The fit of one material by its normal equations, in plain Python."""

from math import ceil

Matrix = list[list[float]]

SPREAD_BETWEEN_TYPES = 0.4
MOST_LEVERAGE = 0.5


def invert(matrix: Matrix) -> Matrix:
    """Return the inverse, by elimination with the largest pivot."""
    size = len(matrix)
    work = [
        [*row, *(float(at == column) for column in range(size))] for at, row in enumerate(matrix)
    ]
    for column in range(size):
        best = max(range(column, size), key=lambda at: abs(work[at][column]))
        work[column], work[best] = work[best], work[column]
        pivot = work[column][column]
        work[column] = [value / pivot for value in work[column]]
        for at in range(size):
            if at != column:
                factor = work[at][column]
                work[at] = [a - factor * b for a, b in zip(work[at], work[column], strict=True)]
    return [row[size:] for row in work]


def dot(left: list[float], right: list[float]) -> float:
    """Return the sum of the products."""
    return sum(a * b for a, b in zip(left, right, strict=True))


def fit(lines: list[tuple[str, float, float]], share: float) -> dict[str, object]:
    """
    Fit used = base + fixed loss + (mean + level of the type) x base to (type, base, used).

    The level of a type is held towards 0 as if it were drawn with 0.4 times the scatter of jobs
    (Henderson's equations). The miss at `share` is by the fit to all other jobs, and of n jobs
    the one of rank (n + 1) share, rounded up.
    """
    types = sorted({line[0] for line in lines})
    bases = sorted(line[1] for line in lines)
    middle = len(bases) // 2
    size = bases[middle] if len(bases) % 2 else (bases[middle - 1] + bases[middle]) / 2
    rows = [[1.0, size / base, *(float(kind == t) for t in types)] for kind, base, _ in lines]
    ratios = [used / base - 1 for _, base, used in lines]
    width = len(rows[0])
    held = [0.0, 0.0] + [SPREAD_BETWEEN_TYPES**-2] * len(types)
    normal = [
        [sum(row[i] * row[j] for row in rows) + (held[i] if i == j else 0) for j in range(width)]
        for i in range(width)
    ]
    inverse = invert(normal)
    right = [sum(row[i] * y for row, y in zip(rows, ratios, strict=True)) for i in range(width)]
    solved = [dot(row, right) for row in inverse]
    misses = sorted(_miss(row, y, solved, inverse) for row, y in zip(rows, ratios, strict=True))
    return {
        "fixed_loss": solved[1] * size,
        "mean": solved[0],
        "rates": {kind: solved[0] + level for kind, level in zip(types, solved[2:], strict=True)},
        "at_share": misses[ceil((len(misses) + 1) * share - 1e-9) - 1],
        "count": len(lines),
        "misses": misses,
    }


def _miss(row: list[float], ratio: float, solved: list[float], inverse: Matrix) -> float:
    leverage = dot(row, [dot(line, row) for line in inverse])
    return (ratio - dot(row, solved)) / (1 - min(leverage, MOST_LEVERAGE))
