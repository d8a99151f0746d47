"""The fit of one material by its normal equations, in plain Python."""

from datetime import date
from itertools import accumulate, pairwise
from math import exp, log
from statistics import median

Matrix = list[list[float]]
Line = tuple[str, float, float, date]

SPREADS = [0.01, *(0.05 + 1.45 * at / 15 for at in range(16)), 2.0, 3.0]
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


def fit(
    lines: list[Line], share: float, month_end_on: date, faded_before: date = date.min
) -> dict[str, object]:
    """
    Fit used = base + fixed loss + (mean + level of the type) x base.

    Henderson's equations at each of 19 spreads of the levels over the scatter, answers averaged
    by restricted likelihood times a half-normal belief; jobs count 2^(-age in months / 24), wild
    ones are drawn in to two scatters, and the second fit weighs jobs by what the first shows of
    the scatter of their size. The miss at `share` is by the fit to the other jobs. Jobs finished
    before `faded_before` count a tenth of that.
    """
    bases = sorted(line[1] for line in lines)
    middle = len(bases) // 2
    size = bases[middle] if len(bases) % 2 else (bases[middle - 1] + bases[middle]) / 2
    sizes = [size / line[1] for line in lines]
    weights = [
        (0.1 if line[3] < faded_before else 1) * 0.5 ** (_months_old(line[3], month_end_on) / 24)
        for line in lines
    ]
    even = _fit_capped(lines, sizes, weights, [1.0] * len(lines))
    growing = _growth(sizes, weights, even["misses"])
    squares = [1 - growing + growing * x * x for x in sizes]
    found = _fit_capped(lines, sizes, weights, squares)
    pairs = sorted(zip(found["by_others"], weights, strict=True))
    wanted = share * (sum(weights) + sum(weights) / len(weights)) - 1e-9
    reached = accumulate(weight for _, weight in pairs)
    at_share = next(m for (m, _), sum_ in zip(pairs, reached, strict=True) if sum_ >= wanted)
    mean_miss = sum(
        w * min(max(d, -0.5), 0.5) for d, w in zip(found["misses"], weights, strict=True)
    ) / sum(weights)
    return {
        "fixed_loss": found["solved"][1] * size,
        "mean": found["solved"][0],
        "rates": {
            kind: found["solved"][0] + level
            for kind, level in zip(_types(lines), found["solved"][2:], strict=True)
        },
        "at_share": at_share,
        "mean_miss": mean_miss,
        "count": len(lines),
    }


def _types(lines: list[Line]) -> list[str]:
    return sorted({line[0] for line in lines})


def _months_old(completed_on: date, month_end_on: date) -> int:
    months = 12 * (month_end_on.year - completed_on.year)
    return max(months + month_end_on.month - completed_on.month, 0)


def _fit_capped(
    lines: list[Line], sizes: list[float], weights: list[float], squares: list[float]
) -> dict[str, list[float]]:
    types = _types(lines)
    rows = [
        [1.0, x, *(float(line[0] == t) for t in types)]
        for line, x in zip(lines, sizes, strict=True)
    ]
    ratios = [line[2] / line[1] - 1 for line in lines]
    precision = [w / g for w, g in zip(weights, squares, strict=True)]
    fitted = [median(ratios)] * len(ratios)
    for _ in range(4):
        most = 2 * _scale([y - f for y, f in zip(ratios, fitted, strict=True)])
        capped = [f + min(max(y - f, -most), most) for y, f in zip(ratios, fitted, strict=True)]
        solved, inverse = _average(rows, capped, precision, sum(weights))
        fitted = [dot(row, solved) for row in rows]
    misses = [y - f for y, f in zip(ratios, fitted, strict=True)]
    levers = [
        v * dot(row, [dot(line, row) for line in inverse])
        for row, v in zip(rows, precision, strict=True)
    ]
    by_others = [d / (1 - min(h, MOST_LEVERAGE)) for d, h in zip(misses, levers, strict=True)]
    return {"solved": solved, "misses": misses, "by_others": by_others}


def _scale(misses: list[float]) -> float:
    middle = median(misses)
    return max(1.4826 * median([abs(d - middle) for d in misses]), 0.001)


def _growth(sizes: list[float], weights: list[float], misses: list[float]) -> float:
    most = 4 * _scale(misses)
    squared = [min(abs(d), most) ** 2 for d in misses]
    total = sum(weights)
    mean = dot(weights, squared) / total
    mean_size = sum(w * x * x for w, x in zip(weights, sizes, strict=True)) / total
    apart = [x * x - mean_size for x in sizes]
    rise = sum(w * a * q for w, a, q in zip(weights, apart, squared, strict=True)) / sum(
        w * a * a for w, a in zip(weights, apart, strict=True)
    )
    rise = min(max(rise, 0.0), 0.95 * mean / mean_size)
    return rise / (mean - rise * mean_size + rise)


def _average(
    rows: Matrix, ratios: list[float], precision: list[float], job_weight: float
) -> tuple[list[float], Matrix]:
    width = len(rows[0])
    normal = [
        [sum(v * row[i] * row[j] for row, v in zip(rows, precision, strict=True))
         for j in range(width)]
        for i in range(width)
    ]  # fmt: skip
    right = [
        sum(v * row[i] * y for row, y, v in zip(rows, ratios, precision, strict=True))
        for i in range(width)
    ]
    squares = sum(v * y * y for y, v in zip(ratios, precision, strict=True))
    edges = [0.0, *((a + b) / 2 for a, b in pairwise(SPREADS)), SPREADS[-1]]
    tried = []
    for at, spread in enumerate(SPREADS):
        inverse = invert(
            [[c + (spread**-2 if i == j > 1 else 0) for j, c in enumerate(line)]
             for i, line in enumerate(normal)]
        )  # fmt: skip
        solved = [dot(line, right) for line in inverse]
        variance = (squares - dot(solved, right)) / (job_weight - 2)
        size = -log_determinant(inverse) + 2 * (width - 2) * log(spread)
        belief = exp(-(spread**2) / 2) * (edges[at + 1] - edges[at])
        said = -0.5 * ((job_weight - 2) * log(variance) + size) + log(belief)
        tried.append((said, solved, inverse))
    best = max(said for said, _, _ in tried)
    shares = [exp(said - best) for said, _, _ in tried]
    shares = [each / sum(shares) for each in shares]
    return (
        [sum(p * t[1][i] for p, t in zip(shares, tried, strict=True)) for i in range(width)],
        [
            [sum(p * t[2][i][j] for p, t in zip(shares, tried, strict=True)) for j in range(width)]
            for i in range(width)
        ],
    )


def log_determinant(matrix: Matrix) -> float:
    """Return the logarithm of the determinant of a positive definite matrix."""
    work = [list(row) for row in matrix]
    total = 0.0
    for at, row in enumerate(work):
        total += log(row[at])
        for below in work[at + 1 :]:
            factor = below[at] / row[at]
            below[at:] = [b - factor * a for a, b in zip(row[at:], below[at:], strict=True)]
    return total
