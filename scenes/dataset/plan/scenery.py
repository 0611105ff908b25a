"""Where a golfer stands, how it is lit, what stands in the way and what the camera does to a picture."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from ....model.films.camera import Camera
from ....model.swing.swing import Swing
from ....render.palette import Colour
from ....render.photograph.place import Occluder, Place
from ....render.photograph.sensor import Sensor
from ....render.stage.light import Light, Stripes
from .people import shaded
from .recipe import Recipe

_GROUNDS: Mapping[str, tuple[tuple[Colour, Colour], ...]] = {
    "plain": (
        ((122, 146, 112), (158, 174, 150)),
        ((150, 142, 126), (182, 176, 164)),
        ((128, 134, 142), (172, 176, 182)),
    ),
    "grass": (((62, 98, 48), (112, 146, 76)), ((88, 110, 56), (138, 150, 92)), ((124, 120, 70), (164, 152, 104))),
    "mat": (((48, 104, 62), (66, 128, 80)), ((58, 66, 62), (84, 92, 88)), ((40, 92, 96), (62, 118, 120))),
    "paving": (
        ((128, 122, 114), (160, 154, 146)),
        ((102, 104, 108), (138, 140, 144)),
        ((150, 120, 100), (176, 150, 132)),
    ),
}
_BACKDROPS: Mapping[str, tuple[tuple[Colour, Colour], ...]] = {
    "plain": (
        ((222, 226, 228), (190, 202, 214)),
        ((214, 206, 194), (236, 232, 226)),
        ((120, 128, 140), (164, 172, 184)),
    ),
    "trees": (((40, 62, 36), (104, 132, 74)), ((58, 70, 40), (134, 132, 78)), ((30, 48, 40), (76, 108, 84))),
    "wall": (((148, 140, 130), (186, 180, 172)), ((136, 84, 66), (176, 124, 104)), ((92, 98, 106), (132, 138, 146))),
    "net": (((34, 38, 40), (96, 102, 104)), ((166, 172, 176), (206, 210, 212)), ((40, 66, 52), (92, 118, 100))),
    "hills": (((104, 134, 92), (186, 206, 222)), ((142, 146, 108), (206, 214, 222)), ((86, 112, 102), (160, 184, 206))),
}
_THINGS: tuple[Colour, ...] = ((40, 44, 60), (150, 40, 36), (222, 216, 200), (96, 70, 48), (60, 96, 74), (200, 170, 60))
_BREADTH_M = {"bag": (0.28, 0.40), "bucket": (0.26, 0.40), "post": (0.08, 0.18), "board": (0.45, 0.90)}
_CLEAR = 0.2
"""m between the golfer's skin or club and an occluder, at least."""
_FLESH = 0.13
_NEAREST = 0.5
"""m in front of the camera, at least: nearer, a thing would hide everything."""


def place_of(recipe: Recipe, rng: np.random.Generator) -> Place:
    """Ground and backdrop."""
    asked = recipe.scenery
    ground, backdrop = (words[rng.integers(len(words))] for words in (asked.grounds, asked.backdrops))
    low, high = _pair(_GROUNDS[ground], rng)
    near, far = _pair(_BACKDROPS[backdrop], rng)
    return Place(
        ground=ground,  # type: ignore[arg-type]  # one of the recipe's, which are checked
        backdrop=backdrop,  # type: ignore[arg-type]
        ground_colour=low,
        ground_other=high,
        backdrop_low=near,
        backdrop_high=far,
        contrast=float(rng.uniform(*asked.contrast)),
        texture_seed=int(rng.integers(2**31)),
        target_line=bool(rng.random() < asked.target_line),
    )


