"""The survey's figures: against its summary, against other peoples' bodies, and by the laws of the fits."""

from __future__ import annotations

import csv
import importlib.util
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest

from turnstill.model.errors import OutOfRange, TurnstillError
from turnstill.model.golfer import survey

DERIVE = Path(__file__).parents[2] / "docs" / "derive_survey.py"
MEAN_SIZE = ((1.7562, 85.5), (1.6285, 67.8))

# Summary of ANSUR II (Gordon et al. 2014, NATICK/TR-15/007), made from the public files apart from the
# script that made the module: mean and sd of measure / stature for men, then for women, as printed there.
SUMMARY = {
    "cervicale_height": (0.8639, 0.0066, 0.8570, 0.0068),
    "suprasternale_height": (0.8191, 0.0071, 0.8164, 0.0071),
    "acromial_height": (0.8203, 0.0096, 0.8198, 0.0087),
    "iliocristale_height": (0.6044, 0.0128, 0.6113, 0.0129),
    "omphalion_height": (0.6014, 0.0129, 0.6017, 0.0135),
    "trochanterion_height": (0.5128, 0.0152, 0.5190, 0.0144),
    "crotch_height": (0.4815, 0.0141, 0.4802, 0.0151),
    "mid_patella_height": (0.2780, 0.0092, 0.2756, 0.0090),
    "tibiale_height": (0.2665, 0.0081, 0.2687, 0.0084),
    "lateral_malleolus_height": (0.0415, 0.0029, 0.0385, 0.0028),
    "biacromial_breadth": (0.2368, 0.0098, 0.2244, 0.0096),
    "bideltoid_breadth": (0.2909, 0.0184, 0.2767, 0.0171),
    "hip_breadth": (0.1970, 0.0129, 0.2174, 0.0153),
    "bicristal_breadth": (0.1569, 0.0086, 0.1679, 0.0127),
    "foot_length": (0.1544, 0.0052, 0.1513, 0.0053),
    "vertex_to_cervicale": (0.1361, 0.0066, 0.1430, 0.0068),
    "eye_height": (0.9352, 0.0050, 0.9331, 0.0048),
    "cervicale_to_trochanterion": (0.3510, 0.0140, 0.3380, 0.0131),
    "suprasternale_to_trochanterion": (0.3062, 0.0145, 0.2975, 0.0127),
    "acromion_to_trochanterion": (0.3074, 0.0155, 0.3008, 0.0142),
    "trochanterion_to_tibiale": (0.2464, 0.0115, 0.2503, 0.0104),
    "tibiale_to_malleolus": (0.2250, 0.0083, 0.2302, 0.0089),
}
SUMMARY_MEANS = {
    "chest_breadth": (0.1649, 0.1655), "chest_depth": (0.1446, 0.1520),
    "heel_to_ball_length": (0.1144, 0.1118), "foot_breadth": (0.0580, 0.0570),
    "heel_breadth": (0.0413, 0.0413), "head_length": (0.1137, 0.1167), "head_breadth": (0.0880, 0.0909),
    "tragion_to_vertex": (0.0748, 0.0778), "acromion_radiale_length": (0.1909, 0.1911),
    "radiale_stylion_length": (0.1525, 0.1482), "hand_length": (0.1101, 0.1112),
    "neck_circumference": (0.2267, 0.2027), "span": (1.0330, 1.0195),
}  # fmt: skip
# The same summary, mean of the measure itself, millimetres.
SUMMARY_MM = {
    "chest_breadth": (289.4, 269.3), "chest_depth": (253.8, 247.4), "hip_breadth": (345.7, 353.8),
    "bideltoid_breadth": (510.4, 450.3), "neck_circumference": (397.6, 329.8),
    "head_length": (199.5, 189.8), "head_breadth": (154.3, 147.8), "hand_length": (193.3, 181.1),
    "foot_length": (271.2, 246.3), "foot_breadth": (101.9, 92.7), "heel_breadth": (72.5, 67.2),
}  # fmt: skip
PRINTED = 0.5e-4 + 1e-6


