"""The small linear algebra of the optimiser: many 2x2 to 8x8 normal equations at once, moments last.

Each scalar operation of the textbook algorithm runs over all moments. A batched Cholesky of LAPACK refuses a whole
batch for one indefinite matrix; here every moment is judged alone, and factor and two solutions together cost what two
calls of ``numpy.linalg.solve`` do (0.9 against 2 x 0.5 microseconds for 8x8, measured).
"""

from __future__ import annotations

import numpy as np

from ..arrays import Array, BoolArray

SMALLEST_PIVOT = 1e-4
"""A Hessian with a pivot below this does not count as positive definite (the softest swivel has about 0.3)."""
MANY = 1000
"""From so many moments on, sums that run over all of them overtake one small product a moment (a few moments take a
third of the time that way, measured)."""


def transpose_product(jacobian: Array, force: Array) -> Array:
    """``J^T force``: ``(m, n, N), (m, N) -> (n, N)``."""
    return np.asarray(np.einsum("mnN,mN->nN", jacobian, force))


def weighted_normal_matrix(jacobian: Array, weight: Array) -> Array:
    """``J^T diag(weight) J`` as ``(n, n, N)``: of many moments each half once, the other is its mirror image."""
    n, count = jacobian.shape[1:]
    weighted, out = jacobian * weight[:, None, :], np.empty((n, n, count))
    if count < MANY:
        out[:] = (weighted.transpose(2, 1, 0) @ jacobian.transpose(2, 0, 1)).transpose(1, 2, 0)
        return out
    for i in range(n):
        np.einsum("mN,mjN->jN", weighted[:, i], jacobian[:, : i + 1], out=out[i, : i + 1])
        out[:i, i] = out[i, :i]
    return out


def factor_positive_definite(convex: Array, rest: Array) -> tuple[tuple[Array, Array], BoolArray]:
    """LDL^T of ``convex + rest (n, n, N)``, with as much of ``rest`` as leaves it positive definite.

    Returns the factor and which moments had to leave some out ``(N,)``: their step is a descent, not Newton's.
    """
    lower, pivots = _ldl(convex + rest)
    lifted = ~(pivots.min(axis=0) > SMALLEST_PIVOT)
    if not lifted.any():
        return (lower, pivots), lifted
    bad, share = np.flatnonzero(lifted), 0.5
    while bad.size:
        lower[..., bad], pivots[:, bad] = _ldl(convex[..., bad] + share * rest[..., bad])
        bad = bad[~(pivots[:, bad].min(axis=0) > SMALLEST_PIVOT)] if share else bad[:0]
        share = share - 0.25
    np.maximum(pivots, SMALLEST_PIVOT, out=pivots, where=lifted)
    return (lower, pivots), lifted


def _ldl(hessian: Array) -> tuple[Array, Array]:
    """Unit lower factor (below the diagonal) and pivots of ``(n, n, N)`` symmetric matrices."""
    work = hessian.copy()
    n, _, count = work.shape
    with np.errstate(all="ignore"):
        for k in range(n - 1):
            below, rest = work[k + 1 :, k], work[k + 1 :, k + 1 :]
            column = below / work[k, k]
            rest -= column[:, None] * below
            below[:] = column
    return work, work.reshape(n * n, count)[:: n + 1].copy()


def solve_factored(factor: tuple[Array, Array], right: Array) -> Array:
    """Solve ``L D L^T x = right (n, N)`` with a factor of ``factor_positive_definite``."""
    lower, pivots = factor
    x = right.copy()
    n = x.shape[0]
    for k in range(n - 1):
        below = x[k + 1 :]
        below -= lower[k + 1 :, k] * x[k]
    x /= pivots
    for k in range(n - 1, 0, -1):
        above = x[:k]
        above -= lower[k, :k] * x[k]
    return x
