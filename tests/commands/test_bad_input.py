"""Bad input through the real command line: one clear line at a place, never a traceback."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import NamedTuple

import pytest

from tests.conftest import Cli, Outcome, git, run_cli, run_python

FLOUR = "{item: all-purpose flour, amount: 300 g}"
GOOD = f"""formula: trial
title: Trial
class: loaf-cake
status: draft
yield: {{pieces: 2}}
parts:
  - part: batter
    ingredients:
      - {FLOUR}
method: []
"""
BAKE = 'date: 2026-03-14\nformula: trial\nof: "0f3a9c21b7de"\nbaker: N\nverdict: keep\n'
SCHEMA, BROKEN, LIMIT = "[not-as-schema]", "[broken-yaml]", "[over-limit]"
AMOUNT = "9:43: error:"

Tree = Mapping[str, str | bytes | None]  # None: a folder
Setup = Callable[[Path], None]


def checked(
    words: tuple[str, ...], cwd: Path, stdin: bytes = b"", run: Cli = run_python
) -> Outcome:
    """Run a command that must not crash; one that hangs is stopped."""
    done = run(*words, cwd=cwd, stdin=stdin)
    assert "Traceback" not in done.all
    return done


def assert_could_not_run(done: Outcome, message: str) -> None:
    """Exit code 2 and one line on stderr."""
    assert done.code == 2, done
    assert len(done.err.splitlines()) == 1, done.err
    assert done.err.startswith("perflour")
    assert message in done.err


def plant(folder: Path, tree: Tree) -> None:
    """Write files and folders."""
    for name, content in tree.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        if content is None:
            path.mkdir()
        else:
            path.write_bytes(content.encode() if isinstance(content, str) else content)


def swap(old: str, new: str) -> str:
    """The good formula with one thing made bad."""
    assert old in GOOD
    return GOOD.replace(old, new, 1)


def amount(text: str) -> str:
    """The good formula with another amount, quoted."""
    return swap("300 g", f'"{text}"')


def lines(*ingredients: str) -> str:
    """The good formula with more ingredient lines, from line 10 on."""
    return swap(FLOUR, "\n      - ".join((FLOUR, *ingredients)))


def parts(*more: str) -> str:
    """The good formula with more parts, one a line, from line 10 on."""
    return swap("method:", "".join(f"  - {part}\n" for part in more) + "method:")


def part(name: str, *ingredients: str) -> str:
    return f"{{part: {name}, ingredients: [{', '.join(ingredients)}]}}"


def use(name: str, share: str = "all") -> str:
    return f'{{part: {name}, amount: "{share}"}}'


class Row(NamedTuple):
    """A formula file's content and the line of findings it must get, without the path."""

    id: str
    content: str | bytes
    line: str


