"""How the rooms hang together: who imports whom, names with units, short files, quick imports."""

from __future__ import annotations

import ast
import dataclasses
import functools
import importlib
import pkgutil
import re
import typing
from pathlib import Path

import pytest

import solarsim
from solarsim.inputs.base import Record
from solarsim.power import bank_temperature, cabin_loop, kernel, load_loop
from solarsim.solar import snow_cover
from solarsim.weather import normal

PACKAGE = Path(solarsim.__file__).parent
ROOT = PACKAGE.parent
# A room imports only from those before it.
ROOMS = (
    "errors",
    "arrays",
    "cards",
    "records",
    "inputs",
    "compiled",
    "weather",
    "solar",
    "packing",
    "power",
    "electrical",
    "answers",
    "present",
    "door",
    "cli",
    "app",
    "data",
)
# The package's own front door hands out names without importing them.
DOORS = {"__init__", "__main__"}
FRONTS = {"cli", "app", "__main__"}
HEAVY = {"pvlib", "scipy", "h5py", "plotly", "matplotlib", "tzfpy", "streamlit", "shapely"}
DRAWING = {"plotly", "matplotlib", "streamlit", "rich"}
MAX_LINES = 400
MAX_FUNCTION_LINES = 60  # without the docstring

SOURCES = sorted(PACKAGE.rglob("*.py"))
TESTS = sorted((ROOT / "tests").rglob("*.py"))


def room_of(path):
    parts = path.relative_to(PACKAGE).with_suffix("").parts
    return parts[0]


@functools.cache
def imports(tree, *, top_only=False):
    """Names of imported modules, all or only those that run on import."""
    if top_only:
        found, stack = [], list(tree.body)
        while stack:
            node = stack.pop()
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
                continue
            if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test):
                stack += node.orelse
                continue
            found.append(node)
            stack += ast.iter_child_nodes(node)
    else:
        found = list(ast.walk(tree))
    names = []
    for node in found:
        if isinstance(node, ast.Import):
            names += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are absolute"
            names.append(node.module or "")
            names += [f"{node.module}.{alias.name}" for alias in node.names]
    return names


@functools.cache
def parsed(path):
    return ast.parse(path.read_text(encoding="utf-8"))


def test_a_room_imports_only_from_those_before_it():
    wrong = []
    for path in SOURCES:
        room = room_of(path)
        if room in DOORS:
            continue
        assert room in ROOMS, f"{room} is no room"
        for name in imports(parsed(path)):
            parts = name.split(".")
            if parts[0] != "solarsim" or len(parts) == 1 or parts[1] == room:
                continue
            if parts[1] not in ROOMS[: ROOMS.index(room)]:
                wrong.append(f"{path.relative_to(ROOT)} imports {name}")
    assert wrong == []


def test_every_room_is_there_and_nothing_else():
    parts = {path.stem for path in PACKAGE.iterdir() if path.suffix == ".py" or path.is_dir()}
    assert parts - {"__pycache__"} == {*ROOMS, *DOORS}


def test_errors_import_nothing_of_the_package():
    assert not [n for n in imports(parsed(PACKAGE / "errors.py")) if n.startswith("solarsim")]


def test_heavy_and_drawing_packages_stay_where_they_belong():
    wrong = []
    for path in SOURCES:
        tree, room = parsed(path), room_of(path)
        at_top = {name.split(".")[0] for name in imports(tree, top_only=True)}
        if room not in {"data", "app"} and at_top & HEAVY:
            wrong.append(f"{path.relative_to(ROOT)} imports {at_top & HEAVY} at the top")
        everywhere = {name.split(".")[0] for name in imports(tree)}
        if room not in FRONTS | {"present"} and everywhere & DRAWING:
            wrong.append(f"{path.relative_to(ROOT)} draws with {everywhere & DRAWING}")
    assert wrong == []


def test_one_module_compiles():
    users = [p for p in SOURCES if "numba" in {n.split(".")[0] for n in imports(parsed(p))}]
    assert [str(path.relative_to(PACKAGE)) for path in users] == ["compiled/compiler.py"]


