"""What a picture's label says: the typed model of ``KEY.json``, whose docstrings docs/dataset_fields.md is made of."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Annotated, Any

import numpy as np
from pydantic import AfterValidator, ConfigDict, Field

from ....render.figure.segments import SEGMENT_ID
from ...setups.reports import Report

KEYPOINTS: tuple[str, ...] = (
    "nose", "left_eye", "right_eye", "left_ear", "right_ear", "left_shoulder", "right_shoulder", "left_elbow",
    "right_elbow", "left_wrist", "right_wrist", "left_hip", "right_hip", "left_knee", "right_knee", "left_ankle",
    "right_ankle",
)  # fmt: skip
"""The seventeen of the COCO keypoint task, in its order; left is the golfer's own."""
OUTSIDE, COVERED, SEEN = 0, 1, 2
"""What v of a keypoint says."""


def _to(decimals: int) -> Any:
    def rounded(value: float) -> float:
        return round(value, decimals) + 0.0

    return AfterValidator(rounded)


def _rows_to(decimals: int) -> Any:
    """Rounds rows of numbers all at once, in a tenth of the time that each takes by itself."""

    def rounded(rows: list[tuple[float, ...]]) -> list[tuple[float, ...]]:
        return list(map(tuple, (np.round(rows, decimals) + 0.0).tolist()))

    return AfterValidator(rounded)


def _named(of_rows: Any) -> Any:
    """The same of rows by name."""
    rounded: Callable[[Any], Any] = of_rows.func

    def named(rows: Mapping[str, tuple[float, ...]]) -> dict[str, tuple[float, ...]]:
        return dict(zip(rows, rounded(list(rows.values())), strict=True))

    return AfterValidator(named)


PIXELS_DECIMALS, METRES_DECIMALS = 3, 5
Pixels = Annotated[float, _to(PIXELS_DECIMALS)]
Metres = Annotated[float, _to(METRES_DECIMALS)]
Plain = Annotated[float, _to(4)]
"""Degrees, centimetres, kilograms, seconds and shares."""
Fine = Annotated[float, _to(9)]
"""What is multiplied by metres or pixels."""
Point = tuple[float, float, float]
PixelPoint = tuple[float, float]
Points = Annotated[list[Point], _rows_to(METRES_DECIMALS)]
NamedPoints = Annotated[dict[str, Point], _named(_rows_to(METRES_DECIMALS))]
NamedPixelPoints = Annotated[dict[str, PixelPoint], _named(_rows_to(PIXELS_DECIMALS))]
Row = tuple[Fine, Fine, Fine]
RowInPixels = tuple[Annotated[float, _to(6)], Annotated[float, _to(6)], Annotated[float, _to(6)]]
_Channel = Annotated[int, Field(ge=0, le=255)]
Colour = tuple[_Channel, _Channel, _Channel]


class _Part(Report):
    """A label or a part of one: no number in it that is not finite."""

    model_config = ConfigDict(allow_inf_nan=False)


class CameraLabel(_Part):
    """`camera`: the lens and where it stood, in the convention of OpenCV."""

    width: int
    """columns of the picture"""
    height: int
    """rows of the picture"""
    K: tuple[RowInPixels, RowInPixels, RowInPixels]
    """3 × 3, pixels; the middle of the first pixel is at (0, 0)"""
    R: tuple[Row, Row, Row]
    """3 × 3, rotation from world to camera (x right, y down, z forward)"""
    t_m: tuple[Fine, Fine, Fine]
    """the world's origin in the camera, metres: a world point X is at R X + t"""
    distortion: tuple[Fine, Fine, Fine, Fine, Fine]
    """k1, k2, p1, p2, k3 as `cv2.projectPoints` takes them; all but k1 are 0"""
    off_square: dict[str, Plain]
    """how the camera differed from where a coach would put it, as drawn; the unit is in each name"""


class Rle(_Part):
    """A mask as COCO's run lengths, which `pycocotools.mask.decode` reads."""

    size: tuple[int, int]
    """rows, columns"""
    counts: str
    """the compressed run lengths, columns first"""


class Segmentation(_Part):
    """`segmentation`: masks at the middles of pixels, nothing smoothed."""

    person: Rle
    """the golfer with clothes, shoes, cap and hair, where nothing covers them"""
    club: Rle
    """the club, where nothing covers it"""