# The file cannot be read as a formula: lint, show and format all say the same line.
UNREADABLE = (
    Row("bracket-open", "formula: [trial\ntitle: x\n", f"2:6: error: a bracket or brace is not closed, or a comma is missing; close it on its own line of items {BROKEN}"),
    Row("quote-open", 'formula: "trial\n', f"2:1: error: a quote is not closed; close it {BROKEN}"),
    Row("tab-indent", "parts:\n\t- part: a\n", f"2:1: error: a character that YAML does not allow here; indent with spaces, not tabs, and quote text that starts with @, ` or % {BROKEN}"),
    Row("colon-in-text", "title: Loaf: the best\n", f"1:12: error: a colon where none can stand; quote text that holds a colon, and check the indent {BROKEN}"),
    Row("key-without-colon", "formula: trial\ntitle\nclass: x\n", f"3:1: error: a key without a colon; write `key: value` {BROKEN}"),
    Row("conflict-open", swap("title: Trial\n", "<<<<<<< ours # title: both changed it\ntitle: A\n=======\ntitle: B\n>>>>>>> theirs\n"), f"2:1: error: a merge left a conflict open here; write what shall stand, and delete its marks {BROKEN}"),
    Row("conflict-by-git", swap(f"      - {FLOUR}\n", f"<<<<<<< HEAD\n      - {FLOUR}\n||||||| base\n=======\n>>>>>>> other\n"), f"9:1: error: a merge left a conflict open here; write what shall stand, and delete its marks {BROKEN}"),
    Row("half-a-conflict", swap("title: Trial\n", "title: Trial\n>>>>>>> theirs\n"), "3:2: error: YAML cannot be read here"),
    Row("indent-off", "parts:\n  - part: a\n   kind: dough\n", f"3:4: error: the indent does not match the list above; line the dashes up {BROKEN}"),
    Row("unknown-escape", 'title: "a\\qb"\n', f"1:10: error: an unknown backslash in double quotes; use single quotes {BROKEN}"),
    Row("two-documents", GOOD + "---\n" + GOOD, f"11:1: error: a second document starts here; keep one document per file {BROKEN}"),
    Row("list-as-key", "? [a, b]\n: c\n", f"1:3: error: a list or mapping stands where a key should; write a plain key {BROKEN}"),
    Row("yaml-2", "%YAML 2.0\n---\n" + GOOD, f"1:1: error: YAML cannot be read here (found incompatible YAML document); check indent, quotes and brackets {BROKEN}"),
    Row("nul-byte", swap("title: Trial", "title: Tri\0al"), f"2:11: error: control character U+0000; delete it {BROKEN}"),
    Row("c1-control", swap("title: Trial", "title: Tri\x81al"), f"2:11: error: control character U+0081; delete it {BROKEN}"),
    Row("bad-utf-8", GOOD.replace("Trial", "Crème").encode("latin-1"), "2:10: error: byte 0xe8 is not UTF-8; save the file as UTF-8 [not-utf-8]"),
    Row("utf-16", GOOD.encode("utf-16"), "1:1: error: byte 0xff is not UTF-8; save the file as UTF-8 [not-utf-8]"),
    Row("utf-16-no-bom", GOOD.encode("utf-16-le"), f"1:2: error: control character U+0000; delete it {BROKEN}"),
    Row("empty", "", "1:1: error: the file holds no data; fill it in or remove it [empty-file]"),
    Row("only-comment", "# later\n", "1:1: error: the file holds no data; fill it in or remove it [empty-file]"),
    Row("duplicate-key", GOOD + "title: Again\n", "11:1: error: 'title' stands twice, first on line 2; keep one [duplicate-key]"),
    Row("tag", swap("title: Trial", "title: !!str Trial"), "2:8: error: tag tag:yaml.org,2002:str; remove it, tags are not read [alias-or-tag]"),
    Row("python-tag", "formula: !!python/object/apply:os.getcwd []\n", "1:10: error: tag tag:yaml.org,2002:python/object/apply:os.getcwd; remove it, tags are not read [alias-or-tag]"),
    Row("alias-bomb", "a: &a [x, x]\n" + "".join(f"b{i}: &b{i} [*a, *a]\n" for i in range(40)), "1:4: error: anchor &a; remove it, aliases are not read [alias-or-tag]"),
    Row("merge-key", "a: {b: c}\n<<: *a\n", "2:5: error: alias *a; write the value out, aliases are not read [alias-or-tag]"),
    Row("nesting-bomb", "a: " + "[" * 200_000, f" error: nested deeper than 40; flatten it {LIMIT}"),
    Row("nested-60-deep", "a: " + "[" * 60 + "]" * 60, f"1:44: error: nested deeper than 40; flatten it {LIMIT}"),
    Row("huge-file", GOOD + "# more\n" * 200_000, f"1:1: error: the file has {len(GOOD) + 1_400_000:,} bytes, more than 1,048,576; split it {LIMIT}"),
    Row("6000-lines", lines(*["{item: salt, amount: 1 g}"] * 5999), f"9:7: error: `ingredients` of part 1 is longer than 5,000; split it {LIMIT}"),
    Row("6000-lines-in-2-parts", parts(*[part("more", *["{item: salt, amount: 1 g}"] * 3000)] * 2), f"7:3: error: 6,001 ingredient lines, more than 5,000; split the formula {LIMIT}"),
    Row("number-infinite", swap("pieces: 2", "pieces: .inf"), f"5:17: error: '.inf' is no usable number; write a finite one {LIMIT}"),
    Row("number-nan", swap("300 g", ".nan"), f"9:43: error: '.nan' is no usable number; write a finite one {LIMIT}"),
    Row("number-1e999", swap("pieces: 2", "pieces: 1e999"), f"5:17: error: a number beyond all use; write a shorter one {LIMIT}"),
    Row("number-of-9000-digits", swap("pieces: 2", "pieces: " + "9" * 9000), f"5:17: error: a number beyond all use; write a shorter one {LIMIT}"),
    Row("top-is-list", "- a\n- b\n", "1:1: error: the file is a list, but must be a mapping of keys, like `{\"formula\": \"oat-treacle-loaf\", "),
    Row("top-is-scalar", "just text\n", '1:1: error: the file is "just text", but must be a mapping of keys, like `{"formula": "oat-treacle-loaf", '),
    Row("amount-number", swap("300 g", "300"), f"9:43: error: `amount` of ingredient 1 of part 1 is 300, but must be text, like `\"240 g\"` {SCHEMA}"),
    Row("amount-empty", swap("300 g", '""'), f"9:43: error: `amount` of ingredient 1 of part 1 is empty; fill it in or remove it {SCHEMA}"),
    Row("line-is-text", swap(FLOUR, "300 g flour"), f"9:9: error: ingredient 1 of part 1 is \"300 g flour\", but must be a mapping of keys, like `{{\"item\": \"dark brown sugar\", \"amount\": \"1 cup\", \"state\": \"packed\"}}` {SCHEMA}"),
    Row("parts-mapping", "formula: a\ntitle: a\nclass: a\nstatus: draft\nparts: {a: b}\nmethod: []\n", "5:8: error: `parts` is a mapping, but must be a list, like `[{\"part\": \"batter\", \"ingredients\": "),
    Row("pieces-text", swap("pieces: 2", "pieces: two"), f'5:17: error: `pieces` of `yield` is "two", but must be a whole number, like `12` {SCHEMA}'),
    Row("pieces-zero", swap("pieces: 2", "pieces: 0"), f"5:17: error: `pieces` of `yield` is 0, outside what is allowed (minimum 1); write it like `12` {SCHEMA}"),
    Row("pieces-negative", swap("pieces: 2", "pieces: -4"), f"5:17: error: `pieces` of `yield` is -4, outside what is allowed (minimum 1); write it like `12` {SCHEMA}"),
    Row("pieces-1e99", swap("pieces: 2", "pieces: 1e99"), f"5:17: error: `pieces` of `yield` is 1e+99, outside what is allowed (maximum 100000); write it like `12` {SCHEMA}"),
    Row("method-text", swap("method: []", "method: bake it"), '10:9: error: `method` is "bake it", but must be a list, like `[{"do": "preheat", "to": "175 °C"}, '),
    Row("method-null", swap("method: []", "method:"), '10:8: error: `method` is nothing, but must be a list, like `[{"do": "preheat", "to": "175 °C"}, '),
    Row("uses-text", swap("method: []", "method: [{do: mix, uses: flour}]"), f'10:26: error: `uses` of step 1 is "flour", but must be a list, like `["rolled oats", "buttermilk"]` {SCHEMA}'),
    Row("title-boolean", swap("title: Trial", "title: true"), f'2:8: error: `title` is true, but must be text, like `"Oat and treacle loaf"` {SCHEMA}'),
    Row("key-near-miss", swap("status:", "satus:"), f"4:1: error: unknown key 'satus' in the file; did you mean 'status'? {SCHEMA}"),
    Row("key-unknown", swap(FLOUR, "{item: flour, amount: 1 g, zzz: 1}"), f"9:36: error: unknown key 'zzz' in ingredient 1 of part 1; known here: item, part, amount, state, note {SCHEMA}"),
    Row("keys-missing", "formula: a\ntitle: a\n", f"1:1: error: the file has no `class`, `status`, `parts`, `method`; add them {SCHEMA}"),
    Row("key-missing", swap("class: loaf-cake\n", ""), f"1:1: error: the file has no `class`; add it {SCHEMA}"),
    Row("item-and-part", lines("{item: a, part: b, amount: 1 g}"), f"10:9: error: ingredient 2 of part 1 needs either `item` or `part`, not both; keep one {SCHEMA}"),
    Row("neither-item-nor-part", lines("{amount: 1 g}"), f"10:9: error: ingredient 2 of part 1 needs either `item` or `part`; add one {SCHEMA}"),
    Row("status-unknown", swap("draft", "done"), f'4:9: error: `status` is "done"; write one of draft, testing, approved, retired, reference {SCHEMA}'),
    Row("status-list", swap("draft", "[draft]"), f"4:9: error: `status` is a list; write one of draft, testing, approved, retired, reference {SCHEMA}"),
    Row("id-capital", swap("formula: trial", "formula: Trial Loaf"), f'1:10: error: `formula` is "Trial Loaf"; write it like `"oat-treacle-loaf"` {SCHEMA}'),
    Row("id-ends-in-newline", swap("formula: trial", 'formula: "trial\\n"'), f"1:10: error: a name or id ends in a line break; write it on one line {SCHEMA}"),
    Row("many-wrong-steps", swap("method: []", f"method: [{'0,' * 200_000}]"), "10:10: error: step 1 is 0, but must be a mapping of keys"),
    Row("many-unknown-keys", GOOD + "".join(f"k{i}: 0\n" for i in range(50_000)), "11:1: error: unknown key 'k0' in the file; known here"),
)  # fmt: skip

