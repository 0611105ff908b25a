"""The segment table against its own laws, and against the measurements it was adjusted from."""

from __future__ import annotations

import numpy as np
import pytest

from turnstill.model.errors import TurnstillError
from turnstill.model.golfer import de_leva

TRUNK = ("upper_trunk", "middle_trunk", "lower_trunk")
SEXES = (False, True)


def _published_total(sex: int) -> float:
    return sum((2 if name in de_leva.PAIRED else 1) * row.mass[sex] for name, row in de_leva.SEGMENTS.items())


def test_published_masses_add_to_one_but_for_one_unit_in_print() -> None:
    assert _published_total(0) == pytest.approx(1.0000, abs=1e-9)
    assert _published_total(1) == pytest.approx(0.9999, abs=1e-9)


@pytest.mark.parametrize("shape", [(), (1,), (3, 1, 2)])
def test_mass_fractions_add_to_one(shape: tuple[int, ...]) -> None:
    female = np.random.default_rng(3).integers(0, 2, shape).astype(bool)
    fractions = de_leva.mass_fractions(female)
    assert set(fractions) == set(de_leva.SEGMENTS)
    whole = sum((2.0 if name in de_leva.PAIRED else 1.0) * share for name, share in fractions.items())
    assert np.shape(whole) == shape
    np.testing.assert_allclose(whole, 1.0, rtol=0, atol=1e-15)


def test_normalising_moves_no_woman_s_segment_by_more_than_the_print() -> None:
    for name, share in de_leva.mass_fractions(True).items():
        assert abs(float(share) - de_leva.SEGMENTS[name].mass[1]) < 5e-5


@pytest.mark.parametrize(("sex", "trunk"), [(0, 0.4346), (1, 0.4257)])
def test_trunk_parts_weigh_what_the_trunk_weighs(sex: int, trunk: float) -> None:
    assert sum(de_leva.SEGMENTS[part].mass[sex] for part in TRUNK) == pytest.approx(trunk, abs=1e-9)
    assert de_leva.segment_named("trunk_from_cervicale").mass[sex] == trunk


# Radii of gyration in metres do not depend on where the length is taken, so their ratio gives the ratio of
# two lengths; the mass centre must then be in one place by either pair of end points.
def _length_ratio(one: str, other: str, sex: int) -> float:
    mine, theirs = de_leva.segment_named(one).gyration[sex], de_leva.segment_named(other).gyration[sex]
    return max(theirs) / max(mine)  # the largest radius is the one printed most finely


@pytest.mark.parametrize("sex", [0, 1])
def test_head_mass_centre_is_one_place_seen_from_the_vertex(sex: int) -> None:
    to_jaw = de_leva.segment_named("head_to_jaw").centre[sex]
    to_cervicale = de_leva.segment_named("head").centre[sex]
    assert to_cervicale * _length_ratio("head", "head_to_jaw", sex) == pytest.approx(to_jaw, abs=0.001)


@pytest.mark.parametrize("sex", [0, 1])
def test_hand_mass_centre_is_one_place_seen_from_the_wrist(sex: int) -> None:
    to_knuckle = de_leva.segment_named("hand").centre[sex]
    to_tip = de_leva.segment_named("hand_to_fingertip").centre[sex]
    assert to_tip * _length_ratio("hand_to_fingertip", "hand", sex) == pytest.approx(to_knuckle, abs=0.002)


@pytest.mark.parametrize("sex", [0, 1])
@pytest.mark.parametrize("top", ["trunk_from_cervicale", "trunk_from_mid_shoulder"])
def test_trunk_mass_centre_is_one_place_seen_from_the_hips(top: str, sex: int) -> None:
    reference = 1.0 - de_leva.segment_named("trunk_from_suprasternale").centre[sex]
    here = 1.0 - de_leva.segment_named(top).centre[sex]
    # Radii printed to three digits leave a quarter of a per cent of the length open.
    assert here * _length_ratio(top, "trunk_from_suprasternale", sex) == pytest.approx(reference, abs=0.001)