def test_proportions_reproduce_the_summary_to_the_print() -> None:
    for name, printed in SUMMARY.items():
        np.testing.assert_allclose(survey.RATIOS[name], printed, rtol=0, atol=PRINTED, err_msg=name)
    for name, means in SUMMARY_MEANS.items():
        np.testing.assert_allclose(survey.ratio(name, [0, 1]), means, rtol=0, atol=PRINTED, err_msg=name)


def test_sizes_reproduce_the_summary() -> None:
    """Mean and sd of the log-normal against those of the people: 1756.2 (68.6) mm, 85.5 (14.2) kg, ..."""
    printed = ((1.7562, 0.0686, 85.5, 14.2), (1.6285, 0.0642, 67.8, 11.0))
    for (log_h, sd_h, log_m, sd_m, _), (stature, stature_sd, mass, mass_sd) in zip(survey.SIZE, printed, strict=True):
        mean_h, mean_m = np.exp(log_h + sd_h**2 / 2), np.exp(log_m + sd_m**2 / 2)
        assert mean_h == pytest.approx(stature, abs=0.0001)
        assert mean_m == pytest.approx(mass, abs=0.1)
        assert mean_h * np.sqrt(np.expm1(sd_h**2)) == pytest.approx(stature_sd, rel=0.01)
        assert mean_m * np.sqrt(np.expm1(sd_m**2)) == pytest.approx(mass_sd, rel=0.02)


@pytest.mark.parametrize("sex", [0, 1])
def test_shape_of_a_mean_body_is_the_mean_shape(sex: int) -> None:
    made = survey.shape(*MEAN_SIZE[sex], sex)
    for name, means in SUMMARY_MM.items():
        assert 1000 * float(made[name]) == pytest.approx(means[sex], rel=0.015), name


@pytest.mark.parametrize(
    ("name", "drillis", "gaps"),
    [
        # men's and women's survey mean less Drillis & Contini, fractions of stature
        ("lateral_malleolus_height", 0.039, (0.0025, -0.0005)),
        ("trochanterion_height", 0.530, (-0.0172, -0.0110)),  # their hip is above the greater trochanter
        ("acromial_height", 0.818, (0.0023, 0.0018)),
        ("eye_height", 0.936, (-0.0008, -0.0029)),
        ("foot_length", 0.152, (0.0024, -0.0007)),
        ("foot_breadth", 0.055, (0.0030, 0.0020)),
        ("acromion_radiale_length", 0.186, (0.0049, 0.0051)),
        ("radiale_stylion_length", 0.146, (0.0065, 0.0022)),
        ("hand_length", 0.108, (0.0021, 0.0032)),
        ("hip_breadth", 0.191, (0.0060, 0.0264)),
        ("mid_patella_height", 0.285, (-0.0070, -0.0094)),
        ("lateral_femoral_epicondyle_height", 0.285, (-0.0051, 0.0010)),
    ],
)
def test_against_drillis_and_contini_with_the_gap_stated(name: str, drillis: float, gaps: tuple[float, float]) -> None:
    """Drillis & Contini 1966 as in Winter 2009, Fig. 4.1 (read in restatements); both sexes in one figure."""
    np.testing.assert_allclose(survey.ratio(name, [0, 1]) - drillis, gaps, rtol=0, atol=0.0001)
    # Another population by other hands, but the same anatomy: within three sd between people.
    assert np.all(np.abs(gaps) < 3 * survey.ratio_sd(name, [0, 1]))


@pytest.mark.parametrize(
    ("name", "millimetres", "within"),
    [
        ("cervicale_height", 1521.5, 0.0015),
        ("acromial_height", 1444.6, 0.0015),
        ("crotch_height", 835.9, 0.0140),
        ("acromion_radiale_length", 340.7, 0.0150),
        ("hand_length", 193.0, 0.0050),
        ("head_length", 197.3, 0.0140),
        ("biacromial_breadth", 397.4, 0.0490),  # 4.8 per cent narrower than in 2012
        ("bideltoid_breadth", 493.3, 0.0400),  # leaner men: 3.7 per cent narrower
    ],
)
def test_against_the_marines_of_1995(name: str, millimetres: float, within: float) -> None:
    """Median men of stature 1759 mm of an earlier survey, other people measured by other hands.

    Donelson & Gordon 1996 and Paquette et al. 1997, '1995 Matched Anthropometric Database of U.S. Marine
    Corps Personnel', read in a restatement (a public robotics toolbox's table of a median man).
    """
    assert float(survey.ratio(name, False)) == pytest.approx(millimetres / 1759, rel=within)


