"""
The mixed-model equations against published figures.

Dyestuff, penicillin: Davies and Goldsmith (eds), Statistical Methods in Research and Production,
4th ed. 1972; Dyestuff2: Box and Tiao, Bayesian Inference in Statistical Analysis, 1973; Pastes:
Davies and Goldsmith 1972; sleepstudy: Belenky et al., J. Sleep Research 12, 2003. The numbers are
facts as published with R's lme4 (the package is GPL; none of its code or text is here). Answers
are lme4 1.1-31's, REML: 1e-6 against closed forms of balanced data, 1e-4 against its optimiser.
AtmWtAg, SiRstv, SmLs01 and SmLs07: NIST/ITL Statistical Reference Datasets, public domain,
certified F statistics. Eight schools: Rubin 1981; answers of R metafor 3.8-1 with the spread set
to 10. Vaccine trials: Colditz et al., JAMA 271 (1994) 698-702; Paule-Mandel answers of the same.
Batting: Efron and Morris, JASA 70 (1975) 311-319; the shrunk averages to 3 digits match Scientific
American 236 (1977), from memory.
"""

from collections.abc import Sequence

import numpy as np
import pytest

from pipelines.calibration.mixed_model import (
    Design,
    Floats,
    Positions,
    Solutions,
    find_likeliest,
    lay_out,
    solve,
)

YIELDS = (
    (1545, 1440, 1440, 1520, 1580),
    (1540, 1555, 1490, 1560, 1495),
    (1595, 1550, 1605, 1510, 1560),
    (1445, 1440, 1595, 1465, 1545),
    (1595, 1630, 1515, 1635, 1625),
    (1520, 1455, 1450, 1480, 1445),
)

YIELDS_2 = (
    (7.298, 3.846, 2.434, 9.566, 7.99),
    (5.22, 6.556, 0.608, 11.788, -0.892),
    (0.11, 10.386, 13.434, 5.51, 8.166),
    (2.212, 4.852, 7.092, 9.288, 4.98),
    (0.282, 9.014, 4.458, 9.446, 7.198),
    (1.722, 4.782, 8.106, 0.758, 3.758),
)

DIAMETERS = (
    (27, 23, 26, 23, 23, 21),
    (27, 23, 26, 23, 23, 21),
    (25, 21, 25, 24, 24, 20),
    (26, 23, 25, 23, 23, 20),
    (25, 22, 26, 22, 23, 20),
    (24, 22, 25, 23, 22, 19),
    (24, 20, 23, 21, 22, 19),
    (26, 22, 26, 24, 24, 21),
    (24, 21, 24, 22, 22, 20),
    (24, 21, 24, 23, 22, 19),
    (26, 23, 26, 24, 24, 21),
    (25, 22, 26, 24, 24, 20),
    (26, 24, 26, 24, 25, 22),
    (26, 23, 26, 23, 23, 20),
    (26, 23, 25, 24, 24, 22),
    (25, 22, 25, 23, 23, 20),
    (25, 21, 24, 23, 23, 20),
    (25, 22, 24, 23, 23, 19),
    (24, 21, 23, 21, 21, 19),
    (26, 23, 26, 24, 24, 21),
    (25, 21, 24, 22, 22, 18),
    (25, 22, 25, 22, 22, 20),
    (24, 21, 24, 22, 24, 19),
    (24, 21, 24, 22, 21, 18),
)

STRENGTHS = (
    (62.8, 62.6, 60.1, 62.3, 62.7, 63.1),
    (60.0, 61.4, 57.5, 56.9, 61.1, 58.9),
    (58.7, 57.5, 63.9, 63.1, 65.4, 63.7),
    (57.1, 56.4, 56.9, 58.6, 64.7, 64.5),
    (55.1, 55.1, 54.7, 54.2, 58.8, 57.5),
    (63.4, 64.9, 59.3, 58.1, 60.5, 60.0),
    (62.5, 62.6, 61.0, 58.7, 56.9, 57.7),
    (59.2, 59.4, 65.2, 66.0, 64.8, 64.1),
    (54.8, 54.8, 64.0, 64.0, 57.7, 56.8),
    (58.3, 59.3, 59.2, 59.2, 58.9, 56.6),
)

