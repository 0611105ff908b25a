"""What is worn: closed, in its own colour, and over the skin whatever the legs and arms do."""

from __future__ import annotations

from dataclasses import replace
from types import ModuleType

import numpy as np
import pytest
from closed_parts import nearest_face, solid, vertices_of, winding
from scipy.spatial import cKDTree

from turnstill.model import Address, Body, Pieces
from turnstill.model.arrays import Array
from turnstill.model.chain.skeleton import Skeleton
from turnstill.model.films.camera import down_the_line, face_on
from turnstill.model.swing.simulate import simulate
from turnstill.render.body.body_surface import SETTLED, BodySurface
from turnstill.render.body.bones import LEG, SIDES
from turnstill.render.figure.clothing import BELT_SHARE, SKIRT_OVER_KNEE_M, Covering, Worn, _cut_out
from turnstill.render.figure.figure import SPACING_M, Figure, Posed
from turnstill.render.figure.look import Look
from turnstill.render.figure.skirt import COLUMNS, ROWS
from turnstill.render.stage.stage import Stage
from turnstill.scenes.setups.perform import address_of, pieces_of, swing_of
from turnstill.scenes.setups.presets import backswing_names, load

WORN = {
    "cap, long sleeves, skirt": Look(hair_style="tied back", headwear="cap", sleeves="long", legwear="skirt"),
    "cropped, shorts": Look(hair_style="cropped", legwear="shorts"),
    "cap, shorts": Look(headwear="cap", legwear="shorts"),
}
SIZES = ((1.64, 64.0, "female"), (1.78, 118.0, "male"), (1.60, 46.0, "female"), (1.65, 98.0, "female"))
THROUGH_M = 0.0015
"""How far skin may come through cloth at its very edge: a twentieth of a pixel of an ordinary picture."""
CLOTH = 2 * COLUMNS * (ROWS - 1)
"""Triangles of a skirt's cloth; those that close hem and waist come after."""
COLOURS = {
    "head": "skin", "arm_lead": "skin", "leg_trail": "skin", "nose": "skin", "brow_lead": "hair", "hair": "hair",
    "hair_tail": "hair", "cap": "cap", "cap_peak": "cap", "shirt": "shirt", "collar": "collar", "placket": "collar",
    "trousers": "trousers", "shorts": "shorts", "skirt": "skirt", "belt": "belt", "buckle": "buckle",
    "sock_lead": "shoes", "shoe_trail": "shoes", "sole_lead": "sole", "hand_lead": "glove", "hand_trail": "skin",
    "shaft": "shaft", "grip": "grip", "clubhead": "clubhead",
}  # fmt: skip
"""By hand: which field of ``Look`` a part has its colour from."""


@pytest.fixture(scope="module", params=WORN)
def worn(golf: ModuleType, request: pytest.FixtureRequest) -> Figure:
    return Figure(golf.BODY, golf.address(), look=WORN[request.param])


def test_every_part_is_closed_and_wound_outward(golf: ModuleType, worn: Figure) -> None:
    for posture in (golf.address(), golf.top()):
        vertices = worn.pose(posture)
        for part in worn.parts:
            mesh = solid(worn, vertices, part.name)
            assert mesh.is_watertight and mesh.is_winding_consistent and mesh.volume > 0, part.name


def test_what_is_asked_for_is_worn_and_nothing_else(golf: ModuleType, worn: Figure) -> None:
    names, look = {part.name for part in worn.parts}, worn.look
    assert {"trousers", "shorts", "skirt"} & names == {look.legwear}
    assert ("hair_tail" in names) == (look.hair_style == "tied back")
    assert ({"cap", "cap_peak"} <= names) == (look.headwear == "cap")
    assert {"leg_lead", "leg_trail"} <= names and len(names) == len(worn.parts)
    address = golf.address()
    elbow = cKDTree(vertices_of(worn, worn.pose(address), "shirt")).query(address.joints["elbow_lead"])[0]
    assert (elbow < 0.07) == (look.sleeves == "long")


def test_every_part_has_the_colour_that_is_named_after_it(golf: ModuleType) -> None:
    rng = np.random.default_rng(8)
    names = sorted(set(COLOURS.values()))
    colours = dict(zip(names, map(tuple, rng.permutation(256)[: 3 * len(names)].reshape(-1, 3).tolist()), strict=True))
    seen = set()
    for look in (*WORN.values(), Look()):
        figure = Figure(golf.BODY, golf.address(), look=replace(look, **colours))
        drawn = figure.vertex_colours()
        for part, (start, end) in zip(figure.parts, figure.vertex_ranges, strict=True):
            if part.name in COLOURS:
                seen.add(part.name)
                assert np.all(drawn[start:end] == colours[COLOURS[part.name]]), part.name
    assert seen == set(COLOURS)