COMPILED = (bank_temperature, cabin_loop, kernel, load_loop, normal, snow_cover)


@pytest.mark.parametrize("module", COMPILED)
def test_compiled_code_is_known_by_all_files_that_it_is_made_of(module):
    """What is kept on disk does not notice an edit by itself."""
    files = set(module.CODE.made_of)
    assert Path(module.__file__) in files
    # These hold no code that is compiled; the loops' own room counts for every loop.
    apart = {"solarsim.arrays", "solarsim.errors", "solarsim.compiled.machine_code"}
    used = {name for path in files for name in imports(parsed(path))} - apart
    inside = {MODULES[name] for name in used if name in MODULES}
    assert {path for path in inside if path.name != "__init__.py"} <= files


def module_name(path):
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


@functools.cache
def listed_names(path):
    for node in parsed(path).body:
        if isinstance(node, ast.Assign | ast.AnnAssign):
            target = node.targets[0] if isinstance(node, ast.Assign) else node.target
            if ast.unparse(target) == "__all__" and node.value is not None:
                return ast.literal_eval(node.value)
    return None


MODULES = {module_name(path): path for path in SOURCES if "data" not in path.parts}


def test_listed_names_are_there():
    wrong = []
    for name, path in MODULES.items():
        if not any(isinstance(node, ast.FunctionDef | ast.ClassDef) for node in parsed(path).body):
            continue
        listed = listed_names(path)
        if not listed:
            wrong.append(f"{name} needs __all__")
            continue
        module = importlib.import_module(name)
        wrong += [f"{name}.{each} is listed" for each in listed if not hasattr(module, each)]
        if len(set(listed)) < len(listed):
            wrong.append(f"{name} lists a name twice")
    assert wrong == []


def defined_names(tree):
    """Names that a module makes itself, not those it imports."""
    names = set()
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            names.add(node.name)
        elif isinstance(node, ast.Assign | ast.AnnAssign):
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            for target in targets:
                names |= {each.id for each in ast.walk(target) if isinstance(each, ast.Name)}
    return names


def test_a_module_lists_only_what_it_defines():
    """One import path a name; the package's own front door hands out others' names."""
    wrong = {
        str(path): more
        for path in SOURCES
        if path != PACKAGE / "__init__.py"
        and (more := set(listed_names(path) or []) - defined_names(parsed(path)))
    }
    assert wrong == {}


def test_what_one_module_takes_from_another_is_listed_there():
    unlisted = set()
    for path in SOURCES:
        for node in ast.walk(parsed(path)):
            if isinstance(node, ast.ImportFrom) and node.module in MODULES:
                listed = listed_names(MODULES[node.module]) or []
                unlisted |= {
                    f"{node.module}.{alias.name}"
                    for alias in node.names
                    if alias.name not in listed and f"{node.module}.{alias.name}" not in MODULES
                }
    assert not unlisted


def test_files_are_short():
    lines = {path: len(path.read_text(encoding="utf-8").splitlines()) for path in SOURCES + TESTS}
    assert {str(path): count for path, count in lines.items() if count > MAX_LINES} == {}


def function_lengths(tree):
    """Name and lines without the docstring of every function."""
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            told = ast.get_docstring(node, clean=False) is not None
            head = node.body[0]
            docstring = head.end_lineno - head.lineno + 1 if told else 0
            yield node.name, node.end_lineno - node.lineno + 1 - docstring


def test_functions_are_short():
    long = {
        f"{path.relative_to(PACKAGE)}:{name}"
        for path in SOURCES
        for name, lines in function_lengths(parsed(path))
        if lines > MAX_FUNCTION_LINES
    }
    assert long == set()


# Tests of no one room: against published values, of properties, of speed, in a browser.
TESTS_APART = {"checks", "property", "bench", "browser"}


@pytest.mark.parametrize(
    "path",
    [path for path in TESTS if path.name.startswith("test_") and path.parent.name != "tests"],
    ids=lambda path: str(path.relative_to(ROOT)),
)
def test_a_test_stands_in_the_folder_of_what_it_tests(path):
    folder = path.parent.relative_to(ROOT / "tests")
    assert folder.parts[0] in TESTS_APART or (PACKAGE / folder).is_dir(), f"{folder} is no room"