SILVER = (
    (
        107.8681568,
        107.8681465,
        107.8681572,
        107.8681785,
        107.8681446,
        107.8681903,
        107.8681526,
        107.8681494,
        107.8681616,
        107.8681587,
        107.8681519,
        107.8681486,
        107.8681419,
        107.8681569,
        107.8681508,
        107.8681672,
        107.8681385,
        107.8681518,
        107.8681662,
        107.8681424,
        107.8681360,
        107.8681333,
        107.8681610,
        107.8681477,
    ),
    (
        107.8681079,
        107.8681344,
        107.8681513,
        107.8681197,
        107.8681604,
        107.8681385,
        107.8681642,
        107.8681365,
        107.8681151,
        107.8681082,
        107.8681517,
        107.8681448,
        107.8681198,
        107.8681482,
        107.8681334,
        107.8681609,
        107.8681101,
        107.8681512,
        107.8681469,
        107.8681360,
        107.8681254,
        107.8681261,
        107.8681450,
        107.8681368,
    ),
)

TENTHS_BEYOND_1E12 = (
    (4, 3, 5, 3, 5, 3, 5, 3, 5, 3, 5, 3, 5, 3, 5, 3, 5, 3, 5, 3, 5),
    (3, 2, 4, 2, 4, 2, 4, 2, 4, 2, 4, 2, 4, 2, 4, 2, 4, 2, 4, 2, 4),
    (5, 4, 6, 4, 6, 4, 6, 4, 6, 4, 6, 4, 6, 4, 6, 4, 6, 4, 6, 4, 6),
    (3, 2, 4, 2, 4, 2, 4, 2, 4, 2, 4, 2, 4, 2, 4, 2, 4, 2, 4, 2, 4),
    (5, 4, 6, 4, 6, 4, 6, 4, 6, 4, 6, 4, 6, 4, 6, 4, 6, 4, 6, 4, 6),
    (3, 2, 4, 2, 4, 2, 4, 2, 4, 2, 4, 2, 4, 2, 4, 2, 4, 2, 4, 2, 4),
    (5, 4, 6, 4, 6, 4, 6, 4, 6, 4, 6, 4, 6, 4, 6, 4, 6, 4, 6, 4, 6),
    (3, 2, 4, 2, 4, 2, 4, 2, 4, 2, 4, 2, 4, 2, 4, 2, 4, 2, 4, 2, 4),
    (5, 4, 6, 4, 6, 4, 6, 4, 6, 4, 6, 4, 6, 4, 6, 4, 6, 4, 6, 4, 6),
)

