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


def log_ratios(z: Any, mean: Any, covariance: Any, spaces: Sequence[Any]) -> Any:
    """Return L for each hypothesis, (M, H), of residuals z (M, R); what could not be read (NaN) is left out."""
    out = np.zeros((len(z), len(spaces)))
    seen = np.isfinite(z)
    codes = seen @ (1 << np.arange(z.shape[1]))
    for code in np.unique(codes):
        rows = np.flatnonzero(codes == code)
        present = seen[rows[0]]
        if not present.any():
            continue
        whitens, bases = projections(covariance, spaces, np.flatnonzero(present))
        white = (z[rows][:, present] - mean[present]) @ whitens.T
        for place, basis in enumerate(bases):
            if basis.shape[1]:
                out[rows, place] = 0.5 * ((white @ basis) ** 2).sum(axis=1)
    return out


def stillness(lively: Any, healthy: Any, dead: Any, spread: Any) -> Any:
    """Return how much better a dead needle fits than a live one, a log likelihood ratio each; 0: nobody can say.

    A fault of known size: `lively` is about `dead` if the needle stands still, and about `healthy` if not, both with
    the same `spread`.
    """
    ratio = ((lively - healthy) ** 2 - (lively - dead) ** 2) / (2.0 * spread ** 2)
    ratio = np.where(healthy > dead, ratio, 0.0)
    return np.clip(np.nan_to_num(ratio), -STILL_MOST, STILL_MOST)


def with_stillness(ratios: Any, still: Any, every: Sequence[Hypothesis], needles: Sequence[str]) -> Any:
    """Return the ratios (M, H) with what the needles' stillness (M, needles) says for and against each hypothesis."""
    out = ratios.copy()
    for place, each in enumerate(every):
        if each.stills:
            says = still[:, needles.index(each.stills)]
            out[:, place] += says if each.must_still else np.maximum(says, 0.0)
        if each.leaves_alive:
            out[:, place] -= np.maximum(still[:, needles.index(each.leaves_alive)], 0.0)
    return out