# The file is a formula, and a rule finds what is wrong in it.
FOUND = (
    Row("unit-unknown", amount("3 xyzzy"), f"{AMOUNT} unknown unit 'xyzzy' in '3 xyzzy'; use a unit such as g, ml, tsp, cup, large or each [unknown-unit]"),
    Row("unit-near-miss", amount("3 cusp"), f"{AMOUNT} unknown unit 'cusp' in '3 cusp', did you mean 'cup'?; use a unit such as g, ml, tsp, cup, large or each [unknown-unit]"),
    Row("unit-t", amount("3 T"), f"{AMOUNT} unknown unit 'T' in '3 T' (T and t are easily mixed up: write tbsp or tsp); use a unit such as g, ml, tsp, cup, large or each [unknown-unit]"),
    Row("amount-negative", amount("-3 g"), f"{AMOUNT} '-3 g' is negative; write an amount above zero [unreadable-amount]"),
    Row("amount-zero", amount("0 g"), f"{AMOUNT} '0 g' is zero; write an amount above zero, or remove the line [unreadable-amount]"),
    Row("amount-infinite", amount("inf g"), f"{AMOUNT} 'inf g' has no number that can be read; write it like `240 g`, `1 1/2 cup` or `4-5 cup` [unreadable-amount]"),
    Row("amount-nan", amount("nan g"), f"{AMOUNT} 'nan g' has no number that can be read; write it like `240 g`, `1 1/2 cup` or `4-5 cup` [unreadable-amount]"),
    Row("amount-1/0", amount("1/0 cup"), f"{AMOUNT} '1/0' divides by zero; mend the fraction [unreadable-amount]"),
    Row("amount-giant", amount("9" * 190 + " g"), f"{AMOUNT} the number 99999999999999999999… is beyond any kitchen; write a smaller one [unreadable-amount]"),
    Row("amount-over-a-million", amount("1000001 g"), f"{AMOUNT} 1000001 is beyond any kitchen; write a smaller number [unreadable-amount]"),
    Row("amount-1e5", amount("1e5 g"), f"{AMOUNT} unknown unit 'e5' in '1e5 g'; use a unit such as g, ml, tsp, cup, large or each [unknown-unit]"),
    Row("range-upside-down", amount("5-4 cup"), f"{AMOUNT} the range in '5-4 cup' is upside down; write the smaller number first [range-upside-down]"),
    Row("part-uses-itself", lines(use("batter", "1/2")), "7:11: error: the part 'batter' contains itself; take it out of the parts it uses [part-in-itself]"),
    Row("parts-in-a-ring", parts(part("a", FLOUR, use("b")), part("b", FLOUR, use("a"))), "contains itself; take it out of the parts it uses [part-in-itself]"),
    Row("part-unknown", lines(use("glaze")), "10:16: error: there is no part 'glaze'; the parts are batter [unknown-part]"),
    Row("part-overdrawn", parts(part("a", FLOUR), part("b", use("a"), use("a", "1/2"))), "10:12: error: 150% of 'a' is used, but only 100% is made; make more or use less [part-overdrawn]"),
    Row("no-flour", swap("all-purpose flour", "water"), "6:1: error: no flour to take percentages of; add `basis` with the items that are 100 % [no-basis]"),
    Row("part-chain-of-299", parts(part("a0", use("nowhere")), *(part(f"a{i}", FLOUR, use(f"a{i - 1}")) for i in range(1, 199))), "10:37: error: there is no part 'nowhere'; the parts are batter, a0"),
    Row("part-diamond-of-40", parts(part("a0", use("nowhere")), *(part(f"a{i}", FLOUR, *[use(f"a{i - 1}", "1/2")] * 2) for i in range(1, 199))), "10:37: error: there is no part 'nowhere'; the parts are batter, a0"),
    Row("299-parts-in-themselves", parts(*(part(f"a{i}", FLOUR, use(f"a{i}")) for i in range(199))), "10:12: error: the part 'a0' contains itself; take it out of the parts it uses [part-in-itself]"),
    Row("70-parts-in-each-other", parts(*(part(f"a{i}", *(use(f"a{j}", "1/99") for j in range(70))) for i in range(70))), "contains itself; take it out of the parts it uses [part-in-itself]"),
)  # fmt: skip


