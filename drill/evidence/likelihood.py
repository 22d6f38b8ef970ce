"""How much better the readings fit a failure than a healthy airplane: the generalized likelihood ratio.

For residuals z with mean m and covariance C in healthy flight, and a hypothesis that can move them along the columns of
F by any amount, the logarithm of the likelihood ratio at the best fitting amount is half of the squared length of what
of the whitened residuals lies in the whitened F: L = 1/2 z' C^-1 F (F' C^-1 F)^-1 F' C^-1 z (z less m). With nothing
wrong, 2 L is a chi-square of as many degrees of freedom as F has columns (S. S. Wilks, 1938).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from drill.evidence.hypotheses import Hypothesis

STILL_MOST = 15.0          # no needle's stillness says more than this, either way


def projections(covariance: Any, spaces: Sequence[Any], present: Any) -> tuple[Any, list[Any]]:
    """Return what whitens the residuals that are `present` (R,) and, for each space, an orthonormal basis of it.

    The first (p, p) takes centred residuals, the others are (p, k); k is 0 where nothing of a space is present.
    """
    lower = np.linalg.cholesky(covariance[np.ix_(present, present)])
    whitens = np.linalg.inv(lower)
    bases = []
    for space in spaces:
        columns = space[present]
        columns = columns[:, np.abs(columns).max(axis=0, initial=0.0) > 0.0]
        if columns.shape[1]:   # of what is present two of them may say the same
            across, sizes, _ = np.linalg.svd(whitens @ columns, full_matrices=False)
            columns = across[:, sizes > 1e-6 * sizes[0]]
        bases.append(columns)
    return whitens, bases


def log_ratios(z: Any, mean: Any, covariance: Any, spaces: Sequence[Any], strays: Any = None, sizes: Any = None) -> Any:
    """Return L for each hypothesis, (M, H), of residuals z (M, R); what could not be read (NaN) is left out.

    Along the columns of `strays` (R, D) healthy residuals vary besides, second by second with the sigmas `sizes` (M,
    D): C there is C + N N', N the strays at those sizes. With W and B whitened N and an orthonormal basis of whitened
    F, and q(c, A) = c' (I + A)^-1 c, L = 1/2 (|B'z|^2 - q(W'z, W'W) + q(W'r, W'(I - BB')W)), r what B leaves of z: the
    matrix inversion lemma once for all of z and once for r.
    """
    out = np.zeros((len(z), len(spaces)))
    if strays is None:
        strays, sizes = np.zeros((z.shape[1], 1)), np.zeros((len(z), 1))
    seen = np.isfinite(z)
    codes = seen @ (1 << np.arange(z.shape[1]))
    for code in np.unique(codes):
        rows = np.flatnonzero(codes == code)
        present = seen[rows[0]]
        if not present.any():
            continue
        whitens, bases = projections(covariance, spaces, np.flatnonzero(present))
        white = (z[rows][:, present] - mean[present]) @ whitens.T
        along, size = whitens @ strays[present], sizes[rows]
        both, apart = white @ along, along.T @ along
        healthy = _varies(both, apart, size)
        for place, basis in enumerate(bases):
            if basis.shape[1]:
                pushed, shared = white @ basis, along.T @ basis
                left = _varies(both - pushed @ shared.T, apart - shared @ shared.T, size)
                out[rows, place] = 0.5 * ((pushed ** 2).sum(axis=1) - healthy + left)
    return out


def _varies(across: Any, within: Any, size: Any) -> Any:
    """Return c' (I + A)^-1 c (M,), c being `across` (M, D) and A `within` (D, D), both at the sizes (M, D)."""
    scaled = across * size
    inner = np.eye(len(within)) + within * size[:, :, None] * size[:, None, :]
    return (scaled * np.linalg.solve(inner, scaled[:, :, None])[:, :, 0]).sum(axis=1)


def stillness(lively: Any, healthy: Any, dead: Any, spread: Any) -> Any:
    """Return how much better a dead needle fits than a live one, a log likelihood ratio each; 0: nobody can say.

    A fault of known size: `lively` is about `dead` if the needle stands still, and about `healthy` if not, both with
    the same `spread`. No needle is stiller than a dead one, which errors of reading move: less says no more.
    """
    seen = np.maximum(lively, dead)
    ratio = ((seen - healthy) ** 2 - (seen - dead) ** 2) / (2.0 * spread ** 2)
    ratio = np.where(healthy > dead, ratio, 0.0)
    return np.clip(np.nan_to_num(ratio), -STILL_MOST, STILL_MOST)


def with_stillness(ratios: Any, still: Any, every: Sequence[Hypothesis], needles: Sequence[str]) -> Any:
    """Return the ratios (M, H) with what the needles' stillness (M, needles) says for and against each hypothesis."""
    out = ratios.copy()
    for place, each in enumerate(every):
        if each.stills:
            says = still[:, needles.index(each.stills)]
            out[:, place] += says if each.must_still else np.maximum(says, 0.0)
    return out
