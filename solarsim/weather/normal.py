"""The standard normal distribution and its inverse, compiled.

They are those of the Cephes library, with its coefficients, which `scipy.special` has too (and is
held to bit for bit in the tests): loading that takes longer than all that is asked of it here.

References
----------
.. [1] S. L. Moshier, "Methods and Programs for Mathematical Functions", Prentice-Hall, 1989; Cephes
   Mathematical Library, functions ``ndtr``, ``erf``, ``erfc`` and ``ndtri``.
"""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.compiled.machine_code import MachineCode, row_of, step

__all__ = ["CODE", "ndtr", "ndtri"]

# Numerators and denominators, highest power first; a denominator's leading 1 is left out.
# erf within 1.
_ERF = (
    *(9.60497373987051638749e0, 9.00260197203842689217e1, 2.23200534594684319226e3),
    *(7.00332514112805075473e3, 5.55923013010394962768e4),
)
_ERF_BELOW = (
    *(3.35617141647503099647e1, 5.21357949780152679795e2, 4.59432382970980127987e3),
    *(2.26290000613890934246e4, 4.92673942608635921086e4),
)
# erfc from 1 to 8, and beyond.
_ERFC_NEAR = (
    *(2.46196981473530512524e-10, 5.64189564831068821977e-1, 7.46321056442269912687e0),
    *(4.86371970985681366614e1, 1.96520832956077098242e2, 5.26445194995477358631e2),
    *(9.34528527171957607540e2, 1.02755188689515710272e3, 5.57535335369399327526e2),
)
_ERFC_NEAR_BELOW = (
    *(1.32281951154744992508e1, 8.67072140885989742329e1, 3.54937778887819891062e2),
    *(9.75708501743205489753e2, 1.82390916687909736289e3, 2.24633760818710981792e3),
    *(1.65666309194161350182e3, 5.57535340817727675546e2),
)
_ERFC_FAR = (
    *(5.64189583547755073984e-1, 1.27536670759978104416e0, 5.01905042251180477414e0),
    *(6.16021097993053585195e0, 7.40974269950448939160e0, 2.97886665372100240670e0),
)
_ERFC_FAR_BELOW = (
    *(2.26052863220117276590e0, 9.39603524938001434673e0, 1.20489539808096656605e1),
    *(1.70814450747565897222e1, 9.60896809063285878198e0, 3.36907645100081516050e0),
)
# The inverse about the middle, and in the tails by z = sqrt(-2 ln p): from 2 to 8, and beyond.
_MIDDLE = (
    *(-5.99633501014107895267e1, 9.80010754185999661536e1, -5.66762857469070293439e1),
    *(1.39312609387279679503e1, -1.23916583867381258016e0),
)
_MIDDLE_BELOW = (
    *(1.95448858338141759834e0, 4.67627912898881538453e0, 8.63602421390890590575e1),
    *(-2.25462687854119370527e2, 2.00260212380060660359e2, -8.20372256168333339912e1),
    *(1.59056225126211695515e1, -1.18331621121330003142e0),
)
_TAIL = (
    *(4.05544892305962419923e0, 3.15251094599893866154e1, 5.71628192246421288162e1),
    *(4.40805073893200834700e1, 1.46849561928858024014e1, 2.18663306850790267539e0),
    *(-1.40256079171354495875e-1, -3.50424626827848203418e-2, -8.57456785154685413611e-4),
)
_TAIL_BELOW = (
    *(1.57799883256466749731e1, 4.53907635128879210584e1, 4.13172038254672030440e1),
    *(1.50425385692907503408e1, 2.50464946208309415979e0, -1.42182922854787788574e-1),
    *(-3.80806407691578277194e-2, -9.33259480895457427372e-4),
)
_FAR = (
    *(3.23774891776946035970e0, 6.91522889068984211695e0, 3.93881025292474443415e0),
    *(1.33303460815807542389e0, 2.01485389549179081538e-1, 1.23716634817820021358e-2),
    *(3.01581553508235416007e-4, 2.65806974686737550832e-6, 6.23974539184983293730e-9),
)
_FAR_BELOW = (
    *(6.02427039364742014255e0, 3.67983563856160859403e0, 1.37702099489081330271e0),
    *(2.16236993594496635890e-1, 1.34204006088543189037e-2, 3.28014464682127739104e-4),
    *(2.89247864745380683936e-6, 6.79019408009981274425e-9),
)
_POLYNOMIALS = [
    np.array(each)
    for each in (
        *(_ERF, _ERF_BELOW, _ERFC_NEAR, _ERFC_NEAR_BELOW, _ERFC_FAR, _ERFC_FAR_BELOW),
        *(_MIDDLE, _MIDDLE_BELOW, _TAIL, _TAIL_BELOW, _FAR, _FAR_BELOW),
    )
]
# Where each numerator stands among the arrays, its denominator after it.
_AT_ERF, _AT_NEAR, _AT_FAR, _AT_MIDDLE, _AT_TAIL, _AT_FAR_TAIL = range(1, 13, 2)
_MIDDLE_FROM = 0.13533528323661269189  # exp(-2)
_ROOT_2_PI = 2.50662827463100050242
# Further out nothing is left that a number can tell.
_LARGEST_SQUARE = 7.09782712893383996843e2