def found(output: str, line: str) -> bool:
    """A whole line, or the start or end of one where the row gives only that."""
    said = [text.removeprefix("try.yaml:") for text in output.splitlines()]
    return any(text == line or text.startswith(line) or text.endswith(line) for text in said)


@pytest.mark.parametrize("row", UNREADABLE + FOUND, ids=lambda row: row.id)
def test_lint_says_where_and_what(row: Row, tmp_path: Path) -> None:
    plant(tmp_path, {"try.yaml": row.content})
    done = checked(("lint", "try.yaml"), tmp_path, run=run_cli)
    assert found(done.out, row.line), done.all[:3000]
    assert done.out.startswith("try.yaml:")
    assert (done.code, done.err) == (1, "")


@pytest.mark.parametrize("command", ["show", "format"])
@pytest.mark.parametrize("row", UNREADABLE, ids=lambda row: row.id)
def test_show_and_format_say_the_same(row: Row, command: str, tmp_path: Path) -> None:
    plant(tmp_path, {"try.yaml": row.content})
    before = (tmp_path / "try.yaml").read_bytes()
    done = checked((command, "try.yaml"), tmp_path, run=run_cli)
    assert found(done.err, row.line), done.all[:3000]
    assert (done.code, done.out) == (1, "")
    assert (tmp_path / "try.yaml").read_bytes() == before