@pytest.mark.parametrize("female", [False, True])
def test_every_measure_grows_with_mass(female: bool) -> None:
    masses = np.linspace(*survey.MASS_RANGE_KG, 40)
    for name, lengths in survey.shape(1.7, masses, female).items():
        assert np.all(np.diff(lengths) > 0), name


@pytest.mark.parametrize("female", [False, True])
def test_trunk_sections_swell_a_little_more_than_mass(female: bool) -> None:
    """At one stature volume goes with mass, and head and hands hardly grow: the trunk takes up the rest."""
    light, heavy = (survey.shape(1.7, mass, female) for mass in (60.0, 90.0))
    swelling = []
    for breadth, depth in (("chest", "chest"), ("waist", "waist"), ("hip", "buttock")):
        sections = [made[f"{breadth}_breadth"] * made[f"{depth}_depth"] for made in (light, heavy)]
        swelling.append(float(np.log(sections[1] / sections[0]) / np.log(1.5)))
    assert 1.0 < np.mean(swelling) < 1.25
    assert np.log(heavy["head_circumference"] / light["head_circumference"]) / np.log(1.5) < 0.1


def test_girths_close_around_their_breadths_and_depths() -> None:
    """No girth is shorter than the rectangle's inscribed diamond or longer than the rectangle itself."""
    stature, mass, female = np.meshgrid([1.55, 1.7, 1.9], [55.0, 75.0, 100.0], [0.0, 1.0])
    made = survey.shape(stature, mass, female)
    for girth, breadth, depth in [("waist", "waist", "waist"), ("buttock", "hip", "buttock")]:
        b, d = made[f"{breadth}_breadth"], made[f"{depth}_depth"]
        around = made[f"{girth}_circumference"]
        assert np.all(around > 2 * np.hypot(b, d)), girth
        assert np.all(around < 2 * (b + d)), girth


@pytest.mark.parametrize("batch", [(), (1,), (3, 1, 2)])
def test_shape_is_the_same_in_any_batch(batch: tuple[int, ...]) -> None:
    rng = np.random.default_rng(5)
    stature, mass = rng.uniform(1.5, 2.0, batch), rng.uniform(50, 110, batch)
    female = rng.integers(0, 2, batch).astype(bool)
    together = survey.shape(stature, mass, female)
    for index in np.ndindex(batch):
        alone = survey.shape(float(stature[index]), float(mass[index]), bool(female[index]))
        for name, lengths in together.items():
            assert lengths.shape == batch
            assert float(lengths[index]) == pytest.approx(float(alone[name]), rel=1e-14)
    assert survey.shape(stature, 80.0, female)["hip_breadth"].shape == batch


@pytest.mark.parametrize("female", [False, True])
def test_drawn_people_have_the_survey_s_moments(female: bool) -> None:
    count = 40_000
    stature, mass = survey.draw(np.random.default_rng(11), count, female)
    logs = np.log([stature, mass])
    mean_h, sd_h, mean_m, sd_m, rho = survey.SIZE[int(female)]
    four_errors = 4 / np.sqrt(count)
    np.testing.assert_allclose(logs.mean(axis=1), [mean_h, mean_m], atol=four_errors * sd_m, rtol=0)
    np.testing.assert_allclose(logs.std(axis=1), [sd_h, sd_m], rtol=four_errors)
    assert np.corrcoef(logs)[0, 1] == pytest.approx(rho, abs=four_errors)


