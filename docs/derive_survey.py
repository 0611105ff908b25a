"""Redo the constants of ``model/golfer/survey.py`` from the rows of the 2012 US Army survey.

    python docs/derive_survey.py MEN.csv WOMEN.csv            # print the literal tables
    python docs/derive_survey.py MEN.csv WOMEN.csv --check    # compare them with model/golfer/survey.py

The two files are the public ones of ANSUR II (Gordon et al. 2014, NATICK/TR-15/007, public domain): one
person a row, a header of measure names, lengths in millimetres, except ``interpupillarybreadth`` in units of
0.1 mm and ``weightkg`` in units of 0.1 kg. Other columns may be present and are not read. Needs numpy only.
"""

from __future__ import annotations

import csv
import sys
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Columns = dict[str, Array]

# name in the product -> signed columns of the survey whose sum is the measure
RATIO_COLUMNS: dict[str, str] = {
    "cervicale_height": "cervicaleheight",
    "suprasternale_height": "suprasternaleheight",
    "acromial_height": "acromialheight",
    "axilla_height": "axillaheight",
    "chest_height": "chestheight",
    "tenth_rib_height": "tenthribheight",
    "iliocristale_height": "iliocristaleheight",
    "omphalion_height": "waistheightomphalion",
    "trochanterion_height": "trochanterionheight",
    "crotch_height": "crotchheight",
    "buttock_height": "buttockheight",
    "mid_patella_height": "kneeheightmidpatella",
    "lateral_femoral_epicondyle_height": "lateralfemoralepicondyleheight",
    "tibiale_height": "tibialheight",
    "lateral_malleolus_height": "lateralmalleolusheight",
    "sitting_height": "sittingheight",
    "wrist_height": "wristheight",
    "eye_height": "stature - sittingheight + eyeheightsitting",
    "tragion_to_vertex": "tragiontopofhead",
    "vertex_to_cervicale": "stature - cervicaleheight",
    "menton_sellion_length": "mentonsellionlength",
    "interpupillary_breadth": "interpupillarybreadth",
    "cervicale_to_trochanterion": "cervicaleheight - trochanterionheight",
    "suprasternale_to_trochanterion": "suprasternaleheight - trochanterionheight",
    "acromion_to_trochanterion": "acromialheight - trochanterionheight",
    "trochanterion_to_tibiale": "trochanterionheight - tibialheight",
    "tibiale_to_malleolus": "tibialheight - lateralmalleolusheight",
    "biacromial_breadth": "biacromialbreadth",
    "bideltoid_breadth": "bideltoidbreadth",
    "bicristal_breadth": "bicristalbreadth",
    "hip_breadth": "hipbreadth",
    "chest_breadth": "chestbreadth",
    "chest_depth": "chestdepth",
    "neck_circumference": "neckcircumference",
    "head_length": "headlength",
    "head_breadth": "headbreadth",
    "acromion_radiale_length": "acromionradialelength",
    "shoulder_elbow_length": "shoulderelbowlength",
    "radiale_stylion_length": "radialestylionlength",
    "forearm_grip_length": "forearmcenterofgriplength",
    "forearm_hand_length": "forearmhandlength",
    "hand_length": "handlength",
    "palm_length": "palmlength",
    "hand_breadth": "handbreadth",
    "span": "span",
    "foot_length": "footlength",
    "heel_to_ball_length": "balloffootlength",
    "foot_breadth": "footbreadthhorizontal",
    "heel_breadth": "heelbreadth",
    "bimalleolar_breadth": "bimalleolarbreadth",
}

SHAPE_COLUMNS: dict[str, str] = {
    "chest_breadth": "chestbreadth",
    "chest_depth": "chestdepth",
    "waist_breadth": "waistbreadth",
    "waist_depth": "waistdepth",
    "hip_breadth": "hipbreadth",
    "buttock_depth": "buttockdepth",
    "bideltoid_breadth": "bideltoidbreadth",
    "neck_circumference": "neckcircumference",
    "chest_circumference": "chestcircumference",
    "waist_circumference": "waistcircumference",
    "buttock_circumference": "buttockcircumference",
    "thigh_circumference": "thighcircumference",
    "lower_thigh_circumference": "lowerthighcircumference",
    "calf_circumference": "calfcircumference",
    "ankle_circumference": "anklecircumference",
    "biceps_circumference": "bicepscircumferenceflexed",
    "forearm_circumference": "forearmcircumferenceflexed",
    "wrist_circumference": "wristcircumference",
    "head_length": "headlength",
    "head_breadth": "headbreadth",
    "head_circumference": "headcircumference",
    "hand_breadth": "handbreadth",
    "hand_length": "handlength",
    "foot_length": "footlength",
    "foot_breadth": "footbreadthhorizontal",
    "heel_breadth": "heelbreadth",
}