@pytest.mark.parametrize("row", FOUND, ids=lambda row: row.id)
def test_show_survives_what_rules_find(row: Row, tmp_path: Path) -> None:
    plant(tmp_path, {"try.yaml": row.content})
    assert checked(("show", "try.yaml"), tmp_path, run=run_cli).code == 0


class Run(NamedTuple):
    """A command over a tree of files: its exit code and a line or message it must print."""

    id: str
    words: tuple[str, ...]
    code: int
    line: str
    tree: Tree = {}  # noqa: RUF012


def bake(old: str, new: str) -> Tree:
    return {"bakes/a.yaml": BAKE.replace(old, new)}


OTHER = (
    Run("stdin-empty", ("lint", "-"), 1, "<stdin>:1:1: error: the file holds no data; fill it in or remove it [empty-file]"),
    Run("show-stdin-empty", ("show", "-"), 1, "<stdin>:1:1: error: the file holds no data; fill it in or remove it [empty-file]"),
    Run("line-is-text-said-once", ("lint", "a.yaml"), 1, "1 file read: 1 error in 1", {"a.yaml": swap(FLOUR, "300 g flour")}),
    Run("house-broken", ("lint", "a.yaml"), 1, "house.yaml:1:9: error: a colon where none can stand; quote text that holds a colon, and check the indent [broken-yaml]", {"a.yaml": GOOD, "house.yaml": "house: a: b: c\n"}),
    Run("show-house-broken", ("show", "a.yaml"), 1, "house.yaml:1:9: error: a colon where none can stand; quote text that holds a colon, and check the indent [broken-yaml]", {"a.yaml": GOOD, "house.yaml": "house: a: b: c\n"}),
    Run("scale-house-broken", ("scale", "a.yaml", "--times", "2"), 1, "house.yaml:1:9: error: a colon where none can stand; quote text that holds a colon, and check the indent [broken-yaml]", {"a.yaml": GOOD, "house.yaml": "house: a: b: c\n"}),
    Run("house-empty", ("lint", "a.yaml"), 1, "house.yaml:1:1: error: the file holds no data; fill it in or remove it [empty-file]", {"a.yaml": GOOD, "house.yaml": ""}),
    Run("house-level-unknown", ("lint", "a.yaml"), 1, 'house.yaml:3:16: error: `no-cooling` of `rules` is "loud"; write one of off, note, warning, error [not-as-schema]', {"a.yaml": GOOD, "house.yaml": "house: A\nrules:\n  no-cooling:  loud\n"}),
    Run("ingredients-broken", ("lint", "a.yaml"), 1, "ingredients.yaml:2:1: error: a value is missing; write it, or remove the comma before it [broken-yaml]", {"a.yaml": GOOD, "house.yaml": "house: A\n", "ingredients.yaml": "ingredients: [\n"}),
    Run("ingredients-list", ("lint", "a.yaml"), 1, "ingredients.yaml:1:1: error: the file is a list, but must be a mapping of keys", {"a.yaml": GOOD, "house.yaml": "house: A\n", "ingredients.yaml": "- a\n"}),
    Run("bake-key-missing", ("lint", "bakes"), 1, "bakes/a.yaml:1:1: error: the file has no `baker`; add it [not-as-schema]", bake("baker: N\n", "")),
    Run("bake-digest-unquoted", ("lint", "bakes"), 1, 'bakes/a.yaml:3:5: error: `of` is 123456789012, but must be text, like `"0f3a9c21b7de"` [not-as-schema]', bake('"0f3a9c21b7de"', "123456789012")),
    Run("bake-digest-newline", ("lint", "bakes"), 1, "bakes/a.yaml:3:5: error: a name or id ends in a line break; write it on one line [not-as-schema]", bake('7de"', '7de\\n"')),
    Run("bake-date-in-words", ("lint", "bakes"), 1, 'bakes/a.yaml:1:7: error: `date` is "14 March"; write it like `"2026-03-14"` [not-as-schema]', bake("2026-03-14", "14 March")),
    Run("bake-date-impossible", ("lint", "bakes"), 1, "bakes/a.yaml:1:7: error: ", bake("2026-03-14", "2026-13-45")),
    Run("bake-date-past-the-month", ("lint", "bakes"), 1, 'bakes/a.yaml:1:7: error: `date` is "2026-02-29"; write it like `"2026-03-14"` [not-as-schema]', bake("2026-03-14", "2026-02-29")),
    Run("bake-score-ten", ("lint", "bakes"), 1, "bakes/a.yaml:6:31: error: `crumb` of score 1 is 10, outside what is allowed (maximum 9); write it like `7` [not-as-schema]", bake("keep\n", "keep\nscores: [{taster: A, crumb:   10}]\n")),
    Run("diff-new-broken", ("diff", "a.yaml", "b.yaml"), 1, "b.yaml:2:1: a quote is not closed; close it", {"a.yaml": GOOD, "b.yaml": "title: 'x\n"}),
    Run("diff-old-broken", ("diff", "b.yaml", "a.yaml"), 1, "b.yaml:2:1: a quote is not closed; close it", {"a.yaml": GOOD, "b.yaml": "title: 'x\n"}),
    Run("diff-both-empty", ("diff", "a.yaml", "b.yaml"), 1, "a.yaml:1:1: the file holds no data; fill it in or remove it", {"a.yaml": "", "b.yaml": ""}),
    Run("format-impossible-date", ("format", "--check", "a.yaml"), 1, "a.yaml", {"a.yaml": swap("title: Trial", "title: 2026-99-99").replace("300 g}", "300 grams}")}),
    Run("folder-named-formula", ("lint", "formula.yaml"), 2, "perflour: nothing was checked: no formula, record or house file in formula.yaml; name what to check, or add --if-any where none is fine\n", {"formula.yaml": None}),
    Run("folder-named-formula-below", ("lint", "."), 2, "perflour: nothing was checked: no formula, record or house file in .; name what to check, or add --if-any where none is fine\n", {"a/formula.yaml": None}),
    Run("no-command", (), 2, "perflour: say what to do, like `perflour lint`; see perflour --help\n"),
    Run("command-unknown", ("brew",), 2, "perflour: there is no command 'brew'; see perflour --help\n"),
    Run("option-unknown", ("lint", "--loud"), 2, "perflour lint: there is no option --loud; see perflour lint --help\n"),
    Run("option-with-line-break", ("lint", "--lo\nud"), 2, "perflour lint: there is no option --lo"),
    Run("output-unknown", ("diff", "--output=nonsense"), 2, "perflour diff: --output cannot be 'nonsense'; write one of text, json, markdown, subject\n"),
    Run("rule-unknown", ("explain", "nonsense"), 2, "perflour: there is no rule 'nonsense'; list them with perflour explain\n"),
    Run("rule-near-miss", ("explain", "no-coolin"), 2, "perflour: there is no rule 'no-coolin'; did you mean no-cooling?\n"),
    Run("rule-with-line-break", ("explain", "no\nrule"), 2, "perflour: there is no rule 'no"),
    Run("lint-file-missing", ("lint", "none.yaml"), 2, "perflour: 'none.yaml': no such file or folder; check the path\n"),
    Run("show-folder-missing", ("show", "none/"), 2, "perflour: 'none/': no such file or folder; check the path\n"),
    Run("format-file-missing", ("format", "none.yaml"), 2, "perflour: 'none.yaml': no such file or folder; check the path\n"),
    Run("name-not-utf-8", ("lint", "\udcff.yaml"), 2, "perflour: '\\udcff.yaml': no such file or folder; check the path\n"),
    Run("path-empty", ("lint", ""), 2, "perflour: '': no such file or folder; check the path\n"),
    Run("file-as-folder", ("lint", "a.yaml/b"), 2, "perflour: 'a.yaml/b': no such file or folder; check the path\n", {"a.yaml": GOOD}),
    Run("show-no-formula", ("show", "a"), 2, "perflour: no formula in a; name a formula file or its folder\n", {"a/house.yaml": "house: A\n"}),
    Run("diff-outside-git", ("diff",), 2, ": not in a git repository; run `git init` there, or go to the repository, or name two formulas to compare\n", {"a.yaml": GOOD}),
    Run("changelog-outside-git", ("changelog", "."), 2, ": not in a git repository; ", {"a.yaml": GOOD}),
    Run("changelog-folder-missing", ("changelog", "none/deep"), 2, "'none/deep': no such file or folder; check the path\n"),
    Run("diff-second-file-missing", ("diff", "a.yaml", "none.yaml"), 2, "none.yaml", {"a.yaml": GOOD}),
    Run("diff-three-files", ("diff", "a", "b", "c"), 2, "perflour: diff takes two formulas or at most two revisions, not 3; put paths after `--`\n"),
)  # fmt: skip


