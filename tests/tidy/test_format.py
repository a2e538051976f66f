"""The house format: one order, one form, one spelling, nothing lost."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.documents.reader import read_document
from perflour.formula.digests import digest
from perflour.formula.file import read_formula
from perflour.kitchen.catalogue import built_in
from perflour.kitchen.house import House, Kitchen
from perflour.lint.check import check_content
from perflour.plain import control
from perflour.tidy.house_format import format_files, format_formula, write_formatted
from tests.conftest import ROOT, examples, formula_text, run_cli
from tests.tidy.untidy import Untidy, untidy

UNTIDY = """\
# yaml-language-server: $schema=x
title: Trial   # the name
formula: trial
status: draft
class: loaf-cake

# what goes in
parts:
  - ingredients:
      - {amount: ½ cups, item: butter, state: melted}   # browned?
      - {item: flour, amount: 250 grams}
    part: batter
method:
  - {do: bake, at: 175C (350F), for: 20 min}
"""
TIDY = """\
# yaml-language-server: $schema=x
formula: trial
title: Trial   # the name
class: loaf-cake
status: draft

# what goes in
parts:
  - part: batter
    ingredients:
      - {item: butter, amount: 1/2 cup, state: melted}   # browned?
      - {item: flour, amount: 250 g}
method:
  - {do: bake, at: 175 °C (350 °F), for: 20 min}
"""


def house(**settled: Any) -> Kitchen:
    return Kitchen(House(**settled), built_in())


def formatted(text: str, kitchen: Kitchen | None = None) -> str:
    return format_formula(text.encode(), "f", kitchen).decode()


def test_formats_and_keeps_comments() -> None:
    assert formatted(UNTIDY) == TIDY
    assert formatted(TIDY) == TIDY


def test_line_endings_stay_and_a_byte_order_mark_goes() -> None:
    untidy, tidy = (text.encode().replace(b"\n", b"\r\n") for text in (UNTIDY, TIDY))
    assert format_formula(b"\xef\xbb\xbf" + untidy, "f") == tidy


def test_a_marked_document_stays_marked() -> None:
    assert formatted(f"# top\n---\n{UNTIDY}...\n") == TIDY.replace(
        "# yaml-language-server: $schema=x\n", "# top\n# yaml-language-server: $schema=x\n---\n"
    )


SPELLINGS = [
    ("1½ cups", "1 1/2 cup"),
    ("1-1/2 cup", "1 1/2 cup"),
    ("0.5 tsp", "1/2 tsp"),
    ("3.5 oz", "3 1/2 oz"),
    ("12.5 g", "12.5 g"),
    ("4 to 5 cups", "4-5 cup"),
    ("3/4 cup plus 2 Tbsp", "3/4 cup plus 2 tbsp"),
    ("3 lbs 10 ounces", "3 lb plus 10 oz"),
    ("1 tin (425 g) drained 250 g", "1 can 425 g drained 250 g"),
    ("2", "2 each"),
    ("1/7 cup", "1/7 cup"),
    ("2 eggs", "2 eggs"),
]


@pytest.mark.parametrize(("said", "spelled"), SPELLINGS)
def test_spells_amounts_in_one_way(said: str, spelled: str) -> None:
    from perflour.tidy.house_format import spell_amount

    assert spell_amount(said) == spelled


LONG = "the whisked dry mix goes in with the dates tossed in it, in three turns, each folded just under"
FORMS = {
    "block line": (
        ["- item: egg", "  amount: 2 large"],
        ["- {item: egg, amount: 2 large}"],
    ),
    "braces over several lines": (
        ["- {item: egg,", "   amount: 2 large", "  }"],
        ["- {item: egg, amount: 2 large}"],
    ),
    "a comment at the end stays at the end": (
        ["- item: egg", "  amount: 2 large   # cold"],
        ["- {item: egg, amount: 2 large}   # cold"],
    ),
    "a comment inside keeps the lines": (
        ["- {item: egg,   # from the farm", "   amount: 2 large}   # cold"],
        ["- item: egg   # from the farm", "  amount: 2 large   # cold"],
    ),
    "a comment between keeps the lines": (
        ["- item: egg", "  # cold", "  amount: 2 large"],
        ["- item: egg", "  # cold", "  amount: 2 large"],
    ),
    "a comma makes quotes": (
        ["- item: egg", "  amount: 2 large", "  state: cold, whole"],
        ["- {item: egg, amount: 2 large, state: 'cold, whole'}"],
    ),
    "too long": (
        [f"- {{item: egg, amount: 2 large, note: {LONG.replace(',', '')}}}  # why"],
        ["- item: egg", "  amount: 2 large", f"  note: {LONG.replace(',', '')}  # why"],
    ),
    "text on several lines": (
        ["- item: egg", "  amount: 2 large", "  note: |-", "      one", "", "      two"],
        ["- item: egg", "  amount: 2 large", "  note: |-", "    one", "", "    two"],
    ),
    "a folded plain text": (
        ["- item: egg", "  amount: 2", "    large"],
        ["- {item: egg, amount: 2 large}"],
    ),
    "a comment under the dash": (
        ["-", "  # cold", "  item: egg", "  amount: 2 large"],
        ["# cold", "- {item: egg, amount: 2 large}"],
    ),
}


@pytest.mark.parametrize(("said", "written"), FORMS.values(), ids=FORMS)
def test_a_line_has_one_form(said: list[str], written: list[str]) -> None:
    text, expected = (
        formula_text("{item: flour, amount: 100 g}").replace(
            "method:", "".join(f"      {line}\n" if line else "\n" for line in lines) + "method:"
        )
        for lines in (said, written)
    )
    assert formatted(text) == expected
    assert formatted(expected) == expected


def test_lists_and_steps_have_one_form_and_every_comment_its_place() -> None:
    text = """\