class PiecesLabel(_Part):
    """`pieces`: the pieces of the pivot at this moment, each name with its unit."""

    asked: dict[str, Plain]
    """what was asked for at this moment"""
    achieved: dict[str, Plain]
    """what the joints show at this moment"""
    departures: dict[str, Plain]
    """what the top of the swing, or impact if `faults_at` says so, shows beyond what holds this head or is centred: the
    same at each of the swing's moments"""
    steady: dict[str, Plain]
    """`tilt_deg` and `extension_deg` that hold this head at this moment"""


class HeadLabel(_Part):
    """`head_cm`: how far the head's centre has moved since address, centimetres."""

    toward_target: Plain
    """away from the target is negative"""
    toward_ball: Plain
    """away from the ball is negative"""
    up: Plain
    """down is negative"""


class BodyLabel(_Part):
    """`body`: whose body it is, as drawn."""

    stature_cm: Plain
    """body height"""
    mass_kg: Plain
    """body mass"""
    sex: str
    """`"male"` or `"female"`: from which sex's measures it was drawn"""
    handedness: str
    """`"right"` or `"left"`; of a left-hander the world's y is negated, so that it points away from the target"""
    lengths_cm: dict[str, Plain]
    """every length of the body by name"""
    ranges_deg: dict[str, Plain]
    """every range of motion by name"""
    shape_cm: dict[str, Plain]
    """every breadth, depth and girth by name"""


class StripesLabel(_Part):
    """`appearance.light.stripes`: bars of shade over golfer and ground."""

    width_m: Metres
    """of each bar and of each gap, measured across the light"""
    turn_deg: Plain
    """of the bars about the light's direction"""
    offset_m: Metres
    """how far the pattern is moved across the light"""
    depth: Plain
    """0 to 1, how much of the key light a bar takes"""


class LightLabel(_Part):
    """`appearance.light`: see `render/stage/light.py` for what each does; directions are of the world."""

    key: tuple[Plain, Plain, Plain]
    """toward the light that models the figure"""
    key_strength: Plain
    """of that light, 1 the brightest"""
    fill_strength: Plain
    """of what comes from the camera"""
    sky_strength: Plain
    """of what comes from behind and above"""
    ground_strength: Plain
    """of what the ground throws back"""
    sun: tuple[Plain, Plain, Plain]
    """toward the light that casts the shadow on the ground"""
    shadow_depth: Plain
    """0 to 1, how dark that shadow is"""
    shadow_softness: Plain
    """sd of the blur of its edge, as a share of the picture's height"""
    stripes: StripesLabel | None
    """hard shade over everything, see below; `null` where there is none"""


class PlaceLabel(_Part):
    """`appearance.place`: ground and backdrop."""

    ground: str
    """what the ground is covered with"""
    backdrop: str
    """what stands far behind the golfer"""
    ground_colour: Colour
    """red, green, blue, as all colours"""
    ground_other: Colour
    """the other colour of the ground's texture"""
    backdrop_low: Colour
    """one colour of the backdrop"""
    backdrop_high: Colour
    """its other colour"""
    contrast: Plain
    """0 to 1, of both textures"""
    texture_seed: int
    """the same number gives the same blades and leaves"""
    target_line: bool
    """whether a line on the ground shows the target"""


class OccluderLabel(_Part):
    """One of `appearance.occluders`: a thing that stands before the golfer."""

    kind: str
    """its shape"""
    at_m: tuple[Metres, Metres]
    """x and y of the middle of its foot, world"""
    height_m: Metres
    """how high"""
    breadth_m: Metres
    """how broad"""
    turn_deg: Plain
    """about the vertical"""
    colour: Colour
    """red, green, blue"""


class Appearance(_Part):
    """`appearance`: how golfer, place and light look, as drawn."""

    skin_tone: Plain
    """0 the lightest to 1 the darkest drawn"""
    look: dict[str, str | Colour]
    """what is worn, the kind of club, and the colour of everything, by the names of `Look`"""
    place: PlaceLabel
    """ground and backdrop, see below"""
    light: LightLabel
    """see below"""
    occluders: list[OccluderLabel]
    """what stands before the golfer seen from this tripod, see below"""


class SensorLabel(_Part):
    """`sensor`: what was done to the picture."""

    exposure: Plain
    """how many times as much light as is right"""
    noise: Plain
    """sd of a pixel's noise at middle grey, on a scale of 0 to 255"""
    shutter_s: Plain
    """how long the shutter was open; what moved meanwhile is blurred. Labels are of the middle of that time"""
    jpeg_quality: int | None
    """1 to 100; `null` for PNG, which loses nothing"""


