"""A user's program run on the target's numbers, unchanged.

Read `rewriting` and `scopes` first, then `world`, `twins` and `values`; `python_names`, `math_functions` and
`numpy_functions` are what a kernel sees under Python's, math's and numpy's names, and `holding` tells the
target's numbers from the host's. `files` runs kernel files, `calls` a function of one's own.
"""

from softfloat_py.kernels.files import KernelFile, load_kernel_file

__all__ = ["KernelFile", "load_kernel_file"]