REACTIONS = (
    (
        249.56,
        258.7047,
        250.8006,
        321.4398,
        356.8519,
        414.6901,
        382.2038,
        290.1486,
        430.5853,
        466.3535,
    ),
    (
        222.7339,
        205.2658,
        202.9778,
        204.707,
        207.7161,
        215.9618,
        213.6303,
        217.7272,
        224.2957,
        237.3142,
    ),
    (
        199.0539,
        194.3322,
        234.32,
        232.8416,
        229.3074,
        220.4579,
        235.4208,
        255.7511,
        261.0125,
        247.5153,
    ),
    (
        321.5426,
        300.4002,
        283.8565,
        285.133,
        285.7973,
        297.5855,
        280.2396,
        318.2613,
        305.3495,
        354.0487,
    ),
    (
        287.6079,
        285.0,
        301.8206,
        320.1153,
        316.2773,
        293.3187,
        290.075,
        334.8177,
        293.7469,
        371.5811,
    ),
    (
        234.8606,
        242.8118,
        272.9613,
        309.7688,
        317.4629,
        309.9976,
        454.1619,
        346.8311,
        330.3003,
        253.8644,
    ),
    (
        283.8424,
        289.555,
        276.7693,
        299.8097,
        297.171,
        338.1665,
        332.0265,
        348.8399,
        333.36,
        362.0428,
    ),
    (
        265.4731,
        276.2012,
        243.3647,
        254.6723,
        279.0244,
        284.1912,
        305.5248,
        331.5229,
        335.7469,
        377.299,
    ),
    (
        241.6083,
        273.9472,
        254.4907,
        270.8021,
        251.4519,
        254.6362,
        245.4523,
        235.311,
        235.7541,
        237.2466,
    ),
    (
        312.3666,
        313.8058,
        291.6112,
        346.1222,
        365.7324,
        391.8385,
        404.2601,
        416.6923,
        455.8643,
        458.9167,
    ),
    (
        236.1032,
        230.3167,
        238.9256,
        254.922,
        250.7103,
        269.7744,
        281.5648,
        308.102,
        336.2806,
        351.6451,
    ),
    (
        256.2968,
        243.4543,
        256.2046,
        255.5271,
        268.9165,
        329.7247,
        379.4445,
        362.9184,
        394.4872,
        389.0527,
    ),
    (
        250.5265,
        300.0576,
        269.8939,
        280.5891,
        271.8274,
        304.6336,
        287.7466,
        266.5955,
        321.5418,
        347.5655,
    ),
    (
        221.6771,
        298.1939,
        326.8785,
        346.8555,
        348.7402,
        352.8287,
        354.4266,
        360.4326,
        375.6406,
        388.5417,
    ),
    (
        271.9235,
        268.4369,
        257.2424,
        277.6566,
        314.8222,
        317.2135,
        298.1353,
        348.1229,
        340.28,
        366.5131,
    ),
    (
        225.264,
        234.5235,
        238.9008,
        240.473,
        267.5373,
        344.1937,
        281.1481,
        347.5855,
        365.163,
        372.2288,
    ),
    (
        269.8804,
        272.4428,
        277.8989,
        281.7895,
        279.1705,
        284.512,
        259.2658,
        304.6306,
        350.7807,
        369.4692,
    ),
    (
        269.4117,
        273.474,
        297.5968,
        310.6316,
        287.1726,
        329.6076,
        334.4818,
        343.2199,
        369.1417,
        364.1236,
    ),
)

RESISTIVITY = (
    (196.3052, 196.1240, 196.1890, 196.2569, 196.3403),
    (196.3042, 196.3825, 196.1669, 196.3257, 196.0422),
    (196.1303, 196.2005, 196.2889, 196.0343, 196.1811),
    (196.2795, 196.1748, 196.1494, 196.1485, 195.9885),
    (196.2119, 196.1051, 196.1850, 196.0052, 196.2090),
)

TRIALS = (
    (4, 119, 11, 128),
    (6, 300, 29, 274),
    (3, 228, 11, 209),
    (62, 13536, 248, 12619),
    (33, 5036, 47, 5761),
    (180, 1361, 372, 1079),
    (8, 2537, 10, 619),
    (505, 87886, 499, 87892),
    (29, 7470, 45, 7232),
    (17, 1699, 65, 1600),
    (186, 50448, 141, 27197),
    (5, 2493, 3, 2338),
    (27, 16886, 29, 17825),
)
"""Vaccinated: ill, well; not vaccinated: ill, well."""

HITS_IN_45 = (18, 17, 16, 15, 14, 14, 13, 12, 11, 11, 10, 10, 10, 10, 10, 9, 8, 7)


def one_way(table: Sequence[Sequence[float]]) -> tuple[Floats, Positions]:
    groups = np.repeat(np.arange(len(table)), [len(row) for row in table])
    return np.concatenate([np.array(row, dtype=np.float64) for row in table]), groups


def lay(measure: Floats, *groups: Positions, column: Floats | None = None) -> Design:
    ones = np.ones_like(measure)
    columns = ones[None] if column is None else np.array([ones, column])
    counts = [int(group.max()) + 1 for group in groups]
    return lay_out(columns, groups, counts, ones, len(measure))


