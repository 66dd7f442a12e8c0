"""Names for the arrays that the compiled kernels take."""

from __future__ import annotations

from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

Ints: TypeAlias = NDArray[np.int64]
"""One-dimensional, 64-bit."""

Table: TypeAlias = NDArray[np.int64]
"""Two-dimensional, 64-bit."""

Floats: TypeAlias = NDArray[np.float64]
"""One-dimensional, double precision."""

Flags: TypeAlias = NDArray[np.bool_]
"""Yes or no, one- or two-dimensional."""

Numbers: TypeAlias = NDArray[Any]
"""64-bit whole numbers or double precision, whichever is handed in."""
