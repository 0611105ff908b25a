"""The table of all pictures: a row each, the unit of every column in its metadata."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from .sample import SEEN

_UNITS = {"_cm": "cm", "_deg": "deg", "_kg": "kg", "_m": "m", "_px": "px", "_s": "s"}


@dataclass(frozen=True)
class Column:
    """One column.

    Attributes:
        name: its name, which ends in its unit where it has one.
        value: what stands in it.
        words: what it is.
    """

    name: str
    value: str | int | float | bool | list[float] | None
    words: str

    @property
    def unit(self) -> str:
        """Its unit; empty for what has none."""
        return next((unit for ending, unit in _UNITS.items() if self.name.endswith(ending)), "")


def columns(label: Mapping[str, Any], shard: str, image_id: int, ending: str) -> Iterator[Column]:
    """A picture's row.

    Args:
        label: its label.
        shard: path of its archive within the data set.
        image_id: its id in its split's COCO file.
        ending: of the picture's own file.
    """
    yield Column("key", label["key"], "name of the picture")
    yield Column("split", label["split"], "the subject's split")
    yield Column("shard", shard, "the archive it lies in")
    yield Column("picture", f"{label['key']}.{ending}", "its file in the archive")
    yield Column("image_id", image_id, "its id in its split's COCO file")
    for name in ("subject", "swing", "moment"):
        yield Column(name, label[name], f"number of the {name}, from 0")
    yield Column("progress", label["progress"], "0 at address, 1 at the top, 2 at impact, 3 past the ball")
    yield Column("backswing_s", label["backswing_s"], "how long the backswing takes")
    yield Column(
        "downswing_s",
        label["downswing_s"] or 0.0,
        "and the way from the top to the ball; 0 of a swing that ends at the top",
    )
    yield Column("view", label["view"], "face-on or down-the-line")
    yield Column("faults", "+".join(label["faults"]) or "none", "the pieces at fault")
    yield Column("faults_at", label["faults_at"], "where they are: top or impact")
    yield Column("limited_by", "+".join(label["limited_by"]), "ranges of motion that keep the body from what is asked")
    yield from _of_camera(label["camera"])
    yield from _of_picture(label)
    for name, value in label["head_cm"].items():
        yield Column(f"head_{name}_cm", value, "how far the head's centre has moved since address")
    yield Column("inclination_deg", label["inclination_deg"], "of the trunk's line from the vertical")
    for part in ("asked", "achieved", "departures", "steady"):
        for name, value in label["pieces"][part].items():
            yield Column(f"{part}_{name}", value, f"pieces.{part} of the label")
    body = label["body"]
    for name in ("stature_cm", "mass_kg", "sex", "handedness"):
        yield Column(name, body[name], f"body.{name} of the label")
    for name, value in body["ranges_deg"].items():
        yield Column(f"range_{name}_deg", value, "a range of motion of the body")
    for name, value in label["address"].items():
        yield Column(f"address_{name}", value, "the address asked for")
    yield from _of_appearance(label["appearance"])
    for name, value in label["sensor"].items():
        yield Column(name, 0 if value is None else value, f"sensor.{name} of the label; a jpeg_quality of 0 is PNG")


def _of_camera(camera: Mapping[str, Any]) -> Iterator[Column]:
    for name in ("width", "height"):
        yield Column(f"{name}_px", camera[name], f"{name} of the picture")
    yield Column("focal_px", camera["K"][0][0], "focal length")
    yield Column("distortion_k1", camera["distortion"][0], "the lens's k1")
    for name, value in camera["off_square"].items():
        yield Column(f"off_square_{name}", value, "how the camera differed from where a coach would put it")


def _of_picture(label: Mapping[str, Any]) -> Iterator[Column]:
    for name, value in zip(("left", "top", "width", "height"), label["bbox"], strict=True):
        yield Column(f"bbox_{name}_px", value, "the golfer's box, as COCO has it")
    yield Column("area_px", label["area"], "pixels of the golfer's mask")
    yield Column("seen", sum(v == SEEN for _, _, v in label["keypoints"]), "keypoints that are seen")
    flat = [float(value) for point in label["keypoints"] for value in point]
    yield Column("keypoints", flat, "x, y, v of the seventeen keypoints, pixels")


def _of_appearance(appearance: Mapping[str, Any]) -> Iterator[Column]:
    yield Column("skin_tone", appearance["skin_tone"], "0 the lightest to 1 the darkest drawn")
    for part in ("look", "place"):
        for name, value in appearance[part].items():
            shown = "#" + bytes(value).hex() if isinstance(value, list) else value
            yield Column(f"{part}_{name}", shown, f"appearance.{part}.{name} of the label; colours as #rrggbb")
    for name, value in appearance["light"].items():
        if name != "stripes":
            yield Column(f"light_{name}", value, f"appearance.light.{name} of the label")
    stripes = appearance["light"]["stripes"]
    yield Column("stripes_depth", stripes["depth"] if stripes else 0.0, "of hard shade over everything; 0 for none")
    yield Column("occluders", len(appearance["occluders"]), "how many things stand before the golfer")


def packed_rows(rows: Sequence[list[Column]]) -> bytes:
    """Rows as an Arrow stream of one batch, whose schema tells the columns; empty where there are none."""
    if not rows:
        return b""
    import pyarrow as pa

    schema = _schema(pa, rows[0])
    content = {column.name: [row[k].value for row in rows] for k, column in enumerate(rows[0])}
    sink = pa.BufferOutputStream()
    with pa.ipc.new_stream(sink, schema, options=pa.ipc.IpcWriteOptions(compression="zstd")) as stream:
        stream.write_batch(pa.RecordBatch.from_pydict(content, schema=schema))
    packed: bytes = sink.getvalue().to_pybytes()
    return packed


def write_index(path: Path, groups: Iterable[bytes]) -> None:
    """Write the table.

    Args:
        path: the file.
        groups: from ``packed_rows``, in order; each becomes a row group.
    """
    import pyarrow as pa
    from pyarrow import parquet

    writer: Any = None
    try:
        for rows in groups:
            if not rows:
                continue
            with pa.ipc.open_stream(rows) as stream:
                table = stream.read_all()
            if writer is None:
                writer = parquet.ParquetWriter(path, table.schema, compression="zstd")
            writer.write_table(table)
    finally:
        if writer is not None:
            writer.close()


def _schema(pa: Any, row: list[Column]) -> Any:
    kinds = {bool: pa.bool_(), int: pa.int64(), float: pa.float64(), str: pa.string(), list: pa.list_(pa.float64())}
    return pa.schema(
        [
            pa.field(
                one.name, kinds[type(one.value)], nullable=False,
                metadata={"description": one.words} | ({"unit": one.unit} if one.unit else {}),
            )
            for one in row
        ]
    )  # fmt: skip