def likeliest(design: Design, measure: Floats) -> tuple[Solutions, Floats]:
    """Return the solution at the largest restricted likelihood, and the variances of the blocks."""
    ratios = find_likeliest(design, measure)
    solved = solve(design, measure, ratios[None])
    return solved, ratios**2 * solved.variance[0]


def test_dyestuff_batches() -> None:
    yields, batch = one_way(YIELDS)
    centre = float(np.median(yields))
    design = lay(yields, batch)

    solved, between = likeliest(design, yields - centre)

    assert centre + solved.estimate[0, 0] == pytest.approx(1527.5, rel=1e-9)
    assert between[0] == pytest.approx(1764.05, rel=1e-6)
    assert solved.variance[0] == pytest.approx(2451.25, rel=1e-6)
    assert (solved.variance[0] * solved.inverse[0, 0, 0]) ** 0.5 == pytest.approx(
        19.38341, rel=1e-6
    )
    assert solved.estimate[0, 1:] == pytest.approx(
        np.array([-17.60685, 0.39126, 28.56223, -23.08454, 56.73319, -44.99529]), abs=2e-5
    )


def test_dyestuff_2_has_nothing_between_batches() -> None:
    yields, batch = one_way(YIELDS_2)

    solved, between = likeliest(lay(yields, batch), yields)

    assert between[0] == 0
    assert solved.estimate[0, 0] == pytest.approx(5.6656, rel=1e-6)
    assert solved.variance[0] == pytest.approx(13.8063096, rel=1e-6)


def test_penicillin_plates_crossed_with_samples() -> None:
    diameters, plate = one_way(DIAMETERS)
    sample = np.tile(np.arange(6), 24)

    solved, between = likeliest(lay(diameters, plate, sample), diameters)

    assert solved.estimate[0, 0] == pytest.approx(22.9722222, rel=1e-8)
    assert between == pytest.approx(np.array([0.7169082126, 3.7309178744]), rel=1e-6)
    assert solved.variance[0] == pytest.approx(0.3024154589, rel=1e-6)
    assert solved.estimate[0, 25:] == pytest.approx(
        np.array([2.187058, -1.010476, 1.937899, -0.096895, -0.013842, -3.003744]), abs=1e-4
    )


def test_pastes_casks_nested_in_batches() -> None:
    strengths, batch = one_way(STRENGTHS)
    cask = np.repeat(np.arange(30), 2)

    solved, between = likeliest(lay(strengths, cask, batch), strengths - 60)

    assert 60 + solved.estimate[0, 0] == pytest.approx(60.0533333, rel=1e-8)
    assert between == pytest.approx(np.array([8.4336667, 1.6573086420]), rel=1e-6)
    assert solved.variance[0] == pytest.approx(0.678, rel=1e-6)


def test_sleepstudy_days_with_a_level_for_each_subject() -> None:
    reactions, subject = one_way(REACTIONS)
    design = lay(reactions, subject, column=np.tile(np.arange(10.0), 18))

    solved, between = likeliest(design, reactions)

    assert solved.estimate[0, :2] == pytest.approx(np.array([251.40510, 10.46729]), rel=1e-6)
    assert between[0] == pytest.approx(1378.17854, rel=1e-4)
    assert solved.variance[0] == pytest.approx(960.45658, rel=1e-4)
    errors = np.sqrt(solved.variance[0] * np.diag(solved.inverse[0])[:2])
    assert errors == pytest.approx(np.array([9.74672, 0.80422]), rel=1e-4)


def test_eight_schools_with_the_spread_between_them_known() -> None:
    effects = np.array([28.0, 8, -3, 7, -1, 1, 18, 12])
    precision = np.array([15.0, 10, 16, 11, 9, 11, 10, 18]) ** -2
    design = lay_out(np.ones((1, 8)), [np.arange(8)], [8], precision, 8)

    solved = solve(design, effects, np.array([[10.0]]))

    assert solved.estimate[0, 0] == pytest.approx(8.1264721856, rel=1e-9)
    assert solved.inverse[0, 0, 0] ** 0.5 == pytest.approx(5.5199745620, rel=1e-9)
    assert solved.estimate[0, 0] + solved.estimate[0, 1:] == pytest.approx(
        np.array([14.2414, 8.0632, 5.0011, 7.6168, 3.0842, 4.9018, 13.0632, 9.0400]), abs=1e-4
    )