class SeedLabel(_Part):
    """`seed`: where this picture's random numbers came from: `numpy.random.SeedSequence(root, spawn_key=...)`."""

    root: int
    """the recipe's seed"""
    subject: list[int]
    """spawn key of all that was drawn for the subject"""
    picture: list[int]
    """spawn key of this picture's noise"""


class Sample(_Part):
    """The label of one picture."""

    key: str = Field(pattern=r"^s\d{5,}-w\d{2,}-(faceon|line)-m\d{2,}$")
    """name of the picture and of all that belongs to it: subject, swing, view and moment"""
    split: str
    """the split all pictures of this subject belong to"""
    subject: int = Field(ge=0)
    """number of the golfer, from 0 within the data set"""
    swing: int = Field(ge=0)
    """number of the swing, from 0 within the subject"""
    moment: int = Field(ge=0)
    """number of the moment, from 0 within the swing, in order of time"""
    progress: Plain = Field(ge=0, le=3)
    """0 at address, 1 at the top; of a swing that goes on 2 at impact, 3 about where the club is level past the ball"""
    backswing_s: Plain
    """how long this swing takes from address to the top, seconds"""
    downswing_s: Plain | None
    """and from the top to the ball; `null` of a swing that ends at the top"""
    view: str
    """`"face-on"` or `"down-the-line"`"""
    camera: CameraLabel
    """see below"""
    keypoints: list[tuple[Pixels, Pixels, int]] = Field(min_length=17, max_length=17)
    """x, y, v of the seventeen COCO keypoints in COCO's order, left being the golfer's own; v is 0 outside the picture
    (x and y are then 0), 1 where something covers it, the body itself included, 2 where it is seen"""
    keypoints_3d_camera_m: Points = Field(min_length=17, max_length=17)
    """the same seventeen in the camera's frame, whether seen or not"""
    keypoints_met: list[tuple[int, Metres]] = Field(min_length=17, max_length=17)
    """what the line of sight to each of the seventeen meets first, a club's shaft and grip left out: its id as in
    `KEY.ids.npy.gz`, and how many metres before the keypoint it is along that line, negative beyond it; 0, 0 where it
    meets nothing but ground and backdrop, or v is 0"""
    joints_world_m: NamedPoints
    """every named joint in the world: x toward the ball, y toward a right-hander's target, z up. `nose` is the tip as
    drawn, like `eye_lead`, `eye_trail`, `ear_lead` and `ear_trail` a place on the skin"""
    joints_camera_m: NamedPoints
    """the same in the camera's frame"""
    joints_px: NamedPixelPoints
    """the same in the picture, lens distortion included, inside its edges or not"""
    bbox: tuple[int, int, int, int]
    """first column, first row, columns and rows of the golfer's mask, as COCO has it: the box's edges lie half a pixel
    before the middle of its first pixel; four zeros where nothing is seen of the golfer"""
    area: int = Field(ge=0)
    """pixels of the golfer's mask"""
    segmentation: Segmentation
    """see below"""
    parts: dict[str, int]
    """segment to its id in `KEY.ids.npy.gz`; 0 is ground and backdrop"""
    depth_unit_m: Annotated[float, _to(6)]
    """metres of one step of `KEY.depth.npy.gz`, along the optical axis; 0 is where neither golfer, club, ball nor
    occluder is"""
    pieces: PiecesLabel
    """see below"""
    limited_by: list[str]
    """the ranges of motion that keep the body from what is asked at this moment; empty if none does"""
    faults: list[str]
    """the pieces at fault in this swing: none, one or two"""
    faults_at: str
    """where they are: `"top"` or `"impact"`; what is off at the top is given back before the ball"""
    head_cm: HeadLabel
    """see below"""
    inclination_deg: Plain
    """of the trunk's line, pelvis centre to base of neck, from the vertical, in space"""
    body: BodyLabel
    """see below"""
    address: dict[str, Plain]
    """how the golfer stands to the ball and how the arms hang and swing, as asked; each name with its unit"""
    appearance: Appearance
    """see below"""
    sensor: SensorLabel
    """see below"""
    tries: int = Field(ge=1)
    """how many times this swing was drawn until the body could do it"""
    seed: SeedLabel
    """see below"""


def sample_text(sample: Sample) -> str:
    """A label as the text of its file: one line."""
    return sample.model_dump_json() + "\n"


PARTS: dict[str, int] = dict(SEGMENT_ID)
"""``parts`` of every sample."""
