"""Nothing of the toolkit that reads markup is given words that do not stand in the cockpit's own source.

`[bold]` in such words would be swallowed, `[/x]` would end the program, and a click on `[@click=...]` would run an
action of the app. Words from elsewhere go through `Content`, or where `markup=False` is said.
"""

from __future__ import annotations

import ast
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

import pytest

import drill.cockpit

COCKPIT = Path(drill.cockpit.__file__).parent

Places = tuple[int | str, ...]
ALL: Places = ("*",)
READERS: Mapping[str, Places] = {
    "Static": (0, "content"), "Label": (0, "content"), "Button": (0, "label"), "Checkbox": (0, "label"),
    "RadioButton": (0, "label"), "ToggleButton": (0, "label"), "Option": (0, "prompt"), "Selection": (0, "prompt"),
    "Tab": (0, "label"), "Tabs": ALL, "TabPane": (0, "title"), "TabbedContent": ALL, "Collapsible": ("title",),
    "Tree": (0, "label"), "Placeholder": (0, "label"), "OptionList": ALL, "SelectionList": ALL, "RadioSet": ALL,
    "Select": (0, "options", "prompt"), "notify": (0, "message", "title"), "add_column": (0, "label"),
    "add_columns": ALL, "add_row": ALL, "add_rows": (0, "rows"), "update_cell": (2, "value"),
    "update_cell_at": (1, "value"), "add_leaf": (0, "label"), "add_option": (0, "item"), "update": (0, "content"),
    "set_options": (0, "options"), "set_label": (0, "label"), "replace_option_prompt": (1, "prompt"),
}
"""What reads words as markup, and in which of its arguments; `*`: in all that have no name."""

SET = ("border_title", "border_subtitle", "tooltip", "label", "prompt")
"""What is read as markup when it is set."""

READ_ON_PURPOSE = ("from_markup", "render_markup", "Markdown", "MarkdownViewer", "RichLog")


@dataclass(slots=True)
class Sources:
    """What the sources as a whole tell: classes by their bases, functions that give Content, words by their names."""

    bases: dict[str, list[str]] = field(default_factory=dict)
    made_by_hand: set[str] = field(default_factory=set)      # classes with an __init__ of their own
    literal: set[str] = field(default_factory=set)           # functions that return Content
    constants: set[str] = field(default_factory=set)

    def read(self, tree: ast.Module) -> None:
        """Take in what one module tells."""
        for node in ast.walk(tree):
            if isinstance(node, ast.ClassDef):
                self.bases[node.name] = [_name(base) for base in node.bases]
                if any(isinstance(each, ast.FunctionDef) and each.name == "__init__" for each in node.body):
                    self.made_by_hand.add(node.name)
            elif isinstance(node, ast.FunctionDef) and node.returns is not None and _name(node.returns) == "Content":
                self.literal.add(node.name)
        for statement in tree.body:
            if isinstance(statement, ast.Assign) and _plain(statement.value):
                self.constants |= {_name(target) for target in statement.targets}

    def reader(self, name: str) -> str:
        """Return the reader of markup that `name` is, or is derived from without being made in its own way."""
        if name in READERS:
            return name
        if name in self.made_by_hand:
            return ""
        return next((found for base in self.bases.get(name, ()) if (found := self.reader(base))), "")


def _name(node: ast.AST) -> str:
    """Return the last part of a dotted name."""
    return node.attr if isinstance(node, ast.Attribute) else node.id if isinstance(node, ast.Name) else ""


def _plain(node: ast.AST) -> bool:
    """Say whether `node` is words written out, with nothing in them that could be markup; or no words at all."""
    return isinstance(node, ast.Constant) and not (isinstance(node.value, str) and "[" in node.value)


class Lint(ast.NodeVisitor):
    """Finds, in one module, words that could be read as markup."""

    def __init__(self, sources: Sources) -> None:
        self.found: list[tuple[int, str]] = []
        self._sources = sources
        self._literal: set[str] = set()      # names in the present function
        self._classes: list[str] = []

    def visit_ClassDef(self, node: ast.ClassDef) -> None:
        self._classes.append(node.name)
        self.generic_visit(node)
        self._classes.pop()

    def visit_FunctionDef(self, node: ast.FunctionDef) -> None:
        around, self._literal = self._literal, {
            each.arg for each in (*node.args.args, *node.args.kwonlyargs)
            if each.annotation is not None and _name(each.annotation) == "Content"}
        self.generic_visit(node)
        self._literal = around

    def visit_Assign(self, node: ast.Assign) -> None:
        for target in node.targets:
            if isinstance(target, ast.Attribute) and target.attr in SET and not self._safe(node.value):
                self._offend(node, f".{target.attr} =")
            elif isinstance(target, ast.Name):
                (self._literal.add if self._safe(node.value) else self._literal.discard)(target.id)
        self.generic_visit(node)

    def visit_Call(self, node: ast.Call) -> None:
        name = _name(node.func)
        if name in READ_ON_PURPOSE:
            self._offend(node, f"{name}(")
        for reader in self._readers(node, name):
            if not _without_markup(node) and not all(map(self._safe, _arguments(node, READERS[reader]))):
                self._offend(node, f"{name}(")
        self.generic_visit(node)

    def _readers(self, node: ast.Call, name: str) -> Iterator[str]:
        if name == "__init__" and self._classes:
            bases = self._sources.bases[self._classes[-1]]
            yield from (found for base in bases if (found := self._sources.reader(base)))
        elif found := self._sources.reader(name):
            yield found

    def _safe(self, node: ast.AST) -> bool:
        """Say whether `node` is no words from elsewhere, or words that are taken literally."""
        match node:
            case ast.Constant():
                return _plain(node)
            case ast.Name() | ast.Attribute():
                return _name(node) in self._literal | self._sources.constants
            case ast.Call():
                name = _name(node.func)
                of = _name(node.func.value) if isinstance(node.func, ast.Attribute) else ""
                return (name == "Content" or (of == "Content" and name == "assemble") or name in self._sources.literal
                        or self._widget(name))
            case ast.IfExp():
                return self._safe(node.body) and self._safe(node.orelse)
            case ast.Starred():
                return self._safe(node.value)
            case ast.List() | ast.Tuple():
                return all(map(self._safe, node.elts))
            case ast.GeneratorExp() | ast.ListComp():
                return self._safe(node.elt)
            case ast.Dict():
                return True      # of `update`: no widget's
        return False

    def _widget(self, name: str) -> bool:
        """Say whether `name` makes a widget or an option: judged where it is made."""
        return bool(self._sources.reader(name)) or name in self._sources.bases

    def _offend(self, node: ast.AST, what: str) -> None:
        self.found.append((getattr(node, "lineno", 0), what))


