"""The templates and their typed context: every field is used, and nothing else is."""

from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from pathlib import Path
from types import NoneType, UnionType
from typing import Any, get_args, get_origin, get_type_hints

from jinja2 import Environment, nodes

from critsheet import resources
from critsheet.render import drawings, page_context
from critsheet.render.recording import RecordingLink
from critsheet.render.texts import Texts

FOLDER = resources.folder("templates")
MACROS = {
    "when": drawings.Time, "strip": drawings.Strip, "name": str, "x": float, "y": float, "height": float,
    "look": str, "about": bool,
}  # fmt: skip
"""What the macros of the templates are given, by the names of their arguments."""
Scope = dict[str, Any]


class Reader:
    """Follows types through templates and notes every field that they read."""

    def __init__(self) -> None:
        self.used: set[tuple[str, str]] = set()

    def read(self, name: str, scope: Scope) -> None:
        """Everything in one template, and in those that it includes."""
        tree = Environment(autoescape=True).parse((FOLDER / name).read_text(encoding="utf-8"))
        macros = {macro.name: None for macro in tree.find_all(nodes.Macro)}
        self._body(tree.body, {**scope, **macros}, name)

    def _body(self, body: list[nodes.Node], scope: Scope, file: str) -> None:
        for node in body:
            self._node(node, scope, file)

    def _node(self, node: nodes.Node, scope: Scope, file: str) -> None:
        match node:
            case nodes.For():
                inner = {**scope, "loop": None, **self._bound(node.target, self._type(node.iter, scope, file))}
                self._node_or_nothing(node.test, inner, file)
                self._body(node.body, inner, file)
            case nodes.Include():
                self.read(node.template.value, scope)  # type: ignore[attr-defined]
            case nodes.FromImport():
                self.read(node.template.value, scope)  # type: ignore[attr-defined]
                scope.update({str(name): None for name in node.names})
            case nodes.Macro():
                self._body(node.body, {**scope, **{arg.name: MACROS[arg.name] for arg in node.args}}, file)
            case nodes.Expr():
                self._type(node, scope, file)
            case _:
                for child in node.iter_child_nodes():
                    self._node(child, scope, file)

    def _node_or_nothing(self, node: nodes.Node | None, scope: Scope, file: str) -> None:
        if node is not None:
            self._node(node, scope, file)

    def _bound(self, target: nodes.Node, many: Any) -> Scope:
        one = get_args(many)[0] if get_origin(many) is tuple else str
        if isinstance(target, nodes.Tuple):
            return dict(zip((item.name for item in target.items), get_args(one), strict=True))  # type: ignore[attr-defined]
        return {target.name: one}  # type: ignore[attr-defined]

    def _type(self, node: nodes.Node, scope: Scope, file: str) -> Any:
        match node:
            case nodes.Name():
                assert node.name in scope, f"{file}:{node.lineno}: nothing is called {node.name}"
                return _plain(scope[node.name])
            case nodes.Getattr():
                return self._field(self._type(node.node, scope, file), node, file)
            case nodes.Getitem():
                return get_args(self._type(node.node, scope, file))[0]
            case _:
                for child in node.iter_child_nodes():
                    self._type(child, scope, file)
                return str

    def _field(self, owner: Any, node: nodes.Getattr, file: str) -> Any:
        if owner is None or owner is Texts:  # a loop's or the texts' own words
            return None
        place = f"{file}:{node.lineno}: {node.attr}"
        assert is_dataclass(owner), f"{place} is asked of {owner}"
        hints = get_type_hints(owner)
        assert node.attr in hints, f"{place}: {owner} has no such field"  # type: ignore[union-attr]
        self.used.add((owner.__name__, node.attr))  # type: ignore[union-attr]
        return _plain(hints[node.attr])


def _plain(kind: Any) -> Any:
    """A type without its None."""
    if get_origin(kind) is UnionType:
        return next(one for one in get_args(kind) if one is not NoneType)
    return kind


def _documented() -> Iterator[type]:
    for value in {**vars(drawings), **vars(page_context)}.values():
        if isinstance(value, type) and is_dataclass(value):
            yield value


def test_the_templates_use_every_part_of_their_context_and_no_other() -> None:
    reader = Reader()
    reader.read(
        "sheet.html", {"page": page_context.Page, "t": Texts, "style": str, "scripts": tuple[str, ...], "policy": str}
    )
    known = {(part.__name__, field.name) for part in (*_documented(), RecordingLink) for field in fields(part)}
    assert reader.used == known


def test_every_part_of_the_context_says_what_it_is() -> None:
    for part in _documented():
        assert part.__doc__
        assert not part.__doc__.startswith(f"{part.__name__}("), part


def test_every_template_is_part_of_the_page() -> None:
    parts = {path.relative_to(FOLDER).as_posix() for path in (FOLDER / "parts").glob("*.html")}
    sources = "".join(path.read_text(encoding="utf-8") for path in Path(FOLDER).rglob("*.html"))
    assert all(f'"{part}"' in sources for part in parts)