@pytest.mark.parametrize("view", ["face-on", "down the line"])
def test_pixels_that_a_garment_has_by_its_id_are_drawn_in_its_colour(golf: ModuleType, stage: Stage, view: str) -> None:
    """Pure red, green and blue side by side: light changes how bright they are, never which is brightest."""
    look = Look(headwear="cap", sleeves="long", legwear="skirt", cap=(255, 0, 0), shirt=(0, 255, 0), skirt=(0, 0, 255),
                skin=(255, 0, 0), hair=(0, 255, 0))  # fmt: skip
    figure = Figure(golf.BODY, golf.address(), look=look)
    camera = {"face-on": face_on(0.75), "down the line": down_the_line([0.41, 0.03, 0.74])}[view]
    posed = Posed.of(figure, golf.top())
    ids, picture = stage.part_ids(camera, posed, ball=False), stage.figure_layer(camera, posed, ball=False)[..., :3]
    names = [part.name for part in figure.parts]
    for name, channel in {"cap": 0, "shirt": 1, "skirt": 2, "leg_lead": 0}.items():
        own = ids == names.index(name) + 1
        # Within the part: at its edge a pixel shows two.
        own[1:-1, 1:-1] &= own[:-2, 1:-1] & own[2:, 1:-1] & own[1:-1, :-2] & own[1:-1, 2:]
        assert own.sum() > 100 and np.all(np.argmax(picture[own], axis=-1) == channel), name


def legs_and_skirt(surface: BodySurface) -> Array:
    """``(N,)`` the vertices of a body's skin that a skirt covers."""
    rest = surface.rest.joints
    low, high = rest["knee_lead"][2] + SKIRT_OVER_KNEE_M + 0.004, BELT_SHARE * rest["lumbosacral"][2] - 0.005
    z = surface.mesh.vertices[:, 2]
    legs = surface.share_of("pelvis", "spine_0", "spine_1", *(n for s in SIDES for names in LEG[s] for n in names))
    return np.flatnonzero((z > low) & (z < high) & (legs > 0.9))


def outside(figure: Figure, surface: BodySurface, posture: Skeleton) -> float:
    """How far skin comes through a skirt at worst, metres."""
    mesh = solid(figure, figure.pose(posture), "skirt")
    skin = surface.pose(posture).astype(float)[legs_and_skirt(surface)]
    # What could have come through is near the cloth, or on its outer side.
    distance, nearest = cKDTree(mesh.vertices).query(skin)
    above = ((skin - mesh.vertices[nearest]) * mesh.vertex_normals[nearest]).sum(axis=1)
    skin = skin[(distance < 0.012) | (above > 0)]
    through = skin[winding(np.asarray(mesh.vertices), np.asarray(mesh.faces), skin) < 0.5]
    found = [nearest_face(mesh, point) for point in through]
    # A knee that bends draws skin out below the hem, through the opening, where it is to be seen.
    return max((away for face, away in found if face < CLOTH), default=0.0)


IN_EVERY_RUN = ("pinched-toes", "sway", "too-much-tilt")


@pytest.mark.parametrize(
    "preset", [pytest.param(n, marks=() if n in IN_EVERY_RUN else pytest.mark.heavy) for n in backswing_names()]
)
def test_both_thighs_stay_inside_a_skirt_in_every_preset(preset: str) -> None:
    swing = swing_of(load(preset), 5)
    surface = BodySurface(swing.body, swing.skeleton[0], spacing_m=SPACING_M)
    figure = Figure(swing.body, swing.skeleton[0], look=Look(legwear="skirt"))
    assert max(outside(figure, surface, swing.skeleton[k]) for k in range(5)) < THROUGH_M


@pytest.mark.parametrize("size", SIZES, ids=lambda size: "-".join(map(str, size)))
def test_both_thighs_stay_inside_a_skirt_on_other_bodies(size: tuple[float, float, str]) -> None:
    """At the top, with the feet that turn the thighs most."""
    setup, body = load("pinched-toes"), Body.from_stature(*size)
    skeleton = simulate(body, address_of(setup), pieces_of(setup), frames=2).skeleton
    surface = BodySurface(body, skeleton[0], spacing_m=SPACING_M)
    figure = Figure(body, skeleton[0], look=Look(legwear="skirt"))
    assert outside(figure, surface, skeleton[1]) < THROUGH_M


def at_rest(figure: Figure, name: str) -> tuple[Array, Array]:
    """Vertices ``(N, 3)`` metres and faces of a garment where it was cut out."""
    k = [part.name for part in figure.parts].index(name)
    part = figure.parts[k]
    assert isinstance(part, Covering)
    return part.places[..., :3].sum(axis=1).astype(float), part.faces


