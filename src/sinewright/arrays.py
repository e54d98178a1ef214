"""Array types by what they hold. Kernels read 32-bit whole numbers; numpy's own index arrays are 64-bit."""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]
Indices = NDArray[np.int64]
Bools = NDArray[np.bool_]