def _arguments(node: ast.Call, places: Places) -> Iterator[ast.AST]:
    starred = any(isinstance(each, ast.Starred) for each in node.args)
    for place, each in enumerate(node.args):
        if "*" in places or place in places or starred:
            yield each
    yield from (each.value for each in node.keywords if each.arg in places)


def _without_markup(node: ast.Call) -> bool:
    """Say whether the call says `markup=False`, as a keyword or last in a mapping that it unpacks."""
    for keyword in node.keywords:
        value = keyword.value
        if keyword.arg is None and isinstance(value, ast.Dict) and value.keys:
            last = value.keys[-1]
            if isinstance(last, ast.Constant) and last.value == "markup":
                value = value.values[-1]
        elif keyword.arg != "markup":
            continue
        if isinstance(value, ast.Constant) and value.value is False:
            return True
    return False


def offences(modules: Mapping[str, str]) -> list[str]:
    """Return `file:line: what` for all words in `modules` (name and source) that could be read as markup."""
    trees = {name: ast.parse(source) for name, source in modules.items()}
    sources = Sources()
    for tree in trees.values():
        sources.read(tree)
    return list(_in_each(trees, sources))


def _in_each(trees: Mapping[str, ast.Module], sources: Sources) -> Iterable[str]:
    for name, tree in trees.items():
        lint = Lint(sources)
        lint.visit(tree)
        yield from (f"{name}:{line}: {what}" for line, what in sorted(lint.found))


def test_no_words_from_elsewhere_can_be_read_as_markup() -> None:
    modules = {str(path.relative_to(COCKPIT)): path.read_text(encoding="utf-8") for path in COCKPIT.rglob("*.py")}
    assert len(modules) > 40
    assert offences(modules) == []


@pytest.mark.parametrize("line", [
    "Static(words)", "Label(f'{words}')", "Button(words.title())", "Button(label=words)", "Option(words)",
    "Button('[Begin]')", "self.notify(words)", "app.notify('Saved', title=words)", "notify(words, markup=True)",
    "box.border_title = words", "box.border_subtitle = 'at ' + words", "table.add_row('a', words)",
    "RadioButton(words)",
    "table.add_column(words)", "OptionList(*words)", "OptionList(*(Option(each) for each in words))",
    "button.label = str(words)", "self.query_one('#x').update(words)", "Select([(words, 1)])", "x.tooltip = words",
    "Content.from_markup(words)", "Own(words)", "Static(words, **{'markup': False, 'id': 'x'})",
    "Markdown(words)", "Collapsible(title=words)", "TabPane(words)", "Label(words if now else 'none')",
    "Static(*words)",
])
def test_an_offence_is_found(line: str) -> None:
    source = f"class Own(RadioButton): pass\ndef shows(self, words, now):\n    {line}\n"
    assert [each.split(" ")[0] for each in offences({"m.py": source})] == ["m.py:3:"]


def test_an_offence_is_found_in_how_a_widget_of_ones_own_is_made() -> None:
    source = "class Own(Static):\n    def __init__(self, words):\n        super().__init__(words)\nOwn('a')\n"
    assert offences({"m.py": source}) == ["m.py:3: __init__("]


@pytest.mark.parametrize("line", [
    "Static('Begin')", "Label(NAMED)", "Label(module.NAMED)", "Button(Content(words))", "Static(words, markup=False)",
    "Button(Content.assemble('a', words))", "box.border_title = 'Pace'", "Option(row(words))",
    "known.update({1: words})",
    "OptionList(*(Option(Content(each)) for each in words))", "notify(words, **{**options, 'markup': False})",
    "made = Content(words); Static(made)", "Button('', id=words)", "Words(words)",
])
def test_what_is_literal_is_let_be(line: str) -> None:
    source = ("NAMED = 'words'\nclass Words(Static):\n    def __init__(self, text):\n"
              "        super().__init__(text, markup=False)\n"
              f"def row(words) -> Content: ...\ndef shows(self, words, options):\n    {line}\n")
    assert offences({"m.py": source}) == []