# The measures whose proportions are drawn together: enough to place every joint of a figure.
SKELETAL: tuple[str, ...] = (
    "cervicale_height", "suprasternale_height", "acromial_height", "iliocristale_height",
    "trochanterion_height", "lateral_femoral_epicondyle_height", "tibiale_height",
    "lateral_malleolus_height", "tragion_to_vertex", "biacromial_breadth", "acromion_radiale_length",
    "radiale_stylion_length", "forearm_grip_length", "hand_length", "foot_length", "heel_to_ball_length",
)  # fmt: skip


UNITS: dict[str, float] = {"weightkg": 0.1, "interpupillarybreadth": 0.0001}  # the rest: 0.001 m


def read(path: Path) -> Columns:
    """The numeric columns needed here: lengths in metres, ``weightkg`` in kg, each ``(people,)``."""
    with path.open(encoding="utf-8-sig", errors="replace", newline="") as file:
        rows = list(csv.DictReader(file))
    wanted = {"stature", "weightkg"}
    for recipe in (*RATIO_COLUMNS.values(), *SHAPE_COLUMNS.values()):
        wanted.update(word for word in recipe.split() if word not in "+-")
    missing = wanted - set(rows[0])
    if missing:
        raise SystemExit(f"{path} lacks the columns {sorted(missing)}: give the survey's public CSV file.")
    return {name: np.array([float(row[name]) for row in rows]) * UNITS.get(name, 0.001) for name in wanted}


def measure(people: Columns, recipe: str) -> Array:
    """A signed sum of columns, such as ``"stature - sittingheight + eyeheightsitting"``; ``(people,)`` m."""
    total, sign = np.zeros_like(people["stature"]), 1.0
    for word in recipe.split():
        if word in "+-":
            sign = 1.0 if word == "+" else -1.0
        else:
            total = total + sign * people[word]
    return total


def proportion(people: Columns, recipe: str) -> Array:
    """Each person's own measure over own stature, ``(people,)``."""
    return measure(people, recipe) / people["stature"]


def fit(people: Columns, recipe: str) -> tuple[float, float, float, float]:
    """Least squares of log(measure, m) = a + b log(stature, m) + c log(mass, kg); a, b, c, residual sd."""
    logs = np.log(measure(people, recipe))
    design = np.stack([np.ones_like(logs), np.log(people["stature"]), np.log(people["weightkg"])], axis=-1)
    (a, b, c), *_ = np.linalg.lstsq(design, logs, rcond=None)
    left = logs - design @ np.array([a, b, c])
    return float(a), float(b), float(c), float(np.sqrt(left @ left / (len(logs) - 3)))


def size(people: Columns) -> tuple[float, float, float, float, float]:
    """Mean and sd of log stature, mean and sd of log mass, and their correlation."""
    stature, mass = np.log(people["stature"]), np.log(people["weightkg"])
    correlation = float(np.corrcoef(stature, mass)[0, 1])
    means = float(stature.mean()), float(mass.mean())
    return means[0], float(stature.std(ddof=1)), means[1], float(mass.std(ddof=1)), correlation


def tables(men: Columns, women: Columns) -> dict[str, list[str]]:
    """The body lines of each literal table of the product, by the table's name."""
    names = ("RATIOS", "SHAPE", "SIZE", "MALE", "FEMALE")
    made: dict[str, list[str]] = {name: [] for name in names}
    for name, recipe in RATIO_COLUMNS.items():
        his, hers = proportion(men, recipe), proportion(women, recipe)
        four = his.mean(), his.std(ddof=1), hers.mean(), hers.std(ddof=1)
        made["RATIOS"].append(f'    "{name}": ({", ".join(f"{value:.6f}" for value in four)}),')
    for name, recipe in SHAPE_COLUMNS.items():
        both = [f"({', '.join(f'{value:.4f}' for value in fit(sex, recipe))})" for sex in (men, women)]
        made["SHAPE"].append(f'    "{name}": ({", ".join(both)}),')
    for sex, table in ((men, "MALE"), (women, "FEMALE")):
        made["SIZE"].append(f"    ({', '.join(f'{value:.5f}' for value in size(sex))}),")
        together = np.corrcoef([proportion(sex, RATIO_COLUMNS[name]) for name in SKELETAL])
        for row in range(1, len(SKELETAL)):
            values = ", ".join(f"{value:.3f}".replace("0.", ".") for value in together[row, :row])
            made[table].append(f"    {values},")
    return made


def main(arguments: list[str]) -> int:
    """Print the tables, or with ``--check`` say whether the product holds exactly these lines."""
    files = [Path(argument) for argument in arguments if not argument.startswith("--")]
    if len(files) != 2:
        print(__doc__)
        return 2
    made = tables(read(files[0]), read(files[1]))
    if "--check" not in arguments:
        for name, lines in made.items():
            print(f"{name}\n" + "\n".join(lines) + "\n")
        return 0
    product = Path(__file__).parents[1] / "model" / "golfer" / "survey.py"
    shipped = set(product.read_text(encoding="utf-8").splitlines())
    stale = [line for lines in made.values() for line in lines if line not in shipped]
    print("\n".join(stale) or "model/golfer/survey.py holds exactly these constants")
    return 1 if stale else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
