"""What a phone's sensor and codec do to a picture, as data."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Sensor:
    """Faults of the picture.

    Attributes:
        exposure: how many times as much light as is right, 1 for none; what is over white is lost.
        noise: sd of a pixel's noise on a scale of 0 to 255, at middle grey.
        shutter_s: how long the shutter is open, seconds; what moves meanwhile is blurred.
        jpeg_quality: 1 to 100; None stores PNG, which loses nothing.
    """

    exposure: float = 1.0
    noise: float = 0.0
    shutter_s: float = 0.0
    jpeg_quality: int | None = 95
