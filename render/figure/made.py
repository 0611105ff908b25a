"""What figures of one body share: parts made once, for whatever address, club and look."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping

from ...model.chain.skeleton import Skeleton
from ..body.body_mesh import Mesh
from ..body.body_surface import BodySurface
from ..shapes.solids import Part
from .cap import cap_parts
from .face import face_parts
from .hair import hair_parts
from .look import Look
from .shoes import shoe_parts


class Made:
    """Parts of one body by what they depend on.

    Attributes:
        hands: surfaces of hands, as ``hand_parts`` has them.
    """

    def __init__(self) -> None:
        self.hands: dict[tuple[str, float], Mesh] = {}
        self._parts: dict[Hashable, list[Part]] = {}

    def head(self, surface: BodySurface, shape: Mapping[str, float], look: Look) -> list[Part]:
        """Face, hair and, where one is worn, a cap."""
        long, style = shape["head_length"], look.hair_style
        return [
            *self._kept("face", lambda: face_parts(surface, shape)),
            *self._kept(("hair", style), lambda: hair_parts(surface, long, style)),
            *(self._kept("cap", lambda: cap_parts(surface, long)) if look.headwear == "cap" else ()),
        ]

    def shoes(self, shape: Mapping[str, float], heel_to_ball_m: float, address: Skeleton) -> list[Part]:
        """Both shoes, for a right-hander's address with the feet flat on the ground."""
        feet = []
        for side in ("lead", "trail"):
            foot, ankle = address.frames[f"foot_{side}"], address.joints[f"ankle_{side}"]
            heel = foot.T @ (address.joints[f"heel_{side}"] - ankle)
            # To a millionth of a millimetre: of one body they differ only by rounding.
            feet += [round(float(heel[0]), 9), round(float(ankle[2]), 9)]
        return self._kept(("shoes", *feet), lambda: shoe_parts(shape, heel_to_ball_m, address))

    def _kept(self, key: Hashable, make: Callable[[], list[Part]]) -> list[Part]:
        if key not in self._parts:
            self._parts[key] = make()
        return self._parts[key]
