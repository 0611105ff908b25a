"""What a body of given stature, mass and sex is like: figures of a survey of 6,068 living people.

Everything here was computed from the rows of ANSUR II, the 2012 anthropometric survey of US Army personnel
(4,082 men and 1,986 women; Gordon et al. 2014, NATICK/TR-15/007, public domain) by
``docs/derive_survey.py``, which prints these tables. Soldiers are fitter and leaner than most golfers, and
adults only: children are outside it.

Measures keep the survey's names (`tibiale height` is the top of the tibia at the knee, measured on the
outside; `cervicale` is the seventh neck vertebra, `omphalion` the navel); ``x_to_y`` is the difference of
two heights. They are taken on the skin and at bony landmarks, not at joint centres.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypeVar

import numpy as np

from ..arrays import Array, ArrayLike
from ..errors import OutOfRange, TurnstillError

# measure: (male mean of measure / stature, its sd, female mean, its sd), each person's own proportion
RATIOS: Mapping[str, tuple[float, float, float, float]] = {
    "cervicale_height": (0.863892, 0.006639, 0.856954, 0.006824),
    "suprasternale_height": (0.819056, 0.007060, 0.816435, 0.007129),
    "acromial_height": (0.820255, 0.009628, 0.819752, 0.008715),
    "axilla_height": (0.756660, 0.009000, 0.760729, 0.009231),
    "chest_height": (0.735092, 0.010524, 0.719358, 0.014040),
    "tenth_rib_height": (0.637986, 0.012042, 0.648489, 0.011072),
    "iliocristale_height": (0.604369, 0.012754, 0.611295, 0.012864),
    "omphalion_height": (0.601433, 0.012896, 0.601717, 0.013495),
    "trochanterion_height": (0.512850, 0.015196, 0.518985, 0.014446),
    "crotch_height": (0.481526, 0.014126, 0.480228, 0.015118),
    "buttock_height": (0.505412, 0.016420, 0.511842, 0.015615),
    "mid_patella_height": (0.277994, 0.009191, 0.275646, 0.008974),
    "lateral_femoral_epicondyle_height": (0.279873, 0.008030, 0.286038, 0.010222),
    "tibiale_height": (0.266497, 0.008141, 0.268722, 0.008439),
    "lateral_malleolus_height": (0.041516, 0.002852, 0.038538, 0.002826),
    "sitting_height": (0.523059, 0.013540, 0.526236, 0.014092),
    "wrist_height": (0.482521, 0.012349, 0.487659, 0.012211),
    "eye_height": (0.935173, 0.005011, 0.933070, 0.004760),
    "tragion_to_vertex": (0.074763, 0.004101, 0.077751, 0.004501),
    "vertex_to_cervicale": (0.136108, 0.006639, 0.143046, 0.006824),
    "menton_sellion_length": (0.069896, 0.003952, 0.069512, 0.003919),
    "interpupillary_breadth": (0.036493, 0.002199, 0.037934, 0.002423),
    "cervicale_to_trochanterion": (0.351042, 0.013975, 0.337969, 0.013137),
    "suprasternale_to_trochanterion": (0.306206, 0.014541, 0.297451, 0.012747),
    "acromion_to_trochanterion": (0.307406, 0.015520, 0.300768, 0.014179),
    "trochanterion_to_tibiale": (0.246352, 0.011536, 0.250262, 0.010360),
    "tibiale_to_malleolus": (0.224981, 0.008259, 0.230185, 0.008851),
    "biacromial_breadth": (0.236822, 0.009844, 0.224449, 0.009599),
    "bideltoid_breadth": (0.290855, 0.018417, 0.276713, 0.017120),
    "bicristal_breadth": (0.156875, 0.008648, 0.167879, 0.012695),
    "hip_breadth": (0.196956, 0.012910, 0.217369, 0.015278),
    "chest_breadth": (0.164921, 0.010195, 0.165489, 0.011023),
    "chest_depth": (0.144633, 0.014732, 0.152008, 0.016492),
    "neck_circumference": (0.226656, 0.015561, 0.202696, 0.012189),
    "head_length": (0.113714, 0.004748, 0.116679, 0.005196),
    "head_breadth": (0.088001, 0.004490, 0.090862, 0.004419),
    "acromion_radiale_length": (0.190872, 0.006054, 0.191065, 0.006485),
    "shoulder_elbow_length": (0.207084, 0.005992, 0.205259, 0.006091),
    "radiale_stylion_length": (0.152522, 0.006145, 0.148171, 0.006806),
    "forearm_grip_length": (0.198731, 0.006775, 0.195085, 0.007616),
    "forearm_hand_length": (0.273446, 0.008169, 0.270100, 0.009414),
    "hand_length": (0.110072, 0.004213, 0.111214, 0.004722),
    "palm_length": (0.066330, 0.002912, 0.066766, 0.002962),
    "hand_breadth": (0.050288, 0.002347, 0.048023, 0.002222),
    "span": (1.033017, 0.027371, 1.019473, 0.029218),
    "foot_length": (0.154436, 0.005238, 0.151259, 0.005299),
    "heel_to_ball_length": (0.114433, 0.004472, 0.111806, 0.004308),
    "foot_breadth": (0.058035, 0.002817, 0.056973, 0.002872),
    "heel_breadth": (0.041319, 0.003152, 0.041274, 0.003159),
    "bimalleolar_breadth": (0.042602, 0.002091, 0.041191, 0.001869),
}

Fit = tuple[float, float, float, float]
Row = TypeVar("Row")

# measure: (a, b, c, residual sd) for men and for women in
# log(measure, m) = a + b log(stature, m) + c log(mass, kg)
SHAPE: Mapping[str, tuple[Fit, Fit]] = {
    "chest_breadth": ((-2.4468, 0.0172, 0.2695, 0.0444), (-2.6039, -0.0904, 0.3173, 0.0481)),
    "chest_depth": ((-3.7264, -0.6412, 0.6112, 0.0483), (-3.7503, -0.7732, 0.6481, 0.0617)),
    "waist_breadth": ((-3.5667, -0.5634, 0.6220, 0.0489), (-3.5786, -0.6246, 0.6358, 0.0600)),
    "waist_depth": ((-4.6010, -1.1224, 0.8535, 0.0681), (-4.6079, -1.3532, 0.8827, 0.0758)),
    "hip_breadth": ((-2.6434, -0.0316, 0.3600, 0.0367), (-2.6858, -0.1565, 0.4093, 0.0415)),
    "buttock_depth": ((-3.8978, -0.7182, 0.6523, 0.0450), (-3.8101, -0.7744, 0.6483, 0.0480)),
    "bideltoid_breadth": ((-2.1662, -0.2139, 0.3635, 0.0289), (-2.2566, -0.2394, 0.3743, 0.0310)),
    "neck_circumference": ((-2.2690, -0.3768, 0.3510, 0.0366), (-2.2794, -0.2322, 0.3049, 0.0364)),
    "chest_circumference": ((-1.9247, -0.4917, 0.5084, 0.0297), (-1.9800, -0.5704, 0.5233, 0.0444)),
    "waist_circumference": ((-2.8327, -0.8234, 0.7277, 0.0467), (-2.7403, -0.8967, 0.7186, 0.0551)),
    "buttock_circumference": ((-1.8485, -0.2476, 0.4519, 0.0250), (-1.7784, -0.2955, 0.4617, 0.0280)),
    "thigh_circumference": ((-2.7141, -0.5382, 0.5733, 0.0349), (-2.6474, -0.5351, 0.5757, 0.0360)),
    "lower_thigh_circumference": ((-2.7103, -0.2931, 0.4462, 0.0356), (-2.8288, -0.3746, 0.4979, 0.0467)),
    "calf_circumference": ((-2.6050, -0.3149, 0.4156, 0.0404), (-2.6003, -0.2390, 0.4112, 0.0449)),
    "ankle_circumference": ((-2.7198, 0.0586, 0.2733, 0.0436), (-2.6448, 0.0906, 0.2533, 0.0537)),
    "biceps_circumference": ((-3.1125, -0.6257, 0.5485, 0.0514), (-3.4800, -0.7500, 0.6316, 0.0448)),
    "forearm_circumference": ((-2.7006, -0.1877, 0.3681, 0.0409), (-2.8471, -0.2062, 0.3839, 0.0393)),
    "wrist_circumference": ((-2.7397, 0.2551, 0.1933, 0.0341), (-2.7917, 0.2876, 0.1867, 0.0339)),
    "head_length": ((-2.0003, 0.2161, 0.0600, 0.0316), (-2.0151, 0.2342, 0.0568, 0.0359)),
    "head_breadth": ((-2.1878, -0.0996, 0.0844, 0.0335), (-2.1329, 0.0351, 0.0483, 0.0341)),
    "head_circumference": ((-0.9417, 0.0967, 0.0750, 0.0238), (-0.9116, 0.1374, 0.0634, 0.0314)),
    "hand_breadth": ((-3.1742, 0.3479, 0.1240, 0.0400), (-3.1674, 0.3591, 0.1052, 0.0409)),
    "hand_length": ((-2.2858, 0.8017, 0.0428, 0.0374), (-2.3576, 0.7634, 0.0656, 0.0412)),
    "foot_length": ((-1.9920, 0.7803, 0.0557, 0.0327), (-2.0632, 0.7775, 0.0671, 0.0338)),
    "foot_breadth": ((-3.0840, 0.3076, 0.1410, 0.0409), (-3.0771, 0.2323, 0.1390, 0.0431)),
    "heel_breadth": ((-3.6600, -0.0026, 0.2333, 0.0645), (-3.6929, -0.0020, 0.2356, 0.0664)),
}

# men, women: mean and sd of log(stature, m), mean and sd of log(mass, kg), their correlation. Both logs
# are close to normal in the survey (skewness within 0.04, excess kurtosis within 0.11); raw mass is not.
SIZE: tuple[tuple[float, float, float, float, float], ...] = (
    (0.56240, 0.03902, 4.43514, 0.16539, 0.47159),
    (0.48687, 0.03943, 4.20305, 0.16047, 0.53870),
)

SKELETAL: tuple[str, ...] = (
    "cervicale_height", "suprasternale_height", "acromial_height", "iliocristale_height",
    "trochanterion_height", "lateral_femoral_epicondyle_height", "tibiale_height",
    "lateral_malleolus_height", "tragion_to_vertex", "biacromial_breadth", "acromion_radiale_length",
    "radiale_stylion_length", "forearm_grip_length", "hand_length", "foot_length", "heel_to_ball_length",
)  # fmt: skip
"""The measures whose proportions ``draw_ratios`` draws together: enough to place the joints of a figure."""

# Correlations of those proportions, rows of the lower triangle without the diagonal. Drawn one by one,
# a high hip would not bring its high knee along, and thighs would vary half as much again as they do.
# fmt: off
_MALE_CORRELATIONS = (
    .545,
    .597, .583,
    .427, .393, .365,
    .395, .323, .283, .625,
    .358, .310, .329, .571, .603,
    .425, .411, .335, .535, .663, .781,
    .052, .061, .099, -.010, -.046, .090, .134,
    -.304, -.367, -.315, -.305, -.215, -.223, -.253, .030,
    .058, -.026, -.146, -.107, -.094, -.082, -.095, .029, .220,
    .305, .209, .300, .359, .317, .305, .273, -.051, -.098, .059,
    .287, .233, .183, .409, .440, .468, .442, -.075, -.091, .091, .358,
    .301, .285, .209, .390, .398, .364, .439, .001, -.055, .176, .354, .730,
    .118, .141, .066, .216, .192, .233, .222, .046, .030, .225, .186, .361, .526,
    .110, .098, .050, .153, .140, .204, .166, .004, .056, .259, .112, .309, .399, .596,
    .117, .055, .059, .151, .132, .224, .098, -.075, .053, .240, .117, .310, .328, .461, .863,
)
_FEMALE_CORRELATIONS = (
    .480,
    .488, .530,
    .492, .566, .383,
    .419, .471, .332, .702,
    .386, .418, .301, .504, .671,
    .432, .484, .354, .652, .708, .830,
    -.062, -.037, -.012, .023, -.045, -.045, .018,
    -.336, -.303, -.264, -.290, -.175, -.091, -.222, .040,
    -.038, -.078, -.252, -.034, -.060, -.043, -.031, .005, .154,
    .270, .276, .307, .356, .423, .417, .377, -.117, -.088, .011,
    .263, .349, .145, .524, .494, .360, .490, -.091, -.114, .145, .328,
    .255, .351, .148, .478, .487, .423, .497, -.071, -.041, .201, .371, .804,
    .173, .211, .042, .266, .307, .347, .349, -.097, .057, .271, .237, .425, .583,
    .091, .177, .019, .224, .253, .288, .282, -.006, .093, .212, .155, .370, .461, .632,
    .093, .156, .025, .195, .242, .296, .261, -.063, .082, .181, .151, .324, .414, .532, .883,
)
# fmt: on

STATURE_RANGE_M = (1.2, 2.3)
"""Statures accepted, metres. The survey holds 1.41 to 1.99; beyond, the fits extrapolate (assumption)."""
MASS_RANGE_KG = (30.0, 250.0)
"""Masses accepted, kg. The survey holds 36 to 144; beyond, the fits extrapolate (assumption)."""


def by_sex(female: ArrayLike, male_value: ArrayLike, female_value: ArrayLike) -> Array:
    """Pick the male or the female value, elementwise.

    Args:
        female: ``(...)`` bool, or 0 for male and 1 for female.
        male_value: value for men, broadcast against ``female``.
        female_value: value for women, broadcast against ``female``.

    Returns:
        Array: the chosen values, float, of the common shape.

    Raises:
        TurnstillError: ``female`` holds something else than 0 and 1.
    """
    sex = np.asarray(female, dtype=np.float64)
    if not np.all((sex == 0.0) | (sex == 1.0)):
        raise TurnstillError(
            f"female was {female!r}, but the survey knows men and women only: give False (0) or True (1)."
        )
    return np.where(sex == 1.0, np.asarray(female_value, np.float64), np.asarray(male_value, np.float64))


def _look_up(table: Mapping[str, Row], name: str) -> Row:
    """One row of a table, or a sentence that lists the names there are."""
    if name not in table:
        raise TurnstillError(f"The survey has no measure {name!r} here: choose one of {', '.join(table)}.")
    return table[name]


def ratio(name: str, female: ArrayLike) -> Array:
    """Mean of a measure as a fraction of stature, shape of ``female``; see ``RATIOS`` for the names.

    Raises:
        TurnstillError: an unknown measure, or ``female`` not 0 or 1.
    """
    row = _look_up(RATIOS, name)
    return by_sex(female, row[0], row[2])


def ratio_sd(name: str, female: ArrayLike) -> Array:
    """Standard deviation between people of what ``ratio`` gives, shape of ``female``.

    Raises:
        TurnstillError: an unknown measure, or ``female`` not 0 or 1.
    """
    row = _look_up(RATIOS, name)
    return by_sex(female, row[1], row[3])


def _within(name: str, values: ArrayLike, allowed: tuple[float, float]) -> Array:
    """Values as a float array, or ``OutOfRange`` naming the first one that is not a number in the range."""
    array = np.asarray(values, dtype=np.float64)
    wrong = array[~((array >= allowed[0]) & (array <= allowed[1]))]
    if wrong.size:
        raise OutOfRange(name, float(wrong.flat[0]), *allowed)
    return array


def shape(stature_m: ArrayLike, mass_kg: ArrayLike, female: ArrayLike) -> dict[str, Array]:
    """Breadths, depths and girths to expect of a stature, a mass and a sex: the fits of ``SHAPE``.

    Args:
        stature_m: ``(...)`` metres, inside ``STATURE_RANGE_M``.
        mass_kg: ``(...)`` kg, inside ``MASS_RANGE_KG``.
        female: ``(...)`` bool, or 0 and 1. The three broadcast.

    Returns:
        dict[str, Array]: every measure of ``SHAPE`` in metres, each of the common shape. Biceps and
        forearm girths are flexed, the chest is at the fullest part, waist measures at the navel, ankle
        girth at its least. These are medians: half the people of that size have more.

    Raises:
        OutOfRange: a stature or mass outside its range, or not a number.
        TurnstillError: ``female`` not 0 or 1.
    """
    log_stature = np.log(_within("stature_m", stature_m, STATURE_RANGE_M))
    log_mass = np.log(_within("mass_kg", mass_kg, MASS_RANGE_KG))
    return {
        name: np.exp(by_sex(female, *(a + b * log_stature + c * log_mass for a, b, c, _ in fits)))
        for name, fits in SHAPE.items()
    }


def shape_sd(name: str, female: ArrayLike) -> Array:
    """Spread of a measure of ``shape`` between people of one stature and mass: sd of its natural log.

    Raises:
        TurnstillError: an unknown measure, or ``female`` not 0 or 1.
    """
    male, woman = _look_up(SHAPE, name)
    return by_sex(female, male[3], woman[3])


def _each_sex(female: ArrayLike, count: int) -> Array:
    """Sex of each of ``count`` people, ``(count,)``, from one for all or one each."""
    if count < 0 or np.shape(female) not in ((), (1,), (count,)):
        raise TurnstillError(
            f"count was {count} with female of shape {np.shape(female)}, but count must be 0 or more and "
            "female one value or one for each person."
        )
    return np.broadcast_to(by_sex(female, 0.0, 1.0), (count,))


def draw(rng: np.random.Generator, count: int, female: ArrayLike) -> tuple[Array, Array]:
    """Realistic people: stature and mass from the survey's joint log-normal distribution.

    Args:
        rng: the source of all randomness.
        count: number of people, 0 or more.
        female: one value for all or ``(count,)``; bool, or 0 and 1.

    Returns:
        tuple[Array, Array]: stature in metres and mass in kg, each ``(count,)``.

    Raises:
        TurnstillError: a negative count, or ``female`` of another shape or not 0 or 1.
    """
    sex = _each_sex(female, count)
    mean_h, sd_h, mean_m, sd_m, rho = (by_sex(sex, *pair) for pair in zip(*SIZE, strict=True))
    first, second = rng.standard_normal((count, 2)).T
    log_mass = mean_m + sd_m * (rho * first + np.sqrt(1.0 - rho**2) * second)
    return np.exp(mean_h + sd_h * first), np.exp(log_mass)


def correlations(female: bool) -> Array:
    """Correlation matrix of the ``SKELETAL`` proportions of one sex, ``(16, 16)``."""
    lower = np.eye(len(SKELETAL))
    lower[np.tril_indices(len(SKELETAL), -1)] = _FEMALE_CORRELATIONS if female else _MALE_CORRELATIONS
    return np.asarray(np.tril(lower, -1) + np.tril(lower).T, dtype=np.float64)


def draw_ratios(rng: np.random.Generator, count: int, female: ArrayLike) -> dict[str, Array]:
    """Realistic builds: the ``SKELETAL`` proportions drawn together, so that limbs fit each other.

    A joint normal distribution with the survey's means, standard deviations and correlations. The weak
    dependence of proportions on stature itself is left out.

    Args:
        rng: the source of all randomness.
        count: number of people, 0 or more.
        female: one value for all or ``(count,)``; bool, or 0 and 1.

    Returns:
        dict[str, Array]: each measure of ``SKELETAL`` as a fraction of stature, ``(count,)``.

    Raises:
        TurnstillError: a negative count, or ``female`` of another shape or not 0 or 1.
    """
    sex = _each_sex(female, count)
    normal = rng.standard_normal((count, len(SKELETAL)))
    his, hers = (normal @ np.linalg.cholesky(correlations(woman)).T for woman in (False, True))
    scores = by_sex(sex[:, None], his, hers)
    return {name: ratio(name, sex) + ratio_sd(name, sex) * scores[:, column] for column, name in enumerate(SKELETAL)}