@pytest.mark.parametrize("run", OTHER, ids=lambda run: run.id)
def test_other_files_and_commands(run: Run, tmp_path: Path) -> None:
    plant(tmp_path, run.tree)
    check_run(run, checked(run.words, tmp_path))


def check_run(run: Run, done: Outcome) -> None:
    if run.code == 2:
        assert_could_not_run(done, run.line)
    else:
        assert done.code == run.code, done
        assert any(line.strip().startswith(run.line) for line in (*done.all.splitlines(), ""))


@pytest.mark.parametrize("command", ["lint", "show", "format"])
def test_symlink_loops(command: str, tmp_path: Path) -> None:
    plant(tmp_path, {"a/b": None, "a/c/formula.yaml": GOOD.replace("formula: trial", "formula: c")})
    (tmp_path / "a/b/up").symlink_to(tmp_path / "a")
    assert checked((command, "a"), tmp_path).code == 0
    (tmp_path / "a/formula.yaml").symlink_to("formula.yaml")
    looped = checked((command, "a"), tmp_path)
    if command == "lint":  # says it beside what it finds in the other files
        assert "a/formula.yaml:1:1: error: cannot be read (" in looped.out
        assert looped.code == 1
    else:
        assert_could_not_run(looped, "a/formula.yaml: cannot be read (")
    assert_could_not_run(checked((command, "a/formula.yaml"), tmp_path), "no such file or folder")