@pytest.mark.parametrize(
    ("sex", "lengths", "gap"),
    [(0, (0.2421, 0.2155, 0.1457), 0.0035), (1, (0.2280, 0.2053, 0.1815), 0.0005)],
)
def test_trunk_parts_balance_where_the_trunk_balances(
    sex: int, lengths: tuple[float, float, float], gap: float
) -> None:
    """Composite mass centre of the parts against that of the whole, from the cervicale.

    Lengths of the parts in metres (de Leva 1996, Table 4): from memory, though they do add to the whole
    trunk. Women agree to half a millimetre; the men's printed fractions leave a gap of 3 mm.
    """
    starts = np.concatenate([[0.0], np.cumsum(lengths)[:-1]])
    rows = [de_leva.SEGMENTS[part] for part in TRUNK]
    masses = np.array([row.mass[sex] for row in rows])
    centres = starts + np.array([row.centre[sex] for row in rows]) * lengths
    whole = de_leva.segment_named("trunk_from_cervicale").centre[sex] * sum(lengths)
    assert abs(float(masses @ centres / masses.sum()) - whole) < gap


# Zatsiorsky, Seluyanov & Chugunova 1990, mean relative masses in per cent as restated in the data files
# zats-mean-male-bsp.csv and zatz-mean-female-bsp.csv of the public repository wspr/body-segment-param: the
# measurements that the 1996 table adjusts. The adjustment moved end points, not masses.
ZATSIORSKY = {
    "foot": (1.37, 1.29), "shank": (4.33, 4.81), "thigh": (14.165, 14.78), "hand": (0.614, 0.56),
    "forearm": (1.625, 1.38), "upper_arm": (2.707, 2.55), "head": (6.94, 6.68),
    "upper_trunk": (15.955, 15.45), "middle_trunk": (16.327, 14.65), "lower_trunk": (11.174, 12.47),
}  # fmt: skip


@pytest.mark.parametrize("name", ZATSIORSKY)
def test_masses_are_the_measured_ones_to_the_print(name: str) -> None:
    for sex in (0, 1):
        assert 100 * de_leva.SEGMENTS[name].mass[sex] == pytest.approx(ZATSIORSKY[name][sex], abs=0.0051)


# Dempster as tabulated by Winter (Biomechanics and Motor Control of Human Movement, 4th ed. 2009), read in
# the restatement BSP_DempsterWinter.txt of BMClab/BMC: eight cadavers of old men, so only a neighbour.
@pytest.mark.parametrize(
    ("name", "mass", "centre", "mass_gap", "centre_gap"),
    [
        ("forearm", 0.016, 0.430, 0.001, 0.028),  # men's mass centre 0.027 further down the forearm
        ("shank", 0.0465, 0.433, 0.004, 0.007),
        ("foot", 0.0145, None, 0.001, None),  # other end points: masses only
        ("upper_arm", 0.028, None, 0.001, None),  # 0.436 against 0.577: the shoulder centre differs
    ],
)
def test_men_against_dempster_with_the_gap_stated(
    name: str, mass: float, centre: float | None, mass_gap: float, centre_gap: float | None
) -> None:
    row = de_leva.SEGMENTS[name]
    assert row.mass[0] == pytest.approx(mass, abs=mass_gap)
    if centre is not None:
        assert row.centre[0] == pytest.approx(centre, abs=centre_gap)


@pytest.mark.parametrize("name", [*de_leva.SEGMENTS, *de_leva.OTHER_END_POINTS])
def test_a_radius_of_gyration_is_a_body_s(name: str) -> None:
    radii = de_leva.gyration_fractions(name, np.array([[False], [True]]))
    assert radii.shape == (2, 1, 3)
    moments = radii**2
    # No moment of inertia of a real body exceeds the sum of the other two.
    assert np.all(2 * moments.max(axis=-1) <= moments.sum(axis=-1))
    row = de_leva.segment_named(name)
    assert {row.start, row.end} <= set(de_leva.END_POINTS)


def test_each_sex_gets_its_own_column() -> None:
    centres = de_leva.centre_fraction("thigh", np.array(SEXES))
    np.testing.assert_array_equal(centres, [0.4095, 0.3612])
    np.testing.assert_array_equal(de_leva.gyration_fractions("shank", 1), [0.267, 0.263, 0.092])


def test_mistakes_are_answered_in_a_sentence() -> None:
    with pytest.raises(TurnstillError, match="upper_trunk"):
        de_leva.centre_fraction("torso", False)
    with pytest.raises(TurnstillError, match="True"):
        de_leva.mass_fractions(0.5)
