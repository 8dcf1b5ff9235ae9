"""A user's program run on the target's numbers, unchanged.

Read `rewriting` and `scopes` first, then `world`, `twins` and `values`; `python_names`, `math_functions` and
`numpy_functions` are what a kernel sees under Python's, math's and numpy's names, and `holding` tells the
target's numbers from the host's. `files` runs kernel files, `calls` a function of one's own.

The host runs the user's file as any script, and `inputs` too. For a run, a `World` makes a *twin* of whatever
the kernel reaches, when it is first reached and once:

- A function gets the code of the same text, rewritten: literals, and expressions that a compiler folds, are
  names under which there are numbers of the format; what would make a host float of ints passes through a
  function. Line and column stay.
- Classes, modules, objects and containers are copied with the twins of their parts, shared things staying
  shared; float arrays become FloatArrays.
- Names of Python, math, numpy and random are stand-ins, by which ints that are data are converted where
  floats come out. An int is data unless it is a `Literal` (`numbers.integer_data`), which only rewritten text
  has; an operator asks the frame that called it whether it is a kernel's.
"""

from softfloat_py.kernels.files import KernelFile, load_kernel_file

__all__ = ["KernelFile", "load_kernel_file"]