def light_of(recipe: Recipe, rng: np.random.Generator) -> Light:
    """Where the light comes from, a right-hander's world, and how hard it is."""
    asked, usual = recipe.lights, Light()
    azimuth = np.radians(rng.uniform(-asked.from_front_deg, asked.from_front_deg))
    elevation = np.radians(rng.uniform(*asked.elevation_deg))
    far = float(np.linalg.norm(usual.key))
    # The sun that casts the shadow stands half as far from the zenith as the light that models: long shadows leave
    # the picture, and the stage's own pair is alike.
    higher = 0.5 * (elevation + 0.5 * np.pi)
    striped = bool(rng.random() < asked.striped)
    stripes = Stripes(
        width_m=float(rng.uniform(*asked.stripe_width_cm)) / 100.0,
        turn=float(rng.uniform(0.0, np.pi)),
        offset_m=float(rng.uniform(0.0, 1.0)),
        depth=float(rng.uniform(*asked.stripe_depth)),
    )
    return Light(
        key=_toward(azimuth, elevation, far),
        key_strength=float(rng.uniform(*asked.strength)),
        fill_strength=float(rng.uniform(*asked.fill)),
        sky_strength=usual.sky_strength,
        ground_strength=usual.ground_strength,
        sun=_toward(azimuth, higher, 1.0),
        shadow_depth=float(rng.uniform(*asked.shadow_depth)),
        shadow_softness=usual.shadow_softness * float(rng.uniform(0.5, 1.5)),
        stripes=stripes if striped else None,
    )


def sensor_of(recipe: Recipe, rng: np.random.Generator) -> Sensor:
    """What the camera does to every picture of a tripod."""
    asked = recipe.sensors
    low, high = (float(np.log(one)) for one in asked.exposure)
    quality = round(rng.uniform(*asked.jpeg_quality))
    return Sensor(
        exposure=float(np.exp(rng.uniform(low, high))),
        noise=float(rng.uniform(*asked.noise)),
        shutter_s=float(rng.uniform(*asked.shutter_s)),
        jpeg_quality=None if rng.random() < asked.png else quality,
    )


def occluders_of(recipe: Recipe, camera: Camera, swing: Swing, rng: np.random.Generator) -> tuple[Occluder, ...]:
    """What stands before the golfer's legs: nearer to the camera than golfer and club are at any moment.

    None where the club comes so near the camera that nothing fits between.
    """
    asked = recipe.scenery
    if rng.random() >= asked.occluded:
        return ()
    joints = swing.skeleton.joints
    nearest = min(float(camera.depth(place).min()) for place in joints.values()) - _FLESH - _CLEAR
    made = []
    for _ in range(1 + int(rng.integers(2))):
        kind = asked.occluders[rng.integers(len(asked.occluders))]
        breadth = float(rng.uniform(*_BREADTH_M[kind]))
        side = ("lead", "trail")[rng.integers(2)]
        covered = joints[f"ankle_{side}"][0] + rng.uniform(0.3, 1.4) * (
            joints[f"knee_{side}"][0] - joints[f"ankle_{side}"][0]
        )
        turn, colour = float(rng.uniform(0.0, np.pi)), shaded(_THINGS[rng.integers(len(_THINGS))], rng)
        # Its corners lie as far from its middle as half its diagonal.
        farthest = nearest - 0.75 * breadth
        share = float(rng.uniform(0.6, 1.0))
        depth = max(_NEAREST, share * farthest)
        if farthest < _NEAREST:
            continue
        line = covered - camera.position
        foot = camera.position + line * depth / float(camera.depth(covered))
        if foot[2] < 0.1:  # That low a line meets the ground before.
            continue
        made.append(Occluder(kind, (float(foot[0]), float(foot[1])), float(foot[2]), breadth, turn, colour))  # type: ignore[arg-type]
    return tuple(made)


def _toward(azimuth: float, elevation: float, far: float) -> tuple[float, float, float]:
    level = far * float(np.cos(elevation))
    return level * float(np.cos(azimuth)), level * float(np.sin(azimuth)), far * float(np.sin(elevation))


def _pair(pairs: tuple[tuple[Colour, Colour], ...], rng: np.random.Generator) -> tuple[Colour, Colour]:
    one, other = pairs[rng.integers(len(pairs))]
    return shaded(one, rng), shaded(other, rng)
