"""Diagnose: from what two films show of one swing, at the top or at impact, to the pieces that moved the head.

Every hypothesis of no, one or two pieces at fault is fitted on the true chain (`fault_fit`); the posterior is their
mixture, with holes where a departure is too small to be a fault (`mixture`). What was said of the body and the address
is uncertain too: with the derivatives of the readings it adds to their noise.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

from ..arrays import Array, ArrayLike, BoolArray
from ..batch import common_batch
from ..chain.golfers import Golfers
from ..errors import TurnstillError
from ..golfer.address import ADDRESS, Address
from ..golfer.body import Body
from ..golfer.head_place import HeadPlace
from ..golfer.impact import Impact
from ..golfer.pieces import DEPARTURES, Pieces
from ..numeric.mixture import probability_of_largest, quantile, with_holes
from .fault_fit import Fit, Shows, fit
from .fault_prior import AT_FAULT, FaultPrior
from .readings import READINGS, Film

STATED = 0.9
"""Probability that intervals and the set of candidates hold."""
COUNTED_TO = 0.01
"""Standard error of a probability near 0.05 counted in 512 draws."""
FITS_ABOVE = 0.01
"""Readings that a body would show less often than this fit nothing it can do."""
HOPELESS = 1e-9
"""Readings rarer than this are not worth telling hypotheses apart by."""


@dataclass(frozen=True)
class Diagnosis:
    """What the films of ``S`` swings say; departures in rad and m, in the order of ``DEPARTURES``.

    Attributes:
        read: which of ``READINGS`` were read, ``(m,)``.
        seen: ``(S, m)`` rad and m, what was read of them.
        noise: ``(S, m, m)`` its covariance, what is not known of body and address included.
        probability: ``(S, 8)`` that the piece is at fault.
        amount: ``(S, 8)`` if it is: the median of its departure.
        low, high: ``(S, 8)`` if it is: the ends of its 90 % interval.
        overall_low, overall_high: ``(S, 8)`` the 90 % interval whether it is or not.
        nothing: ``(S,)`` probability that no piece is at fault.
        largest: ``(S, 8)`` probability that it departs furthest, measured by its slab.
        largest_if: ``(S, 37, 8)`` the same under each hypothesis.
        candidates: ``(S, 8)`` the smallest set that holds 90 % of ``largest``, and what is as probable as its last.
        misfit: ``(S,)`` chi-squared of the best that a body can do with all pieces free, ``m`` degrees of freedom.
        fits: ``(S,)`` whether that is no rarer than 1 %.
        weight: ``(S, 37)`` probability of every hypothesis of ``fault_prior.HYPOTHESES``.
        hypotheses: each of them fitted, with slabs that have no holes.
        film: the golfers.
    """

    read: NDArray[np.intp]
    seen: Array
    noise: Array
    probability: Array
    amount: Array
    low: Array
    high: Array
    overall_low: Array
    overall_high: Array
    nothing: Array
    largest: Array
    largest_if: Array
    candidates: BoolArray
    misfit: Array
    fits: BoolArray
    weight: Array
    hypotheses: Fit
    film: Film

    @property
    def swings(self) -> NDArray[np.intp]:
        """``(S,)`` their numbers among the golfers of ``film``."""
        return np.arange(len(self.weight))

    def likeliest(self) -> Array:
        """``(S, 8)`` departures under the most probable hypothesis."""
        return np.asarray(self.hypotheses.departures[self.swings, self.weight.argmax(axis=1)])

    def likeliest_with_fault(self) -> Array:
        """``(S, 8, 8)`` departures under the most probable hypothesis in which each piece (first axis) is at fault."""
        which = np.where(AT_FAULT.T, self.weight[:, None], -1.0).argmax(axis=-1)
        return np.asarray(self.hypotheses.departures[self.swings[:, None], which])


def diagnose(
    body: Body,
    address: Address,
    seen: Mapping[str, ArrayLike],
    sd: Mapping[str, ArrayLike] | None = None,
    prior: FaultPrior | None = None,
    reference: Pieces | Impact | None = None,
    covariance: ArrayLike | None = None,
    chain: Shows | None = None,
    head: HeadPlace | None = None,
) -> Diagnosis:
    """Read films back into pieces.

    Args:
        body: ``S`` golfers, or one; as well as it is known.
        address: how they stand; fields ``(S,)`` or scalars.
        seen: name of ``READINGS`` to ``(S,)`` or a scalar, rad or m; any of them, at least one.
        sd: the standard deviation of each reading, the usual one of that moment where it is missing; rad or m.
        prior: beliefs before the film.
        reference: the turn departures are counted from, the centred pivot at the top if not given. Of what is asked
            at impact the readings are of impact.
        covariance: ``(S, m, m)`` or ``(m, m)`` of the readings, in the order of ``READINGS``, rad and m, where it is
            known: body and address are then taken as they are, what is not known of them being in it already, and
            ``sd`` counts no more.
        chain: what departures show, where that is not the chain of this body and address, such as one straightened
            about a fit of films.
        head: where the head is wanted at the top; what is asked at impact says it itself.

    Raises:
        TurnstillError: no reading, an unknown one, one that is not a number, an uncertainty that is not above zero.
    """
    from scipy.special import chdtrc, chdtri, softmax  # A quarter of a second, and only for a diagnosis.

    prior = prior or FaultPrior()
    names = _checked(seen, sd or {})
    read = np.array([list(READINGS).index(name) for name in names])
    batch = common_batch(body=body, address=address, readings=dict(seen))
    if len(batch) > 1:
        raise TurnstillError(f"Readings and bodies must be numbers or flat arrays, not of shape {batch}.")
    batch = batch or (1,)
    values = np.stack([np.broadcast_to(np.asarray(seen[name], dtype=float), batch) for name in names], axis=-1)
    counted_from = reference or Pieces()
    if covariance is None:
        film, by_unknown = _film(body, address, batch, prior, counted_from, head)
        each = [(sd or {}).get(name, film.usual_sd[READINGS[name]]) for name in names]
        spread = np.stack([np.broadcast_to(np.asarray(one, dtype=float), batch) for one in each], axis=-1)
        noise = spread[:, :, None] ** 2 * np.eye(len(names)) + np.einsum("sku,slu->skl", *[by_unknown[:, read]] * 2)
    else:
        film = Film.of(Golfers.at_address(body, address, batch), counted_from, head)
        noise = np.broadcast_to(np.asarray(covariance, dtype=float), (*batch, len(names), len(names)))
    # Beside the hypotheses, one that lets every piece be at fault: anything a body can do.
    variance = np.concatenate([prior.variance, prior.slabs[None] ** 2])
    # It is followed like the likeliest, and takes no part in the mixture.
    follow = np.append(prior.log_probability, np.inf)
    hopeless = float(chdtri(len(names), HOPELESS))
    every = fit(chain or film, values, read, noise, variance, follow, hopeless)
    hypotheses = Fit(*(getattr(every, item.name)[:, :-1] for item in fields(Fit)))
    misfit = every.misfit[:, -1]

    # Each hypothesis was fitted with Gaussian slabs; what of its posterior the holes leave, more or less than before
    # the film, is how much more or less probable they make it.
    holed = with_holes(hypotheses.departures, hypotheses.covariance, AT_FAULT, prior.hole * prior.slabs)
    log_weight = hypotheses.log_evidence + prior.log_probability + np.log(holed.left / prior.left)
    weight = softmax(log_weight, axis=1)
    probability = weight @ AT_FAULT
    largest_if = probability_of_largest(
        weight,
        hypotheses.departures / prior.slabs,
        hypotheses.covariance / (prior.slabs[:, None] * prior.slabs),
        AT_FAULT,
        np.full(len(DEPARTURES), prior.hole),
    )
    largest = np.einsum("sh,shp->sp", weight, largest_if)
    middle, one_sd = (np.moveaxis(part, 1, 2) for part in (holed.mean, holed.spread))  # (S, 8, terms)
    # From the logarithms: far from all that a body can do, the weights of all that blame a piece may vanish.
    if_so = softmax(np.where(AT_FAULT.T, log_weight[:, None], -np.inf), axis=-1)
    whether = np.broadcast_to(weight[:, None], if_so.shape)
    if_so, whether = (of[..., holed.component] * holed.share[:, None] for of in (if_so, whether))
    tail = 0.5 * (1.0 - STATED)
    return Diagnosis(
        read=read,
        seen=values,
        noise=noise,
        probability=probability,
        amount=quantile(0.5, if_so, middle, one_sd),
        low=quantile(tail, if_so, middle, one_sd),
        high=quantile(1.0 - tail, if_so, middle, one_sd),
        overall_low=quantile(tail, whether, middle, one_sd),
        overall_high=quantile(1.0 - tail, whether, middle, one_sd),
        nothing=weight[:, 0],
        largest=largest,
        largest_if=largest_if,
        candidates=smallest_set(largest, STATED, COUNTED_TO),
        misfit=misfit,
        fits=chdtrc(float(len(names)), np.maximum(misfit, 0.0)) >= FITS_ABOVE,
        weight=weight,
        hypotheses=hypotheses,
        film=film,
    )


def smallest_set(probability: Array, held: float, alike: float = 0.0) -> BoolArray:
    """The fewest entries of ``probability (S, P)`` whose sum is at least ``held``, as a mask ``(S, P)``.

    Of entries no more than ``alike`` apart it would be chance which ones are in: those so near to the last one are too.
    """
    order = np.argsort(-probability, axis=-1, kind="stable")
    ranked = np.take_along_axis(probability, order, axis=-1)
    before = np.cumsum(ranked, axis=-1) - ranked
    inside = np.empty(probability.shape, dtype=bool)
    np.put_along_axis(inside, order, before < held - 1e-12, axis=-1)
    last = np.where(inside, probability, np.inf).min(axis=-1, keepdims=True)
    return np.asarray(inside | (probability >= last - alike))


def _film(
    body: Body,
    address: Address,
    batch: tuple[int, ...],
    prior: FaultPrior,
    reference: Pieces | Impact,
    head: HeadPlace | None,
) -> tuple[Film, Array]:
    """The golfers as given, and what one standard deviation of what was said of them does to their readings of the
    turn without departures ``(S, 13, U)``.
    """
    unknown = ["stature", *prior.address]
    copies = 1 + len(unknown)
    flat = body.flat(batch)
    setup = {name: np.tile(np.broadcast_to(getattr(address, name), batch), copies) for name in ADDRESS}
    many = flat[np.tile(np.arange(batch[0]), copies)]
    scale = np.ones((copies, batch[0]))
    scale[1] += prior.stature / flat.stature
    for k, (name, sd) in enumerate(prior.address.items()):
        # A step past what may be asked goes the other way: only its square counts.
        own, most = setup[name].reshape(copies, -1)[2 + k], ADDRESS[name].high / ADDRESS[name].per_unit
        own += np.where(own + sd > most, -sd, sd)
    arms = address.arms.broadcast(batch)[np.tile(np.arange(batch[0]), copies)]
    everyone = Golfers.at_address(_scaled(many, scale.reshape(-1)), Address(**setup, arms=arms), (copies * batch[0],))
    film = Film.of(everyone, reference, head)
    shown = film.readings(np.arange(copies * batch[0]), np.zeros((copies * batch[0], len(DEPARTURES))))
    shown = shown.reshape(copies, batch[0], -1)
    return film, np.moveaxis(shown[1:] - shown[0], 0, -1)


def _scaled(body: Body, by: Array) -> Body:
    """The same bodies, everything ``by (N,)`` times as long."""
    return replace(
        body,
        stature=body.stature * by,
        lengths={name: value * by for name, value in body.lengths.items()},
        shape={name: value * by for name, value in body.shape.items()},
    )


def _checked(seen: Mapping[str, ArrayLike], sd: Mapping[str, ArrayLike]) -> list[str]:
    """The readings, in the order of ``READINGS``."""
    for name in (*seen, *sd):
        if name not in READINGS:
            raise TurnstillError(f"There is no reading named {name}; there are: {', '.join(READINGS)}.")
    if not seen:
        raise TurnstillError(f"A diagnosis needs at least one reading of {', '.join(READINGS)}.")
    for name, value in seen.items():
        if not np.all(np.isfinite(np.asarray(value, dtype=float))):
            raise TurnstillError(f"The reading {name} must be a finite number; leave out what was not read.")
    for name, value in sd.items():
        number = np.asarray(value, dtype=float)
        if not np.all(np.isfinite(number) & (number > 0.0)):
            raise TurnstillError(f"The uncertainty of {name} must be a finite number above zero.")
    return [name for name in READINGS if name in seen]