def committed(folder: Path) -> None:
    """A repository with two formulas in one commit."""
    git(folder, "init", "-q", "-b", "main")
    plant(folder, {"a/formula.yaml": GOOD, "b/formula.yaml": GOOD})
    git(folder, "add", "-A")
    git(folder, "commit", "-qm", "first")


def unborn(folder: Path) -> None:
    git(folder, "init", "-q", "-b", "main")
    plant(folder, {"a/formula.yaml": GOOD})


def removed(folder: Path) -> None:
    committed(folder)
    (folder / "a/formula.yaml").unlink()
    (folder / "a").rmdir()


def broken(folder: Path) -> None:
    committed(folder)
    plant(folder, {"a/formula.yaml": "title: 'x\n"})


def changed(folder: Path) -> None:
    committed(folder)
    plant(folder, {"b/formula.yaml": amount("1/0 cup")})


def blob_lost(folder: Path) -> None:
    changed(folder)
    blob = git(folder, "rev-parse", "HEAD:b/formula.yaml").strip()
    (folder / ".git/objects" / blob[:2] / blob[2:]).unlink()


def bad_bake(folder: Path) -> None:
    committed(folder)
    plant(folder, {"a/bakes/x.yaml": BAKE.replace("keep", "maybe")})


def no_revision(name: str) -> str:
    return f"perflour: '{name}' is no revision of this repository; list them with `git log --oneline`\n"


