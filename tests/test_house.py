"""Rules of the house that a machine can hold."""

import ast
import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
PACKAGES = ("solar", "coursework", "assessments")
# What each package may import of the project: never one to its right.
MAY_IMPORT = {
    "solar": {"solar"},
    "coursework": {"coursework", "solar"},
    "assessments": {"assessments", "coursework", "solar"},
}
LONGEST_MODULE = 400
# Put together from parts, so that this file passes its own test.
FORBIDDEN_CODE = [
    "TO" + "DO",
    "FIX" + "ME",
    "XX" + "X ",
    "NotImplemented" + "Error",
    "pragma: no " + "cover",
    "pytest.sk" + "ip",
    "mark.sk" + "ip",
    "xf" + "ail",
    "breakpoint" + "()",
]
FORBIDDEN_EVERYWHERE = [
    "/work" + "/",
    "/root" + "/",
    "/home" + "/",
    "pypi" + ".org",
    "pythonhosted" + ".org",
    "debian" + ".org",
    "npmjs" + ".org",
    "seed " + "document",
]
TEXT_SUFFIXES = {".py", ".html", ".css", ".js", ".svg", ".md", ".txt", ".toml", ".csv", ""}


def tracked_files():
    """Files of the project: tracked ones and new ones that are not ignored."""
    listed = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT, capture_output=True, text=True, check=True,
    ).stdout.splitlines()  # fmt: skip
    return [ROOT / name for name in listed if (ROOT / name).is_file()]


def python_files(*packages):
    return [path for path in tracked_files()
            if path.suffix == ".py" and path.relative_to(ROOT).parts[0] in packages]  # fmt: skip


def names_of(paths):
    return {str(path.relative_to(ROOT)): path for path in paths}


def imported_modules(path):
    """Dotted names that a module imports anywhere in it, relative imports made absolute."""
    package = path.relative_to(ROOT).parent.parts
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = package[: len(package) - node.level + 1] if node.level else ()
            yield ".".join((*base, *filter(None, [node.module])))


SOURCES = names_of(python_files(*PACKAGES))
PAGES = names_of(
    path for path in tracked_files()
    if path.suffix == ".html" and path.relative_to(ROOT).parts[0] != "tests"
)  # fmt: skip
SERVED = names_of(
    path for path in tracked_files()
    if path.relative_to(ROOT).parts[0] in {"templates", "static"}
    and path.suffix in {".html", ".css", ".js", ".svg", ".webmanifest", ".json"}
)  # fmt: skip
TEXTS = names_of(
    path for path in tracked_files() if path.suffix in TEXT_SUFFIXES and path.name != "LICENSE"
)


def test_there_is_something_to_hold_to_the_rules():
    assert len(SOURCES) > 30
    assert len(PAGES) > 5


def offenders(files, finds):
    """The files in which `finds` (of a file's path) finds something, with what it finds."""
    found = {name: finds(path) for name, path in files.items()}
    return {name: what for name, what in found.items() if what}


def text_of(path):
    return path.read_text(encoding="utf-8")


def roots_imported(path):
    return {module.split(".")[0] for module in imported_modules(path)}


def test_imports_point_one_way():
    for package in PACKAGES:
        files = {name: path for name, path in SOURCES.items() if name.startswith(f"{package}/")}
        wrong = (set(PACKAGES) | {"tests"}) - MAY_IMPORT[package]
        assert offenders(files, lambda path, wrong=wrong: roots_imported(path) & wrong) == {}


def test_the_computation_knows_nothing_of_django():
    files = {name: path for name, path in SOURCES.items() if name.startswith("solar/")}
    web = {"django", "crispy_forms", "django_htmx", "csp", "reportlab", "whitenoise"}
    assert offenders(files, lambda path: roots_imported(path) & web) == {}


def required_names(path):
    lines = (line.strip() for line in text_of(path).splitlines())
    return {re.match(r"[\w-]+", line)[0].lower() for line in lines if re.match(r"\w", line)}


def test_nothing_needs_what_only_the_tests_install():
    only_tests = required_names(ROOT / "tests" / "requirements.txt") - required_names(
        ROOT / "requirements.txt"
    )
    assert "astropy" in only_tests
    assert offenders(SOURCES, lambda path: roots_imported(path) & only_tests) == {}


def test_no_module_is_too_long():
    files = {name: path for name, path in SOURCES.items() if "/migrations/" not in name}
    too_long = offenders(
        files, lambda path: max(0, len(text_of(path).splitlines()) - LONGEST_MODULE)
    )
    assert too_long == {}


def inline_in(path):
    text = text_of(path)
    found = re.findall(r"<[^>]*\sstyle\s*=|<style\b|<[^>]*\son[a-z]+\s*=|javascript:", text)
    # A script either has an address, or is data that nothing runs.
    scripts = re.findall(r"<script\b[^>]*>", text)
    return found + [
        tag for tag in scripts if "src=" not in tag and 'type="application/json"' not in tag
    ]


def test_templates_have_no_inline_style_nor_script():
    assert offenders(PAGES, inline_in) == {}


@pytest.mark.parametrize(
    "bad", ['<p style="x">', "<script>", "<style>", '<a onclick="x">', '<a href="javascript:x">']
)
def test_the_search_for_inline_code_finds_it(tmp_path, bad):
    page = tmp_path / "page.html"
    page.write_text(bad, encoding="utf-8")
    assert inline_in(page)


def fetched_from_elsewhere(path):
    text = text_of(path)
    loads = r"""(?:src|srcset|action|hx-[a-z]+|data|url|import|fetch)\s*[=(]?\s*["'(]?\s*"""
    return re.findall(loads + r"(?:https?:)?//", text) + re.findall(
        r"<link\b[^>]*href\s*=\s*[\"'](?:https?:)?//", text
    )


def test_pages_fetch_nothing_from_elsewhere():
    assert offenders(SERVED, fetched_from_elsewhere) == {}


@pytest.mark.parametrize(
    "bad",
    ['<img src="https://a.test/b">', "url(//a.test/b)", '<link href="http://a.test/b">',
     'fetch("https://a.test")', '@import "https://a.test/b";'],
)  # fmt: skip
def test_the_search_for_foreign_addresses_finds_them(tmp_path, bad):
    page = tmp_path / "page.html"
    page.write_text(bad, encoding="utf-8")
    assert fetched_from_elsewhere(page)


def test_nothing_is_left_for_later():
    files = {name: path for name, path in TEXTS.items() if name.endswith((".py", ".html", ".js"))}
    assert offenders(files, lambda path: [w for w in FORBIDDEN_CODE if w in text_of(path)]) == {}


def test_no_file_names_a_machine_or_where_packages_come_from():
    found = offenders(TEXTS, lambda path: [w for w in FORBIDDEN_EVERYWHERE if w in text_of(path)])
    assert found == {}


def test_the_top_level_is_the_one_agreed():
    top = {path.relative_to(ROOT).parts[0] for path in tracked_files()}
    agreed = {"README.md", "DEVELOPERS.md", "manage.py", "requirements.txt", "pyproject.toml",
              "LICENSE", ".gitignore", ".ci", "assessments", "coursework", "solar", "static",
              "templates", "tests"}  # fmt: skip
    assert top <= agreed