# top
formula: trial # id
title: Trial
class: loaf-cake
status: draft
notes: >-   # kept
    one
      two

# half
yield:
    pieces: 2   # small
parts: [{part: batter,   # the only one
    ingredients: [{item: flour, amount: 100 g},   # sifted

      # from the farm
      {item: egg, amount: 2 large}   # cold
      # no nuts
    ]}   # all
  ]
# how
method:
- do: mix
  uses: [flour,   # twice
    egg]   # both
    # rest here
- uses:
    - flour
    - egg
  do: fold
# end
"""
    assert (
        formatted(text)
        == """\
# top
formula: trial # id
title: Trial
class: loaf-cake
status: draft
notes: >-   # kept
  one
    two

# half
yield: {pieces: 2}   # small
parts:
  - part: batter   # the only one
    ingredients:   # all
      - {item: flour, amount: 100 g}   # sifted
      # from the farm
      - {item: egg, amount: 2 large}   # cold
      # no nuts
# how
method:
  - do: mix
    uses:   # both
      - flour   # twice
      - egg
    # rest here
  - {do: fold, uses: [flour, egg]}
# end
"""
    )


FIG_LOAF = ROOT / "tests/rules/listed-out-of-order"


def lines_of(text: str) -> list[str]:
    """The ingredient lines of a text with the comments over them."""
    listed = text.split("    ingredients:\n")[1].split("method:")[0]
    return [line.strip() for line in listed.splitlines()]


def out_of_order(text: str, kitchen: Kitchen | None = None) -> list[str]:
    results = check_content(text.encode(), "f", kitchen or house())
    return [r.subject for r in results if r.rule == "listed-out-of-order"]


def test_lines_stand_in_the_order_of_their_use() -> None:
    """The rule's own examples: the failing one, formatted, is the passing one."""
    fail, passing = ((FIG_LOAF / f"{name}.yaml").read_text() for name in ("fail", "pass"))
    assert lines_of(formatted(fail)) == lines_of(passing)


def test_comments_go_with_the_lines_that_move() -> None:
    text = (FIG_LOAF / "fail.yaml").read_text()
    for word in ("egg", "baking powder", "butter", "salt"):
        text = re.sub(
            rf"      (- .item: {word},.*)", rf"      # over {word}\n      \1  # at {word}", text
        )
    lines = lines_of(formatted(text))
    assert [line.split(",")[0].removeprefix("- {item: ") for line in lines] == [
        *("all-purpose flour", "# over butter", "butter", "caster sugar", "# over egg", "egg"),
        *("# over baking powder", "baking powder", "# over salt", "salt"),
        *("whole milk", "fennel seed", "dried figs"),
    ]
    assert [line.split("  ")[1] for line in lines if "  # at" in line] == [
        f"# at {word}" for word in ("butter", "egg", "baking powder", "salt")
    ]
    assert all(line.split("# at ")[1] in line.split(",")[0] for line in lines if "# at" in line)


def fig_loaf(*lines: str, extra: str = "") -> str:
    """A loaf whose butter is creamed first, listed as given."""
    method = "[{do: cream, uses: [butter]}, {do: beat in, uses: [egg]}, {do: fold, uses: [flour, salt]}, {do: stir, uses: [raisins]}]"
    return formula_text(*lines, method=method, extra=extra)


def item(name: str) -> str:
    return f"{{item: {name}, amount: 2 g}}"