GIT: tuple[tuple[Setup, Run], ...] = (
    (unborn, Run("unborn-diff", ("diff",), 2, "perflour: the branch has no commit yet; commit once, or name two formulas to compare\n")),
    (unborn, Run("unborn-revision", ("diff", "main"), 2, no_revision("main"))),
    (unborn, Run("unborn-changelog", ("changelog", "a"), 0, "")),
    (committed, Run("revision-bad", ("diff", "nonsense"), 2, no_revision("nonsense"))),
    (committed, Run("revision-second-bad", ("diff", "HEAD", "nonsense"), 2, no_revision("nonsense"))),
    (committed, Run("revision-beyond-history", ("diff", "HEAD~9"), 2, no_revision("HEAD~9"))),
    (committed, Run("revision-range-bad", ("diff", "HEAD..nonsense"), 2, no_revision("nonsense"))),
    (committed, Run("revision-is-a-file-blob", ("diff", "HEAD:a/formula.yaml"), 2, no_revision("HEAD:a/formula.yaml"))),
    (committed, Run("revision-with-line-break", ("diff", "a\nb"), 2, "is no revision of this repository")),
    (committed, Run("revision-empty", ("diff", ""), 2, no_revision(""))),
    (committed, Run("revision-dash", ("diff", "-x"), 2, "perflour diff: there is no option -x; see perflour diff --help\n")),
    (committed, Run("revision-dash-in-range", ("diff", "..--output=x"), 2, no_revision("--output=x"))),
    (committed, Run("revisions-three", ("diff", "HEAD", "HEAD", "HEAD"), 2, "perflour: diff takes two formulas or at most two revisions, not 3; put paths after `--`\n")),
    (committed, Run("path-dash", ("diff", "--", "--output=x"), 2, "--output=x: ")),
    (committed, Run("path-missing", ("diff", "--", "none"), 2, "none: ")),
    (changed, Run("path-pathspec-magic", ("diff", "--", ":!a"), 2, ":!a: ")),
    (committed, Run("path-outside", ("diff", "--", "a", "../elsewhere"), 2, "../elsewhere: outside the repository ")),
    (committed, Run("path-outside-line-break", ("diff", "--", "a", "../else\nwhere"), 2, "outside the repository ")),
    (committed, Run("changelog-path-missing", ("changelog", "none"), 2, "'none': no such file or folder; check the path\n")),
    (committed, Run("changelog-path-outside", ("changelog", "a", "/"), 2, "/: outside the repository ")),
    (removed, Run("removed-diff", ("diff",), 1, "Trial (trial)")),
    (removed, Run("removed-diff-by-path", ("diff", "--", "a/formula.yaml"), 1, "trial: formula removed")),
    (removed, Run("removed-lint", ("lint", "a"), 2, "perflour: 'a': no such file or folder; check the path\n")),
    (removed, Run("removed-changelog", ("changelog", "."), 0, "")),
    (broken, Run("broken-diff", ("diff",), 1, "a/formula.yaml:2:1: a quote is not closed; close it")),
    (broken, Run("broken-changelog", ("changelog", "a"), 0, "")),
    (changed, Run("changed-diff", ("diff",), 1, "Trial (trial)")),
    (blob_lost, Run("blob-lost-diff", ("diff",), 2, "perflour: ")),
    (blob_lost, Run("blob-lost-changelog", ("changelog", "b"), 2, "perflour: ")),
    (bad_bake, Run("bake-verdict-changelog", ("changelog", "a"), 1, 'a/bakes/x.yaml:5:10: `verdict` is "maybe"; write one of keep, change, reject')),
)  # fmt: skip


@pytest.mark.parametrize(("setup", "run"), GIT, ids=[run.id for _, run in GIT])
def test_git_cases(setup: Setup, run: Run, tmp_path: Path) -> None:
    folder = tmp_path / "kitchen"
    folder.mkdir()
    setup(folder)
    check_run(run, checked(run.words, folder))


def test_diff_of_a_path_above(tmp_path: Path) -> None:
    """The two dots of a path are no revision range."""
    changed(tmp_path)
    done = checked(("diff", "../b/formula.yaml"), tmp_path / "a")
    assert done.code == 1, done


def test_format_of_standard_input_is_refused(tmp_path: Path) -> None:
    """There is no file to write; one called stdin.yaml has nothing to do with it."""
    done = checked(("format", "-"), tmp_path, amount("300 gram").encode())
    assert_could_not_run(done, "standard input")