# --- units in names ---

SUFFIXES = {
    *("w", "wh", "ah", "v", "a", "h", "deg", "c", "m", "cm", "mm", "m2", "m_s", "m3_h", "ohm"),
    *("share", "efficiency", "soc", "chance", "humidity", "w_m2", "wh_m2", "kwh_m2_day"),
    *("w_k", "wh_k", "pct_k", "w2", "per_h", "per_hour", "per_month", "per_year", "per_day"),
    *("ohm_ah", "c_rate", "hour", "hours", "days", "minutes", "years", "day", "month", "wh_day"),
    *("a_per_k", "ev", "s", "k", "kt", "am", "w_per_day", "wh_per_day", "ah_per_day", "mm_day"),
    *("m2_k", "eta", "c_k", "pct", "mm2", "km2", "kg", "l", "per_kg", "per_l", "per_kwh"),
}
# Quantities without a unit, money, and what carries its unit in the record's own name.
UNITLESS = {
    *("cost", "each_cost", "all_cost", "total_cost", "quantity"),
    *("labour", "parts", "net", "tax", "gross"),
    *("price", "max_price"),
    *("albedo", "factor", "margin", "max_depth", "turbidity", "weight", "ideality"),
    *("p1", "p10", "p50", "p90", "mean", "worst", "units", "count", "panels", "chance_lasts"),
    # A lever's gain in days and in chance, told by its record.
    *("days_gained", "chance_gained", "standard_error"),
    *("kt_p10", "kt_p50", "kt_p90", "kt_quantiles", "temperature_factor"),
    # An estimate from a log tells its unit itself; factors are over what the van's file says.
    # So does a row of an offer.
    *("cells", "value", "error", "assumed", "yield_factor", "capacity_factor", "load_shape"),
    # Coefficients of published formulas, and ratios that the record explains.
    *("intercept", "wind_slope", "sectors", "power_per_light", "brightness", "running"),
    # A map shows days, chances or banks; its scale says which.
    *("low", "high", "levels", "strong_level", "values"),
    # A fuel is told in litres or kilograms; its record says which.
    "aboard",
}


def public_fields():
    """(record, field, annotation) of every pydantic record and dataclass of the package."""
    for info in pkgutil.walk_packages([str(PACKAGE)], "solarsim."):
        if info.name.split(".")[1] in {"data", "__main__"}:
            continue
        module = importlib.import_module(info.name)
        for name, kind in vars(module).items():
            if not isinstance(kind, type) or kind.__module__ != info.name or name.startswith("_"):
                continue
            if issubclass(kind, Record) and kind is not Record:
                for field, about in kind.model_fields.items():
                    yield f"{info.name}.{name}", field, about.annotation
            elif dataclasses.is_dataclass(kind):
                hints = typing.get_type_hints(kind)
                for about in dataclasses.fields(kind):
                    yield f"{info.name}.{name}", about.name, hints[about.name]


def holds_numbers_with_a_unit(annotation):
    """Whether a field is a float, an array of floats, or tuples or an option of these."""
    text = str(annotation)
    return annotation is float or bool(
        re.search(r"\bfloat\b|float64", text) and "dict" not in text and "Mapping" not in text
    )


def has_unit(field):
    return any(field == suffix or field.endswith(f"_{suffix}") for suffix in SUFFIXES)


@pytest.fixture(scope="module")
def number_fields():
    return [
        (record, field)
        for record, field, annotation in public_fields()
        if holds_numbers_with_a_unit(annotation)
    ]


def test_there_are_fields_to_look_at(number_fields):
    names = {field for _, field in number_fields}
    assert len(number_fields) > 100
    assert {"unit_capacity_ah", "ghi_w_m2", "relative_humidity", "ledger_wh", "cost"} <= names


def test_names_of_numbers_carry_their_units(number_fields):
    clock = ("windows", "home", "night")
    assert [
        f"{record}.{field}"
        for record, field in number_fields
        if not has_unit(field) and field not in UNITLESS and not field.startswith(clock)
    ] == []