@pytest.mark.parametrize(
    ("listed", "order"),
    [
        ("salt butter egg raisins flour", "butter egg salt flour raisins"),
        ("flour salt egg butter raisins", "flour butter egg salt raisins"),
        ("raisins water butter egg", "butter egg raisins water"),
        ("water raisins butter egg", "water butter egg raisins"),
        ("salt salt raisins butter egg", "salt salt butter egg raisins"),
        ("butter egg flour salt raisins", "butter egg flour salt raisins"),
        ("flour salt butter egg raisins", "flour butter egg salt raisins"),
        ("egg butter salt raisins", "egg butter salt raisins"),
    ],
    ids=[
        "by first use",
        "flour leads",
        "what no step names stays behind its line",
        "or in front",
        "so do lines of one name",
        "in order",
        "flour leads, the rest does not",
        "neighbouring steps are let be",
    ],
)
def test_the_order_of_use(listed: str, order: str) -> None:
    written = formatted(fig_loaf(*map(item, listed.split())))
    assert [line.split(",")[0][9:] for line in lines_of(written)] == order.split()
    assert out_of_order(written) == []


def test_another_part_stays_behind_its_line() -> None:
    text = fig_loaf(*map(item, ("raisins", "butter", "egg"))).replace(
        "parts:\n", "parts:\n  - {part: glaze, ingredients: [{item: water, amount: 9 g}]}\n"
    )
    text = text.replace(
        "      - {item: butter", "      - {part: glaze, amount: all}\n      - {item: butter"
    )
    batter = formatted(text).split("part: batter")[1]
    assert re.findall(r"{(?:item|part): (\w+)", batter.split("method")[0]) == [
        *("butter", "egg", "raisins", "glaze")
    ]


WRONG = ("raisins", "butter", "egg")
LEFT_ALONE = {
    "groups set apart": fig_loaf(*map(item, WRONG)).replace(
        "      - {item: egg", "\n      - {item: egg"
    ),
    "a heading": fig_loaf(*map(item, WRONG)).replace(
        "      - {item: raisins", "      # all warm\n      - {item: raisins"
    ),
    "waived": fig_loaf(*map(item, WRONG))
    + "waivers:\n  - {rule: listed-out-of-order, because: as printed}\n",
    "parts in each other": fig_loaf(*map(item, WRONG), "{part: glaze, amount: all}").replace(
        "parts:\n", "parts:\n  - {part: glaze, ingredients: [{part: batter, amount: all}]}\n"
    ),
    "parts of one name": fig_loaf(*map(item, WRONG)).replace(
        "parts:\n", "parts:\n  - {part: Batter, ingredients: [{item: water, amount: 9 g}]}\n"
    ),
}


@pytest.mark.parametrize("text", LEFT_ALONE.values(), ids=LEFT_ALONE)
def test_a_list_that_cannot_be_ordered_safely_is_left_alone(text: str) -> None:
    listed = re.findall(r"item: (raisins|butter|egg)", formatted(text))
    assert listed == list(WRONG)


def test_a_house_without_the_rule_keeps_its_order() -> None:
    text = fig_loaf(*map(item, WRONG))
    off = house(levels={"listed-out-of-order": "off"})
    assert lines_of(formatted(text, off)) == lines_of(text)
    assert lines_of(formatted(text)) != lines_of(text)


published = st.sampled_from(sorted((ROOT / "tests/published").glob("*/*/formula.yaml")))


@given(published)
@examples(25)
def test_formatting_is_idempotent_and_changes_no_formula(path: Path) -> None:
    content = path.read_bytes()
    once = format_formula(content, "f")
    assert format_formula(once, "f") == once
    assert digest(read_formula(once, "f")) == digest(read_formula(content, "f"))


names = st.text(
    alphabet=st.characters(min_codepoint=32, max_codepoint=0x2FFF, exclude_categories=("Cs", "Cc")),
    min_size=1,
    max_size=12,
).filter(lambda name: name.strip() and control(name) is None)  # no file may hold those


@given(names, names, st.sampled_from(["2 cups", "½ tsp.", "300 grams", "what", "1 can 400 g"]))
@examples(80)
def test_any_words_survive(item: str, note: str, amount: str) -> None:
    quoted = f"{{amount: {json.dumps(amount)}, note: {json.dumps(note)}, item: {json.dumps(item)}}}"
    text = f"title: T\nformula: t\nclass: c\nstatus: draft\nparts:\n  - {{part: p, ingredients: [{quoted}]}}\nmethod: []\n"
    before = read_formula(text.encode(), "f")
    once = format_formula(text.encode(), "f")
    after = read_formula(once, "f")
    assert [(ln.name, ln.note) for ln in after.parts[0].lines] == [
        (ln.name, ln.note) for ln in before.parts[0].lines
    ]
    assert format_formula(once, "f") == once