def f_statistic(table: Sequence[Sequence[float]], start: float = 0) -> float:
    """Give the mean square between over that within: 1 + n x spread ratio^2, types of n each."""
    measure, group = one_way(table)
    measure = measure + start
    centred = measure - np.median(measure)
    return float(1 + len(table[0]) * find_likeliest(lay(centred, group), centred)[0] ** 2)


def test_atomic_weight_of_silver() -> None:
    assert f_statistic(SILVER) == pytest.approx(15.9467335677930, rel=1e-8)


def test_resistivity_of_silicon() -> None:
    assert f_statistic(RESISTIVITY) == pytest.approx(1.18046237440255, rel=1e-9)


@pytest.mark.parametrize(("start", "tolerance"), [(1, 1e-9), (1e12, 1e-3)])
def test_one_and_thirteen_leading_digits_alike(start: float, tolerance: float) -> None:
    parts = [[tenths / 10 for tenths in row] for row in TENTHS_BEYOND_1E12]

    assert f_statistic(parts, start) == pytest.approx(21, rel=tolerance)


def test_the_trust_in_a_dyestuff_batch() -> None:
    yields, batch = one_way(YIELDS)
    ratio = find_likeliest(lay(yields, batch), yields - 1500)[0]

    # 1 - 2451.25 / 11271.5, of the published mean squares; five yields a batch
    assert 5 / (5 + ratio**-2) == pytest.approx(0.782526727, rel=1e-6)


def paule_mandel(effects: Floats, variances: Floats) -> float:
    """Find the variance between at which the weighted squares are what their freedom says."""
    low, high = 0.0, 10.0
    for _ in range(80):
        middle = (low + high) / 2
        weight = 1 / (variances + middle)
        mean = (weight * effects).sum() / weight.sum()
        too_many = (weight * (effects - mean) ** 2).sum() > len(effects) - 1
        low, high = (middle, high) if too_many else (low, middle)
    return low


def test_vaccine_trials_with_the_spread_of_paule_and_mandel() -> None:
    ill, well, other_ill, other_well = np.array(TRIALS, dtype=np.float64).T
    treated, untreated = ill + well, other_ill + other_well
    effects = np.log(ill / treated) - np.log(other_ill / untreated)
    variances = 1 / ill - 1 / treated + 1 / other_ill - 1 / untreated
    between = paule_mandel(effects, variances)
    design = lay_out(np.ones((1, 13)), [np.arange(13)], [13], 1 / variances, 13)

    solved = solve(design, effects, np.array([[between**0.5]]))

    assert between == pytest.approx(0.318068452205, abs=1e-11)
    assert solved.estimate[0, 0] == pytest.approx(-0.714968153, rel=1e-8)
    assert solved.inverse[0, 0, 0] ** 0.5 == pytest.approx(0.180892192, rel=1e-8)


def test_batting_averages_with_the_factor_of_james_and_stein() -> None:
    averages = np.array(HITS_IN_45) / 45
    mean = averages.mean()
    variance = mean * (1 - mean) / 45
    factor = 1 - 15 * variance / ((averages - mean) ** 2).sum()
    design = lay_out(np.ones((1, 18)), [np.arange(18)], [18], np.ones(18), 18)

    solved = solve(design, averages - 0.25, np.array([[(factor / (1 - factor)) ** 0.5]]))

    assert factor == pytest.approx(0.2116534171, rel=1e-9)
    shrunk = 0.25 + solved.estimate[0, 0] + solved.estimate[0, 1:]
    assert shrunk == pytest.approx(
        np.array(
            [0.294, 0.289, 0.285, 0.280, 0.275, 0.275, 0.270, 0.266, 0.261, 0.261]
            + [0.256] * 5
            + [0.252, 0.247, 0.242]
        ),
        abs=5.1e-4,
    )
