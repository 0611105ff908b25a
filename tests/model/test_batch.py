"""A batch is indexed, stacked and reshaped like one array, whatever it holds and wherever its own axes are."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnstill.model import Address, Body, Pieces, Steady, TurnstillError, simulate
from turnstill.model.arrays import Array, ArrayLike
from turnstill.model.batch import SHARED, Batch, Frame, Parts, Rows, Vector, common_batch


@dataclass(frozen=True)
class Inner(Batch):
    place: Vector
    amount: ArrayLike


@dataclass(frozen=True)
class Outer(Batch):
    """Everything a batch may hold."""

    frame: Frame
    named: Mapping[str, Vector]
    ends: tuple[Array, Array]
    inner: Inner
    with_moments: Annotated[Inner, Parts(after=1)]
    progress: Annotated[Array, SHARED]
    left_handed: bool
    names: tuple[str, ...]


def outer(batch: tuple[int, ...]) -> Outer:
    """Distinct numbers everywhere."""
    count = iter(range(10**6))

    def array(*own: int) -> Array:
        size = int(np.prod((*batch, *own)))
        return np.array([next(count) for _ in range(size)], dtype=float).reshape(*batch, *own)

    return Outer(
        array(3, 3), {"a": array(3), "b": array(3)}, (array(), array()), Inner(array(3), array()),
        Inner(array(5, 3), array(5)), np.linspace(0.0, 1.0, 5), True, ("x", "y"),
    )  # fmt: skip


SHAPES = st.lists(st.integers(1, 4), min_size=1, max_size=3).map(tuple)


@given(SHAPES, st.data())
def test_indexing_and_flattening_agree(shape: tuple[int, ...], data: st.DataObject) -> None:
    whole = outer(shape)
    index = tuple(data.draw(st.integers(0, size - 1)) for size in shape)
    one = whole[index]
    assert one.batch == () and one == whole.flat()[int(np.ravel_multi_index(index, shape))]
    np.testing.assert_array_equal(one.frame, whole.frame[index])
    np.testing.assert_array_equal(one.with_moments.place, whole.with_moments.place[index])
    np.testing.assert_array_equal(one.named["b"], whole.named["b"][index])


@given(SHAPES)
def test_what_is_taken_apart_stacks_to_the_whole(shape: tuple[int, ...]) -> None:
    whole = outer(shape)
    assert len(whole) == shape[0] and whole.batch == shape
    assert Outer.stack(list(whole)) == whole


@given(SHAPES)
def test_reshaping_there_and_back_changes_nothing(shape: tuple[int, ...]) -> None:
    whole = outer(shape)
    flat = whole.reshaped((int(np.prod(shape)),))
    assert flat == whole.flat() and flat.reshaped(shape) == whole
    twice = whole.flat(repeats=2)
    assert twice[::2] == flat and twice[1::2] == flat


@given(SHAPES)
def test_an_ellipsis_stands_for_batch_axes_only(shape: tuple[int, ...]) -> None:
    whole = outer(shape)
    last = whole[..., -1]
    assert last.batch == shape[:-1]
    np.testing.assert_array_equal(last.with_moments.amount, np.asarray(whole.with_moments.amount)[..., -1, :])
    with pytest.raises(IndexError, match=f"has {len(shape)} batch axes, not {len(shape) + 1}"):
        whole[(0,) * (len(shape) + 1)]


@dataclass(frozen=True)
class LastRows(Batch):
    q: Rows
    same: Rows


def test_moments_last() -> None:
    whole = LastRows(np.arange(24.0).reshape(8, 3), np.arange(8.0)[:, None])
    some = whole[np.array([2, 0, 2])]
    np.testing.assert_array_equal(some.q, whole.q[:, [2, 0, 2]])
    np.testing.assert_array_equal(some.same, np.repeat(whole.same, 3, axis=1))  # one for all is each one's
    assert whole[1].q.shape == (8,) and LastRows.stack(list(whole)).q.tolist() == whole.q.tolist()


def test_pieces_stack_in_one_kind_only() -> None:
    pieces = [Pieces(hip_turn=0.5, tilt=Steady(0.1)), Pieces(hip_turn=0.6, tilt=Steady(-0.1))]
    both = Pieces.stack(pieces)
    assert isinstance(both.tilt, Steady) and both.tilt.plus.tolist() == [0.1, -0.1] and both.batch == (2,)
    assert both[1].hip_turn == 0.6 and both[1].tilt == Steady(np.array(-0.1))
    with pytest.raises(TurnstillError, match="Steady and float are of different kinds"):
        Pieces.stack([pieces[0], Pieces(tilt=0.3)])
    with pytest.raises(TurnstillError, match="no Pieces to stack"):
        Pieces.stack([])


def test_equality_is_one_truth_value_and_there_is_no_hash() -> None:
    a, b = outer((2,)), outer((2,))
    assert (a == b) is True and (a != b) is False and a != outer((1,)) and a != a.inner and a != 3
    b.inner.place[0, 1] += 1.0
    assert (a == b) is False
    assert Pieces(tilt=0.3) != Pieces() and Address() == Address()
    with pytest.raises(TypeError, match="no hash"):
        hash(a)
    assert bool(Body.from_stature()) and bool(a)


def test_a_swing_is_a_sequence_of_swings() -> None:
    address = Address(trail_flare=np.radians([0.0, 10.0, 20.0]))
    swings = simulate(Body.from_stature(), address, Pieces(), frames=3)
    assert len(swings) == 3 and swings.batch == (3,) and swings[1:].batch == (2,)
    assert repr(swings) == "Swing(batch=(3,), moments=3)" and repr(swings[0]) == "Swing(moments=3)"
    assert repr(Pieces(hip_turn=0.5)) == "Pieces(hip_turn=0.5)" and repr(swings.body) == "Body()"
    for k, one in enumerate(swings):
        np.testing.assert_array_equal(one.measures.head_moved, swings.measures.head_moved[k])
        assert float(one.address.trail_flare) == address.trail_flare[k] and one.body.stature.shape == ()
        np.testing.assert_array_equal(one.limited, swings.limited[k])
    assert swings[2].progress is swings.progress and swings[2].limit_names == swings.limit_names
    with pytest.raises(TypeError, match="single one"):
        len(swings[0])
    with pytest.raises(IndexError):
        swings[0][1]


def test_shapes_that_do_not_go_together_are_told_field_by_field() -> None:
    with pytest.raises(TurnstillError) as wrong:
        common_batch(address=Address(lead_flare=np.zeros(4)), pieces=Pieces(hip_turn=np.zeros(3)))
    assert "address.lead_flare has (4,) and pieces.hip_turn has (3,)" in str(wrong.value)