@pytest.mark.parametrize("size", SIZES[:2], ids=lambda size: "-".join(map(str, size)))
def test_skin_that_goes_under_cloth_stays_under_it(size: tuple[float, float, str]) -> None:
    body = Body.from_stature(*size)
    skeleton = simulate(body, Address(), Pieces(), frames=2).skeleton
    for look, pairs in (
        (Look(legwear="shorts"), (("shorts", "leg_lead"), ("sock_trail", "leg_trail"), ("shirt", "arm_lead"))),
        (Look(sleeves="long"), (("shirt", "arm_lead"), ("shirt", "arm_trail"), ("trousers", "sock_lead"))),
    ):
        figure = Figure(body, skeleton[0], look=look)
        posed = figure.pose(skeleton[1])
        for cloth, skin in pairs:
            under = np.flatnonzero(winding(*at_rest(figure, cloth), at_rest(figure, skin)[0]) > 0.5)
            assert len(under) > 20, (cloth, skin)
            mesh, points = solid(figure, posed, cloth), vertices_of(figure, posed, skin)[under]
            out = points[winding(np.asarray(mesh.vertices), np.asarray(mesh.faces), points) < 0.5]
            assert max((nearest_face(mesh, point)[1] for point in out), default=0.0) < THROUGH_M, (cloth, skin)


def test_a_cap_covers_the_hair_that_it_lies_on(golf: ModuleType) -> None:
    for style in ("short", "tied back", "cropped"):
        figure = Figure(golf.BODY, golf.address(), look=Look(hair_style=style, headwear="cap"))
        vertices = figure.pose(golf.address())
        mesh, hair = solid(figure, vertices, "cap"), vertices_of(figure, vertices, "hair")
        # Over the cap's own edge in the head's frame, a little within it.
        frame, head = golf.address().frames["head"], golf.address().joints["head"]
        high = (hair - head) @ frame
        top = hair[high[:, 2] > ((np.asarray(mesh.vertices) - head) @ frame)[:, 2].max() - 0.06]
        assert len(top) > 50
        assert winding(np.asarray(mesh.vertices), np.asarray(mesh.faces), top).min() > 0.5


def test_a_figure_keeps_its_look_and_the_next_has_the_stages(golf: ModuleType) -> None:
    with Stage(Look(shirt=(200, 30, 30))) as stage:
        first = stage.figure(golf.BODY, golf.address())
        assert first.look.shirt == (200, 30, 30) and stage.figure(golf.BODY, golf.address()) is first
        other = stage.figure(golf.BODY, golf.address(), look=Look(legwear="shorts"))
        assert other is not first and other.look == Look(legwear="shorts")
        camera = face_on(0.75, 180, 225)
        before = stage.picture(camera, Posed.of(first, golf.address()))
        stage.look = Look(shirt=(30, 200, 30), ground=(250, 250, 250))
        assert np.array_equal(stage.picture(camera, Posed.of(first, golf.address())), before)
        after = stage.picture(camera, Posed.of(stage.figure(golf.BODY, golf.address()), golf.address()))
        assert (after[..., 1].astype(int) - before[..., 1] > 60).sum() > 500


def test_a_body_without_a_look_has_the_usual_one() -> None:
    for sex, tail in (("male", False), ("female", True)):
        body = Body.from_stature(1.68, 66.0, sex)
        address = simulate(body, Address(), Pieces(), frames=2).skeleton[0]
        assert ("hair_tail" in [part.name for part in Figure(body, address).parts]) == tail


def test_a_left_hander_wears_the_mirror_image(golf: ModuleType) -> None:
    look = WORN["cap, long sleeves, skirt"]
    right = Figure(golf.BODY, golf.address(), look=look).pose(golf.top())
    left = Figure(golf.BODY, golf.address().mirrored(), left_handed=True, look=look).pose(golf.top().mirrored())
    assert np.allclose(left, right * [1, -1, 1], atol=4e-6)


def test_a_head_is_smoothed_as_with_the_whole_body(golf: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    """Only what smoothing reaches from it is taken into account, which changes no number."""
    surface = BodySurface(golf.BODY, golf.address(), spacing_m=SPACING_M)
    taken = []
    for whole in (False, True):
        if whole:
            monkeypatch.setattr(Worn, "within", lambda worn, chosen, rings: np.arange(len(chosen)))
        worn = Worn(surface, Look())
        piece = next(one for one in worn.pieces() if one[0] == "head")
        near = worn.within(piece[3] > 0, SETTLED + 1)
        taken.append((_cut_out(worn, *piece), len(near)))
    (near, few), (far, many) = taken
    assert few < 0.5 * many
    assert np.array_equal(near.places, far.places) and np.array_equal(near.faces, far.faces)