def test_check_names_and_format_writes(tmp_path: Path) -> None:
    path = tmp_path / "f.yaml"
    path.write_text(UNTIDY, encoding="utf-8")
    check = run_cli("format", "--check", "f.yaml", cwd=tmp_path)
    assert (check.code, check.out, path.read_text(encoding="utf-8")) == (1, "f.yaml\n", UNTIDY)
    shown = run_cli("format", "--diff", "f.yaml", cwd=tmp_path).out
    assert shown.startswith("--- f.yaml\n+++ f.yaml (house format)\n")
    assert "-  - {do: bake, at: 175C (350F), for: 20 min}\n" in shown
    assert "+  - {do: bake, at: 175 °C (350 °F), for: 20 min}\n" in shown
    assert path.read_text(encoding="utf-8") == UNTIDY
    assert run_cli("format", "f.yaml", cwd=tmp_path).code == 1
    assert path.read_text(encoding="utf-8") != UNTIDY
    done = run_cli("format", "f.yaml", cwd=tmp_path)
    assert (done.code, done.out) == (0, "")
    assert [p.name for p in tmp_path.iterdir()] == ["f.yaml"]


@pytest.mark.parametrize(
    ("said", "spelled"),
    [
        ("175C", "175 °C (345 °F)"),
        ("350 °F", "350 °F (175 °C)"),
        ("175 °C (350 °F)", "175 °C (350 °F)"),
        ("96 °C", "96 °C (205 °F)"),
        ("24-26 °C", "24-26 °C (75-79 °F)"),
        ("hot", "hot"),
    ],
)
def test_a_house_that_wants_both_scales_gets_them(said: str, spelled: str) -> None:
    """NIST Special Publication 811 (from memory): F = C x 9/5 + 32; 96 °C is 204.8 °F."""
    from perflour.tidy.house_format import spell_temperature

    assert spell_temperature(said, both=True) == spelled
    assert spell_temperature(spelled, both=True) == spelled


def test_a_second_scale_is_no_new_revision() -> None:
    text = UNTIDY.replace("175C (350F)", "175 °C")
    both = format_formula(text.encode(), "f", house(temperatures="both"))
    assert b"at: 175 \xc2\xb0C (345 \xc2\xb0F)" in both
    assert digest(read_formula(both, "f")) == digest(read_formula(text.encode(), "f"))


def comments_in(text: str) -> list[str]:
    """The numbered comments of an untidy text, however it is written."""
    return re.findall(r"# c[0-9]+", text)


def data_of(text: str) -> dict[str, Any]:
    """The data of a text; lines of a part in one order."""
    data: dict[str, Any] = read_document(text.encode(), "f").data
    for part in data["parts"]:
        part["ingredients"].sort(key=lambda line: json.dumps(line, sort_keys=True))
    return data


@given(untidy())
@examples(150)
def test_any_form_is_formatted_once_and_keeps_data_and_comments(said: Untidy) -> None:
    assert read_document(said.text.encode(), "f").data == said.data
    once = formatted(said.text)
    assert formatted(once) == once
    assert data_of(once) == data_of(said.text)
    assert sorted(comments_in(once)) == sorted(said.comments)
    assert digest(read_formula(once.encode(), "f")) == digest(read_formula(said.text.encode(), "f"))


@given(untidy(comments=False))
@examples(100)
def test_the_rule_has_nothing_to_say_after_formatting(said: Untidy) -> None:
    assert out_of_order(formatted(said.text)) == []


def test_a_file_that_somebody_changed_meanwhile_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "f.yaml"
    path.write_text(UNTIDY, encoding="utf-8")
    changed, _ = format_files([str(path)])
    path.write_text(f"{UNTIDY}# more\n", encoding="utf-8")
    assert write_formatted(changed) == [str(path)]
    assert path.read_text(encoding="utf-8") == f"{UNTIDY}# more\n"


@pytest.mark.parametrize(
    ("status", "order", "oven"),
    [
        ("draft", ["water", "salt", "butter"], "175 °C (345 °F)"),
        ("reference", ["butter", "salt", "water"], "175 °C"),
    ],
)
def test_a_reference_keeps_the_order_and_the_scale_of_its_source(
    status: str, order: list[str], oven: str
) -> None:
    steps = "{do: mix, uses: [water]}", "{do: add, uses: [salt]}", "{do: add, uses: [butter]}", "{do: bake, at: 175 °C}"  # fmt: skip
    lines = "{item: butter, amount: 9 grams}", "{item: salt, amount: 2 g}", "{item: water, amount: 65 g}"  # fmt: skip
    text = formula_text(*lines, method=f"[{', '.join(steps)}]")
    text = text.replace("status: draft", f"status: {status}")
    data = read_document(
        format_formula(text.encode(), "a.yaml", house(temperatures="both")), "a.yaml"
    ).data
    assert [line["item"] for line in data["parts"][0]["ingredients"]] == order
    assert data["method"][3]["at"] == oven
    assert {"item": "butter", "amount": "9 g"} in data["parts"][0]["ingredients"]  # spelled our way
