"""A file's syntax, rewritten so that the numbers in its functions are the target's.

Within functions, and only there:

- a literal becomes a name, under which the run has the number of its format, rounded once (an int: a
  `Literal`);
- an expression of nothing but literals, constants of the module, and functions of math and numpy on such
  becomes a name as well, since a compiler folds it: it is not computed at run time;
- the dividend of `/` and the base of `**` pass through a function, which keeps two ints from making a float
  of the host, an exponent through one that shows what a literal said, and what `%` puts into a text through
  one that gives Python the floats to print;
- so does an array of ints or truths whose `mean`, `std`, `var` or `astype` is asked for.

An int that is put into a variable, a container or a function of the file's own is no literal any more: what
is computed with it later is a conversion on the target. All else stays, line and column too, so that
tracebacks and debuggers show the user's own text.
"""

from __future__ import annotations

import ast
from copy import deepcopy
from dataclasses import dataclass, field
from typing import Any, TypeVar

from softfloat_py.kernels.scopes import Comprehension, Function, Scopes, is_negative_literal

NodeT = TypeVar("NodeT", bound=ast.AST)

# What the run has under these names; no user's name can be one of them.
DIVIDEND, BASE, EXPONENT = "dividend of a /", "base of a **", "exponent of a **"
PRINTED = "what a text is made with by %"
OWNER = "owner of a method that makes floats"
# Methods of numpy's arrays that make floats of ints and truths.
MAKING_FLOATS = frozenset({"astype", "mean", "std", "var"})
# What an index may be made of so that looking it up twice does nothing twice.
PLAIN = (
    ast.Name, ast.Constant, ast.Attribute, ast.BinOp, ast.UnaryOp, ast.Tuple, ast.Slice,
    ast.operator, ast.unaryop, ast.expr_context,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Folded:
    """An expression that a compiler computes; an int of it is `plain` where it goes into a variable."""

    expression: ast.Expression
    plain: bool


@dataclass(slots=True)
class Rewritten:
    """A file's syntax with names in place of its constants, and what the names stand for."""

    tree: ast.Module
    constants: set[str]
    literals: dict[str, int | float | complex] = field(default_factory=dict)
    folded: dict[str, Folded] = field(default_factory=dict)


def rewritten(source: str, file: str) -> Rewritten:
    """The syntax of a file as its emulated functions have it; SyntaxError where it is none."""
    tree = ast.parse(source, file)
    rewriter = _Rewriter(tree, file)
    rewriter.result.tree = ast.fix_missing_locations(rewriter.visit(tree))
    return rewriter.result


class _Rewriter(ast.NodeTransformer):
    def __init__(self, tree: ast.Module, file: str) -> None:
        self.scopes, self.file = Scopes(tree), file
        self.result = Rewritten(tree, self.scopes.constants)
        self.plain = False  # whether an int here is no literal, but a variable's value

    # -- where constants are ------------------------------------------------------------------------

    def visit(self, node: ast.AST) -> Any:
        """Rewrite a node: a constant expression as a whole, anything else by its kind."""
        if not self.scopes.in_function and not isinstance(node, Function):
            return self.generic_visit(node)
        if self.scopes.is_constant_expression(node):
            if isinstance(node, ast.Constant) or is_negative_literal(node):
                return self._literal(node)
            if isinstance(node, ast.BinOp | ast.UnaryOp | ast.Call):
                return self._folded(node)
        return super().visit(node)

    def _literal(self, node: Any) -> ast.AST:
        value = ast.literal_eval(node)
        if isinstance(value, int) and self.plain:
            return node  # type: ignore[no-any-return]
        name = f"literal {value!r}"
        self.result.literals[name] = value
        return self._name(name, node)

    def _folded(self, node: Any) -> ast.AST:
        """The constant under its name or, where that cannot be computed, what the user wrote."""
        place = f"{self.file}:{node.lineno}:{node.col_offset}-{node.end_lineno}:{node.end_col_offset}"
        name = f"constant at {place}{', plain' if self.plain else ''}"
        self.result.folded[name] = Folded(ast.Expression(node), self.plain)
        known = ast.Compare(self._name(name, node), [ast.IsNot()], [ast.Constant(None)])
        written = super().visit(deepcopy(node))
        return ast.copy_location(ast.IfExp(known, self._name(name, node), written), node)

    # -- functions, and what is none ----------------------------------------------------------------

    def visit_FunctionDef(self, node: ast.FunctionDef) -> Any:
        """A function: its decorators and defaults belong to the scope around it, annotations to no run."""
        return self._function(node)

    def visit_AsyncFunctionDef(self, node: ast.AsyncFunctionDef) -> Any:
        """As any function."""
        return self._function(node)

    def visit_Lambda(self, node: ast.Lambda) -> Any:
        """As any function."""
        return self._function(node)

    def _function(self, node: Any) -> Any:
        if not isinstance(node, ast.Lambda):
            node.decorator_list = self._visited(node.decorator_list)
        node.args.defaults = self._values_of_variables(node.args.defaults)
        node.args.kw_defaults = self._values_of_variables(node.args.kw_defaults)
        self.scopes.enter(node)
        node.body = self._visited(node.body) if isinstance(node.body, list) else self._as_operand(node.body)
        self.scopes.leave()
        return node

    def visit_ListComp(self, node: Comprehension) -> Any:
        """A comprehension, a scope of its own; its elements are values of variables."""
        self.scopes.enter(node)
        visited = self._with_plain(True, lambda: self.generic_visit(node))
        self.scopes.leave()
        return visited

    visit_SetComp = visit_DictComp = visit_GeneratorExp = visit_ListComp  # noqa: N815

    def visit_match_case(self, node: ast.match_case) -> Any:
        """A pattern stays as it is written: a literal in it is compared as a constant."""
        node.guard = None if node.guard is None else self._as_operand(node.guard)
        node.body = self._visited(node.body)
        return node

    # -- where an int becomes a variable's value ----------------------------------------------------

    def visit_Assign(self, node: ast.Assign) -> Any:
        """`n = 5` makes a variable, unless n is bound nowhere else; what an element gets is a literal."""
        match node.targets:
            case [ast.Name(id=name)] if self.scopes.is_bound_once(name):
                node.value = self._as_operand(node.value)
            case [ast.Subscript()]:
                node.value = self._as_operand(node.value)
            case _:
                node.value = self._value_of_variable(node.value)
        node.targets = self._visited(node.targets)
        return node

    def visit_AnnAssign(self, node: ast.AnnAssign) -> Any:
        """As any assignment; the annotation belongs to no run."""
        if node.value is not None:
            node.value = self._value_of_variable(node.value)
        node.target = self.visit(node.target)
        return node

    def visit_NamedExpr(self, node: ast.NamedExpr) -> Any:
        """As any assignment."""
        node.value = self._value_of_variable(node.value)
        return node

    def visit_List(self, node: ast.List) -> Any:
        """Elements are values of variables."""
        node.elts = self._values_of_variables(node.elts)
        return node

    visit_Tuple = visit_Set = visit_List  # type: ignore[assignment]  # noqa: N815

    def visit_Dict(self, node: ast.Dict) -> Any:
        """Keys and values are values of variables."""
        node.keys = self._values_of_variables(node.keys)
        node.values = self._values_of_variables(node.values)
        return node

    def visit_Compare(self, node: ast.Compare) -> Any:
        """Both sides of a comparison are operands."""
        node.left = self._as_operand(node.left)
        node.comparators = [self._as_operand(each) for each in node.comparators]
        return node

    def visit_IfExp(self, node: ast.IfExp) -> Any:
        """What is chosen goes where the whole goes."""
        node.test = self._as_operand(node.test)
        node.body, node.orelse = self.visit(node.body), self.visit(node.orelse)
        return node

    def visit_Subscript(self, node: ast.Subscript) -> Any:
        """What indexes is an int of Python's."""
        node.value = self._as_operand(node.value)
        node.slice = self._value_of_variable(node.slice)
        return node

    def visit_Call(self, node: ast.Call) -> Any:
        """The file's own functions are given values of variables; Python's and numpy's see literals."""
        if isinstance(node.func, ast.Name) and node.func.id == "sum" and len(node.args) == 2:
            node.keywords.append(ast.keyword("start", node.args.pop()))  # as the run's own sum has it
        pass_on = self._value_of_variable if self.scopes.is_users(node.func) else self._as_operand
        node.func = self.visit(node.func)
        node.args = [pass_on(argument) for argument in node.args]
        for keyword in node.keywords:
            keyword.value = pass_on(keyword.value)
        return node

    # -- where ints would make floats ---------------------------------------------------------------

    def visit_BinOp(self, node: ast.BinOp) -> Any:
        """`/` and `**`: what stands on the left passes through a function unless it is a float's literal."""
        if isinstance(node.op, ast.Pow):
            return self._power(node)
        node.left, node.right = self._as_operand(node.left), self._as_operand(node.right)
        if isinstance(node.op, ast.Div):
            node.left = self._through(DIVIDEND, node.left)
        if isinstance(node.op, ast.Mod) and isinstance(node.left, ast.Constant):
            node.right = self._through(PRINTED, node.right)
        return node

    def _power(self, node: ast.BinOp) -> ast.BinOp:
        node.left = self._through(BASE, self._as_operand(node.left))
        literal = isinstance(node.right, ast.Constant) or is_negative_literal(node.right)
        if not literal:
            node.right = self._through(EXPONENT, self._as_operand(node.right))
        return node

    def visit_Attribute(self, node: ast.Attribute) -> Any:
        """`x.mean` and the like: x passes through a function, since it may be an array of ints or truths."""
        node.value = self._as_operand(node.value)
        if node.attr in MAKING_FLOATS and isinstance(node.ctx, ast.Load):
            node.value = self._through(OWNER, node.value)
        return node

    def visit_AugAssign(self, node: ast.AugAssign) -> Any:
        """`x /= n` where x may be an int: first x passes through the function."""
        node.value = self._as_operand(node.value)
        if not isinstance(node.op, ast.Div) or not _is_plain_place(node.target):
            node.target = self.visit(node.target)
            return node
        value: Any = deepcopy(node.target)
        value.ctx = ast.Load()
        assignment = ast.Assign([deepcopy(node.target)], self._through(DIVIDEND, value))
        return [ast.copy_location(assignment, node), node]

    # -- the small change ---------------------------------------------------------------------------

    def _through(self, function: str, node: Any) -> Any:
        return ast.copy_location(ast.Call(self._name(function, node), [node], []), node)

    def _name(self, name: str, node: Any) -> ast.Name:
        return ast.copy_location(ast.Name(name, ast.Load()), node)

    def _visited(self, nodes: list[NodeT]) -> list[NodeT]:
        """Statements or expressions rewritten; a statement may become several."""
        found: list[NodeT] = []
        for node in nodes:
            result = self.visit(node)
            found += result if isinstance(result, list) else [result]
        return found

    def _as_operand(self, node: Any) -> Any:
        return self._with_plain(False, lambda: self.visit(node))

    def _value_of_variable(self, node: Any) -> Any:
        return self._with_plain(True, lambda: self.visit(node))

    def _values_of_variables(self, nodes: list[Any]) -> list[Any]:
        return [None if node is None else self._value_of_variable(node) for node in nodes]

    def _with_plain(self, plain: bool, visit: Any) -> Any:
        before, self.plain = self.plain, plain
        visited = visit()
        self.plain = before
        return visited


def _is_plain_place(node: ast.AST) -> bool:
    """Whether looking a place up twice does nothing twice."""
    match node:
        case ast.Name():
            return True
        case ast.Attribute(value=owner):
            return _is_plain_place(owner)
        case ast.Subscript(value=owner, slice=index):
            return _is_plain_place(owner) and all(isinstance(each, PLAIN) for each in ast.walk(index))
    return False
