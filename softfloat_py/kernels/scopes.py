"""Which names of a source file are constants of the program, and what a name means where it stands.

A name is a constant if it is bound once in the whole module level, by an assignment or an import, and no
function declares it global. Its value is looked at later: only numbers and modules matter.
"""

from __future__ import annotations

import ast
from collections import Counter
from collections.abc import Iterator

# Python's functions that give the same for the same numbers.
FOLDED_BUILTINS = ("abs", "float", "int", "max", "min", "pow", "round")
# Packages whose functions tell a literal from a variable.
KNOWN_MODULES = ("math", "numpy", "random")

Function = ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda
Comprehension = ast.ListComp | ast.SetComp | ast.DictComp | ast.GeneratorExp
Definition = ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef


class Scopes:
    """The scopes around a place in a module's syntax, the innermost last."""

    def __init__(self, module: ast.Module) -> None:
        self._levels: list[Counter[str]] = []
        self.module_level = bindings(module.body)
        self._globals = {
            name for node in ast.walk(module) if isinstance(node, ast.Global) for name in node.names
        }
        once = {name for name, times in self.module_level.items() if times == 1}
        self.constants = once - self._globals - set(_definitions(module.body))
        # Functions and classes anywhere in the file, methods too: what their parameters get are variables.
        self.defined = {node.name for node in ast.walk(module) if isinstance(node, Definition)}
        # The package that each imported name comes from.
        self.imported = {name: package for node in ast.walk(module) for name, package in _imports(node)}

    @property
    def in_function(self) -> bool:
        """Whether the place lies within a function, so that it runs when the kernel does."""
        return bool(self._levels)

    def enter(self, node: Function | Comprehension) -> None:
        """Go into a function, or into a comprehension within one."""
        self._levels.append(bound_in(node))

    def leave(self) -> None:
        """Go back out."""
        self._levels.pop()

    def is_constant(self, name: str) -> bool:
        """Whether the name means a constant of the module here."""
        return name in self.constants and not any(name in level for level in self._levels)

    def is_pythons_own(self, name: str) -> bool:
        """Whether nothing in the file binds the name, so that Python's builtins do."""
        return name not in self.module_level and not any(name in level for level in self._levels)

    def is_bound_once(self, name: str) -> bool:
        """Whether the function around binds the name at this one place."""
        return self.in_function and self._levels[-1][name] == 1 and name not in self._globals

    def is_constant_expression(self, node: ast.AST) -> bool:
        """Whether literals, constants and what may be functions of such alone make up an expression."""
        match node:
            case ast.Constant(value=value):
                return isinstance(value, int | float | complex) and not isinstance(value, bool)
            case ast.Name(id=name, ctx=ast.Load()):
                return self.is_constant(name)
            case ast.Attribute(value=ast.Name() | ast.Attribute() as owner, ctx=ast.Load()):
                return self.is_constant_expression(owner)
            case ast.UnaryOp(op=ast.USub() | ast.UAdd(), operand=operand):
                return self.is_constant_expression(operand)
            case ast.BinOp(left=left, right=right, op=operator):
                both = self.is_constant_expression(left) and self.is_constant_expression(right)
                return both and not isinstance(operator, ast.MatMult)
            case ast.Call(func=function, args=arguments, keywords=[]):
                return self._is_folded_function(function) and all(map(self.is_constant_expression, arguments))
        return False

    def _is_folded_function(self, node: ast.AST) -> bool:
        """Whether this may be a function of numbers alone; what it really is shows when it is computed."""
        match node:
            case ast.Name(id=name):
                known = name in FOLDED_BUILTINS and self.is_pythons_own(name)
                return known or self.is_constant(name)
            case ast.Attribute(value=ast.Name(id=name)):
                return self.is_constant(name)
        return False

    def is_users(self, function: ast.AST) -> bool:
        """Whether a function that is called is the program's, whose parameters are variables."""
        match function:
            case ast.Name(id=name) if name in self.imported:
                return self.imported[name] not in KNOWN_MODULES
            case ast.Name(id=name):
                return name == "range" or not self.is_pythons_own(name)
            case ast.Attribute(value=ast.Name(id=owner)) if owner in self.imported:
                return self.imported[owner] not in KNOWN_MODULES
            case ast.Attribute(attr=name):
                return name in self.defined
        return True


def bound_in(node: Function | Comprehension) -> Counter[str]:
    """How often a function, or a comprehension, binds each of its own names."""
    if isinstance(node, Comprehension):
        return bindings([ast.Expr(generator.target) for generator in node.generators])
    body: list[ast.stmt] = [ast.Expr(node.body)] if isinstance(node, ast.Lambda) else node.body
    found = bindings(body)
    for argument in (*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs):
        found[argument.arg] += 1
    for rest in (node.args.vararg, node.args.kwarg):
        if rest is not None:
            found[rest.arg] += 1
    return found


def bindings(body: list[ast.stmt]) -> Counter[str]:
    """How often statements bind each name, those of functions and classes within them left out."""
    return Counter(name for statement in body for name in _bound(statement))


def _bound(node: ast.AST) -> Iterator[str]:
    match node:
        case ast.FunctionDef() | ast.AsyncFunctionDef() | ast.ClassDef():
            yield node.name
        case ast.Lambda():
            pass
        case ast.ListComp() | ast.SetComp() | ast.DictComp() | ast.GeneratorExp():
            # Its targets are its own; an assignment expression within is the function's.
            yield from (each.target.id for each in ast.walk(node) if isinstance(each, ast.NamedExpr))
        case ast.Global() | ast.Nonlocal():
            pass
        case _:
            yield from _bound_here(node)
            for child in ast.iter_child_nodes(node):
                yield from _bound(child)


def _bound_here(node: ast.AST) -> Iterator[str]:
    match node:
        case ast.Name(id=name, ctx=ast.Store() | ast.Del()):
            yield name
        case ast.AugAssign(target=ast.Name(id=name)):
            yield name  # beside the Store of its target: it has a value before
        case ast.alias():
            yield _bound_alias(node)
        case ast.ExceptHandler(name=str(name)) | ast.MatchAs(name=str(name)) | ast.MatchStar(name=str(name)):
            yield name
        case ast.MatchMapping(rest=str(name)):
            yield name


def _imports(node: ast.AST) -> Iterator[tuple[str, str]]:
    match node:
        case ast.Import(names=names):
            yield from ((_bound_alias(alias), alias.name.split(".")[0]) for alias in names)
        case ast.ImportFrom(module=module, names=names, level=level):
            package = "" if level or module is None else module.split(".")[0]
            yield from ((_bound_alias(alias), package) for alias in names)


def _bound_alias(alias: ast.alias) -> str:
    return alias.asname or alias.name.split(".")[0]


def _definitions(body: list[ast.stmt]) -> Iterator[str]:
    return (statement.name for statement in body if isinstance(statement, Definition))


def is_negative_literal(node: ast.AST) -> bool:
    """Whether a number with a minus before it stands here, which is one literal to a reader."""
    match node:
        case ast.UnaryOp(op=ast.USub(), operand=ast.Constant(value=int() | float() | complex())):
            return True
    return False