def test_draws_depend_on_the_generator_alone_and_mix_the_sexes() -> None:
    sexes = np.array([0, 1, 1, 0], dtype=bool)
    mixed = survey.draw(np.random.default_rng(0), 4, sexes)
    again = survey.draw(np.random.default_rng(0), 4, sexes)
    women = survey.draw(np.random.default_rng(0), 4, True)
    np.testing.assert_array_equal(mixed, again)
    np.testing.assert_array_equal(np.array(mixed)[:, sexes], np.array(women)[:, sexes])
    assert not np.allclose(np.array(mixed)[:, ~sexes], np.array(women)[:, ~sexes])
    assert survey.draw(np.random.default_rng(0), 0, False)[0].shape == (0,)


@pytest.mark.parametrize("female", [False, True])
def test_drawn_limbs_fit_each_other(female: bool) -> None:
    """Differences of drawn heights vary as the survey's own differences do, which were not used to draw."""
    count = 40_000
    drawn = survey.draw_ratios(np.random.default_rng(2), count, female)
    for upper, lower, name in [
        ("trochanterion_height", "tibiale_height", "trochanterion_to_tibiale"),
        ("tibiale_height", "lateral_malleolus_height", "tibiale_to_malleolus"),
        ("cervicale_height", "trochanterion_height", "cervicale_to_trochanterion"),
        ("acromial_height", "trochanterion_height", "acromion_to_trochanterion"),
    ]:
        part = drawn[upper] - drawn[lower]
        sd = float(survey.ratio_sd(name, female))
        mean = float(survey.ratio(name, female))
        assert part.mean() == pytest.approx(mean, abs=4 * sd / np.sqrt(count) + 2e-6)
        assert part.std() == pytest.approx(sd, rel=0.02), name
        assert np.all(part > 0)


def test_mistakes_are_answered_in_a_sentence() -> None:
    with pytest.raises(TurnstillError, match="tibiale_height"):
        survey.ratio("knee", False)
    with pytest.raises(OutOfRange, match="stature_m was 175"):
        survey.shape(175.0, 80.0, False)
    with pytest.raises(OutOfRange, match="mass_kg was nan"):
        survey.shape(1.75, [80.0, np.nan], False)
    with pytest.raises(TurnstillError, match="True"):
        survey.shape(1.75, 80.0, 2)
    with pytest.raises(TurnstillError, match="one for each"):
        survey.draw(np.random.default_rng(0), 3, [True, False])


def _script() -> ModuleType:
    spec = importlib.util.spec_from_file_location("derive_survey", DERIVE)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_derivation_recovers_a_law_it_was_not_told(tmp_path: Path) -> None:
    """Invented people whose hip breadth obeys a known law, through the file format, back to the law."""
    script, rng = _script(), np.random.default_rng(8)
    stature, mass = survey.draw(rng, 4000, False)
    hip = np.exp(-2.5 + 0.1 * np.log(stature) + 0.35 * np.log(mass) + 0.03 * rng.standard_normal(4000))
    recipes = [*script.RATIO_COLUMNS.values(), *script.SHAPE_COLUMNS.values()]
    names = {word for recipe in recipes for word in recipe.split() if word not in "+-"}
    columns = {name: np.full(4000, 300.0) for name in sorted(names)}
    columns |= {"stature": 1000 * stature, "weightkg": 10 * mass, "hipbreadth": 1000 * hip}
    columns["cervicaleheight"] = 860.0 * stature
    path = tmp_path / "people.csv"
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerow(columns)
        writer.writerows(zip(*columns.values(), strict=True))
    people = script.read(path)
    a, b, c, sd = script.fit(people, "hipbreadth")
    assert np.all(np.abs(np.subtract((a, b, c), (-2.5, 0.1, 0.35))) < (0.06, 0.06, 0.015))
    assert sd == pytest.approx(0.03, rel=0.05)
    assert script.proportion(people, "stature - cervicaleheight").mean() == pytest.approx(0.14, abs=1e-12)
    assert script.size(people) == pytest.approx(survey.SIZE[0], abs=0.05)


def test_script_and_module_speak_of_the_same_measures() -> None:
    script = _script()
    assert list(script.RATIO_COLUMNS) == list(survey.RATIOS)
    assert list(script.SHAPE_COLUMNS) == list(survey.SHAPE)
    assert script.SKELETAL == survey.SKELETAL