@step
def _ratio(factor: float, x: float, arrays: Any, shapes: Any, first: int) -> float:
    """A factor times the ratio of two polynomials."""
    above, below = row_of(arrays, shapes, first), row_of(arrays, shapes, first + 1)
    upper = above[0]
    for i in range(1, len(above)):
        upper = upper * x + above[i]
    lower = x + below[0]
    for i in range(1, len(below)):
        lower = lower * x + below[i]
    ratio: float = factor * upper / lower
    return ratio


@step
def _share_below(x: float, arrays: Any, shapes: Any) -> float:
    a = x * math.sqrt(0.5)
    z = abs(a)
    if z < 1.0:
        return 0.5 + 0.5 * _ratio(a, a * a, arrays, shapes, _AT_ERF)
    beyond = 0.0
    if z * z <= _LARGEST_SQUARE:
        beyond = _ratio(math.exp(-a * a), z, arrays, shapes, _AT_NEAR if z < 8.0 else _AT_FAR)
    return 1.0 - 0.5 * beyond if a > 0.0 else 0.5 * beyond


@step
def _value_above(share: float, arrays: Any, shapes: Any) -> float:
    high = share > 1.0 - _MIDDLE_FROM
    y = 1.0 - share if high else share
    if y > _MIDDLE_FROM:
        y = y - 0.5
        square = y * y
        return (y + y * _ratio(square, square, arrays, shapes, _AT_MIDDLE)) * _ROOT_2_PI
    x = math.sqrt(-2.0 * math.log(y))
    z = 1.0 / x
    value = x - math.log(x) / x
    value = value - _ratio(z, z, arrays, shapes, _AT_TAIL if x < 8.0 else _AT_FAR_TAIL)
    return value if high else -value


def _entry(arrays: Any, shapes: Any, whole: Any, real: Any) -> None:
    """Put shares in place of the values below which they lie, or the other way round."""
    values = row_of(arrays, shapes, 0)
    for i in range(len(values)):
        if whole[0] > 0:
            values[i] = _value_above(values[i], arrays, shapes)
        else:
            values[i] = _share_below(values[i], arrays, shapes)


CODE = MachineCode("normal", _entry, [Path(__file__)])


def ndtr(x: FloatArray) -> FloatArray:
    """Share of the standard normal distribution below each value; NaN where that is NaN.

    Examples
    --------
    >>> ndtr(np.array([-1.0, 0.0, 1.0])).round(4).tolist()
    [0.1587, 0.5, 0.8413]
    """
    known = ~np.isnan(x)
    shares = np.where(known, np.clip(x, -40.0, 40.0), 0.0)
    CODE([shares.reshape(-1), *_POLYNOMIALS], whole=[0])
    return np.where(known, shares, np.nan)


def ndtri(share: FloatArray) -> FloatArray:
    """Value below which each share of the distribution lies: infinite at 0 and 1, NaN outside.

    Examples
    --------
    >>> ndtri(np.array([0.0, 0.1, 0.5, 0.9])).round(4).tolist()
    [-inf, -1.2816, 0.0, 1.2816]
    """
    inside = (share > 0.0) & (share < 1.0)
    values = np.where(inside, share, 0.5)
    CODE([values.reshape(-1), *_POLYNOMIALS], whole=[1])
    at_ends = np.where(share == 0.0, -np.inf, np.where(share == 1.0, np.inf, np.nan))
    return np.where(inside, values, at_ends)
